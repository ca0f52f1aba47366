# The manual page and the completions come out of the program's own command table when it is built,
# so they can't fall behind it.

set(docs_dir "${PROJECT_BINARY_DIR}/program-docs")
set(program_docs "")
foreach(topic man bash zsh fish)
    set(output "${docs_dir}/${topic}")
    add_custom_command(OUTPUT "${output}"
        COMMAND ${CMAKE_COMMAND} -E make_directory "${docs_dir}"
        COMMAND $<TARGET_FILE:deadbus_program> --help ${topic} > "${output}"
        DEPENDS deadbus_program VERBATIM)
    list(APPEND program_docs "${output}")
endforeach()
add_custom_target(deadbus_program_docs ALL DEPENDS ${program_docs})
install(FILES "${docs_dir}/man" DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 RENAME deadbus.1)
install(FILES "${docs_dir}/bash" DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
    RENAME deadbus)
install(FILES "${docs_dir}/zsh" DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions
    RENAME _deadbus)
install(FILES "${docs_dir}/fish" DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d
    RENAME deadbus.fish)
