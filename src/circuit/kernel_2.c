#define LANES  2
#define KERNEL kernel_2
#include "circuit/kernel_body.h"
