// What the files that read an aircraft share. Private to this room.
//
// Reading goes in passes: the lines and their ids (read_lines), then every value, now that all
// ids are known (read_values and its helpers), then what defaults fill in (fill_defaults), then
// functions and phases, then the checks. A pass goes on after a mistake; memory is checked
// through the arenas' flags.
#ifndef DEADBUS_MODEL_READER_H
#define DEADBUS_MODEL_READER_H

#include "model/aircraft.h"
#include "model/field_table.h"
#include "model/name_table.h"
#include "model/yaml_tree.h"

typedef struct written {  // a key as it stands on a line
    part_key key;
    const field *field;
    node *value;
} written;

typedef struct draft {
    part part;
    written *written;
    int written_count;
    key_set written_keys;  // of `written`; those of `values` are in `part`
    part_value *values;
    int value_count, value_capacity;
    positions places;  // count 0: none
    bool has_from, has_to;
    bool from_unknown;
} draft;

typedef struct supply_draft {
    const char *name;
    int *makers;
    int count, capacity;
} supply_draft;

typedef struct reader {
    aircraft *a;
    arena *keep;     // the aircraft's own memory
    arena *scratch;  // forgotten after reading
    findings *out;
    yaml_tree tree;
    bool is_28;
    draft *drafts;
    int count, capacity;
    name_table ids;
    name_table keys;
    const field **field_of;  // by kind and key; NULL: the kind doesn't have it
    const char **whose;      // by kind and key: whose figure it is, in words, once asked for
    const field **assumed;   // rows with defaults, kind by kind
    int *assumed_from;       // by kind: its first in `assumed`; KIND_COUNT: the end
    supply_draft *supplies;
    int supply_count, supply_capacity;
    name_table supply_names;
    condition *conditions;
    int condition_count, condition_capacity;
    bool *looked_at;  // by part: a meter, selector or condition looks at it; made by the checks
} reader;

enum {
    MOST_LINES = 20000,
    MOST_HINTS = 200,  // findings after which no nearest word is looked for: each costs a walk
};

bool reader_failed(const reader *r);

// ---- findings
void say_error(reader *r, span where, const char *code, const char *hint, const char *a,
               const char *b, const char *c, const char *d);
void say_warning(reader *r, span where, const char *code, const char *hint, const char *a,
                 const char *b, const char *c, const char *d);
void say_note(reader *r, span where, const char *code, const char *hint, const char *a,
              const char *b, const char *c, const char *d);
const char *join(reader *r, const char *const parts[]);  // in scratch; "" without memory
const char *number_words(reader *r, double value);
// The allowed mistakes for a word of this length, so that "at most 2 letters, or a third" holds.
int near_enough(size_t length);
const char *with_article(reader *r, const char *word);  // "a breaker", "an engine"

// ---- the field table, by kind: made before the lines are read. False: no memory.
bool fields_by_kind(reader *r);
const field *reader_field(const reader *r, part_kind kind, part_key key);

// ---- finding things
int find_id(const reader *r, const char *id, size_t length);
// As find_id; says that it isn't there, with the nearest, if it isn't. -1: not there.
int need_id(reader *r, const node *n, size_t start, size_t length);
const char *nearest_id(reader *r, const char *id);
const node *written_node(const draft *d, part_key key);
part_value *draft_value(draft *d, part_key key);
part_value *add_value(reader *r, draft *d, part_key key, value_type type, span where);
// The positions that `at LABEL` of this part means: its own, or those of the selector it follows.
const positions *places_for(reader *r, int part);
int position_named(const positions *p, const char *label, size_t length);

// ---- the first key (read_version.c)
typedef struct file_mark {
    const char *key, *other_key;  // of this kind of file, and of the other
    const char *isnt, *is_other, *is_version;
    const char *hint;  // where it is the other
} file_mark;

typedef enum version_found {
    VERSION_GOOD,
    VERSION_MISSING,  // said; the rest may be read
    VERSION_REFUSED   // said; nothing else is to be read
} version_found;
version_found read_version(reader *r, const node *root, const file_mark *m);

// ---- values (read_figure.c, read_small.c)
bool starts_like_figure(const char *s);
const char *units_wanted(reader *r, uint32_t units);  // "A or W"; one bit a unit
// Reads a figure from `n`'s bytes `start` to the end. False: said why not.
bool read_figure(reader *r, const node *n, size_t start, const field *f, const char *whose,
                 figure *made);
bool read_wire(reader *r, const node *n, wire_run *made);
bool looks_like_wire(const char *s);
bool read_date(const char *s, size_t length);
bool read_yes(reader *r, const node *n, bool *yes);
bool read_basis(reader *r, const node *n, basis *b, const char **where);
// A text value; "" and said if it is a list or map.
const char *read_text(reader *r, const node *n);
int read_words(reader *r, const node *n, const field *f);  // index of the word, -1: said
void read_place(reader *r, draft *d, const node *n);
void read_positions(reader *r, draft *d, const node *n);
// The entries of a list, or the one text itself. False: said.
bool read_list(reader *r, const node *n, const node ***items, int *count);

// ---- references and conditions
bool read_reference(reader *r, const node *n, size_t start, size_t length, reference *made);
int read_condition(reader *r, const node *n, int self);         // -1: said, or no memory
int add_condition(reader *r, condition c);                      // -1: no memory
int supply_number(reader *r, const char *name, size_t length);  // -1: nothing makes it

// ---- passes
void read_lines(reader *r);
void read_supplies(reader *r);
void read_values(reader *r);
void read_meter(reader *r, draft *d, const written *w);
void read_spring(reader *r, draft *d, const written *w);
void fill_defaults(reader *r);
void read_header(reader *r);
void read_papers(reader *r);
void read_functions(reader *r);
void read_together(reader *r);
void read_questions(reader *r);
void read_phases(reader *r);
void check_parts(reader *r);
void check_odd(reader *r);
void check_network(reader *r);
void check_conditions(reader *r);
void check_panel(reader *r);
void check_protection(reader *r);

#endif
