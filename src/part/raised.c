#include "part/raised.h"

#include "part/binder.h"
#include "part/wire_ohms.h"

// What the file says or leaves to the default; negative: nothing that can be too little.
static double ohms_of(const part *p) {
    if (p->kind != KIND_WIRE && p->kind != KIND_SHUNT)
        return -1.0;
    const part_value *run = part_value_of(p, KEY_WIRE);
    if (run == NULL)
        run = part_value_of(p, KEY_VALUE);
    return run != NULL && run->type == VALUE_WIRE ? wire_run_ohms(&run->as.wire)
                                                  : part_number(p, KEY_RESISTANCE, -1.0);
}

void raised_find(const aircraft *a, findings *f) {
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        double ohms = ohms_of(p);
        if (ohms < 0 || ohms >= LEAST_OHMS)
            continue;
        text t = text_make(f->memory.memory);
        text_all(&t, "'", p->id, "' has ", NULL);
        text_short(&t, ohms * 1e3, 2);
        text_put(&t, " mohm, and is taken as 0.1 mohm: the least that anything has here");
        findings_say(f, SEVERITY_NOTE, p->span, "raised", "", text_get(&t), NULL);
        f->memory.failed = f->memory.failed || t.failed;
        text_free(&t);
    }
}
