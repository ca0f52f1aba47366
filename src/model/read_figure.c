// Figures: [NUMBER to] NUMBER UNIT [at NUMBER UNIT] [BASIS [where]], and wires.
#include <string.h>

#include "base/number.h"
#include "model/reader.h"
#include "model/units.h"

// Reading one text from left to right.
typedef struct scan {
    reader *r;
    const node *n;
    const char *s;
    size_t length, i;
    const field *f;
    const char *whose;  // "a breaker's value", for messages
} scan;

static const char TRUE_MINUS[] = "\xE2\x88\x92";

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool starts_like_figure(const char *s) {
    if (*s == '+' || *s == '-')
        s++;
    else if (strncmp(s, TRUE_MINUS, 3) == 0)
        s += 3;
    return is_digit(*s) || (*s == '.' && is_digit(s[1]));
}

static void spaces(scan *c) {
    while (c->i < c->length && c->s[c->i] == ' ')
        c->i++;
}

static size_t word_length(const scan *c) {
    size_t n = 0;
    while (c->i + n < c->length && c->s[c->i + n] != ' ')
        n++;
    return n;
}

static bool word_is(const scan *c, const char *word) {
    return word_length(c) == strlen(word) && memcmp(c->s + c->i, word, strlen(word)) == 0;
}

static const char *rest(const scan *c) {
    const char *copy = arena_text(c->r->scratch, c->s + c->i, c->length - c->i);
    return copy ? copy : "";
}

static bool fail(scan *c, size_t from, const char *code, const char *hint, const char *a,
                 const char *b, const char *d) {
    size_t n = c->i > from ? c->i - from : c->length - from;
    say_error(c->r, node_part(c->n, from, n ? n : 1), code, hint, a, b, d, NULL);
    return false;
}

static bool read_number(scan *c, double *value) {
    size_t start = c->i;
    bool minus = c->length - c->i > 3 && memcmp(c->s + c->i, TRUE_MINUS, 3) == 0;
    if (minus)
        c->i += 3;
    int used = number_read(c->s + c->i, c->length - c->i, value);
    if (used < 0)
        return fail(c, start, "number", "", "a number here has at most 15 digits", "", "");
    if (used == 0)
        return fail(c, start, "number", "the figure comes first: a number and its unit", "'",
                    rest(c), "' is not a number");
    c->i += (size_t)used;
    if (minus)
        *value = -*value;
    char next = c->i < c->length ? c->s[c->i] : 0;
    if (next == ',' || next == '\'')
        return fail(c, start, "number", "", "use a point, and no mark between thousands", "", "");
    if ((next == 'e' || next == 'E') && c->i + 1 < c->length &&
        (is_digit(c->s[c->i + 1]) || c->s[c->i + 1] == '-' || c->s[c->i + 1] == '+'))
        return fail(c, start, "number", "", "write the number out, without an exponent", "", "");
    return true;
}

// Where people choose by how long a thing is.
static const char *unit_choices(unit u) {
    return u == UNIT_SECOND ? "s, min or h" : u == UNIT_METER ? "ft or m" : unit_usual(u);
}

// "A", "A or W"
const char *units_wanted(reader *r, uint32_t units) {
    const char *list = "";
    for (int u = 1; u <= UNIT_RATIO; u++) {
        if (units >> u & 1)
            list = join(
                r, (const char *const[]){list, *list ? " or " : "", unit_choices((unit)u), NULL});
    }
    return list;
}

static bool unit_missing(scan *c, size_t start, uint32_t units) {
    const char *number = arena_text(c->r->scratch, c->s + start, c->i - start);
    const char *wanted = units_wanted(c->r, units);
    return fail(
        c, start, "no-unit", "",
        join(c->r, (const char *const[]){"'", number ? number : "", "' has no unit: ", NULL}),
        c->whose, join(c->r, (const char *const[]){" is in ", wanted, NULL}));
}

// What people write instead of a unit.
static const char *unit_slip(const char *word) {
    static const char *const SLIPS[][2] = {
        {"amp", "A"},     {"amps", "A"},   {"ampere", "A"},    {"amperes", "A"},  {"a", "A"},
        {"volt", "V"},    {"volts", "V"},  {"v", "V"},         {"MA", "mA"},      {"ma", "mA"},
        {"hour", "h"},    {"hours", "h"},  {"minutes", "min"}, {"minute", "min"}, {"second", "s"},
        {"seconds", "s"}, {"sec", "s"},    {"watt", "W"},      {"watts", "W"},    {"w", "W"},
        {"percent", "%"}, {"ohms", "ohm"}, {"Ohm", "ohm"},     {"mOhm", "mohm"},  {"AH", "Ah"},
        {"ah", "Ah"},     {"RPM", "rpm"},  {"kts", "kt"},      {"knots", "kt"},   {"feet", "ft"},
        {"hz", "Hz"},     {"awg", "AWG"},
    };
    for (size_t i = 0; i < sizeof SLIPS / sizeof SLIPS[0]; i++) {
        if (strcmp(SLIPS[i][0], word) == 0)
            return SLIPS[i][1];
    }
    return NULL;
}

