// Exponential and logarithm from IEEE 754 additions, multiplications and divisions alone: the same
// bits from every compiler (without contraction) and on every machine, which C libraries don't
// promise. Both are within 1 ulp of the exact value (measured in the tests against 64-bit
// significands).
#ifndef DEADBUS_BASE_EXP_LOG_H
#define DEADBUS_BASE_EXP_LOG_H

double exp_of(double x);  // e^x; 0 below -745.2, infinity above 709.8; NaN stays
double log_of(double x);  // natural; -infinity at 0, NaN below
double power_of(double x,
                double y);  // x^y for x >= 0, as e^(y log x): a few ulp for y log x below 10

#endif
