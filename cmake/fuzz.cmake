# test/fuzz/NAME_fuzz.c: one libFuzzer program each. `tools/fuzz` runs them.

if(NOT CMAKE_C_COMPILER_ID STREQUAL "Clang")
    message(FATAL_ERROR "Fuzzing needs clang: cmake --preset fuzz")
endif()
file(GLOB sources CONFIGURE_DEPENDS test/fuzz/*_fuzz.c)
foreach(source IN LISTS sources)
    get_filename_component(name "${source}" NAME_WE)
    add_executable(${name} "${source}")
    set_target_properties(${name} PROPERTIES RUNTIME_OUTPUT_DIRECTORY "${PROJECT_BINARY_DIR}/fuzz")
    target_include_directories(${name} PRIVATE src test)
    target_link_libraries(${name} PRIVATE deadbus deadbus_options deadbus_yaml_header)
    target_link_options(${name} PRIVATE -fsanitize=fuzzer)
endforeach()
