// Work on all processors, with a bar on a terminal; Ctrl-C ends it with what is done.
#ifndef DEADBUS_CLI_THREADS_H
#define DEADBUS_CLI_THREADS_H

// As deadbus_question.spread wants it; ctx isn't used.
void threads_spread(void *ctx, void (*work)(void *arg, int index), void *arg, int count);

#endif
