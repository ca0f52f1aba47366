// Files that tests read: cases and lessons.
#ifndef DEADBUS_TEST_CASE_FILES_H
#define DEADBUS_TEST_CASE_FILES_H

#include <stddef.h>

// The whole file with a 0 after it, to be freed; NULL: there is none. `length` may be NULL.
char *case_file_read(const char *path, size_t *length);
// The same of a file that must be there: fails the running test.
char *case_file_needed(const char *path, size_t *length);
// The fleet's number of the aeroplane that a lesson names by the first word of its name. Fails the
// running test where there is none.
int lesson_fleet(const char *lesson);

#endif
