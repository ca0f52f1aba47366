#include "base/stable_sort.h"

#include <string.h>

// Swaps without a buffer of the item's size.
static void swap(char *a, char *b, size_t size) {
    for (size_t i = 0; i < size; i++) {
        char kept = a[i];
        a[i] = b[i];
        b[i] = kept;
    }
}

static void insertion_sort(char *items, size_t count, size_t size, sort_order order,
                           const void *ctx) {
    for (size_t i = 1; i < count; i++)
        for (size_t j = i; j > 0; j--) {
            char *here = items + j * size;
            if (order(here - size, here, ctx) <= 0)
                break;
            swap(here - size, here, size);
        }
}

// Merges the sorted runs [0, half) and [half, count) of `from` into `to`.
static void merge(const char *from, size_t half, size_t count, size_t size, char *to,
                  sort_order order, const void *ctx) {
    size_t left = 0;
    size_t right = half;
    for (size_t k = 0; k < count; k++) {
        size_t next;
        if (right == count ||
            (left < half && order(from + left * size, from + right * size, ctx) <= 0))
            next = left++;
        else
            next = right++;
        memcpy(to + k * size, from + next * size, size);
    }
}

void stable_sort(void *items, size_t count, size_t size, void *scratch, sort_order order,
                 const void *ctx) {
    enum { RUN = 8 };
    if (!scratch) {
        insertion_sort(items, count, size, order, ctx);
        return;
    }
    char *from = items;
    char *to = scratch;
    for (size_t at = 0; at < count; at += RUN)
        insertion_sort(from + at * size, count - at < RUN ? count - at : RUN, size, order, ctx);
    for (size_t run = RUN; run < count; run *= 2) {
        for (size_t at = 0; at < count; at += 2 * run) {
            size_t here = count - at < 2 * run ? count - at : 2 * run;
            merge(from + at * size, here < run ? here : run, here, size, to + at * size, order,
                  ctx);
        }
        char *swapped = from;
        from = to;
        to = swapped;
    }
    if (from != items)
        memcpy(items, from, count * size);
}
