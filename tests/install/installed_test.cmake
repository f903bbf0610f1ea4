# Installs into a folder of its own, moves it, and uses it as a stranger would: the program with its weather, a program
# built with find_package, the same with pkg-config. Each must give the answer of the program that was built here.
# cmake -D build=BUILD-FOLDER -D source=THIS-FOLDER -D program=cabinload -P installed_test.cmake
function(run output)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE problem)
  if(NOT status MATCHES "^[01]$")  # 1: nights that are not held, an answer
    list(JOIN ARGN " " command)
    message(FATAL_ERROR "${command}\nended with ${status}\n${text}\n${problem}")
  endif()
  set(${output} "${text}" PARENT_SCOPE)
endfunction()

# The nights held and needing cooling of an answer in JSON.
function(nights output json)
  string(JSON held GET "${json}" nights held)
  string(JSON needing GET "${json}" nights needing_cooling)
  set(${output} "${held} of ${needing}" PARENT_SCOPE)
endfunction()

set(work "${build}/installed")
file(REMOVE_RECURSE "${work}")
run(ignored ${CMAKE_COMMAND} --install "${build}" --prefix "${work}/first")
file(RENAME "${work}/first" "${work}/moved")
set(prefix "${work}/moved")
set(period --from 07-10 --to 07-16 --json)

run(json "${program}" hold ${period})
nights(expected "${json}")

run(json ${CMAKE_COMMAND} -E env --unset=CABINLOAD_WEATHER "${prefix}/bin/cabinload" hold ${period})
nights(moved "${json}")
string(JSON weather GET "${json}" weather file)
if(NOT weather MATCHES "^${prefix}/share/cabinload/weather/")
  message(FATAL_ERROR "the moved program read ${weather}, not its own weather")
endif()

run(ignored ${CMAKE_COMMAND} -S "${source}" -B "${work}/build" -G Ninja "-DCMAKE_PREFIX_PATH=${prefix}"
  -DCMAKE_BUILD_TYPE=Release)
run(ignored ${CMAKE_COMMAND} --build "${work}/build")
run(json "${work}/build/consumer")
nights(found "${json}")

file(GLOB_RECURSE pc "${prefix}/cabinload.pc")
get_filename_component(pc_folder "${pc}" DIRECTORY)
run(flags ${CMAKE_COMMAND} -E env "PKG_CONFIG_PATH=${pc_folder}" pkg-config --cflags --libs cabinload)
separate_arguments(flags UNIX_COMMAND "${flags}")
run(ignored c++ -std=c++20 -O1 "${source}/consumer.cpp" -o "${work}/by_pkg_config" ${flags})
run(json "${work}/by_pkg_config")
nights(by_pkg_config "${json}")

foreach(answer moved found by_pkg_config)
  if(NOT "${${answer}}" STREQUAL "${expected}")
    message(FATAL_ERROR "${answer}: ${${answer}} nights, built here: ${expected}")
  endif()
endforeach()
file(GLOB schemas RELATIVE "${source}/../../src/report" "${source}/../../src/report/schema/*.schema.json")
list(LENGTH schemas count)
if(count LESS 10)
  message(FATAL_ERROR "${count} schemas found in the source tree, at least 10 expected")
endif()
list(TRANSFORM schemas PREPEND share/cabinload/)
foreach(file ${schemas} share/cabinload/weather/manifest.toml share/doc/cabinload/FORMAT.md
        share/doc/cabinload/copyright share/man/man1/cabinload.1.gz
        share/bash-completion/completions/cabinload share/zsh/site-functions/_cabinload
        share/fish/vendor_completions.d/cabinload.fish)
  if(NOT EXISTS "${prefix}/${file}")
    message(FATAL_ERROR "${file} is not installed")
  endif()
endforeach()
message(STATUS "installed, moved, built against twice: ${expected} nights each")
