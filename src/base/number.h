// Reading and writing decimal numbers exactly, without the C library's locale.
#ifndef DEADBUS_BASE_NUMBER_H
#define DEADBUS_BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>

// Reads [+-]digits[.digits] at the start of `s` (no exponent, at most 15 digits, correctly rounded).
// Returns the characters used, 0 if there is no number, -1 if there are more than 15 digits.
int number_read(const char *s, size_t length, double *value);

// Writes into `out` (at least 400 bytes), returns the length. Correctly rounded, no exponent, -0 as 0.
int number_write_fixed(char *out, double value, int decimals);
int number_write_digits(char *out, double value, int digits);
int number_write_shortest(char *out, double value);

#endif
