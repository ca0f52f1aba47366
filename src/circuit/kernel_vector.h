// A vector of one double (or one 64-bit mask) per lane, and the few operations the kernel needs.
// Every operation is done lane by lane in plain IEEE arithmetic: a lane's bits don't depend on the
// width. LANES is defined by the file that includes this.
#ifndef DEADBUS_CIRCUIT_KERNEL_VECTOR_H
#define DEADBUS_CIRCUIT_KERNEL_VECTOR_H

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#if defined(__x86_64__) && LANES > 1
#    include <immintrin.h>
#endif

#define INLINE static inline __attribute__((always_inline))

// Before a short loop: gcc turns it once a round otherwise. A page's module has to be small.
#ifdef __wasm__
#    define UNROLLED _Pragma("clang loop unroll(disable)")
#elif defined(__clang__)
#    define UNROLLED _Pragma("clang loop unroll_count(4)")
#else
#    define UNROLLED _Pragma("GCC unroll 4")
#endif

#if LANES == 1

typedef double vd;
typedef int64_t vm;

INLINE vd as_number(vm a) {
    vd r;
    memcpy(&r, &a, sizeof r);
    return r;
}
INLINE vm as_bits(vd a) {
    vm r;
    memcpy(&r, &a, sizeof r);
    return r;
}
INLINE vm less(vd a, vd b) { return -(vm)(a < b); }
INLINE vm at_most(vd a, vd b) { return -(vm)(a <= b); }
INLINE vm differs(vd a, vd b) { return -(vm)(a != b); }
INLINE vm has_bits(vm a, int64_t bits) { return -(vm)((a & bits) == bits); }
INLINE vm mask_from_sign(vm a) { return -(vm)(a < 0); }
INLINE vm reached(vm count, vm limit) { return -(vm)(count >= limit); }
INLINE vd all_lanes(double a) { return a; }
INLINE vm all_masks(int64_t a) { return a; }
INLINE vd pick(vm m, vd a, vd b) { return m ? a : b; }
INLINE unsigned lanes_of(vm m) { return (unsigned)m & 1u; }

#else

typedef double vd __attribute__((vector_size(8 * LANES)));
typedef int64_t vm __attribute__((vector_size(8 * LANES)));

INLINE vd as_number(vm a) { return (vd)a; }
INLINE vm as_bits(vd a) { return (vm)a; }
INLINE vm less(vd a, vd b) { return (vm)(a < b); }
INLINE vm at_most(vd a, vd b) { return (vm)(a <= b); }
INLINE vm differs(vd a, vd b) { return (vm)(a != b); }
INLINE vm has_bits(vm a, int64_t bits) { return (vm)((a & bits) == ((vm){0} + bits)); }
INLINE vm mask_from_sign(vm a) { return (vm)(a < 0); }
INLINE vm reached(vm count, vm limit) { return (vm)(count >= limit); }
INLINE vd all_lanes(double a) { return (vd){0} + a; }
INLINE vm all_masks(int64_t a) { return (vm){0} + a; }