static bool read_unit(scan *c, size_t start, uint32_t units, const unit_word **made) {
    spaces(c);
    if (c->i >= c->length)
        return unit_missing(c, start, units);
    size_t used = 0;
    const unit_word *w = unit_read(c->s + c->i, c->length - c->i, &used);
    if (!w) {
        size_t n = word_length(c);
        const char *word = arena_text(c->r->scratch, c->s + c->i, n);
        const char *slip = word ? unit_slip(word) : NULL;
        size_t slip_used = 0;
        const unit_word *meant = slip ? unit_read(slip, strlen(slip), &slip_used) : NULL;
        if (!meant || !(units >> meant->unit & 1))
            slip = NULL;
        bool name = strncmp(c->whose, "the figure of ", 14) == 0;
        const char *hint = slip   ? join(c->r, (const char *const[]){"write ", slip, NULL})
                           : name ? "a name that starts with a digit goes in `label:`"
                                  : "";
        size_t at = c->i;
        c->i += n;
        return fail(
            c, at, "unknown-unit", hint,
            join(c->r, (const char *const[]){"'", word ? word : "", "' is not a unit: ", NULL}),
            c->whose,
            join(c->r, (const char *const[]){" is in ", units_wanted(c->r, units), NULL}));
    }
    c->i += used;
    if (!(units >> w->unit & 1)) {
        const char *written = arena_text(c->r->scratch, c->s + start, c->i - start);
        return fail(c, start, "wrong-unit", "",
                    join(c->r, (const char *const[]){"'", written ? written : "", "' is ",
                                                     unit_measures(w->unit), "; ", NULL}),
                    c->whose,
                    join(c->r, (const char *const[]){" is in ", units_wanted(c->r, units), NULL}));
    }
    *made = w;
    return true;
}

static double in_si(double number, const unit_word *w) { return (number + w->offset) * w->factor; }

// The end of a range with its unit; times as one says them.
static const char *end_words(scan *c, double end, unit u) {
    bool time = u == UNIT_SECOND;
    double shown = !time ? unit_factor(u) : end >= 3600 ? 3600 : end >= 60 ? 60 : 1;
    const char *word = !time ? unit_usual(u) : end >= 3600 ? "h" : end >= 60 ? "min" : "s";
    return join(c->r, (const char *const[]){number_words(c->r, end / shown), " ", word, NULL});
}

static bool in_range(scan *c, size_t start, const figure *g) {
    const field *f = c->f;
    double factor = 1;
    if (g->unit == UNIT_WATT && (f->units >> UNIT_AMP & 1))
        factor = c->r->a->nominal > 0 ? c->r->a->nominal : 28;  // a range in amps, at nominal volts
    if (g->unit == UNIT_PERCENT && (f->units >> UNIT_AMP & 1))
        factor = 0.01;  // a scale in amps or percent
    double low = f->low * factor;
    double high = f->high * factor;
    // Conversions may be off by an ulp: the ends belong to the range.
    double slack = 1e-12 * (high > -low ? high : -low);
    if (g->low >= low - slack && g->high <= high + slack)
        return true;
    bool alike = g->unit != UNIT_SECOND;  // both ends in one unit
    const char *least =
        alike ? number_words(c->r, low / unit_factor(g->unit)) : end_words(c, low, g->unit);
    const char *range =
        join(c->r, (const char *const[]){least, " to ", end_words(c, high, g->unit), NULL});
    return fail(c, start, "out-of-range", "a slip of unit or point?", c->whose, " must be from ",
                range);
}

