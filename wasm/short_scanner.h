// libyaml's scanner has its tests and steps as macros, which unfold to half of its code. In the
// module they become calls of the functions below, whose bodies are those same macros. Included
// into scanner.c after its own macros (cmake/third_party.cmake); `p` is where the scanner reads.

typedef struct short_place {
    const yaml_char_t *pointer;
} short_place;

static __attribute__((noinline)) int short_break(const yaml_char_t *p) {
    short_place at = {p};
    return IS_BREAK(at);
}

static __attribute__((noinline)) int short_breakz(const yaml_char_t *p) {
    return *p == 0 || short_break(p);
}

static __attribute__((noinline)) int short_blankz(const yaml_char_t *p) {
    return *p == ' ' || *p == '\t' || short_breakz(p);
}

static __attribute__((noinline)) int short_alpha(const yaml_char_t *p) {
    short_place at = {p};
    return IS_ALPHA(at);
}

static __attribute__((noinline)) int short_cache(yaml_parser_t *parser, size_t length) {
    return CACHE(parser, length);
}

static __attribute__((noinline)) void short_skip(yaml_parser_t *parser) { SKIP(parser); }

static __attribute__((noinline)) void short_skip_line(yaml_parser_t *parser) { SKIP_LINE(parser); }

static __attribute__((noinline)) int short_read(yaml_parser_t *parser, yaml_string_t *string) {
    return READ(parser, *string);
}

static __attribute__((noinline)) int short_read_line(yaml_parser_t *parser, yaml_string_t *string) {
    return READ_LINE(parser, *string);
}

#undef IS_BREAK_AT
#undef IS_BREAKZ_AT
#undef IS_BLANKZ_AT
#undef IS_ALPHA_AT
#undef CACHE
#undef SKIP
#undef SKIP_LINE
#undef READ
#undef READ_LINE
#define IS_BREAK_AT(string, offset)  short_break((string).pointer + (offset))
#define IS_BREAKZ_AT(string, offset) short_breakz((string).pointer + (offset))
#define IS_BLANKZ_AT(string, offset) short_blankz((string).pointer + (offset))
#define IS_ALPHA_AT(string, offset)  short_alpha((string).pointer + (offset))
#define CACHE(parser, length)        short_cache(parser, length)
#define SKIP(parser)                 short_skip(parser)
#define SKIP_LINE(parser)            short_skip_line(parser)
#define READ(parser, string)         short_read(parser, &(string))
#define READ_LINE(parser, string)    short_read_line(parser, &(string))