// Selection, and the sign bits of all lanes as a number: each instruction set has its own word for
// these; the result is the same.
#    if defined(__x86_64__) && LANES == 2
INLINE vd pick(vm m, vd a, vd b) { return (vd)((m & (vm)a) | (~m & (vm)b)); }
INLINE unsigned lanes_of(vm m) { return (unsigned)_mm_movemask_pd((__m128d)m); }
#    elif defined(__x86_64__) && LANES == 4
INLINE vd pick(vm m, vd a, vd b) { return _mm256_blendv_pd(b, a, (__m256d)m); }
INLINE unsigned lanes_of(vm m) { return (unsigned)_mm256_movemask_pd((__m256d)m); }
#    elif defined(KERNEL_HALVES)
typedef double half __attribute__((vector_size(32)));
INLINE half lower(vd a) { return __builtin_shufflevector(a, a, 0, 1, 2, 3); }
INLINE half upper(vd a) { return __builtin_shufflevector(a, a, 4, 5, 6, 7); }
INLINE vd pick(vm m, vd a, vd b) {
    half x = _mm256_blendv_pd(lower(b), lower(a), lower((vd)m));
    half y = _mm256_blendv_pd(upper(b), upper(a), upper((vd)m));
    return __builtin_shufflevector(x, y, 0, 1, 2, 3, 4, 5, 6, 7);
}
INLINE unsigned lanes_of(vm m) {
    return (unsigned)_mm256_movemask_pd(lower((vd)m)) | (unsigned)_mm256_movemask_pd(upper((vd)m))
                                                            << 4;
}
#    elif defined(__x86_64__)
INLINE vd pick(vm m, vd a, vd b) { return (vd)((m & (vm)a) | (~m & (vm)b)); }
INLINE unsigned lanes_of(vm m) { return (unsigned)_mm512_movepi64_mask((__m512i)m); }
#    else
INLINE vd pick(vm m, vd a, vd b) { return (vd)((m & (vm)a) | (~m & (vm)b)); }
INLINE unsigned lanes_of(vm m) {  // bit l: lane l is true
    unsigned r = 0;
    for (int l = 0; l < LANES; l++)
        r |= ((unsigned)m[l] & 1u) << l;
    return r;
}
#    endif

#endif

// The pattern's offsets are bytes of one lane: an address is one multiplication by a power of two,
// which the processor does on the way.
INLINE vd at_offset(const vd *base, uint32_t offset) {
    return *(const vd *)(const void *)((const char *)base + (size_t)offset * LANES);
}

INLINE vm mask_at_offset(const vm *base, uint32_t offset) {
    return *(const vm *)(const void *)((const char *)base + (size_t)offset * LANES);
}

// One lane of these.
INLINE double lane_at_offset(const vd *base, uint32_t offset, int l) {
    return ((const double *)(const void *)((const char *)base + (size_t)offset * LANES))[l];
}

INLINE int64_t lane_mask_at_offset(const vm *base, uint32_t offset, int l) {
    return ((const int64_t *)(const void *)((const char *)base + (size_t)offset * LANES))[l];
}

INLINE vm *mask_place(vm *base, uint32_t offset) {
    return (vm *)(void *)((char *)base + (size_t)offset * LANES);
}

INLINE vd *number_place(vd *base, uint32_t offset) {
    return (vd *)(void *)((char *)base + (size_t)offset * LANES);
}

INLINE void take_off(vd *base, uint32_t offset, vd amount) {
    *number_place(base, offset) -= amount;
}

INLINE void add_to(vd *base, uint32_t offset, vd amount) { *number_place(base, offset) += amount; }

INLINE bool any(vm m) { return lanes_of(m) != 0; }
// One lane of a mask, as 0 or 1.
INLINE void set_mask(vm *m, int l, int value) { ((int64_t *)m)[l] = -(int64_t)value; }
INLINE int mask_at(const vm *m, int l) { return (int)((const int64_t *)m)[l] & 1; }
INLINE void set_number(vd *a, int l, double value) { ((double *)a)[l] = value; }
INLINE double number_at(const vd *a, int l) { return ((const double *)a)[l]; }

INLINE vd when(vm m, vd a) { return as_number(m & as_bits(a)); }  // a where true, else +0
INLINE vd magnitude(vd a) { return as_number(as_bits(a) & INT64_MAX); }
INLINE vm sign_bit(vd a) { return as_bits(a) & INT64_MIN; }
INLINE vd signed_by(vd a, vm sign) { return as_number(as_bits(a) ^ sign); }  // a >= 0
// The larger; `a` where b isn't a number.
INLINE vd larger(vd a, vd b) { return pick(less(a, b), b, a); }
INLINE vd smaller(vd a, vd b) { return pick(less(b, a), b, a); }

#endif
