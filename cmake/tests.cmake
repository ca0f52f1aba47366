# Every file NAME_test.c in a folder of test/ is one test program; the folder is its label.

# Seconds after which a test is taken to hang; sanitizers take many times as long.
set(unit_timeout 120)
if(DEADBUS_SANITIZE)
    set(unit_timeout 900)
endif()

if(NOT DEADBUS_WASM)
    find_library(CMOCKA_LIBRARY cmocka REQUIRED)
    find_path(CMOCKA_INCLUDE cmocka.h REQUIRED)
    include(peers)

    # What test programs share is compiled once. Linking takes of it what a program calls.
    function(add_test_library name)
        add_library(${name} STATIC EXCLUDE_FROM_ALL ${ARGN})
        target_include_directories(${name} PUBLIC src test "${PROJECT_SOURCE_DIR}")
        target_compile_definitions(${name} PUBLIC _POSIX_C_SOURCE=200809L
            DEADBUS_SOURCE_DIR="${PROJECT_SOURCE_DIR}" DEADBUS_TEST_DIR="${PROJECT_SOURCE_DIR}/test")
        target_link_libraries(${name} PUBLIC
            deadbus deadbus_options deadbus_yaml_header "${CMOCKA_LIBRARY}" m)
    endfunction()

    file(GLOB support_sources CONFIGURE_DEPENDS test/support/*.c)
    add_test_library(test_support ${support_sources})
    # MSan can't see inside the outside solvers, which come as binaries.
    if(NOT DEADBUS_SANITIZE MATCHES "memory")
        file(GLOB reference_sources CONFIGURE_DEPENDS test/reference/support/*.c)
        add_test_library(reference_support ${reference_sources})
        target_link_libraries(reference_support PUBLIC test_support klu_peer ngspice_peer)
    endif()

    function(add_test_programs label timeout)
        file(GLOB sources CONFIGURE_DEPENDS "test/${label}/*_test.c")
        foreach(source IN LISTS sources)
            get_filename_component(name "${source}" NAME_WE)
            add_executable(${name} "${source}")
            set_target_properties(${name} PROPERTIES
                RUNTIME_OUTPUT_DIRECTORY "${PROJECT_BINARY_DIR}/test")
            target_link_libraries(${name} PRIVATE ${ARGN})
            if(label STREQUAL "oom")
                target_sources(${name} PRIVATE test/oom/support/failing_malloc.c)
                target_link_options(${name} PRIVATE
                    LINKER:--wrap=malloc,--wrap=realloc,--wrap=strdup)
            endif()
            add_test(NAME ${name} COMMAND ${name} WORKING_DIRECTORY "${PROJECT_SOURCE_DIR}")
            # Kinds of tests that may take long start first, so that none is waited for alone.
            set_tests_properties(${name} PROPERTIES LABELS ${label} TIMEOUT ${timeout}
                COST ${timeout})
        endforeach()
    endfunction()

    add_test_programs(unit ${unit_timeout} test_support)
    add_test_programs(case 300 test_support)
    add_test_programs(property 600 test_support)
    add_test_programs(oom 600 test_support)
    if(TARGET reference_support)
        add_test_programs(reference 900 reference_support)
    endif()
endif()

# The program from outside: test/cli/NAME.sh, its output beside it in NAME.out (`tools/bless cli`).
if(TARGET deadbus_program)
    file(GLOB scripts CONFIGURE_DEPENDS test/cli/*.sh)
    foreach(script IN LISTS scripts)
        get_filename_component(name "${script}" NAME_WE)
        add_test(NAME cli_${name} COMMAND "${PROJECT_SOURCE_DIR}/tools/cli-test" "${script}"
            WORKING_DIRECTORY "${PROJECT_SOURCE_DIR}")
        set_tests_properties(cli_${name} PROPERTIES LABELS cli TIMEOUT ${unit_timeout}
            ENVIRONMENT "DEADBUS=$<TARGET_FILE:deadbus_program>")
    endforeach()
endif()

# The WebAssembly build: test/wasm/NAME.mjs, run by node, and programs in C of cmake/wasm_programs.
if(DEADBUS_WASM)
    find_program(NODE_PROGRAM NAMES node nodejs REQUIRED)
    file(GLOB scripts CONFIGURE_DEPENDS test/wasm/*.mjs)
    foreach(script IN LISTS scripts)
        get_filename_component(name "${script}" NAME_WE)
        add_test(NAME wasm_${name} COMMAND "${NODE_PROGRAM}" "${script}"
            WORKING_DIRECTORY "${PROJECT_SOURCE_DIR}")
        set_tests_properties(wasm_${name} PROPERTIES LABELS wasm TIMEOUT 300 ENVIRONMENT
            "DEADBUS_WASM=${PROJECT_BINARY_DIR}/deadbus.wasm;DEADBUS_WASM_MAP=${PROJECT_BINARY_DIR}/map.wasm;DEADBUS_WASM_INSTRUCTOR=${PROJECT_BINARY_DIR}/deadbus_instructor.wasm;DEADBUS_WASM_ALL=${PROJECT_BINARY_DIR}/deadbus_all.wasm;DEADBUS=${PROJECT_SOURCE_DIR}/build/deadbus")
    endforeach()
    add_test(NAME wasm_settled_states COMMAND "${NODE_PROGRAM}" test/wasm/support/run.mjs
        "${PROJECT_BINARY_DIR}/settled_states.wasm" WORKING_DIRECTORY "${PROJECT_SOURCE_DIR}")
    set_tests_properties(wasm_settled_states PROPERTIES LABELS wasm TIMEOUT 300)
endif()
