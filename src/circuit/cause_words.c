// Words of a reason: names of parts, and clauses joined by "because".
#include "circuit/cause_walk.h"

static void put_id_words(text *t, const char *id)
{
    for (; *id != 0; id++) text_char(t, *id == '-' ? ' ' : *id);
}

// Kinds that are called by their placard alone.
static bool named_alone(part_kind k)
{
    part_class c = kind_class(k);
    return c == CLASS_POINT || c == CLASS_ITEM || c == CLASS_DRY || c == CLASS_SOURCE;
}

void put_part_name(text *t, const aircraft *a, int part)
{
    const struct part *p = &a->parts[part];
    if (p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP) {
        text_put(t, p->implied == IMPLIED_WIRE ? "wire of " : "strap of ");
        put_part_name(t, a, p->host);
        return;
    }
    bool plain = text_equal(p->label, p->id);
    if (!plain && !named_alone(p->kind)) text_all(t, kind_word(p->kind), " ", NULL);
    if (plain) {
        put_id_words(t, p->id);
    } else {
        text_put(t, p->label);
    }
}

void walk_say(cause_walk *w, int part, const char *what)
{
    if (w->clauses > 0) text_put(&w->said, w->clauses == 1 ? ", because " : "; that is because ");
    if (part != NOWHERE) {
        put_part_name(&w->said, w->now->made->aircraft, part);
        text_char(&w->said, ' ');
    }
    text_put(&w->said, what);
    w->clauses++;
}
