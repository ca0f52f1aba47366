// Reading and writing whole files. Nothing here prints: what went wrong comes back as a sentence.
#ifndef DEADBUS_CLI_FILES_H
#define DEADBUS_CLI_FILES_H

#include <stddef.h>

// Room for a sentence about a failure.
enum { TROUBLE_ROOM = 512 };

// Reads at most `most` bytes of a file, or of standard input if the name is "-". NULL: `trouble`
// says why. The block is the caller's to free.
char *file_read(const char *name, size_t most, size_t *length, char trouble[TROUBLE_ROOM]);

// Writes a file, or standard output if the name is "-". Nonzero: `trouble` says why.
int file_write(const char *name, const char *data, size_t length, char trouble[TROUBLE_ROOM]);

// Nonzero if both names lead to one file that exists.
int file_same(const char *a, const char *b);

#endif
