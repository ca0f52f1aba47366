// The generated networks of the tests, for benches too.
#include "support/circuit_builder.c"  // NOLINT(bugprone-suspicious-include)
#include "support/random_circuit.c"   // NOLINT(bugprone-suspicious-include)
