# Programs of tests and benches for WebAssembly, run by `node test/wasm/support/run.mjs`: the core
# that the module is made of, linked to what the native tests and benches use, and optimized alike.

file(GLOB wasm_support CONFIGURE_DEPENDS test/support/fleet_states.c test/support/settled_check.c
    test/support/state_hash.c)

function(add_wasm_program name)
    add_executable(${name} ${ARGN} ${wasm_support})
    set_target_properties(${name} PROPERTIES OUTPUT_NAME ${name}_linked SUFFIX .wasm)
    target_include_directories(${name} PRIVATE src test bench)
    target_compile_definitions(${name} PRIVATE _POSIX_C_SOURCE=200809L DEADBUS_SOURCE_DIR=".")
    target_link_libraries(${name} PRIVATE deadbus deadbus_options deadbus_yaml_header)
    target_link_options(${name} PRIVATE -O0 ${wasm_stack}
        LINKER:--gc-sections LINKER:--strip-all)
    set(program "${PROJECT_BINARY_DIR}/${name}.wasm")
    add_custom_command(OUTPUT "${program}"
        COMMAND "${WASM_OPT}" -O3 --enable-simd --enable-bulk-memory $<TARGET_FILE:${name}>
            -o "${program}"
        DEPENDS ${name} VERBATIM)
    add_custom_target(${name}_program ALL DEPENDS "${program}")
endfunction()

add_wasm_program(settled_states test/wasm/settled_states.c)
add_wasm_program(outcome_bench bench/outcome_bench.c bench/measured.c)
