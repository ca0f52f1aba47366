# What can be chosen, and the flags that every file of ours gets (target deadbus_options).

option(BUILD_SHARED_LIBS "The library as a shared object instead of an archive" OFF)
option(DEADBUS_TESTS "Build the tests" OFF)
option(DEADBUS_BENCH "Build the benches" OFF)
option(DEADBUS_FUZZ "Build the fuzz targets (clang only)" OFF)
option(DEADBUS_WERROR "Warnings are errors" OFF)
set(DEADBUS_PDF "AUTO" CACHE STRING "Cards as PDF, with librsvg: ON, OFF, or AUTO where it is there")
set(DEADBUS_SANITIZE "" CACHE STRING "Sanitizers, as -fsanitize takes them")
option(DEADBUS_COVERAGE "Count executed lines (clang only)" OFF)
set(DEADBUS_PROGRAM_DIR "" CACHE PATH "Folder of the program; empty: the build folder")

if(NOT CMAKE_BUILD_TYPE)
    set(CMAKE_BUILD_TYPE Release)
endif()
set(CMAKE_C_FLAGS_RELEASE "-O3 -g1 -DNDEBUG")
if(DEADBUS_WASM)
    # A page carries the module: small first. CMakeLists.txt asks for speed where it is the point.
    set(CMAKE_C_FLAGS_RELEASE "-Oz -mbulk-memory -flto -DNDEBUG")
endif()
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
set(CMAKE_C_STANDARD 17)
set(CMAKE_C_STANDARD_REQUIRED ON)
set(CMAKE_C_EXTENSIONS OFF)

# The same bits from every compiler: no contraction into fused multiply-add, no reordering. The
# square root is the one function of the mathematics library that is exact everywhere; without
# errno it is one instruction.
set(same_bits -ffp-contract=off -fno-math-errno)

add_library(deadbus_options INTERFACE)
target_compile_options(deadbus_options INTERFACE ${same_bits}
    -Wall -Wextra -Wpedantic -Wstrict-prototypes -Wmissing-prototypes -Wold-style-definition
    -Wvla -Wundef -Wcast-qual -Wformat=2 -Wpointer-arith
    -Wnull-dereference -Wimplicit-fallthrough
    # gcc's -Wshadow minds a parameter named like a type, which is how `part *part` is best called;
    # its -Wpsabi minds vectors in signatures, of which there are only inlined ones.
    "$<$<C_COMPILER_ID:GNU>:-Wshadow=local;-Wno-psabi>"
    "$<$<C_COMPILER_ID:Clang>:-Wshadow;-Wno-psabi>"
    # No path of this machine in what is shipped.
    "$<$<CONFIG:Release>:-ffile-prefix-map=${PROJECT_SOURCE_DIR}/=>")
if(DEADBUS_WERROR)
    target_compile_options(deadbus_options INTERFACE -Werror)
endif()

# Sanitizers and counters go into libyaml too, so they stand on the folder, not on a target.
if(DEADBUS_SANITIZE)
    add_compile_options(-fsanitize=${DEADBUS_SANITIZE} -fno-sanitize-recover=all
        -fno-omit-frame-pointer)
    # The fuzzer brings a main of its own, which only the fuzz targets want.
    string(REPLACE "fuzzer-no-link," "" link_sanitize "${DEADBUS_SANITIZE}")
    add_link_options(-fsanitize=${link_sanitize})
endif()
if(DEADBUS_COVERAGE)
    add_compile_options(-fprofile-instr-generate -fcoverage-mapping)
    add_link_options(-fprofile-instr-generate)
endif()
