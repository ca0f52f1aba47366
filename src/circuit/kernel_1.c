#define LANES  1
#define KERNEL kernel_1
#include "circuit/kernel_body.h"
