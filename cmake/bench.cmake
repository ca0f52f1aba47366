# bench/NAME_bench.c: one program each; the other files of bench/ are linked into all of them, and so
# is what the tests use: generated networks, states of the demo aircraft, netlists for ngspice.

file(GLOB bench_sources CONFIGURE_DEPENDS bench/*_bench.c)
file(GLOB bench_support CONFIGURE_DEPENDS bench/*.c)
list(FILTER bench_support EXCLUDE REGEX "_bench\\.c$")
foreach(source IN LISTS bench_sources)
    get_filename_component(name "${source}" NAME_WE)
    add_executable(${name} "${source}" ${bench_support})
    set_target_properties(${name} PROPERTIES RUNTIME_OUTPUT_DIRECTORY "${PROJECT_BINARY_DIR}/bench")
    target_include_directories(${name} PRIVATE bench)
    target_link_libraries(${name} PRIVATE reference_support)
    if(TARGET deadbus_program)
        target_compile_definitions(${name} PRIVATE DEADBUS_PROGRAM="$<TARGET_FILE:deadbus_program>")
        add_dependencies(${name} deadbus_program)
    endif()
endforeach()
