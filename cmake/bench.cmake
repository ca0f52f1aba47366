# bench/NAME_bench.c: one program each; the other files of bench/ are linked into all of them, and so
# is what the tests use: generated networks, states of the demo aircraft, netlists for ngspice.

include(peers)
file(GLOB bench_sources CONFIGURE_DEPENDS bench/*_bench.c)
file(GLOB bench_support CONFIGURE_DEPENDS bench/*.c)
list(FILTER bench_support EXCLUDE REGEX "_bench\\.c$")
set(bench_shared test/support/circuit_builder.c test/support/fleet_states.c
    test/support/random_circuit.c test/reference/support/plain_elements.c
    test/reference/support/plain_items.c test/reference/support/plain_network.c
    test/reference/support/plain_sources.c test/reference/support/settled_modes.c
    test/reference/support/spice_peer.c)
foreach(source IN LISTS bench_sources)
    get_filename_component(name "${source}" NAME_WE)
    add_executable(${name} "${source}" ${bench_support} ${bench_shared})
    set_target_properties(${name} PROPERTIES RUNTIME_OUTPUT_DIRECTORY "${PROJECT_BINARY_DIR}/bench")
    target_include_directories(${name} PRIVATE src bench test "${PROJECT_SOURCE_DIR}")
    target_compile_definitions(${name} PRIVATE _POSIX_C_SOURCE=200809L
        DEADBUS_SOURCE_DIR="${PROJECT_SOURCE_DIR}")
    target_link_libraries(${name} PRIVATE
        deadbus deadbus_options deadbus_yaml_header klu_peer ngspice_peer m)
    if(TARGET deadbus_program)
        target_compile_definitions(${name} PRIVATE DEADBUS_PROGRAM="$<TARGET_FILE:deadbus_program>")
        add_dependencies(${name} deadbus_program)
    endif()
endforeach()
