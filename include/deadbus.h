// Deadbus: one question about one aeroplane's electrical system in, one answer out.
//
// For teaching. The approved flight manual, the maintenance manual, local rules and licensed people
// come before anything computed here.
//
// The library does no I/O: the caller brings the bytes of the aircraft file and takes text away.
// A question is worded as on the command line; the same question gives the same bytes everywhere.
#ifndef DEADBUS_H
#define DEADBUS_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

#define DEADBUS_VERSION "0.1.0"

#if defined(DEADBUS_SHARED) && defined(__GNUC__)
#    define DEADBUS_API __attribute__((visibility("default")))
#else
#    define DEADBUS_API
#endif

// Where memory comes from. resize(ctx, NULL, 0, n) allocates, resize(ctx, p, old, n) moves,
// resize(ctx, p, old, 0) frees and returns NULL. NULL for n > 0: there is none.
typedef struct deadbus_memory {
    void *(*resize)(void *ctx, void *block, size_t old_size, size_t new_size);
    void *ctx;
} deadbus_memory;

// How a question ends; also the exit status of the command line.
typedef enum deadbus_exit {
    DEADBUS_DONE = 0,
    DEADBUS_NO = 1,           // the answer is "no", or the file has errors
    DEADBUS_WRONG_USAGE = 2,  // the question is worded wrongly: see `messages`
    DEADBUS_NO_MEMORY = 3,    // an allocation failed
} deadbus_exit;

// An aircraft that stays open between questions: read and compiled once. The same answers come
// faster. Not for two threads at a time.
typedef struct deadbus_opened deadbus_opened;

typedef struct deadbus_question {
    // "check", "show", "state", "endurance", "shed", "draw", "page", "schema", "run", "ask"
    const char *command;
    const char *file_name;  // for findings; may be NULL
    const char *file;       // bytes of the aircraft file; may be NULL where none is needed
    size_t file_length;
    const char *const *options;  // as on the command line, e.g. "--phase", "cruise", "--json"
    int option_count;
    int color;               // nonzero: answers for a terminal may use color
    deadbus_opened *opened;  // asked about this aircraft instead of `file`; may be NULL
    // `endurance --flights`: does the work on several threads. Calls work(arg, i) for each i below
    // count, in any order, each at most once (what isn't done is left out of the answer); `memory`
    // must bear that. NULL: one after the other.
    void (*spread)(void *ctx, void (*work)(void *arg, int index), void *arg, int count);
    void *spread_ctx;
    // `endurance --flights` in JSON, about an opened aircraft: flies so many more at most and
    // answers {"flown":125,"of":500}; asked again in the same words it flies on, and when all are
    // flown it answers as always. 0: all at once.
    int flights_at_once;
    // `page`: the empty page, everything but the aircraft; NULL: there is none
    const char *empty_page;
    size_t empty_page_length;
    // `run`, and `state` and `draw` of one of its moments: bytes of the scenario file, and its name
    // for findings
    const char *scenario;
    size_t scenario_length;
    const char *scenario_name;
} deadbus_question;

typedef struct deadbus_answer {
    deadbus_exit exit;
    // Both end with a 0 and are owned, see deadbus_forget; both are NULL after DEADBUS_NO_MEMORY.
    char *out;  // what was asked for
    size_t out_length;
    char *messages;  // findings and complaints, one a line
    size_t messages_length;
    deadbus_memory memory;  // where the two texts came from
} deadbus_answer;

// Answers one question. `memory` may be NULL: the C library's. Always fills `answer`; call
// deadbus_forget on it afterwards. Thread-safe: nothing is shared between calls.
DEADBUS_API deadbus_exit deadbus_ask(const deadbus_memory *memory, const deadbus_question *asked,
                                     deadbus_answer *answer);
DEADBUS_API void deadbus_forget(deadbus_answer *answer);

// The same with the question worded in JSON, about `about`'s file or opened aircraft:
//   {"ask":"state","phase":"cruise","set":{"key":"BOTH"},"fail":["alternator=dead"]}
// The other keys are the command's options. The answer is JSON, in `out` alone:
//   {"exit":0,"ask":"state","findings":[{"severity","line","column","length","code","text",
//    "hint"}],"answer":...}
// where "answer" is the command's own JSON, or its text as one string.
DEADBUS_API deadbus_exit deadbus_ask_json(const deadbus_memory *memory,
                                          const deadbus_question *about, const char *question,
                                          size_t length, deadbus_answer *answer);

// Opens an aircraft; DEADBUS_NO if the file has errors, which every answer about it then tells.
// deadbus_close it in any case. `memory` must stay as long.
DEADBUS_API deadbus_exit deadbus_open(const deadbus_memory *memory, const char *file, size_t length,
                                      deadbus_opened **made);
DEADBUS_API void deadbus_close(deadbus_opened *opened);

// A student's page has the map in a module of its own, whose core answers `draw` by telling what is
// to be drawn. These draw what that core told about the same aircraft, and answer `show` in JSON.
// DEADBUS_WRONG_USAGE: the aircraft's file has errors, or that isn't what a core of this version
// tells. They always fill `answer`.
DEADBUS_API deadbus_exit deadbus_draw_told(const deadbus_memory *memory,
                                           const deadbus_opened *opened, const char *told,
                                           size_t length, deadbus_answer *answer);
DEADBUS_API deadbus_exit deadbus_show(const deadbus_memory *memory, const deadbus_opened *opened,
                                      deadbus_answer *answer);

DEADBUS_API const char *deadbus_version(void);

// For callers that have to tell a file's name from an option's value: 1 if the option (`--phase`,
// also as `--phase=...`) is followed by a value, 0 if it stands alone, -1 if there is no such
// option.
DEADBUS_API int deadbus_option_takes_value(const char *word);

// True (1) for a command after whose aircraft file a scenario's may stand.
DEADBUS_API int deadbus_plays_scenarios(const char *command);

// The command table as text: the manual page ("man"), completions ("bash", "zsh", "fish"), or the
// help of one command (its name), or of all (""). DEADBUS_WRONG_USAGE if there is no such topic.
DEADBUS_API deadbus_exit deadbus_help(const deadbus_memory *memory, const char *topic,
                                      deadbus_answer *answer);

#ifdef __cplusplus
}
#endif

#endif
