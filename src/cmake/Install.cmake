# What `cmake --install` and CPack put where: the program, the library with its headers, the shipped years, the JSON
# schemas and the description of the HDF5 file. The program finds its data relative to itself.
include(CMakePackageConfigHelpers)
set(CMAKE_INSTALL_DEFAULT_COMPONENT_NAME program)
set(data "${CMAKE_INSTALL_DATADIR}/cabinload")
set(package "${CMAKE_INSTALL_LIBDIR}/cmake/cabinload")

install(TARGETS cabinload_program RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(TARGETS cabinload EXPORT cabinload ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
install(DIRECTORY include/cabinload DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT development)
install(EXPORT cabinload NAMESPACE cabinload:: DESTINATION ${package} FILE cabinloadTargets.cmake
  COMPONENT development)
configure_package_config_file(src/cmake/cabinloadConfig.cmake.in
  "${PROJECT_BINARY_DIR}/cabinloadConfig.cmake" INSTALL_DESTINATION ${package})
# Until 1.0 a minor version may change the library; see DEVELOPERS.md, "What is stable".
write_basic_package_version_file("${PROJECT_BINARY_DIR}/cabinloadConfigVersion.cmake"
  COMPATIBILITY SameMinorVersion)
install(FILES "${PROJECT_BINARY_DIR}/cabinloadConfig.cmake"
  "${PROJECT_BINARY_DIR}/cabinloadConfigVersion.cmake" DESTINATION ${package} COMPONENT development)

# pkg-config: one static library, so whatever it needs is named in full.
list(JOIN HDF5_CXX_LIBRARIES " " hdf5_cxx)
list(JOIN HDF5_LIBRARIES " " hdf5_c)
set(CABINLOAD_PKG_LIBS "${hdf5_cxx} ${hdf5_c} -ludunits2 -ltbb")
configure_file(src/cmake/cabinload.pc.in "${PROJECT_BINARY_DIR}/cabinload.pc" @ONLY)
install(FILES "${PROJECT_BINARY_DIR}/cabinload.pc" DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT development)

install(DIRECTORY weather/ DESTINATION ${data}/weather)
install(DIRECTORY src/report/schema DESTINATION ${data})
install(FILES src/store/FORMAT.md README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})

# Manual page and completions, written by the program from its own options.
set(written "${PROJECT_BINARY_DIR}/written")
file(MAKE_DIRECTORY "${written}")
add_custom_command(
  OUTPUT "${written}/cabinload.1.gz" "${written}/cabinload" "${written}/_cabinload" "${written}/cabinload.fish"
  COMMAND cabinload_program --generate man > "${written}/cabinload.1"
  COMMAND cabinload_program --generate bash > "${written}/cabinload"
  COMMAND cabinload_program --generate zsh > "${written}/_cabinload"
  COMMAND cabinload_program --generate fish > "${written}/cabinload.fish"
  COMMAND gzip -9nfk "${written}/cabinload.1"
  DEPENDS cabinload_program COMMENT "Writing the manual page and completions")
add_custom_target(cabinload_written ALL DEPENDS "${written}/cabinload.1.gz")
if(CMAKE_INSTALL_PREFIX STREQUAL "/usr")
  set(zsh_functions "${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions")
else()
  set(zsh_functions "${CMAKE_INSTALL_DATADIR}/zsh/site-functions")
endif()
install(FILES "${written}/cabinload.1.gz" DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES "${written}/cabinload" DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
install(FILES "${written}/_cabinload" DESTINATION ${zsh_functions})
install(FILES "${written}/cabinload.fish" DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)

# Debian's control files ask for a copyright file with its notice and a compressed list of changes.
file(READ src/study/sobol_directions.cpp notice)
string(REGEX MATCH "// Copyright.*DAMAGE\\." notice "${notice}")
string(REGEX REPLACE "//\n" " .\n" notice "${notice}")
string(REGEX REPLACE "// " " " CABINLOAD_SOBOL_NOTICE "${notice}")
file(READ src/report/page/chart_licence.txt notice)
string(REGEX REPLACE "\n\n" "\n.\n" notice "${notice}")
string(REGEX REPLACE "\n" "\n " notice "${notice}")
string(STRIP "${notice}" notice)
set(CABINLOAD_CHART_NOTICE " ${notice}")
configure_file(src/cmake/debian_copyright.in "${PROJECT_BINARY_DIR}/copyright" @ONLY)
configure_file(src/cmake/debian_changelog.in "${PROJECT_BINARY_DIR}/changelog" @ONLY)
execute_process(COMMAND gzip -9nfk "${PROJECT_BINARY_DIR}/changelog" COMMAND_ERROR_IS_FATAL ANY)
install(FILES "${PROJECT_BINARY_DIR}/copyright" "${PROJECT_BINARY_DIR}/changelog.gz"
  DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES "${PROJECT_BINARY_DIR}/copyright" "${PROJECT_BINARY_DIR}/changelog.gz"
  DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/libcabinload-dev COMPONENT development)
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT licence)  # Debian has its own copy

# --- Debian packages: the program with its data, and the library ----------------------------------
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "cabinload maintainers <maintainers@cabinload.invalid>")
set(CPACK_PACKAGE_VENDOR "cabinload")
set(CPACK_PACKAGING_INSTALL_PREFIX "${CMAKE_INSTALL_PREFIX}")  # /usr in the preset `package`
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME cabinload)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "Lumped-capacitance model of a camper van's cabin over hourly weather: which
nights a 12, 24 or 48 V roof air conditioner holds a sleeping temperature, on
which battery, with which wiring, and how few minutes an animal has when it
stops.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libcabinload-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "cabinload (= ${PROJECT_VERSION}), libeigen3-dev, libfmt-dev, \
libhdf5-dev, libtomlplusplus-dev, libudunits2-dev, libtbb-dev")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "Headers, static library, CMake package and pkg-config file for programs that
compute the nights, loads and wiring of a van's cooling themselves.")
include(CPack)
