#define LANES  8
#define KERNEL kernel_8
#include "circuit/kernel_body.h"
