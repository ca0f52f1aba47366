#include "support/whole_answers.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "deadbus.h"
#include "fuzz/well_formed.h"

void ask_whole(asking *k, const char *command, const char *option, const char *value) {
    const char *const options[] = {option, value};
    deadbus_question q = {.command = command,
                          .file_name = k->name,
                          .file = text_get(k->file),
                          .file_length = k->file->length,
                          .options = options,
                          .option_count = value    ? 2
                                          : option ? 1
                                                   : 0};
    deadbus_answer a;
    deadbus_exit e = deadbus_ask(NULL, &q, &a);
    bool no = e == DEADBUS_NO && strcmp(command, "shed") == 0;  // it can't be done
    if (e != DEADBUS_DONE && !no)
        fail_msg("%s: %s %s %s ends with %d: %s", k->name, command, option ? option : "",
                 value ? value : "", (int)e, a.messages);
    bool whole = well_formed_utf8(a.out, a.out_length) && a.out_length > 0;
    if (option && strcmp(option, "--json") == 0)
        whole = whole && well_formed_json(a.out, a.out_length);
    if (strcmp(command, "draw") == 0)
        whole = whole && well_formed_xml(a.out);
    if (!whole)
        fail_msg("%s: the answer of %s %s %s isn't whole", k->name, command, option ? option : "",
                 value ? value : "");
    deadbus_forget(&a);
    k->asked++;
}

void ask_every_fault(asking *k, const aircraft *a) {
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        uint32_t can = p->fitted & FITTED_ABSENT ? 0 : kind_faults(p->kind, p->electric);
        for (int kind = 1; kind < FAULT_COUNT; kind++) {
            char pair[128];
            if (!(can >> kind & 1u))
                continue;
            snprintf(pair, sizeof pair, "--fail=%s=%s", p->id, fault_word((fault_kind)kind));
            ask_whole(k, "state", pair, NULL);
        }
    }
}
