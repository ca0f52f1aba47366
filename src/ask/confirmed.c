#include "ask/confirmed.h"

#include "report/normal_report.h"

bool confirmed_agree(const aircraft *a, int phase, const outcome *usual, findings *f) {
    bool all = true;
    for (int i = 0; i < usual->indication_count; i++) {
        const indication *one = &usual->indications[i];
        confirmed_reading c = normal_confirmed(a, phase, one);
        if (c.figure == NULL || c.agrees)
            continue;
        all = false;
        findings_say(f, SEVERITY_WARNING, c.figure->span, "reading-differs",
                     "look for what the file has wrong, or read it again", "in phase ",
                     a->phases[phase].name, " ", a->parts[one->part].id, " is solved as ",
                     one->reading, ", which isn't what was read by hand", NULL);
    }
    return all;
}

status confirmed_all(solver *s, const aircraft *a, arena *memory, findings *f) {
    state asked = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof(double))};
    status result = asked.setting != NULL ? STATUS_OK : STATUS_NO_MEMORY;
    for (int i = 0; i < a->phase_count && result == STATUS_OK; i++) {
        if (a->phases[i].read_count == 0)
            continue;
        outcome *usual = NULL;
        state_of_phase(a, i, &asked);
        asked.charge = -1;
        result = solver_outcome(s, &asked, (outcome_options){0}, &usual);
        if (result == STATUS_OK)
            confirmed_agree(a, i, usual, f);
        outcome_free(usual);
    }
    return result;
}
