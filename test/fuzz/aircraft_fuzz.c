// Any bytes as an aircraft file, any command about it. Eight bytes choose the question, the rest is
// the file. Besides what libFuzzer does by itself, files are changed by their lines: aeroplanes
// that are nearly right reach further than noise does.
#include "fuzz/fuzz_question.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t room, unsigned seed);
size_t LLVMFuzzerCustomCrossOver(const uint8_t *one, size_t one_size, const uint8_t *other,
                                 size_t other_size, uint8_t *out, size_t room, unsigned seed);
size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t room);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    fuzz_ask_bytes(data, size);
    return 0;
}

static unsigned next(unsigned *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

typedef struct piece {
    size_t start, end;
} piece;

// Some line of the file, its end included.
static piece some_line(const uint8_t *data, size_t size, unsigned *seed) {
    size_t at = FUZZ_CHOICES + next(seed) % (size - FUZZ_CHOICES), end = at;
    while (at > FUZZ_CHOICES && data[at - 1] != '\n')
        at--;
    while (end < size && data[end++] != '\n') {
    }
    return (piece){at, end};
}

static bool is_word_byte(uint8_t c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '.';
}

static piece some_word(const uint8_t *data, size_t size, unsigned *seed) {
    size_t at = FUZZ_CHOICES + next(seed) % (size - FUZZ_CHOICES);
    while (at < size && !is_word_byte(data[at]))
        at++;
    while (at > FUZZ_CHOICES && is_word_byte(data[at - 1]))
        at--;
    size_t end = at;
    while (end < size && is_word_byte(data[end]))
        end++;
    return (piece){at, end};
}

// Puts `from` of the same data in the place of `to`; unchanged if there is no room.
static size_t replace(uint8_t *data, size_t size, size_t room, piece to, piece from) {
    size_t length = from.end - from.start, gone = to.end - to.start;
    if (size - gone + length > room)
        return size;
    uint8_t *copy = malloc(length + 1);
    if (!copy)
        return size;
    memcpy(copy, data + from.start, length);
    memmove(data + to.start + length, data + to.end, size - to.end);
    memcpy(data + to.start, copy, length);
    free(copy);
    return size - gone + length;
}

// Another figure: mostly the file stays right, and what is computed changes.
static void change_digit(uint8_t *data, size_t size, unsigned *seed) {
    size_t at = FUZZ_CHOICES + next(seed) % (size - FUZZ_CHOICES);
    while (at < size && (data[at] < '0' || data[at] > '9'))
        at++;
    if (at < size)
        data[at] = (uint8_t)('0' + next(seed) % 10);
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t room, unsigned seed) {
    if (size <= FUZZ_CHOICES + 1 || next(&seed) % 4 == 0)
        return LLVMFuzzerMutate(data, size, room);
    int rounds = 1 + (int)(next(&seed) % 3);
    for (int i = 0; i < rounds && size > FUZZ_CHOICES + 1; i++) {
        piece line = some_line(data, size, &seed), other = some_line(data, size, &seed);
        piece nothing = {line.start, line.start};
        switch (next(&seed) % 12) {
        case 0: size = replace(data, size, room, line, nothing); break;
        case 1: size = replace(data, size, room, nothing, other); break;
        case 2: size = replace(data, size, room, line, other); break;
        case 3:
        case 4:
        case 5: data[next(&seed) % FUZZ_CHOICES] = (uint8_t)next(&seed); break;
        case 6:
        case 7:
        case 8: change_digit(data, size, &seed); break;
        default:
            size = replace(data, size, room, some_word(data, size, &seed),
                           some_word(data, size, &seed));
        }
    }
    return size;
}

// The question of one with lines of both files.
size_t LLVMFuzzerCustomCrossOver(const uint8_t *one, size_t one_size, const uint8_t *other,
                                 size_t other_size, uint8_t *out, size_t room, unsigned seed) {
    size_t size = one_size < room ? one_size : room;
    memcpy(out, one, size);
    for (int i = 0; i < 3 && size > FUZZ_CHOICES && other_size > FUZZ_CHOICES; i++) {
        piece from = some_line(other, other_size, &seed), to = some_line(out, size, &seed);
        size_t length = from.end - from.start;
        if (size + length > room)
            break;
        memmove(out + to.start + length, out + to.start, size - to.start);
        memcpy(out + to.start, other + from.start, length);
        size += length;
    }
    return size;
}
