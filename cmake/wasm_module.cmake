# Reactor modules (no main) of the core and wasm/*.c, which import nothing and export what
# wasm/exports.txt lists, one name a line:
#   deadbus.wasm       what a student's page carries: it answers what src/ask/answers_page.c lists,
#                      and reads what src/model/page_readers.c does, no file
#   map.wasm           the map in a student's page, listed and drawn: exports_map.txt
#   deadbus_instructor.wasm   what an instructor's carries: src/ask/answers_instructor.c
#   deadbus_all.wasm   all commands in all forms, for tests: the same bytes as the program; it is
#                      asked in words too, and exports what that takes

find_program(WASM_OPT wasm-opt REQUIRED)
find_program(WASM_LD wasm-ld-14 REQUIRED)

file(GLOB wasm_sources CONFIGURE_DEPENDS wasm/*.c)
# What it writes out must not be taken for a call to what it defines.
set_property(SOURCE wasm/short_text.c APPEND PROPERTY COMPILE_OPTIONS -fno-builtin)

# The stack comes first in memory, so that running out of it traps instead of writing over data. It
# ends below 1 MiB with the data after it: their addresses are a byte shorter, some thousand times.
# The lowest kilobyte is the stack's last, which nothing points to: addresses fold into instructions.
set(wasm_stack LINKER:-z,stack-size=851968 LINKER:--stack-first)

# Taken apart and put together again the code is a little shorter; until nothing more comes of it.
set(wasm_shorter --flatten --rereloop --code-folding -Oz --code-folding -Oz --converge)

function(add_wasm_module name exports)
    set(exports_file "${PROJECT_SOURCE_DIR}/wasm/${exports}")
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS "${exports_file}")
    file(STRINGS "${exports_file}" export_names REGEX "^[a-zA-Z_]")
    list(TRANSFORM export_names PREPEND "LINKER:--export=" OUTPUT_VARIABLE export_options)
    add_executable(${name}_module ${wasm_sources} ${ARGN})
    set_target_properties(${name}_module PROPERTIES OUTPUT_NAME ${name}_linked SUFFIX .wasm
        LINK_DEPENDS "${exports_file}")
    target_include_directories(${name}_module PRIVATE src wasm)
    target_link_libraries(${name}_module PRIVATE deadbus deadbus_options)
    # Little optimization at link time: more of it unfolds code that was compiled to be small, and at
    # any other -O clang would start a wasm-opt of its own choosing.
    target_link_options(${name}_module PRIVATE -O0 LINKER:--lto-O1 LINKER:-mllvm,-disable-lsr
        -mexec-model=reactor ${export_options}
        ${wasm_stack} LINKER:--gc-sections LINKER:--strip-all)
    set(module "${PROJECT_BINARY_DIR}/${name}.wasm")
    add_custom_command(OUTPUT "${module}"
        COMMAND "${WASM_OPT}" ${wasm_shorter} --low-memory-unused --enable-simd --enable-bulk-memory
            $<TARGET_FILE:${name}_module>
            -o "${module}"
        DEPENDS ${name}_module VERBATIM)
    add_custom_target(${name}_wasm ALL DEPENDS "${module}")
endfunction()

# The pages' modules have tables of their own, without what only the schema says of each key.
add_wasm_module(deadbus exports.txt "${page_answers}" "${page_options}" "${page_readers}"
    src/model/scenario_table.c)
target_compile_definitions(deadbus_module PRIVATE DEADBUS_SHORT_TABLES)
add_wasm_module(map exports_map.txt "${page_readers}")
add_wasm_module(deadbus_instructor exports.txt "${instructor_answers}" src/model/field_table.c
    src/model/scenario_table.c)
target_compile_definitions(deadbus_instructor_module PRIVATE DEADBUS_SHORT_TABLES)
add_wasm_module(deadbus_all exports.txt test/wasm/support/ask_beside.c)
foreach(export module_ask module_ask_beside module_exit module_messages module_messages_length)
    target_link_options(deadbus_all_module PRIVATE LINKER:--export=${export})
endforeach()
