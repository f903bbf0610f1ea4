# Every library comes from the system. A missing one is named with the Debian package that has it.

function(cabinload_require name debian_package)
  find_package(${name} ${ARGN} QUIET)
  if(NOT ${name}_FOUND)
    message(FATAL_ERROR
      "cabinload needs ${name}, which was not found.\n"
      "On Debian or Ubuntu: apt-get install ${debian_package}")
  endif()
  set(${name}_VERSION_MAJOR "${${name}_VERSION_MAJOR}" PARENT_SCOPE)
endfunction()

set(CMAKE_FIND_PACKAGE_TARGETS_GLOBAL TRUE)
cabinload_require(Eigen3 libeigen3-dev 3.4)
set(HDF5_PREFER_PARALLEL FALSE)
cabinload_require(HDF5 libhdf5-dev COMPONENTS C CXX HL)
cabinload_require(CLI11 libcli11-dev 2.1)
cabinload_require(tomlplusplus libtomlplusplus-dev 3.0)
cabinload_require(nlohmann_json nlohmann-json3-dev 3.10)
cabinload_require(fmt libfmt-dev 8)
cabinload_require(Threads libc6-dev)
cabinload_require(TBB libtbb-dev 2021.5)

# UDUNITS-2 has no CMake package of its own.
find_path(UDUNITS2_INCLUDE_DIR udunits2.h PATH_SUFFIXES udunits2)
find_library(UDUNITS2_LIBRARY udunits2)
if(NOT UDUNITS2_INCLUDE_DIR OR NOT UDUNITS2_LIBRARY)
  message(FATAL_ERROR "cabinload needs UDUNITS-2, which was not found.\n"
                      "On Debian or Ubuntu: apt-get install libudunits2-dev")
endif()
add_library(udunits2 UNKNOWN IMPORTED)
set_target_properties(udunits2 PROPERTIES IMPORTED_LOCATION "${UDUNITS2_LIBRARY}"
  INTERFACE_INCLUDE_DIRECTORIES "${UDUNITS2_INCLUDE_DIR}")

# Chart.js is inlined in the pages of `report`; packages call its file differently.
find_file(CABINLOAD_CHART_JS NAMES chart.min.js Chart.min.js chart.umd.min.js chart.umd.js
  PATHS /usr/share/javascript/chart.js /usr/share/javascript/chart /usr/share/nodejs/chart.js/dist
  DOC "Chart.js 3 or 4, one file for browsers" NO_DEFAULT_PATH)
if(NOT CABINLOAD_CHART_JS)
  message(FATAL_ERROR "cabinload needs Chart.js, which was not found.\n"
                      "On Debian or Ubuntu: apt-get install libjs-chart.js\n"
                      "Elsewhere: -DCABINLOAD_CHART_JS=/path/to/chart.min.js")
endif()
file(READ "${CABINLOAD_CHART_JS}" notice LIMIT 400)
if(NOT notice MATCHES "Chart.js v([34])\\.")
  message(FATAL_ERROR "${CABINLOAD_CHART_JS} does not say that it is Chart.js 3 or 4, which cabinload's pages need")
endif()

if(CABINLOAD_TESTS)
  # 2.13 and 3.x both do; asking for a version would refuse the other major one.
  cabinload_require(Catch2 catch2)
  if(Catch2_VERSION_MAJOR LESS 2)
    message(FATAL_ERROR "cabinload's tests need Catch2 2.13 or newer, found major ${Catch2_VERSION_MAJOR}")
  endif()
endif()
