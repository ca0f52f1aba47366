# What is installed: the program, the library, its header, a pkg-config file, a CMake package, the
# manual page and completions that the program itself writes, the demo aircraft
# and the lessons on them.

include(CMakePackageConfigHelpers)

install(TARGETS deadbus EXPORT deadbusTargets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR}
    LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR}
    PUBLIC_HEADER DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})

# Found from where the file itself lies, so that an installed tree can be moved.
file(RELATIVE_PATH pc_to_prefix "/${CMAKE_INSTALL_LIBDIR}/pkgconfig" "/")
string(REGEX REPLACE "/$" "" pc_to_prefix "${pc_to_prefix}")
configure_file(cmake/deadbus.pc.in deadbus.pc @ONLY)
install(FILES "${PROJECT_BINARY_DIR}/deadbus.pc" DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/deadbus)
write_basic_package_version_file("${PROJECT_BINARY_DIR}/deadbusConfigVersion.cmake"
    COMPATIBILITY SameMinorVersion)
install(EXPORT deadbusTargets NAMESPACE deadbus:: FILE deadbusConfig.cmake
    DESTINATION ${package_dir})
install(FILES "${PROJECT_BINARY_DIR}/deadbusConfigVersion.cmake" DESTINATION ${package_dir})

set(doc_files README.md CHANGELOG.md LICENSE)
if(EXISTS "${DEADBUS_YAML_SOURCE}/License")
    # libyaml's parser is inside the library, so its licence goes along.
    install(FILES "${DEADBUS_YAML_SOURCE}/License" DESTINATION ${CMAKE_INSTALL_DOCDIR}
        RENAME LICENSE.libyaml)
endif()
install(FILES ${doc_files} DESTINATION ${CMAKE_INSTALL_DOCDIR})
file(GLOB aircraft CONFIGURE_DEPENDS aircraft/*.yaml)
install(FILES ${aircraft} DESTINATION ${CMAKE_INSTALL_DATADIR}/deadbus/aircraft)
file(GLOB lessons CONFIGURE_DEPENDS lessons/*.yaml)
install(FILES ${lessons} DESTINATION ${CMAKE_INSTALL_DATADIR}/deadbus/lessons)

if(TARGET deadbus_program)
    install(TARGETS deadbus_program RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
    include(program_docs)
endif()

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_VENDOR "The Deadbus authors")
set(CPACK_PACKAGE_CONTACT "The Deadbus authors <authors@deadbus.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGE_DIRECTORY "${PROJECT_SOURCE_DIR}/build")
set(CPACK_RESOURCE_FILE_LICENSE "${PROJECT_SOURCE_DIR}/LICENSE")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
if(pdf_found)
    # The font that cards are measured and set in.
    set(CPACK_DEBIAN_PACKAGE_DEPENDS "fonts-noto-core")
endif()
include(CPack)
