// What the files that read a scenario share. Only for them.
#ifndef DEADBUS_MODEL_SCENARIO_READER_H
#define DEADBUS_MODEL_SCENARIO_READER_H

#include "model/reader.h"
#include "model/scenario_table.h"

typedef struct scenario_reader {
    reader r;  // for findings, figures, words and lists
    const aircraft *aircraft;
    scenario *made;
    state state;  // of the phase it starts in: an engine that just runs has the speed it has there
    scenario_watch *watches;
    int watch_count, watch_room;
    int failures;  // asked for in all
} scenario_reader;

// Keys of a map by the table; `found` is indexed by scenario_key and gets NULL where one is
// missing, which is said if it is needed.
void scenario_keys_of(scenario_reader *s, const node *map, scenario_place place,
                      const node *found[SCENARIO_KEYS]);
// The id at the start of a text's bytes; -1: said that it isn't there. `functions`: the name of one
// may have been meant.
int scenario_part(scenario_reader *s, const node *n, size_t start, size_t length, bool functions);
int scenario_function(const scenario_reader *s, const char *name, size_t length);
// A figure by the row of a key. False: said.
bool scenario_figure(scenario_reader *s, const node *n, scenario_key k, double *value);

// scenario_hints.c: what is said of mistakes; in a student's page that of page_readers.c
// "did you mean 'x'?" over words one space apart, or "" if none is near.
const char *scenario_nearest(scenario_reader *s, const char *word, const char *words);
const char *scenario_nearest_id(scenario_reader *s, const char *id, bool functions);
void scenario_wrong_phase(scenario_reader *s, const node *n, const char *name);
void scenario_wrong_position(scenario_reader *s, const node *n, int part);
void scenario_wrong_fault(scenario_reader *s, const node *n, const part *p, uint32_t can);
// True: said what a moment such as `2:00` or `3 min after` should be.
bool scenario_odd_moment(scenario_reader *s, const node *n);
// Once all is read: repairs of what never fails.
void scenario_look_over(scenario_reader *s, const node *happens);

// scenario_values.c
int scenario_phase(scenario_reader *s, const node *n);  // -1: said
// Adds the changes that a map of positions or faults asks for.
typedef struct change_list {
    scenario_change *items;
    int count, room;
} change_list;
void scenario_settings(scenario_reader *s, const node *n, change_list *list);
void scenario_outside(scenario_reader *s, const node *n, change_list *list);
void scenario_faults(scenario_reader *s, const node *n, change_kind kind, change_list *list);
void scenario_things(scenario_reader *s, const node *n, scenario_question *q);
void scenario_records(scenario_reader *s, const node *n);
void scenario_usual_records(scenario_reader *s);

// scenario_watch.c
int scenario_watch_read(scenario_reader *s, const node *n, size_t start);  // -1: said

#endif
