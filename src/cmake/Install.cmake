# What `cmake --install` and CPack put where: the program, the library with its headers, the shipped years, the JSON
# schemas and the description of the HDF5 file. The program finds its data relative to itself.
include(CMakePackageConfigHelpers)
set(data "${CMAKE_INSTALL_DATADIR}/cabinload")
set(package "${CMAKE_INSTALL_LIBDIR}/cmake/cabinload")

install(TARGETS cabinload EXPORT cabinload ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(DIRECTORY include/cabinload DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(EXPORT cabinload NAMESPACE cabinload:: DESTINATION ${package} FILE cabinloadTargets.cmake)
configure_package_config_file(src/cmake/cabinloadConfig.cmake.in
  "${PROJECT_BINARY_DIR}/cabinloadConfig.cmake" INSTALL_DESTINATION ${package})
# Until 1.0 a minor version may change the library; see DEVELOPERS.md, "What is stable".
write_basic_package_version_file("${PROJECT_BINARY_DIR}/cabinloadConfigVersion.cmake"
  COMPATIBILITY SameMinorVersion)
install(FILES "${PROJECT_BINARY_DIR}/cabinloadConfig.cmake"
  "${PROJECT_BINARY_DIR}/cabinloadConfigVersion.cmake" DESTINATION ${package})

# pkg-config: one static library, so whatever it needs is named in full.
list(JOIN HDF5_CXX_LIBRARIES " " hdf5_cxx)
list(JOIN HDF5_LIBRARIES " " hdf5_c)
set(CABINLOAD_PKG_LIBS "${hdf5_cxx} ${hdf5_c} -ludunits2")
configure_file(src/cmake/cabinload.pc.in "${PROJECT_BINARY_DIR}/cabinload.pc" @ONLY)
install(FILES "${PROJECT_BINARY_DIR}/cabinload.pc" DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)

install(DIRECTORY weather/ DESTINATION ${data}/weather)
install(DIRECTORY src/report/schema DESTINATION ${data})
install(FILES src/store/FORMAT.md README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "cabinload maintainers <maintainers@localhost>")
set(CPACK_PACKAGE_VENDOR "cabinload")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_RESOURCE_FILE_LICENSE "${PROJECT_SOURCE_DIR}/LICENSE")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "will this roof air conditioner let you sleep")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "lumped-capacitance model of a camper van's cabin over hourly weather:
 which nights a 12, 24 or 48 V roof air conditioner holds a sleeping temperature,
 on which battery, with which wiring, and how long an animal is safe when it stops.")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# What a program built against the library needs.
set(CPACK_DEBIAN_PACKAGE_SUGGESTS
    "libeigen3-dev, libfmt-dev, libhdf5-dev, libtomlplusplus-dev, libudunits2-dev")
include(CPack)
