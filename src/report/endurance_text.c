// How long it lasts, as plain text: the low case first, a pilot's figures rounded down to a minute.
#include <string.h>

#include "base/stable_sort.h"
#include "model/certification.h"
#include "model/part_words.h"
#include "report/endurance_page.h"
#include "report/endurance_words.h"
#include "report/outcome_parts.h"
#include "report/wrap.h"

// Columns of the lists: three times, then what it is about.
enum { TIME_AT = 2, TIME_WIDTH = 13, NAMES_AT = TIME_AT + 3 * TIME_WIDTH + 2 };
enum { UNKNOWNS_SAID = 6 };
#define LEAST_SHARE   0.03
#define LOOKS_IN_DAYS 259200.0  // seconds

// ---- rows of three times and what they are about -----------------------------------------------
typedef struct row {
    endurance_row times;
    int what;
} row;

static double end_of(const row *r, int i) { return r->times.at[i] < 0 ? 1e300 : r->times.at[i]; }

static int earlier(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const row *x = a, *y = b;
    for (int i = 0; i < ENDURANCE_CASES; i++)
        if (end_of(x, i) != end_of(y, i))
            return end_of(x, i) < end_of(y, i) ? -1 : 1;
    return 0;
}

static void put_heading(endurance_page *p, const char *heading) {
    size_t line = p->out->length + 1;
    static const char *const by_case[] = {"low", "middle", "new battery"};
    static const char *const by_flight[] = {"low 5 %", "median", "95 %"};
    const char *const *cases = page_flights(p) ? by_flight : by_case;
    text_char(p->out, '\n');
    for (int i = 0; i < ENDURANCE_CASES; i++)
        wrap_right(p->out, line, TIME_AT + (size_t)i * TIME_WIDTH, TIME_WIDTH - 1, cases[i]);
    wrap_left(p->out, line, NAMES_AT, heading);
    text_char(p->out, '\n');
}

// "more than 4 h" is said "> 4 h" here.
static void put_times(endurance_page *p, size_t line, const endurance_row *times) {
    for (int i = 0; i < ENDURANCE_CASES; i++) {
        text *t = page_words(p);
        if (times->at[i] < 0)
            text_put(t, "> ");
        endurance_span_words(times->at[i] < 0 ? p->found->lasts : times->at[i], t);
        wrap_right(p->out, line, TIME_AT + (size_t)i * TIME_WIDTH, TIME_WIDTH - 1, text_get(t));
    }
}

typedef void (*say_what)(endurance_page *p, int what, text *t);

static void say_part(endurance_page *p, int what, text *t) {
    part_short_name(p->aircraft, what, t);
    text_put(t, p->found->blank[what] ? " (no data)" : "");
}

static bool same_minutes(const row *a, const row *b) {
    for (int i = 0; i < ENDURANCE_CASES; i++) {
        double x = a->times.at[i], y = b->times.at[i];
        if ((x < 0) != (y < 0) || (x >= 0 && (int64_t)(x / 60) != (int64_t)(y / 60)))
            return false;
    }
    return true;
}

// Rows that say the same times are one.
static void put_rows(endurance_page *p, const char *heading, row *rows, int count, say_what say) {
    if (count == 0)
        return;
    stable_sort(rows, (size_t)count, sizeof *rows, NULL, earlier, NULL);
    put_heading(p, heading);
    for (int i = 0, next; i < count; i = next) {
        for (next = i + 1; next < count && same_minutes(&rows[i], &rows[next]);)
            next++;
        size_t line = p->out->length;
        put_times(p, line, &rows[i].times);
        text *t = page_words(p);
        for (int k = i; k < next; k++) {
            text_put(t, k > i ? ", " : "");
            say(p, rows[k].what, t);
        }
        wrap_words(p->out, line, NAMES_AT, text_get(t));
    }
}

static row row_of(const endurance_page *p, int what, size_t of) {
    row r = {.what = what};
    for (int i = 0; i < ENDURANCE_CASES; i++) {
        const char *times = (const char *)&p->found->of[i];
        r.times.at[i] = (*(double *const *)(const void *)(times + of))[what];
    }
    return r;
}

