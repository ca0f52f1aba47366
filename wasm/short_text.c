// Functions of the C library that a page's module needs, in their shortest form: the library's own
// are made for long texts and weigh ten times as much. Every module links these instead.
#include <stddef.h>
#include <stdint.h>
#include <string.h>

// The standard takes const in and gives it out without.
static void *writable(const void *at) { return (void *)(uintptr_t)at; }

void *memcpy(void *restrict to, const void *restrict from, size_t length) {
    // With bulk memory this is one instruction, no call.
    return __builtin_memmove(to, from, length);
}

void *memchr(const void *bytes, int wanted, size_t length) {
    const unsigned char *at = bytes;
    for (; length; at++, length--)
        if (*at == (unsigned char)wanted)
            return writable(at);
    return NULL;
}

char *strchr(const char *text, int wanted) { return memchr(text, wanted, strlen(text) + 1); }

size_t strlen(const char *text) {
    const char *end = text;
    while (*end)
        end++;
    return (size_t)(end - text);
}

static size_t run_of(const char *text, const char *set, int within) {
    size_t count = 0;
    while (text[count] && (strchr(set, text[count]) != NULL) == within)
        count++;
    return count;
}

size_t strspn(const char *text, const char *set) { return run_of(text, set, 1); }

size_t strcspn(const char *text, const char *set) { return run_of(text, set, 0); }

char *strstr(const char *text, const char *wanted) {
    size_t length = strlen(wanted);
    while (strncmp(text, wanted, length) != 0)
        if (!*text++)
            return NULL;
    return writable(text);
}