bool read_date(const char *s, size_t length) {
    if (length != 10 || s[4] != '-' || s[7] != '-')
        return false;
    for (int i = 0; i < 10; i++) {
        if (i != 4 && i != 7 && !is_digit(s[i]))
            return false;
    }
    int month = (s[5] - '0') * 10 + s[6] - '0';
    int day = (s[8] - '0') * 10 + s[9] - '0';
    static const int DAYS[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (month < 1 || month > 12)
        return false;
    int year = 0;
    for (int i = 0; i < 4; i++)
        year = 10 * year + s[i] - '0';
    bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    return day >= 1 && day <= DAYS[month - 1] + (month == 2 && leap);
}

// A document that the papers don't list is worth a look, but nothing is wrong with the figure.
static void check_document(scan *c, size_t at, const char *where) {
    const char *space = strchr(where, ' ');
    const node *papers = node_entry(c->r->tree.root, "papers");
    if (!space || (where[0] >= '0' && where[0] <= '9'))
        return;
    const char *name = arena_text(c->r->scratch, where, (size_t)(space - where));
    if (name && !node_entry(papers, name))
        say_warning(c->r, node_part(c->n, at, strlen(name)), "unknown-document",
                    "add it with its revision", "'", name, "' is not a document of `papers`", NULL);
}

static bool read_figure_basis(scan *c, figure *g) {
    spaces(c);
    g->basis = BASIS_UNSTATED;
    g->where = "";
    if (c->i >= c->length)
        return true;
    if (word_is(c, "measured"))
        g->basis = BASIS_MEASURED;
    else if (word_is(c, "book"))
        g->basis = BASIS_BOOK;
    else if (word_is(c, "guess"))
        g->basis = BASIS_GUESS;
    else
        return fail(c, c->i, "figure-rest",
                    "after the unit: measured, book or guess; a placard goes in `label:`", "'",
                    rest(c), "' is left over after the figure");
    c->i += word_length(c);
    spaces(c);
    if (c->i < c->length) {
        const char *where = arena_text(c->r->keep, c->s + c->i, c->length - c->i);
        if (!where)
            return false;
        g->where = where;
        if (g->basis == BASIS_BOOK)
            check_document(c, c->i, where);
        if (g->basis == BASIS_MEASURED && !read_date(where, strlen(where)) && is_digit(where[0]))
            return fail(c, c->i, "date", "", "a date is written as 2026-03-02", "", "");
    }
    return true;
}

static bool read_at(scan *c, figure *g) {
    spaces(c);
    if (!word_is(c, "at"))
        return true;
    size_t start = c->i;
    if (!c->f->at_units)
        return fail(c, start, "at", "", c->whose, " takes no 'at'", "");
    c->i += 2;
    spaces(c);
    double number = 0;
    const unit_word *w = NULL;
    start = c->i;
    if (!read_number(c, &number) || !read_unit(c, start, c->f->at_units, &w) || !w)
        return false;
    g->at = in_si(number, w);
    g->at_unit = w->unit;
    if (!(g->at > 0))
        return fail(c, start, "out-of-range", "", "what stands after 'at' must be above 0", "", "");
    return true;
}

bool read_figure(reader *r, const node *n, size_t start, const field *f, const char *whose,
                 figure *made) {
    *made = (figure){.where = "", .span = node_part(n, start, n->length - start)};
    scan c = {
        .r = r, .n = n, .s = n->text, .length = n->length, .i = start, .f = f, .whose = whose};
    while (c.length > start && c.s[c.length - 1] == ' ')
        c.length--;
    double low = 0;
    double high = 0;
    if (!read_number(&c, &low))
        return false;
    high = low;
    spaces(&c);
    bool ratio = f->units == (UINT32_C(1) << UNIT_RATIO);
    size_t used = 0;
    bool to_one = ratio && unit_read(c.s + c.i, c.length - c.i, &used);
    if (word_is(&c, "to") && !to_one) {
        c.i += 2;
        spaces(&c);
        if (!read_number(&c, &high))
            return false;
        if (high < low)
            return fail(&c, start, "band", "", "the lower end of a band comes first", "", "");
    }
    const unit_word *w = NULL;
    if (!read_unit(&c, start, f->units, &w) || !w)
        return false;
    made->unit = w->unit;
    made->low = in_si(low, w);
    made->high = in_si(high, w);
    made->value = made->low == made->high ? made->low : 0.5 * (made->low + made->high);
    size_t end = c.i;
    if (!read_at(&c, made) || !read_figure_basis(&c, made))
        return false;
    c.i = end;
    return in_range(&c, start, made);
}

// ---- wires --------------------------------------------------------------------------------------

static bool read_gauge(scan *c, int *gauge) {
    size_t n = word_length(c);
    const char *g = c->s + c->i;
    if (n == 3 && g[1] == '/' && g[2] == '0' && g[0] >= '1' && g[0] <= '4') {
        *gauge = '1' - g[0];
        c->i += n;
        return true;
    }
    double value = 0;
    size_t start = c->i;
    if (!read_number(c, &value))
        return false;
    *gauge = (int)value;
    if (value < 0 || value > 24 || value != *gauge)
        return fail(c, start, "gauge", "", "a gauge is 4/0 to 1/0, or 0 to 24 AWG", "", "");
    return true;
}

bool looks_like_wire(const char *s) { return is_digit(s[0]); }

bool read_wire(reader *r, const node *n, wire_run *made) {
    static const field LENGTH = {.units = UINT32_C(1) << UNIT_METER, .low = 0.01, .high = 100};
    *made = (wire_run){.where = ""};
    scan c = {.r = r,
              .n = n,
              .s = n->text,
              .length = n->length,
              .f = &LENGTH,
              .whose = "a wire's length"};
    spaces(&c);
    if (!read_gauge(&c, &made->gauge))
        return false;
    spaces(&c);
    if (!word_is(&c, "AWG"))
        return fail(&c, c.i < c.length ? c.i : 0, "wire", "", "a wire is written as `16 AWG 12 ft`",
                    "", "");
    c.i += 3;
    spaces(&c);
    if (c.i >= c.length)
        return fail(&c, 0, "wire", "", "a wire needs its length: `16 AWG 12 ft`", "", "");
    figure length;
    if (!read_figure(r, n, c.i, &LENGTH, "a wire's length", &length))
        return false;
    made->meters = length.value;
    made->basis = length.basis;
    made->where = length.where;
    return true;
}
