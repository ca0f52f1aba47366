// Words of a reason: names of parts, and clauses joined by "because".
#include "circuit/cause_walk.h"
#include "model/part_words.h"

void walk_say(cause_walk *w, int part, const char *what) {
    if (w->clauses > 0)
        text_put(&w->said, w->clauses == 1 ? ", because " : "; that is because ");
    if (part != NOWHERE) {
        w->last = part;
        part_name(w->now->made->aircraft, part, &w->said);
        text_char(&w->said, ' ');
    }
    text_put(&w->said, what);
    w->clauses++;
}
