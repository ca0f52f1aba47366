// Reading and writing decimal numbers exactly, without the C library's locale.
#ifndef DEADBUS_BASE_NUMBER_H
#define DEADBUS_BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>

// A room for any number written, sign and final 0 included.
enum { NUMBER_ROOM = 400 };

// Reads [+-]digits[.digits] at the start of `s` (no exponent, at most 15 digits, correctly
// rounded). Zeros in front aren't counted; U+2212 is a minus too. Returns the bytes used, 0 if
// there is no number, -1 if there are more than 15 digits.
int number_read(const char *s, size_t length, double *value);

// Writes into `out` (NUMBER_ROOM bytes) with a final 0, returns the length. Correctly rounded, no
// exponent, -0 as 0.
int number_write_fixed(char *out, double value, int decimals);
int number_write_digits(char *out, double value, int digits);
int number_write_shortest(char *out, double value);
// The length without zeros that end its decimals, and without a point that would end it.
int number_cut_zeros(const char *out, int length);

#endif
