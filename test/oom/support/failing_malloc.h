// libyaml takes its memory from the C library, without a hook. The link puts these in the place of
// malloc, realloc and strdup (--wrap), so that a test can make the n-th of its requests fail too.
#ifndef DEADBUS_TEST_FAILING_MALLOC_H
#define DEADBUS_TEST_FAILING_MALLOC_H

// The n-th request from now on fails, and all after it; -1: none does. Starts the count anew.
void failing_malloc_at(long n);
// Requests since.
long failing_malloc_requests(void);

#endif
