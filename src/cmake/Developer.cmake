set(CMAKE_EXPORT_COMPILE_COMMANDS ON)  # for `.cabinload/check`
# Warnings and checks for our own code only: an interface target that is never exported.
add_library(cabinload_developer INTERFACE)
target_compile_options(cabinload_developer INTERFACE -Wall -Wextra -Wpedantic -Wshadow -Wconversion
  -Wno-sign-conversion -ffp-contract=off
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>)   # GCC 12 bug 105329: false alarm on "text" + std::string
if(CABINLOAD_DEVELOPER)
  target_compile_options(cabinload_developer INTERFACE -Werror)
  target_compile_definitions(cabinload_developer INTERFACE CABINLOAD_ASSERTIONS=1
    _GLIBCXX_ASSERTIONS EIGEN_INITIALIZE_MATRICES_BY_NAN)
endif()
if(CABINLOAD_SANITIZE)
  add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer)
  add_link_options(-fsanitize=address,undefined)
endif()

# `docs`: the reference of the library's headers as HTML in docs/ of the build folder, where Doxygen is installed.
find_package(Doxygen QUIET)
if(DOXYGEN_FOUND)
  file(MAKE_DIRECTORY "${PROJECT_BINARY_DIR}/docs")
  add_custom_target(docs WORKING_DIRECTORY "${PROJECT_SOURCE_DIR}" VERBATIM
    COMMAND ${CMAKE_COMMAND} -E env "DOCS=${PROJECT_BINARY_DIR}/docs" "VERSION=${PROJECT_VERSION}"
      "${DOXYGEN_EXECUTABLE}" src/cmake/Doxyfile)
endif()
