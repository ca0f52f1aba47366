// The kernel of one lane width: included once by each kernel_*.c, which names LANES and KERNEL.
// All but the entry is static, and no vector stands in a signature that another file sees: each
// file may be compiled for an instruction set of its own.
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#if defined(__x86_64__) && LANES > 1
#    include <immintrin.h>
#endif
#include "circuit/kernel.h"

#if defined(__x86_64__) && LANES > 2
#    if LANES == 8 && !defined(KERNEL_HALVES)
#        ifdef __clang__
#            pragma clang attribute push(__attribute__((target("avx512f,avx512vl,avx512dq"))),     \
                                         apply_to = function)
#        else
#            pragma GCC push_options
#            pragma GCC target("avx512f,avx512vl,avx512dq")
#        endif
#    else
#        ifdef __clang__
#            pragma clang attribute push(__attribute__((target("avx2"))), apply_to = function)
#        else
#            pragma GCC push_options
#            pragma GCC target("avx2")
#        endif
#    endif
#    define KERNEL_TARGET
#endif

#include "circuit/kernel_lanes.h"

void KERNEL(work *w) { run(w); }

#ifdef KERNEL_TARGET
#    ifdef __clang__
#        pragma clang attribute pop
#    else
#        pragma GCC pop_options
#    endif
#endif
