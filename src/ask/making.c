#include "ask/making.h"

allocator allocator_of(const deadbus_memory *memory) {
    if (!memory)
        return allocator_default();
    return (allocator){.resize = memory->resize, .ctx = memory->ctx};
}

static void *watched_resize(void *ctx, void *block, size_t old_size, size_t new_size) {
    watched_memory *w = ctx;
    void *moved = w->caller.resize(w->caller.ctx, block, old_size, new_size);
    if (!moved && new_size > 0)
        w->failed = true;
    return moved;
}

allocator watched_allocator(watched_memory *w) {
    return (allocator){.resize = watched_resize, .ctx = w};
}

making making_start(watched_memory *watched) {
    allocator memory = watched_allocator(watched);
    return (making){.watched = watched,
                    .memory = memory,
                    .out = text_make(memory),
                    .messages = text_make(memory),
                    .asked = findings_make(memory),
                    .file = findings_make(memory),
                    .scenario = findings_make(memory)};
}

// Hands a text over as a block of exactly its length and one.
static bool hand_over(text *t, char **block, size_t *length) {
    text_put_n(t, "", 0);  // an empty text gets a block as well
    if (t->failed)
        return false;
    char *fitted = t->memory.resize(t->memory.ctx, t->data, t->capacity, t->length + 1);
    if (!fitted)
        return false;
    *block = fitted;
    *length = t->length;
    *t = text_make(t->memory);
    return true;
}

deadbus_exit making_end(making *m, deadbus_answer *answer) {
    *answer = (deadbus_answer){
        .exit = m->exit,
        .memory = {.resize = m->watched->caller.resize, .ctx = m->watched->caller.ctx}};
    bool whole = m->exit != DEADBUS_NO_MEMORY && !m->asked.memory.failed &&
                 !m->file.memory.failed && !m->scenario.memory.failed && !m->watched->failed &&
                 hand_over(&m->out, &answer->out, &answer->out_length) &&
                 hand_over(&m->messages, &answer->messages, &answer->messages_length);
    text_free(&m->out);
    text_free(&m->messages);
    findings_free(&m->asked);
    findings_free(&m->file);
    findings_free(&m->scenario);
    if (!whole) {
        deadbus_forget(answer);
        answer->exit = DEADBUS_NO_MEMORY;
    }
    return answer->exit;
}
