# Toolchain of the WebAssembly build: Debian's clang 14, lld, wasi-libc and binaryen.
# docs/decisions/002-wasm-toolchain.md says why.

set(CMAKE_SYSTEM_NAME Generic)
set(CMAKE_SYSTEM_PROCESSOR wasm32)
set(CMAKE_C_COMPILER clang-14)
set(CMAKE_C_COMPILER_TARGET wasm32-wasi)
set(CMAKE_AR llvm-ar-14 CACHE FILEPATH "")
set(CMAKE_RANLIB llvm-ranlib-14 CACHE FILEPATH "")
set(CMAKE_C_COMPILER_AR llvm-ar-14 CACHE FILEPATH "")
set(CMAKE_C_COMPILER_RANLIB llvm-ranlib-14 CACHE FILEPATH "")
set(CMAKE_TRY_COMPILE_TARGET_TYPE STATIC_LIBRARY)
# Without -nostdlibinc clang would look into the headers of the machine it runs on.
# Vectors are for the kernels only (CMakeLists.txt): elsewhere they make long code of short copies.
# Loops as they are written are shorter than what strength reduction makes of them.
add_compile_options(-nostdlibinc -isystem /usr/include/wasm32-wasi -fno-vectorize
    -fno-slp-vectorize "SHELL:-mllvm -disable-lsr")
set(DEADBUS_WASM ON)
