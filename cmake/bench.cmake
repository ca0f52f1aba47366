# bench/NAME_bench.c: one program each; the other files of bench/ are linked into all of them.

include(peers)
file(GLOB bench_sources CONFIGURE_DEPENDS bench/*_bench.c)
file(GLOB bench_support CONFIGURE_DEPENDS bench/*.c)
list(FILTER bench_support EXCLUDE REGEX "_bench\\.c$")
foreach(source IN LISTS bench_sources)
    get_filename_component(name "${source}" NAME_WE)
    add_executable(${name} "${source}" ${bench_support})
    set_target_properties(${name} PROPERTIES RUNTIME_OUTPUT_DIRECTORY "${PROJECT_BINARY_DIR}/bench")
    target_include_directories(${name} PRIVATE src bench test "${PROJECT_SOURCE_DIR}")
    target_compile_definitions(${name} PRIVATE _POSIX_C_SOURCE=200809L
        DEADBUS_SOURCE_DIR="${PROJECT_SOURCE_DIR}")
    target_link_libraries(${name} PRIVATE
        deadbus deadbus_options deadbus_yaml_header klu_peer ngspice_peer m)
endforeach()
