# libyaml's parser, built from the source that `tools/setup libyaml` got, for every target alike:
# the WebAssembly build then has no imports, and the fuzzer and the sanitizers see inside.
# The writer, emitter, dumper and loader are left out. docs/decisions/001-libyaml-from-source.md

set(DEADBUS_YAML_SOURCE "${PROJECT_SOURCE_DIR}/build/third-party/libyaml" CACHE PATH
    "The unpacked source of libyaml 0.2.5")
if(NOT EXISTS "${DEADBUS_YAML_SOURCE}/src/scanner.c")
    message(FATAL_ERROR "The source of libyaml isn't in ${DEADBUS_YAML_SOURCE}. "
        "Get it with: tools/setup libyaml")
endif()

file(STRINGS "${DEADBUS_YAML_SOURCE}/CMakeLists.txt" yaml_version_lines
    REGEX "^set *\\(YAML_VERSION_(MAJOR|MINOR|PATCH) [0-9]+\\)")
string(REGEX MATCHALL "[0-9]+" yaml_version "${yaml_version_lines}")
list(JOIN yaml_version "." yaml_version)
list(LENGTH yaml_version_lines yaml_version_count)
if(NOT yaml_version_count EQUAL 3)
    message(FATAL_ERROR "Can't tell the version of libyaml in ${DEADBUS_YAML_SOURCE}")
endif()
string(REPLACE "." ";" yaml_version_list "${yaml_version}")
list(GET yaml_version_list 0 yaml_major)
list(GET yaml_version_list 1 yaml_minor)
list(GET yaml_version_list 2 yaml_patch)

add_library(deadbus_yaml_header INTERFACE)
target_include_directories(deadbus_yaml_header SYSTEM INTERFACE "${DEADBUS_YAML_SOURCE}/include")
target_compile_definitions(deadbus_yaml_header INTERFACE YAML_DECLARE_STATIC)

set(yaml_scanner "${DEADBUS_YAML_SOURCE}/src/scanner.c")
if(DEADBUS_WASM)
    # The same source with its macros made functions: half the code in the module.
    set(short_macros "${PROJECT_SOURCE_DIR}/wasm/short_scanner.h")
    set(after_macros "\n/*\n * Public API declarations.\n")
    file(READ "${yaml_scanner}" scanner_text)
    string(FIND "${scanner_text}" "${after_macros}" macros_end)
    if(macros_end LESS 0)
        message(FATAL_ERROR "The scanner's macros don't end where they did: ${yaml_scanner}")
    endif()
    string(REPLACE "${after_macros}" "\n#include \"${short_macros}\"\n${after_macros}"
        scanner_text "${scanner_text}")
    set(yaml_scanner "${PROJECT_BINARY_DIR}/yaml/scanner.c")
    file(GENERATE OUTPUT "${yaml_scanner}" CONTENT "${scanner_text}")
    set_source_files_properties("${yaml_scanner}" PROPERTIES OBJECT_DEPENDS "${short_macros}"
        COMPILE_OPTIONS "-I${DEADBUS_YAML_SOURCE}/src")
endif()

add_library(deadbus_yaml OBJECT
    "${DEADBUS_YAML_SOURCE}/src/api.c"
    "${DEADBUS_YAML_SOURCE}/src/reader.c"
    "${yaml_scanner}"
    "${DEADBUS_YAML_SOURCE}/src/parser.c")
set_target_properties(deadbus_yaml PROPERTIES
    C_VISIBILITY_PRESET hidden
    POSITION_INDEPENDENT_CODE ${BUILD_SHARED_LIBS}
    C_CLANG_TIDY "")
target_link_libraries(deadbus_yaml PRIVATE deadbus_yaml_header)
target_compile_definitions(deadbus_yaml PRIVATE NDEBUG
    YAML_VERSION_STRING="${yaml_version}"
    YAML_VERSION_MAJOR=${yaml_major} YAML_VERSION_MINOR=${yaml_minor} YAML_VERSION_PATCH=${yaml_patch})
# strdup isn't in plain C17; the warnings of other people's code are theirs.
target_compile_definitions(deadbus_yaml PRIVATE _POSIX_C_SOURCE=200809L)
target_compile_options(deadbus_yaml PRIVATE -w -ffunction-sections -ffp-contract=off)