static bool lost_somewhere(const row *r) {
    for (int i = 0; i < ENDURANCE_CASES; i++)
        if (r->times.at[i] >= 0)
            return true;
    return false;
}

// In none of the columns.
static bool stays_on(const endurance_page *p, int i) {
    if (!p->found->counts[i] || p->found->shed[i])
        return false;
    row r = row_of(p, i, offsetof(endurance_times, items));
    return !lost_somewhere(&r);
}

// In so few flights that no column tells.
static bool rarely(endurance_page *p) {
    text *t = page_words(p);
    int n = 0;
    for (int i = 0; i < p->aircraft->part_count && page_flights(p); i++) {
        if (!stays_on(p, i) || p->found->items_lost[i] == 0)
            continue;
        text_put(t, n++ ? ", " : "In fewer than one flight of twenty: ");
        part_short_name(p->aircraft, i, t);
        text_put(t, " (in ");
        text_int(t, p->found->items_lost[i]);
        text_put(t, ")");
    }
    text_char(t, '.');
    if (n > 0)
        page_put(p, TIME_AT);
    return n > 0;
}

static void items(endurance_page *p, row *rows) {
    int count = 0, stays = 0;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (!p->found->counts[i])
            continue;
        rows[count] = row_of(p, i, offsetof(endurance_times, items));
        if (lost_somewhere(&rows[count]))
            count++;
        else if (!p->found->shed[i])
            stays += p->found->items_lost[i] == 0;
    }
    put_rows(p, "drops out", rows, count, say_part);
    bool some = rarely(p) || count > 0;
    if (stays == 0)
        return;
    text *t = page_words(p);
    text_all(t, some ? "In no " : "Nothing drops out in any ", page_flights(p) ? "flight" : "case",
             " within ", NULL);
    endurance_time_words(p->found, p->found->lasts, t);
    for (int i = 0, n = 0; i < p->aircraft->part_count && some; i++) {
        if (!stays_on(p, i) || p->found->items_lost[i] > 0)
            continue;
        text_put(t, n++ ? ", " : ": ");
        part_short_name(p->aircraft, i, t);
    }
    text_char(t, '.');
    page_put(p, TIME_AT);
}

// What a row is about, times part_count and the part.
enum { ROW_MUTE, ROW_OFF, ROW_MUTE_FIRST, ROW_MUTE_FOR_GOOD };

static void say_transmitting(endurance_page *p, int what, text *t) {
    static const char *const words[] = {" transmits no more", " off",
                                        " transmits no more for the first time",
                                        " transmits no more for good"};
    part_short_name(p->aircraft, what % p->aircraft->part_count, t);
    text_put(t, words[what / p->aircraft->part_count]);
}

// In the low case, by a minute of those that are shown.
static bool goes_earlier(const row *a, const row *b) {
    double x = a->times.at[0], y = b->times.at[0];
    return x >= 0 && (y < 0 || (int64_t)(x / 60) < (int64_t)(y / 60));
}

static void transmitting(endurance_page *p, row *rows) {
    int count = 0, all = p->aircraft->part_count;
    for (int i = 0; i < all; i++) {
        if (!p->found->counts[i] || p->found->shed[i])
            continue;
        row mute = row_of(p, i, offsetof(endurance_times, mute));
        row off = row_of(p, i, offsetof(endurance_times, off_transmitting));
        row gone = row_of(p, i, offsetof(endurance_times, items));
        row good = row_of(p, i, offsetof(endurance_times, mute_for_good));
        bool comes_back = !page_flights(p) && !same_minutes(&mute, &good);
        off.what = i + ROW_OFF * all;
        good.what = i + ROW_MUTE_FOR_GOOD * all;
        mute.what = i + (comes_back ? ROW_MUTE_FIRST : ROW_MUTE) * all;
        if (comes_back && lost_somewhere(&good))
            rows[count++] = good;
        if (lost_somewhere(&mute))
            rows[count++] = mute;
        // Of what goes in the same minute anyway it is no news.
        else if (goes_earlier(&off, &gone))
            rows[count++] = off;
    }
    put_rows(p, "while a radio transmits", rows, count, say_transmitting);
}

