#include "reference/support/small_aircraft.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { TEXT_MOST = 4096 };

static void settle_phase(small_aircraft *s, int phase, const char *part, fault_kind fault) {
    const aircraft *a = s->aircraft;
    double *setting = calloc((size_t)a->part_count + 1, sizeof *setting);
    assert_non_null(setting);
    state asked = {.setting = setting};
    state_of_phase(a, phase, &asked);
    if (part) {
        int index = aircraft_part(a, part);
        assert_true(index >= 0);
        asked.faults[asked.fault_count++] = (struct fault){index, fault};
    }
    if (s->outcome)
        outcome_free(s->outcome);
    status r = solver_outcome(s->solver, &asked, (outcome_options){.explain = true}, &s->outcome);
    free(setting);
    assert_int_equal(r, STATUS_OK);
}

void small_aircraft_open(small_aircraft *s, const char *format, ...) {
    char source[TEXT_MOST];
    va_list list;
    va_start(list, format);
    int length = vsnprintf(source, sizeof source, format, list);
    va_end(list);
    assert_in_range(length, 1, TEXT_MOST - 1);
    allocator memory = allocator_default();
    *s = (small_aircraft){.findings = findings_make(memory)};
    status r = aircraft_read(memory, source, (size_t)length, &s->aircraft, &s->findings);
    if (r == STATUS_OK)
        r = solver_make(memory, s->aircraft, &s->findings, &s->solver);
    if (r != STATUS_OK) {
        text t = text_make(memory);
        findings_write(&s->findings, "small", &t);
        fputs(text_get(&t), stderr);
        text_free(&t);
    }
    assert_int_equal(r, STATUS_OK);
    settle_phase(s, 0, NULL, FAULT_NONE);
}

void small_aircraft_ask(small_aircraft *s, const char *phase, const char *part, fault_kind fault) {
    for (int i = 0; i < s->aircraft->phase_count; i++) {
        if (strcmp(s->aircraft->phases[i].name, phase) == 0) {
            settle_phase(s, i, part, fault);
            return;
        }
    }
    fail_msg("there is no phase %s", phase);
}

void small_aircraft_close(small_aircraft *s) {
    outcome_free(s->outcome);
    solver_free(s->solver);
    aircraft_free(s->aircraft);
    findings_free(&s->findings);
}

static int part_index(const small_aircraft *s, const char *id) {
    int index = aircraft_part(s->aircraft, id);
    if (index < 0)
        fail_msg("there is no %s", id);
    return index;
}

const part_outcome *small_part(const small_aircraft *s, const char *id) {
    return &s->outcome->parts[part_index(s, id)];
}

const part *small_line(const small_aircraft *s, const char *id) {
    return &s->aircraft->parts[part_index(s, id)];
}

int small_findings(const small_aircraft *s, const char *code) {
    int count = 0;
    for (int i = 0; i < s->findings.count; i++)
        count += strcmp(s->findings.items[i].code, code) == 0;
    return count;
}
