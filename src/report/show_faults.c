// Every fault that can be asked of this file's parts.
#include "model/part_words.h"
#include "report/show_report.h"
#include "report/wrap.h"

static uint32_t faults_of(const part *p) {
    return p->fitted & FITTED_ABSENT ? 0 : kind_faults(p->kind, p->electric);
}

void faults_text(const aircraft *a, text *out) {
    wrap_words(out, out->length, 0,
               "What can fail, as `state` takes it: --fail ID=KIND, at most 8 at a time.");
    text_char(out, '\n');
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        uint32_t can = faults_of(p);
        if (!can)
            continue;
        text words = text_make(out->memory);
        for (int k = 1; k < FAULT_COUNT; k++)
            if (can >> k & 1)
                text_all(&words, words.length ? ", " : "", fault_word((fault_kind)k), NULL);
        size_t line = out->length;
        wrap_left(out, line, 2, p->id);
        wrap_left(out, line, 30, kind_word(p->kind));
        wrap_words(out, line, 46, text_get(&words));
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
}

void faults_json(const aircraft *a, text *out) {
    text_put(out, "{\"faults\":{");
    bool first = true;
    for (int i = 0; i < a->part_count; i++) {
        uint32_t can = faults_of(&a->parts[i]);
        if (!can)
            continue;
        text_put(out, first ? "\n" : ",\n");
        first = false;
        json_key(out, a->parts[i].id);
        const char *join = "[";
        for (int k = 1; k < FAULT_COUNT; k++) {
            if (!(can >> k & 1))
                continue;
            text_put(out, join);
            json_string(out, fault_word((fault_kind)k));
            join = ",";
        }
        text_char(out, ']');
    }
    text_put(out, "}}\n");
}

void faults_csv(const aircraft *a, text *out) {
    text_put(out, "id,kind,fault\r\n");
    for (int i = 0; i < a->part_count; i++) {
        uint32_t can = faults_of(&a->parts[i]);
        for (int k = 1; k < FAULT_COUNT; k++)
            if (can >> k & 1)
                text_all(out, a->parts[i].id, ",", kind_word(a->parts[i].kind), ",",
                         fault_word((fault_kind)k), "\r\n", NULL);
    }
}
