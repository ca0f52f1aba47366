#include "oom/support/failing_malloc.h"

#include <stddef.h>

void *__real_malloc(size_t size);
void *__real_realloc(void *block, size_t size);
char *__real_strdup(const char *text);
void *__wrap_malloc(size_t size);
void *__wrap_realloc(void *block, size_t size);
char *__wrap_strdup(const char *text);

static long fail_at = -1, requests;

void failing_malloc_at(long n) {
    fail_at = n;
    requests = 0;
}

long failing_malloc_requests(void) { return requests; }

static int fails(void) { return fail_at >= 0 && requests++ >= fail_at; }

void *__wrap_malloc(size_t size) { return fails() ? NULL : __real_malloc(size); }

void *__wrap_realloc(void *block, size_t size) {
    return fails() ? NULL : __real_realloc(block, size);
}

char *__wrap_strdup(const char *text) { return fails() ? NULL : __real_strdup(text); }
