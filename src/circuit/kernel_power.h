// u^0.55 for u >= 0.03, the same bits at every width: u = 2^k m with m in [0.707, 1.414), a
// polynomial for m (interpolated at Chebyshev points, relative error 1.2e-15) and products of
// constants for 2^k.
#ifndef DEADBUS_CIRCUIT_KERNEL_POWER_H
#define DEADBUS_CIRCUIT_KERNEL_POWER_H

#include "circuit/kernel_vector.h"

enum { POWER_DEGREE = 16 };
static const double power_terms[POWER_DEGREE + 1] = {
    1.0339056682570376,     0.5351982282742,       -0.11333609539915544,  0.051556812036699366,
    -0.029720985778181552,  0.019301156480953714,  -0.013472963037701242, 0.009872692502160857,
    -0.007491668260135004,  0.0058348461019694835, -0.004639746443711669, 0.0037787358611093796,
    -0.0031038422810910067, 0.0023381381789241676, -0.001921688953076285, 0.0026960073397625734,
    -0.002366136857331709,
};

// 2^(0.55 (j - 16)) for j in 0..31, given as j << 52.
INLINE vd power_scale(vm j) {
    vd r = all_lanes(0.002243551474603584);
    r = pick(has_bits(j, (int64_t)1 << 52), r * 1.4640856959456254, r);
    r = pick(has_bits(j, (int64_t)2 << 52), r * 2.1435469250725863, r);
    r = pick(has_bits(j, (int64_t)4 << 52), r * 4.59479341998814, r);
    r = pick(has_bits(j, (int64_t)8 << 52), r * 21.112126572366307, r);
    return pick(has_bits(j, (int64_t)16 << 52), r * 445.72188840761555, r);
}

INLINE vd power_055(vd u) {
    const int64_t root_half = 0x3fe6a09e667f3bcd;
    const int64_t bias = (int64_t)16 << 52;
    vm bits = as_bits(u);
    vm j = (bits - root_half + bias) & ((int64_t)31 << 52);
    vd t = as_number(bits - j + bias) - 1.0625;
    vd t2 = t * t;
    vd even = all_lanes(power_terms[POWER_DEGREE]);
    vd odd = all_lanes(power_terms[POWER_DEGREE - 1]);
    for (int i = POWER_DEGREE - 2; i > 0; i -= 2) {
        even = even * t2 + power_terms[i];
        odd = odd * t2 + power_terms[i - 1];
    }
    even = even * t2 + power_terms[0];
    return (even + odd * t) * power_scale(j);
}

#endif
