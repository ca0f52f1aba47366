// What a page carries packed is unpacked by this: a module of its own, of 1.6 kilobytes, that runs
// before the core. LZMA as its specification tells it (in the public domain; from memory), with lp
// and pb 0, lc 4 and no header, as `xz --format=raw --lzma1=lc=4,lp=0,pb=0` writes it: a tenth
// smaller than what browsers unpack by themselves, in a page that is mostly packed code.
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    LITERAL_BITS = 4,  // of the byte before: they choose a literal's model
    HALF = 1024,       // a bit's chance before anything is known, of 2048
    STATES = 12,
    LENGTHS = 2 + 8 + 8 + 256,
};

// Where each model's chances stand.
enum {
    IS_MATCH = 0,
    IS_REP = IS_MATCH + STATES,
    IS_REP0 = IS_REP + STATES,
    IS_REP1 = IS_REP0 + STATES,
    IS_REP2 = IS_REP1 + STATES,
    IS_LONG = IS_REP2 + STATES,
    SLOT = IS_LONG + STATES,
    SPECIAL = SLOT + 4 * 64,
    ALIGN = SPECIAL + 128,
    LENGTH = ALIGN + 16,
    REP_LENGTH = LENGTH + LENGTHS,
    LITERAL = REP_LENGTH + LENGTHS,
    CHANCES = LITERAL + (0x300 << LITERAL_BITS),
};

typedef struct reader {
    const uint8_t *next, *end;
    uint32_t range, code;
} reader;

static uint16_t chances[CHANCES];

static uint32_t next_byte(reader *r) { return r->next < r->end ? *r->next++ : 0; }

static void shift(reader *r) {
    if (r->range >= 1u << 24)
        return;
    r->range <<= 8;
    r->code = r->code << 8 | next_byte(r);
}

static uint32_t bit(reader *r, uint32_t model) {
    uint32_t chance = chances[model];
    uint32_t bound = (r->range >> 11) * chance;
    uint32_t one = r->code >= bound;
    if (one) {
        r->range -= bound;
        r->code -= bound;
        chance -= chance >> 5;
    } else {
        r->range = bound;
        chance += (2 * HALF - chance) >> 5;
    }
    chances[model] = (uint16_t)chance;
    shift(r);
    return one;
}

static uint32_t tree(reader *r, uint32_t model, int bits) {
    uint32_t m = 1;
    for (int i = 0; i < bits; i++)
        m = m << 1 | bit(r, model + m);
    return m - (1u << bits);
}

// The lowest bit first.
static uint32_t reverse(reader *r, uint32_t model, int bits) {
    uint32_t m = 1, out = 0;
    for (int i = 0; i < bits; i++) {
        uint32_t one = bit(r, model + m);
        m = m << 1 | one;
        out |= one << i;
    }
    return out;
}

// Bits that no model knows anything about.
static uint32_t plain(reader *r, int bits) {
    uint32_t out = 0;
    for (int i = 0; i < bits; i++) {
        r->range >>= 1;
        uint32_t one = r->code >= r->range;
        r->code -= one ? r->range : 0;
        out = out << 1 | one;
        shift(r);
    }
    return out;
}

static uint32_t length_of(reader *r, uint32_t model) {
    if (!bit(r, model))
        return tree(r, model + 2, 3);
    if (!bit(r, model + 1))
        return 8 + tree(r, model + 10, 3);
    return 16 + tree(r, model + 18, 8);
}

static uint32_t distance_of(reader *r, uint32_t length) {
    uint32_t slot = tree(r, SLOT + 64 * (length < 3 ? length : 3), 6);
    if (slot < 4)
        return slot;
    int bits = (int)(slot >> 1) - 1;
    uint32_t far = (2 | (slot & 1)) << bits;
    if (slot < 14)
        return far + reverse(r, SPECIAL + far - slot, bits);
    far += plain(r, bits - 4) << 4;
    return far + reverse(r, ALIGN, 4);
}

// `match`: the byte at the last distance, which tells something of a literal after a match.
static uint8_t literal(reader *r, uint8_t before, bool told, uint32_t match) {
    uint32_t model = LITERAL + 0x300u * (before >> (8 - LITERAL_BITS)), m = 1;
    while (told && m < 0x100) {
        uint32_t expected = match >> 7 & 1;
        uint32_t one = bit(r, model + ((1 + expected) << 8) + m);
        m = m << 1 | one;
        match <<= 1;
        told = one == expected;
    }
    while (m < 0x100)
        m = m << 1 | bit(r, model + m);
    return (uint8_t)m;
}

typedef struct writer {
    uint8_t *start, *next, *end;
    uint32_t back[4];  // the last distances, the latest first
    int state;
} writer;

static uint8_t behind(const writer *w, uint32_t back) {
    return (size_t)(w->next - w->start) > back ? w->next[-(ptrdiff_t)back - 1] : 0;
}

static void bring_forward(writer *w, int which) {
    uint32_t wanted = w->back[which];
    for (int i = which; i > 0; i--)
        w->back[i] = w->back[i - 1];
    w->back[0] = wanted;
}

// How far a match goes, which is `back[0]` then; -1: the one byte there.
static int match_length(reader *r, writer *w) {
    int state = w->state;
    if (!bit(r, IS_REP + (uint32_t)state)) {
        uint32_t length = length_of(r, LENGTH);
        bring_forward(w, 3);
        w->back[0] = distance_of(r, length);
        w->state = state < 7 ? 7 : 10;
        return (int)length;
    }
    if (!bit(r, IS_REP0 + (uint32_t)state)) {
        if (!bit(r, IS_LONG + (uint32_t)state)) {
            w->state = state < 7 ? 9 : 11;
            return -1;
        }
    } else if (!bit(r, IS_REP1 + (uint32_t)state)) {
        bring_forward(w, 1);
    } else {
        bring_forward(w, bit(r, IS_REP2 + (uint32_t)state) ? 3 : 2);
    }
    w->state = state < 7 ? 8 : 11;
    return (int)length_of(r, REP_LENGTH);
}

static void step(reader *r, writer *w) {
    int state = w->state;
    if (!bit(r, IS_MATCH + (uint32_t)state)) {
        *w->next = literal(r, behind(w, 0), state >= 7, behind(w, w->back[0]));
        w->next++;
        w->state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
        return;
    }
    // What is copied may be what has just been written.
    for (int left = match_length(r, w) + 2; left > 0 && w->next < w->end; left--) {
        *w->next = behind(w, w->back[0]);
        w->next++;
    }
}

extern uint8_t __heap_base[];  // the linker's: where the module's own data end

__attribute__((export_name("room"))) uint8_t *unpack_room(void);
__attribute__((export_name("unpack"))) void unpack_lzma(size_t packed, size_t size);

// Where the packed bytes go; what they unpack to comes right behind them. Whoever calls sees to it
// that the memory is large enough for both.
uint8_t *unpack_room(void) { return __heap_base; }

void unpack_lzma(size_t packed, size_t size) {
    for (int i = 0; i < CHANCES; i++)
        chances[i] = HALF;
    reader r = {.next = __heap_base + 1, .end = __heap_base + packed, .range = UINT32_MAX};
    for (int i = 0; i < 4; i++)
        r.code = r.code << 8 | next_byte(&r);
    writer w = {.start = __heap_base + packed};
    w.next = w.start;
    w.end = w.start + size;
    while (w.next < w.end)
        step(&r, &w);
}