// Of what goes in the same minute anyway it is no news.
static void running(endurance_page *p, row *rows) {
    int count = 0;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (!p->found->counts[i] || p->found->shed[i])
            continue;
        row off = row_of(p, i, offsetof(endurance_times, off_running));
        row gone = row_of(p, i, offsetof(endurance_times, items));
        off.what = i + ROW_OFF * p->aircraft->part_count;
        if (goes_earlier(&off, &gone))
            rows[count++] = off;
    }
    put_rows(p, "while the heaviest load runs", rows, count, say_transmitting);
}

static void switched_off(endurance_page *p) {
    text *t = page_words(p);
    int n = 0;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (!p->found->shed[i] || !p->found->counts[i])
            continue;
        text_put(t, n++ ? ", " : "Switched off by hand: ");
        part_short_name(p->aircraft, i, t);
    }
    text_char(t, '.');
    if (n > 0)
        page_put(p, TIME_AT);
}

static void taken_functions(endurance_page *p, bool lost, const char *heading) {
    const endurance *e = p->found;
    text *t = page_words(p);
    int n = 0;
    for (int i = 0; i < p->aircraft->function_count; i++) {
        if (!e->function_counts[i] || !e->shed_functions[i] || e->shed_lost[i] != lost ||
            endurance_by_itself(e, ENDURANCE_LOW, i, lost) >= 0)
            continue;
        text_put(t, n++ ? ", " : heading);
        words_of_id(p->aircraft->functions[i].name, t);
    }
    text_char(t, '.');
    if (n > 0)
        page_put(p, TIME_AT);
}

// `what`: index of a function, or that and function_count: reduced only.
static void say_function(endurance_page *p, int what, text *t) {
    int count = p->aircraft->function_count;
    words_of_id(p->aircraft->functions[what % count].name, t);
    if (what >= count)
        text_put(t, " reduced");
}

static row function_row(const endurance_page *p, int i, bool lost) {
    row r = {.what = lost ? i : i + p->aircraft->function_count};
    for (int k = 0; k < ENDURANCE_CASES; k++)
        r.times.at[k] = endurance_by_itself(p->found, k, i, lost);
    return r;
}

static void functions(endurance_page *p, row *rows) {
    int count = 0;
    for (int i = 0; i < p->aircraft->function_count; i++) {
        if (!p->found->function_counts[i])
            continue;
        row lost = function_row(p, i, true), reduced = function_row(p, i, false);
        if (lost_somewhere(&reduced) && earlier(&reduced, &lost, NULL) != 0)
            rows[count++] = reduced;
        if (lost_somewhere(&lost))
            rows[count++] = lost;
    }
    put_rows(p, "function lost or reduced", rows, count, say_function);
}

static void say_lets_go(endurance_page *p, int what, text *t) {
    part_short_name(p->aircraft, what, t);
    text_put(t, " lets go: what is behind it goes, however much is left, and may not come back");
}

static void say_exhausted(endurance_page *p, int what, text *t) {
    part_short_name(p->aircraft, what, t);
    text_put(t, " empty");
}

static void say_charge(endurance_page *p, int battery, const char *when, bool noticed) {
    text *t = page_words(p);
    part_sentence_name(p->aircraft, battery, t);
    text_all(t, ", charge left ", when, ": ", NULL);
    static const char *const by_case[] = {" low, ", " middle, ", " new."};
    static const char *const by_flight[] = {" (5 %), ", " (median), ", " (95 %)."};
    const char *const *join = page_flights(p) ? by_flight : by_case;
    for (int i = 0; i < ENDURANCE_CASES; i++) {
        const endurance_times *times = &p->found->of[i];
        words_figure(t, 100 * (noticed ? times->charge_noticed : times->charge)[battery], 0, "%");
        text_put(t, join[i]);
    }
    page_put(p, TIME_AT);
}

static bool any_taken(const endurance_page *p) {
    for (int i = 0; i < p->aircraft->function_count; i++)
        if (endurance_taken(p->found, i))
            return true;
    return false;
}

