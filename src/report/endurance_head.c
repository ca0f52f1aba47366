// The first lines of how long it lasts: what is lost, what hands take, and the low case.
#include "model/part_words.h"
#include "report/endurance_page.h"
#include "report/endurance_words.h"
#include "report/outcome_parts.h"
#include "report/wrap.h"

text *page_words(endurance_page *p) {
    p->words.length = 0;
    text_put(&p->words, "");
    return &p->words;
}

void page_put(endurance_page *p, size_t indent) {
    wrap_words(p->out, p->out->length, indent, text_get(&p->words));
}

bool page_flights(const endurance_page *p) { return p->found->flights > 0; }

// ---- head --------------------------------------------------------------------------------------
static void say_deviations(endurance_page *p, const aircraft *a, const state *s) {
    outcome o = {.aircraft = a, .state = *s};
    size_t before = p->words.length;
    outcome_deviations(&o, &p->words);
    char *first = p->words.length > before ? p->words.data + before : NULL;
    if (first != NULL && *first >= 'a' && *first <= 'z')
        *first = (char)(*first - 'a' + 'A');
    text_put(&p->words, first != NULL ? "." : "");
}

// What hands have moved, told as what differs from a phase that is as it was before.
static void say_moved(endurance_page *p) {
    const state *asked = p->report->asked;
    phase before = p->aircraft->phases[asked->phase];
    before.setting = asked->setting;
    before.airborne = asked->airborne;
    before.night = asked->night;
    before.cloud = asked->cloud;
    before.icing = asked->icing;
    before.stall_near = asked->stall_near;
    before.throttle = asked->throttle;
    before.airspeed = asked->airspeed;
    before.temperature = asked->temperature;
    aircraft as_asked = *p->aircraft;
    as_asked.phases = &before;
    state moved = *asked;
    moved.phase = 0;
    moved.setting = p->report->after->setting;
    moved.charge = -1;
    moved.fault_count = 0;
    say_deviations(p, &as_asked, &moved);
}

static void title(endurance_page *p) {
    const aircraft *a = p->aircraft;
    text *t = page_words(p);
    text_put(t, a->name && a->name[0] ? a->name : "Aeroplane without a name");
    if (a->tail && a->tail[0])
        text_all(t, " (", a->tail, ")", NULL);
    text_all(t, ", ", a->phases[p->report->asked->phase].name, ". ", NULL);
    state failed = *p->report->asked;
    for (int i = 0; i < a->part_count && failed.fault_count < STATE_FAULTS; i++)
        if (p->found->failed[i] && p->report->asked->fault_count == 0)
            failed.faults[failed.fault_count++] = (fault){i, FAULT_DEAD};
    say_deviations(p, a, &failed);
    page_put(p, 0);
    int counts[BASIS_MEASURED + 1];
    endurance_basis(a, counts);
    assumed_words(counts, page_words(p));
    page_put(p, 0);
    text_char(p->out, '\n');
}

static const char *low_words(const endurance_page *p) {
    return page_flights(p) ? "Low case (worse in one flight of twenty): " : "Low case: ";
}

// A radio may fall silent long before anything is lost.
static void first_mute(endurance_page *p, double before, text *t) {
    int first = -1;
    const double *mute = p->found->of[ENDURANCE_LOW].mute;
    for (int i = 0; i < p->aircraft->part_count; i++)
        if (p->found->counts[i] && mute[i] >= 0 && (before < 0 || mute[i] < before) &&
            (first < 0 || mute[i] < mute[first]))
            first = i;
    if (first < 0)
        return;
    text_put(t, mute[first] < 60 ? " Within a minute " : " After ");
    if (mute[first] >= 60) {
        endurance_time_words(p->found, mute[first], t);
        text_put(t, " already ");
    }
    part_short_name(p->aircraft, first, t);
    text_put(t, " has too few volts to transmit.");
}

// Which sources are lost and which go on, where the question names failures of its own.
static void sources(endurance_page *p) {
    if (p->report->asked->fault_count == 0 && endurance_on_battery(p->aircraft, p->found))
        return;
    endurance_sources_words(p->aircraft, p->found, page_words(p));
    page_put(p, 0);
}

// What hands do that nobody does in the air stands before what it would save.
static void never(endurance_page *p) {
    static const char *const words[] = {
        "puts a battery off the line, or off all that it feeds",
        "stops a source that works, or opens its breaker",
        "takes what feeds the engine or makes a supply",
        "silences several radios with one hand in cloud",
    };
    text *t = page_words(p);
    int count = 0;
    for (int i = 0; i < 4; i++) {
        if (!(p->found->never >> i & 1u))
            continue;
        text_all(t, count++ ? "; it " : "Never in flight: what is switched here ", words[i], NULL);
    }
    text_put(t, ". The times only show what it would do. The approved handbook comes first.");
    if (count > 0)
        page_put(p, 0);
}

