#include "measured.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "circuit/solve.h"

enum { MEASURED_MOST = 400 };

static measured kept[MEASURED_MOST];
static int kept_count;

void *need(void *p) {
    if (!p) {
        fputs("no memory\n", stderr);
        exit(1);
    }
    return p;
}

void *need_many(size_t count, size_t size) { return need(calloc(count + 1, size)); }

double seconds_now(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static const char *isa_of(const measured *f) {
#ifdef __wasm__
    return f->lanes ? "wasm" : "none";
#else
    return f->lanes ? solve_isa(f->lanes) : "none";
#endif
}

void measured_title(const char *words) { printf("\n%s\n", words); }

void measured_add(const measured *f, const char *remark) {
    if (kept_count == MEASURED_MOST)
        abort();
    kept[kept_count++] = *f;
    printf("  %-42s %11.4g %-11s", f->name, f->value, f->unit);
    if (f->lanes)
        printf(" %d x %-7s", f->lanes, isa_of(f));
    else
        printf(" %-11s", "");
    if (f->against)
        printf(" %8.1f x %s", f->ratio, f->against);
    printf("%s%s\n", remark && *remark ? "  " : "", remark ? remark : "");
    fflush(stdout);
}

void measured_end(void) {
    printf("\n");
    for (int i = 0; i < kept_count; i++) {
        const measured *f = &kept[i];
        printf("{\"name\":\"%s\",\"value\":%.5g,\"unit\":\"%s\",\"isa\":\"%s\",\"lanes\":%d,",
               f->name, f->value, f->unit, isa_of(f), f->lanes);
        if (f->against)
            printf("\"against\":\"%s\",\"ratio\":%.4g}\n", f->against, f->ratio);
        else
            printf("\"against\":null,\"ratio\":null}\n");
    }
}
