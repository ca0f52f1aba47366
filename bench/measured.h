// Figures of a bench: a table for people while it runs, JSON lines for programs at its end.
#ifndef DEADBUS_BENCH_MEASURED_H
#define DEADBUS_BENCH_MEASURED_H

#include <stddef.h>

typedef struct measured {
    char name[64];
    double value;
    const char *unit;
    int lanes;            // 0: no kernel is part of it
    const char *against;  // NULL: nothing
    double ratio;         // how many times as fast as `against`
} measured;

void measured_title(const char *words);
void measured_add(const measured *f, const char *remark);
void measured_end(void);

// Seconds of this thread on a processor: what else the machine does meanwhile counts little.
double seconds_now(void);
// Ends the program when there is no memory.
void *need(void *p);
void *need_many(size_t count, size_t size);

#endif
