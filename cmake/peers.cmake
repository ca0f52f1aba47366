# The outside solvers, for reference tests and benches only; nothing that is installed needs them.

if(NOT TARGET klu_peer)
    find_library(KLU_LIBRARY klu REQUIRED)
    find_path(KLU_INCLUDE klu.h PATH_SUFFIXES suitesparse REQUIRED)
    find_library(AMD_LIBRARY amd REQUIRED)
    find_library(COLAMD_LIBRARY colamd REQUIRED)
    find_library(BTF_LIBRARY btf REQUIRED)
    find_library(SUITESPARSECONFIG_LIBRARY suitesparseconfig REQUIRED)
    add_library(klu_peer INTERFACE)
    target_include_directories(klu_peer SYSTEM INTERFACE "${KLU_INCLUDE}")
    target_link_libraries(klu_peer INTERFACE "${KLU_LIBRARY}" "${AMD_LIBRARY}" "${COLAMD_LIBRARY}"
        "${BTF_LIBRARY}" "${SUITESPARSECONFIG_LIBRARY}")

    find_library(NGSPICE_LIBRARY ngspice REQUIRED)
    find_path(NGSPICE_INCLUDE ngspice/sharedspice.h REQUIRED)
    add_library(ngspice_peer INTERFACE)
    target_include_directories(ngspice_peer SYSTEM INTERFACE "${NGSPICE_INCLUDE}")
    target_link_libraries(ngspice_peer INTERFACE "${NGSPICE_LIBRARY}")
endif()
