# What makes a PDF of a card: a module that the program loads when it is asked for one. The library
# does without. Sanitized builds do as well: what librsvg keeps to the end would be told as leaks.

set(pdf_found FALSE)
if(NOT DEADBUS_PDF STREQUAL "OFF" AND NOT (DEADBUS_PDF STREQUAL "AUTO" AND DEADBUS_SANITIZE))
    find_package(PkgConfig)
    if(PkgConfig_FOUND)
        pkg_check_modules(pdf IMPORTED_TARGET librsvg-2.0>=2.52 cairo-pdf fontconfig)
        set(pdf_found ${pdf_FOUND})
    endif()
endif()
if(DEADBUS_PDF STREQUAL "ON" AND NOT pdf_found)
    message(FATAL_ERROR "DEADBUS_PDF is ON, but librsvg isn't there. Install librsvg2-dev")
endif()
if(pdf_found)
    add_library(deadbus_pdf MODULE cli/pdf/pdf_page.c)
    set_target_properties(deadbus_pdf PROPERTIES PREFIX "" OUTPUT_NAME deadbus-pdf SUFFIX ".so"
        C_VISIBILITY_PRESET hidden
        LIBRARY_OUTPUT_DIRECTORY "$<TARGET_FILE_DIR:deadbus_program>")
    target_include_directories(deadbus_pdf PRIVATE "${PROJECT_SOURCE_DIR}")
    target_link_libraries(deadbus_pdf PRIVATE PkgConfig::pdf deadbus_options)
    add_dependencies(deadbus_program deadbus_pdf)
    # Beside the program where it is built, in a folder of the libraries' where it is installed.
    set(pdf_folder "${CMAKE_INSTALL_LIBDIR}/deadbus")
    file(RELATIVE_PATH program_to_pdf "/${CMAKE_INSTALL_BINDIR}" "/${pdf_folder}")
    set_target_properties(deadbus_program PROPERTIES
        BUILD_RPATH "$ORIGIN" BUILD_RPATH_USE_ORIGIN ON INSTALL_RPATH "$ORIGIN/${program_to_pdf}")
    install(TARGETS deadbus_pdf LIBRARY DESTINATION "${pdf_folder}")
endif()
