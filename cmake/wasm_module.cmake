# deadbus.wasm: a reactor module (no main) of the core and wasm/*.c. It exports what
# wasm/exports.txt lists, one name a line, and imports nothing.

find_program(WASM_OPT wasm-opt REQUIRED)
find_program(WASM_LD wasm-ld-14 REQUIRED)

file(GLOB wasm_sources CONFIGURE_DEPENDS wasm/*.c)
set(exports_file "${PROJECT_SOURCE_DIR}/wasm/exports.txt")
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS "${exports_file}")
file(STRINGS "${exports_file}" export_names REGEX "^[a-zA-Z_]")
list(TRANSFORM export_names PREPEND "LINKER:--export=" OUTPUT_VARIABLE export_options)

if(core_sources AND wasm_sources)
    add_executable(deadbus_module ${wasm_sources})
    set_target_properties(deadbus_module PROPERTIES OUTPUT_NAME deadbus_linked SUFFIX .wasm)
    target_link_libraries(deadbus_module PRIVATE deadbus deadbus_options)
    # No optimisation at link time: clang would start a wasm-opt of its own choosing. The stack comes
    # first in memory, so that running out of it traps instead of writing over data.
    set_target_properties(deadbus_module PROPERTIES LINK_DEPENDS "${exports_file}")
    target_link_options(deadbus_module PRIVATE -O0 -mexec-model=reactor ${export_options}
        LINKER:-z,stack-size=1048576 LINKER:--stack-first LINKER:--gc-sections LINKER:--strip-all)
    add_custom_command(OUTPUT "${PROJECT_BINARY_DIR}/deadbus.wasm"
        COMMAND "${WASM_OPT}" -O3 --enable-simd --enable-bulk-memory $<TARGET_FILE:deadbus_module>
            -o "${PROJECT_BINARY_DIR}/deadbus.wasm"
        DEPENDS deadbus_module VERBATIM)
    add_custom_target(deadbus_wasm ALL DEPENDS "${PROJECT_BINARY_DIR}/deadbus.wasm")
endif()