static void ends(endurance_page *p, row *rows) {
    int count = 0;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (!p->found->holds[i])
            continue;
        rows[count] = row_of(p, i, offsetof(endurance_times, lets_go));
        count += lost_somewhere(&rows[count]);
    }
    put_rows(p, "contactor or relay", rows, count, say_lets_go);
    count = 0;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (!p->found->batteries[i])
            continue;
        rows[count] = row_of(p, i, offsetof(endurance_times, exhausted));
        count += lost_somewhere(&rows[count]);
    }
    put_rows(p, "battery", rows, count, say_exhausted);
    text_char(p->out, '\n');
    for (int i = 0; i < p->aircraft->part_count; i++) {
        if (!p->found->batteries[i])
            continue;
        if (p->report->after != NULL)
            say_charge(p, i, "when it is noticed", true);
        say_charge(p, i,
                   any_taken(p) ? "when the first of the rest goes, or at the end"
                                : "when the first of what must stay goes, or at the end",
                   false);
    }
}

// ---- beside it ---------------------------------------------------------------------------------
static void linear_method(endurance_page *p) {
    const endurance *e = p->found;
    wrap_heading(p->out, "The linear method of load analyses, beside it");
    text *t = page_words(p);
    text_put(t, "Charge ");
    words_figure(t, e->ampere_hours / e->linear_derating, 1, "Ah");
    text_put(t, " × ");
    text_fixed(t, e->linear_derating, 2);
    text_put(t, " (age and cold; common practice, no source) = ");
    words_figure(t, e->ampere_hours, 1, "Ah");
    if (e->linear < 0) {
        text_put(t, ": the batteries give nothing that it could be divided by.");
        page_put(p, TIME_AT);
        return;
    }
    text_put(t, ", over ");
    if (e->amps < 1)
        endurance_amps_words(e->amps, t);
    else
        words_figure(t, e->amps, 1, "A");
    text_put(t, ": ");
    endurance_time_words(e, e->linear > e->lasts ? ENDURANCE_OUTLASTS : e->linear, t);
    text_put(t, ". It knows neither that fast discharge takes capacity, nor the sag, nor the volts "
                "below which each item drops out, nor what is switched off later.");
    page_put(p, TIME_AT);
}

static void figure_asked(endurance_page *p) {
    battery_figure f = certification_battery(p->aircraft);
    wrap_heading(p->out, "The 30- or 60-minute question");
    text *t = page_words(p);
    if (!f.applies) {
        text_put(t, "No figure applies: ");
        if (f.basis != NULL)
            text_all(t, "the file says certified under \"", f.basis, "\".", NULL);
        else
            text_put(t, "the file's papers don't say what it is certified under.");
    } else {
        text_all(t, "The file says certified under \"", f.basis,
                 "\": 14 CFR 23.1353(h) (from memory) then asks of the battery at least ", NULL);
        text_int(t, f.minutes);
        text_put(t, " minutes");
        if (f.minutes_high) {
            text_put(t, ", above 25,000 feet ");
            text_int(t, f.minutes_high);
            text_put(t, " minutes,");
        }
        text_put(t, " for the loads essential to continued safe flight and landing. That is a "
                    "design figure of a battery that passes its capacity test, with everything "
                    "else off; the approved handbook says what is promised for this aeroplane.");
    }
    page_put(p, TIME_AT);
}

static const char *paper_of(const endurance_page *p, const char *key) {
    for (int i = 0; i < p->aircraft->paper_count; i++)
        if (text_equal(p->aircraft->papers[i].key, key))
            return p->aircraft->papers[i].value;
    return NULL;
}

static const char in_cases[] =
    "The battery: low case 80 % of its capacity when new (at which it is rejected) and the colder "
    "of the published figures for cold; middle case 90 %; new 100 %. All three are choices. ";
static const char in_flights[] =
    "Drawn for each flight, all choices: the battery's capacity, from 80 % of a new one (at which "
    "it is rejected) to all of it; which of the published figures for cold holds; charge 15 % and "
    "temperature 10 °C either way, where they weren't asked; whether a label without a rate means "
    "one hour or twenty; what each item draws, within its band or by its basis from 2 % (measured) "
    "to 35 % (assumed); the volts that are too few for it, 1 % to 6 %. ";