// Of what must stay: "Switched off by hand at 5:00: communication. " False: hands take none of it.
static bool taken(const endurance_page *p, bool lost, text *t) {
    const endurance *e = p->found;
    int count = 0;
    for (int i = 0; i < p->aircraft->function_count; i++) {
        if (!endurance_taken(e, i) || e->shed_lost[i] != lost)
            continue;
        if (count++) {
            text_put(t, ", ");
        } else {
            text_put(t, lost ? "Switched off by hand at " : "Reduced by hand at ");
            text_clock(t, e->noticed);
            text_put(t, ", though it must stay: ");
        }
        words_of_id(p->aircraft->functions[i].name, t);
    }
    text_put(t, count ? ". " : "");
    return count > 0;
}

static void say_first(endurance_page *p, const endurance_row *row, int which, bool rest, text *t) {
    text_put(t, low_words(p));
    words_of_id(p->aircraft->functions[which].name, t);
    text_all(t, " is the first of ", rest ? "the rest" : "what must stay",
             " to be reduced or lost, after ", NULL);
    endurance_time_words(p->found, row->at[ENDURANCE_LOW], t);
    text_put(t,
             page_flights(p) ? ". The first of them goes after " : ". In the middle case after ");
    endurance_time_words(p->found, row->at[ENDURANCE_MIDDLE], t);
    text_put(t, page_flights(p) ? " in the median flight, and in 5 % not before "
                                : ", with a new battery after ");
    endurance_time_words(p->found, row->at[ENDURANCE_NEW], t);
    text_put(t, ". Nobody can know in flight which of them it is.");
}

static void essential(endurance_page *p) {
    int which;
    endurance_row row = endurance_rest(p->report, &which);
    bool any = false;
    for (int i = 0; i < p->aircraft->function_count; i++)
        any = any ||
              (p->found->must_stay[i] && p->found->function_counts[i] && !p->found->shed_lost[i]);
    text *t = page_words(p);
    bool lost = taken(p, true, t), reduced = taken(p, false, t);
    if (which >= 0) {
        say_first(p, &row, which, lost || reduced, t);
    } else if (!any) {
        text_put(t, lost ? "Nothing else that must stay was working."
                         : "Nothing that must stay was working: name it with --keep, such as "
                           "--keep communication.");
    } else {
        text_all(t, low_words(p), lost || reduced ? "of the rest" : "of what must stay",
                 " nothing is reduced or lost for ", NULL);
        endurance_time_words(p->found, row.at[ENDURANCE_LOW], t);
        text_all(t, ". ", endurance_counts, NULL);
    }
    first_mute(p, any ? row.at[ENDURANCE_LOW] : ENDURANCE_OUTLASTS, t);
    page_put(p, 0);
}

static void kept_list(endurance_page *p) {
    text *t = page_words(p);
    text_put(t, p->report->stays_assumed ? "What must stay (assumed; --keep says otherwise): "
                                         : "What must stay, as asked: ");
    int count = 0;
    for (int i = 0; i < p->aircraft->function_count; i++) {
        if (!p->found->must_stay[i])
            continue;
        text_put(t, count++ ? ", " : "");
        words_of_id(p->aircraft->functions[i].name, t);
        if (!p->found->function_counts[i])
            text_put(t, " (not there to begin with)");
        if (endurance_taken(p->found, i))
            text_put(t, p->found->shed_lost[i] ? " (switched off)" : " (reduced by hand)");
    }
    text_char(t, '.');
    if (count > 0)
        page_put(p, 0);
}

static void draws(endurance_page *p) {
    text *t = page_words(p);
    double amps = p->found->amps < 0 ? -p->found->amps : p->found->amps;
    text_all(t, endurance_on_battery(p->aircraft, p->found) ? "As the sources are lost" : "Then",
             p->found->amps < 0 ? " the batteries are charged with " : " the batteries give ",
             NULL);
    endurance_amps_words(amps, t);
    text_char(t, '.');
    if (p->report->after != NULL) {
        text_put(t, " It is noticed after ");
        endurance_time_words(p->found, p->found->noticed, t);
        text_put(t, p->report->noticed_assumed
                        ? " (assumed; common practice of load analyses, no source), then: "
                        : ", then: ");
        say_moved(p);
    } else {
        text_put(t, " Nothing is switched off.");
    }
    page_put(p, 0);
    for (int i = 0; i < p->report->note_count; i++)
        wrap_words(p->out, p->out->length, 0, p->report->notes[i]);
}

void endurance_head(endurance_page *p) {
    title(p);
    sources(p);
    never(p);
    essential(p);
    kept_list(p);
    draws(p);
}
