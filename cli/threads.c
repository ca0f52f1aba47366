#define _POSIX_C_SOURCE 200809L

#include "threads.h"

#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <unistd.h>

enum { THREADS_MOST = 64, BAR = 40 };

typedef struct shared {
    void (*work)(void *arg, int index);
    void *arg;
    int count;
    int shows;  // a bar
    atomic_int next, done;
} shared;

static volatile sig_atomic_t stopped;

static void stop(int signal) {
    (void)signal;
    stopped = 1;
}

static void show(const shared *s, int done) {
    char bar[BAR + 1];
    for (int i = 0; i < BAR; i++)
        bar[i] = i * s->count < done * BAR ? '#' : '.';
    bar[BAR] = 0;
    fprintf(stderr, "\r[%s] %d %%", bar, 100 * done / s->count);
}

static void *run(void *of) {
    shared *s = of;
    for (int i; !stopped && (i = atomic_fetch_add(&s->next, 1)) < s->count;) {
        s->work(s->arg, i);
        int done = atomic_fetch_add(&s->done, 1) + 1;
        if (s->shows)
            show(s, done);
    }
    return NULL;
}

void threads_spread(void *ctx, void (*work)(void *arg, int index), void *arg, int count) {
    (void)ctx;
    shared s = {.work = work, .arg = arg, .count = count, .shows = isatty(STDERR_FILENO)};
    struct sigaction ours = {.sa_handler = stop}, before;
    int catches = sigaction(SIGINT, &ours, &before) == 0;
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    pthread_t others[THREADS_MOST];
    int made = 0;
    while (made < THREADS_MOST && made + 1 < processors && made + 1 < count &&
           pthread_create(&others[made], NULL, run, &s) == 0)
        made++;
    run(&s);
    for (int i = 0; i < made; i++)
        pthread_join(others[i], NULL);
    if (s.shows)
        fputs("\r\033[K", stderr);
    if (catches)
        sigaction(SIGINT, &before, NULL);
    if (stopped)
        fprintf(stderr, "deadbus: note: stopped: the answer is of what was done until then\n");
}