// Which unknown would be worth knowing, the largest share first.
static void unknowns(endurance_page *p) {
    if (!page_flights(p))
        return;
    text *t = page_words(p);
    text_int(t, p->found->flights);
    text_put(t, " flights, seed ");
    text_int(t, (int64_t)p->found->seed);
    text_put(t, ". What they differ by comes from: ");
    int n = 0;
    for (int i = 0; i < p->found->unknown_count && n < UNKNOWNS_SAID; i++) {
        if (p->found->unknowns[i].share < LEAST_SHARE)
            continue;
        text_put(t, n++ ? ", " : "");
        endurance_unknown_words(p->aircraft, &p->found->unknowns[i], t);
        text_char(t, ' ');
        words_figure(t, 100 * p->found->unknowns[i].share, 0, "%");
    }
    text_put(t, n ? "." : "nothing that stands out.");
    wrap_heading(p->out, "Which unknown matters");
    wrap_words(p->out, p->out->length, TIME_AT, text_get(t));
}

static void assumptions(endurance_page *p) {
    int counts[BASIS_MEASURED + 1], total = 0;
    static const char *const words[] = {" are assumed, ", " guessed, ",
                                        " written without saying where from, ", " from a book, ",
                                        " measured."};
    endurance_basis(p->aircraft, counts);
    for (int i = 0; i <= BASIS_MEASURED; i++)
        total += counts[i];
    wrap_heading(p->out, "What this rests on");
    text *t = page_words(p);
    text_put(t, "Of ");
    text_int(t, total);
    text_put(t, " figures ");
    for (int i = 0; i <= BASIS_MEASURED; i++) {
        text_int(t, counts[i]);
        text_put(t, words[i]);
    }
    page_put(p, TIME_AT);
    const char *test = paper_of(p, "capacity-test");
    t = page_words(p);
    text_put(t, page_flights(p) ? in_flights : in_cases);
    text_all(t, test ? "Its last capacity test, by the file: " : "The file has no capacity test",
             test ? test : "", ". They hold only if it passed one.", NULL);
    page_put(p, TIME_AT);
    wrap_words(
        p->out, p->out->length, TIME_AT,
        "Assumed besides: charge as the file or --charge says, a loaded battery's sag, the "
        "least volts of an item where the file gives none. Nothing else fails. What draws "
        "part of the time goes on and off (what moves, and in flights: its average; what goes "
        "while the heaviest load runs is told apart); transmitting leaves less. A start's charge "
        "is soon put back; `run` tells its dip.");
    if (p->found->lasts > LOOKS_IN_DAYS)
        wrap_words(p->out, p->out->length, TIME_AT,
                   "A battery at rest loses charge by itself, too, a warm or an old one more: that "
                   "isn't in these days.");
    text_char(p->out, '\n');
    wrap_words(p->out, p->out->length, 0, p->report->caution);
    wrap_words(p->out, p->out->length, 0,
               "No minutes are promised: the approved handbook's procedure for the loss of the "
               "source comes first.");
    wrap_words(p->out, p->out->length, 0, caution_smoke);
}

void endurance_text(const endurance_report *r, text *out) {
    endurance_page p = {r, r->aircraft, r->found, out, text_make(out->memory)};
    int most = r->aircraft->part_count > r->aircraft->function_count ? r->aircraft->part_count
                                                                     : r->aircraft->function_count;
    arena memory = arena_make(out->memory);
    row *rows = arena_new(&memory, 2 * (size_t)most + 1, sizeof *rows);
    if (rows != NULL) {
        endurance_head(&p);
        items(&p, rows);
        switched_off(&p);
        taken_functions(&p, true, "Functions that are gone by that: ");
        taken_functions(&p, false, "Functions that are reduced by that: ");
        transmitting(&p, rows);
        running(&p, rows);
        functions(&p, rows);
        ends(&p, rows);
        unknowns(&p);
        linear_method(&p);
        figure_asked(&p);
        assumptions(&p);
    }
    if (p.words.failed || rows == NULL)
        out->failed = true;
    text_free(&p.words);
    arena_free(&memory);
}
