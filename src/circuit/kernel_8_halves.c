// Eight lanes where the instruction set has four: two vectors side by side hide each other's
// latency. Only clang makes good code of it; elsewhere this is the width that fits.
#if defined(__clang__) && defined(__x86_64__)
#    define LANES  8
#    define KERNEL kernel_8_halves
#    define KERNEL_HALVES
#    include "circuit/kernel_body.h"
#else
#    include "circuit/kernel.h"

void kernel_8_halves(work *w) { kernel_4(w); }
#endif
