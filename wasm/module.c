// The WebAssembly door: one question in, one answer out, through plain memory.
//
// The page writes its question as words, each ended by a 0: the command, the file's name, then the
// options as on the command line. It reads the answer with the functions below and forgets it.
#include "module.h"

#include <stdlib.h>

void *module_memory(size_t size);
void module_release(void *block);
deadbus_answer *module_ask(const char *words, size_t words_length, const char *file,
                           size_t file_length);
deadbus_opened *module_open(const char *file, size_t length);
void module_close(deadbus_opened *opened);
deadbus_answer *module_ask_json(deadbus_opened *opened, const char *question, size_t length);
deadbus_answer *module_fly(deadbus_opened *opened, const char *question, size_t length,
                           int flights);
deadbus_exit module_exit(const deadbus_answer *answer);
const char *module_out(const deadbus_answer *answer);
size_t module_out_length(const deadbus_answer *answer);
const char *module_messages(const deadbus_answer *answer);
size_t module_messages_length(const deadbus_answer *answer);
void module_forget(deadbus_answer *answer);
deadbus_answer *module_draw(const deadbus_opened *opened, const char *told, size_t length);
deadbus_answer *module_show(const deadbus_opened *opened);

// Room for the caller to write words and a file into; NULL if there is none.
void *module_memory(size_t size) { return malloc(size); }

void module_release(void *block) { free(block); }

static int count_words(const char *words, size_t length) {
    int count = 0;
    for (size_t i = 0; i < length; i++) {
        count += words[i] == '\0';
    }
    return count;
}

deadbus_answer *answer_words(const char *words, size_t words_length, deadbus_question about) {
    int count = count_words(words, words_length);
    if (count < 2 || words[words_length - 1] != '\0') {
        return NULL;
    }
    const char **starts = malloc((size_t)count * sizeof *starts);
    deadbus_answer *answer = malloc(sizeof *answer);
    if (starts == NULL || answer == NULL) {
        free(starts);
        free(answer);
        return NULL;
    }
    const char *next = words;
    for (int i = 0; i < count; i++) {
        starts[i] = next;
        while (*next != '\0') {
            next++;
        }
        next++;
    }
    about.command = starts[0];
    about.file_name = starts[1];
    about.options = starts + 2;
    about.option_count = count - 2;
    (void)deadbus_ask(NULL, &about, answer);
    free(starts);
    return answer;
}

// As answer_words, about an aircraft file's bytes.
deadbus_answer *module_ask(const char *words, size_t words_length, const char *file,
                           size_t file_length) {
    deadbus_question about = {.file = file, .file_length = file_length};
    return answer_words(words, words_length, about);
}

// An aircraft that stays open between questions; NULL: no memory. The file may be released.
deadbus_opened *module_open(const char *file, size_t length) {
    deadbus_opened *opened = NULL;
    (void)deadbus_open(NULL, file, length, &opened);
    return opened;
}

void module_close(deadbus_opened *opened) { deadbus_close(opened); }

// A question in JSON about an open aircraft; NULL: no memory.
deadbus_answer *module_ask_json(deadbus_opened *opened, const char *question, size_t length) {
    deadbus_answer *answer = malloc(sizeof *answer);
    deadbus_question about = {.opened = opened};
    if (answer != NULL) {
        (void)deadbus_ask_json(NULL, &about, question, length, answer);
    }
    return answer;
}

// The same of `endurance` with so many flights at once: asked again in the same words it goes on.
deadbus_answer *module_fly(deadbus_opened *opened, const char *question, size_t length,
                           int flights) {
    deadbus_answer *answer = malloc(sizeof *answer);
    deadbus_question about = {.opened = opened, .flights_at_once = flights};
    if (answer != NULL) {
        (void)deadbus_ask_json(NULL, &about, question, length, answer);
    }
    return answer;
}

// What another module's core told of a state, drawn; NULL: no memory.
deadbus_answer *module_draw(const deadbus_opened *opened, const char *told, size_t length) {
    deadbus_answer *answer = malloc(sizeof *answer);
    if (answer != NULL) {
        (void)deadbus_draw_told(NULL, opened, told, length, answer);
    }
    return answer;
}

// `show` in JSON; NULL: no memory.
deadbus_answer *module_show(const deadbus_opened *opened) {
    deadbus_answer *answer = malloc(sizeof *answer);
    if (answer != NULL) {
        (void)deadbus_show(NULL, opened, answer);
    }
    return answer;
}

deadbus_exit module_exit(const deadbus_answer *answer) { return answer->exit; }

const char *module_out(const deadbus_answer *answer) { return answer->out; }

size_t module_out_length(const deadbus_answer *answer) { return answer->out_length; }

const char *module_messages(const deadbus_answer *answer) { return answer->messages; }

size_t module_messages_length(const deadbus_answer *answer) { return answer->messages_length; }

void module_forget(deadbus_answer *answer) {
    if (answer != NULL) {
        deadbus_forget(answer);
        free(answer);
    }
}
