#define LANES  4
#define KERNEL kernel_4
#include "circuit/kernel_body.h"
