#include "ask/command_table.h"

#include <string.h>

#include "base/text.h"

#define CHECK     (1u << COMMAND_CHECK)
#define SHOW      (1u << COMMAND_SHOW)
#define STATE     (1u << COMMAND_STATE)
#define SHED      (1u << COMMAND_SHED)
#define DRAW      (1u << COMMAND_DRAW)
#define ENDURANCE (1u << COMMAND_ENDURANCE)
#define PAGE      (1u << COMMAND_PAGE)
#define CARD      (1u << COMMAND_CARD)
#define SCHEMA    (1u << COMMAND_SCHEMA)
#define ASK       (1u << COMMAND_ASK)
#define RUN       (1u << COMMAND_RUN)

static const command_info commands[COMMAND_COUNT] = {
    [COMMAND_CHECK] = {.name = "check", .reads_file = true},
    [COMMAND_SHOW] = {.name = "show", .reads_file = true},
    [COMMAND_STATE] = {.name = "state", .reads_file = true, .scenario = SCENARIO_MAY},
    [COMMAND_ENDURANCE] = {.name = "endurance", .reads_file = true},
    [COMMAND_SHED] = {.name = "shed", .reads_file = true},
    [COMMAND_DRAW] = {.name = "draw", .reads_file = true, .scenario = SCENARIO_MAY},
    [COMMAND_PAGE] = {.name = "page", .reads_file = true},
    [COMMAND_CARD] = {.name = "card", .reads_file = true},
    [COMMAND_SCHEMA] = {.name = "schema"},
    [COMMAND_ASK] = {.name = "ask", .reads_file = true},
    [COMMAND_RUN] = {.name = "run", .reads_file = true, .scenario = SCENARIO_MUST},
};

static const option_info options[OPTION_COUNT] = {
    [OPTION_PHASE] = {.name = "--phase",
                      .value = "PHASE",
                      .commands = STATE | ENDURANCE | SHED | DRAW},
    [OPTION_SET] = {.name = "--set",
                    .value = "ID=POSITION",
                    .repeats = true,
                    .commands = STATE | ENDURANCE | SHED | DRAW},
    [OPTION_FAIL] = {.name = "--fail",
                     .value = "ID=KIND",
                     .repeats = true,
                     .commands = STATE | ENDURANCE | SHED | DRAW},
    [OPTION_CHARGE] = {.name = "--charge",
                       .value = "PERCENT",
                       .commands = STATE | ENDURANCE | SHED | DRAW},
    [OPTION_TEMPERATURE] = {.name = "--temperature",
                            .value = "DEGREES",
                            .commands = STATE | ENDURANCE | SHED | DRAW},
    [OPTION_BEFORE_TRIP] = {.name = "--before-trip", .commands = STATE | DRAW},
    [OPTION_KEEP] = {.name = "--keep",
                     .value = "FUNCTION",
                     .repeats = true,
                     .commands = ENDURANCE | SHED},
    [OPTION_NEED] = {.name = "--need", .value = "TIME", .commands = SHED},
    [OPTION_SHED] = {.name = "--shed",
                     .value = "ID=POSITION",
                     .repeats = true,
                     .commands = ENDURANCE},
    [OPTION_NOTICED] = {.name = "--noticed", .value = "TIME", .commands = ENDURANCE | SHED},
    [OPTION_WITHIN] = {.name = "--within", .value = "TIME", .commands = ENDURANCE},
    [OPTION_FLIGHTS] = {.name = "--flights", .value = "NUMBER", .commands = ENDURANCE},
    [OPTION_SEED] = {.name = "--seed", .value = "NUMBER", .commands = ENDURANCE},
    [OPTION_FAULTS] = {.name = "--faults", .commands = SHOW},
    [OPTION_CHART] = {.name = "--chart", .commands = RUN},
    [OPTION_AT] = {.name = "--at", .value = "TIME", .commands = STATE | DRAW},
    [OPTION_SCENARIO] = {.name = "--scenario", .commands = SCHEMA},
    [OPTION_NORMAL] = {.name = "--normal", .commands = SHOW},
    [OPTION_WIDTH] = {.name = "--width", .value = "PIXELS", .commands = DRAW | RUN},
    [OPTION_THEME] = {.name = "--theme",
                      .value = "THEME",
                      .words = "light dark print page",
                      .commands = DRAW | RUN},
    [OPTION_TOUCH] = {.name = "--touch", .commands = DRAW},
    [OPTION_INSTRUCTOR] = {.name = "--instructor", .commands = PAGE},
    [OPTION_PAPER] = {.name = "--paper",
                      .value = "PAPER",
                      .words = "a5 half-letter a4 letter",
                      .commands = CARD},
    [OPTION_FORM] = {.name = "--form",
                     .value = "FORM",
                     .words = "text html svg pdf",
                     .commands = CARD},
    [OPTION_QUESTION] = {.name = "--question", .value = "JSON", .commands = ASK},
    [OPTION_OUTPUT] = {.name = "--output",
                       .letter = "-o",
                       .value = "FILE",
                       .file = true,
                       .commands = CHECK | SHOW | STATE | ENDURANCE | SHED | DRAW | PAGE | CARD |
                                   SCHEMA | ASK | RUN},
    [OPTION_JSON] = {.name = "--json",
                     .commands = CHECK | SHOW | STATE | ENDURANCE | SHED | RUN | CARD},
    [OPTION_CSV] = {.name = "--csv", .commands = SHOW | ENDURANCE | SHED | RUN},
};

const command_info *command_at(command_id id) { return &commands[id]; }

const option_info *option_at(option_id id) { return &options[id]; }

int command_find(const char *name) {
    for (int i = 0; name && i < COMMAND_COUNT; i++)
        if (strcmp(name, commands[i].name) == 0)
            return i;
    return -1;
}

static bool same(const char *name, const char *word, size_t length) {
    return name && strlen(name) == length && memcmp(name, word, length) == 0;
}

int option_find(const char *word, size_t length) {
    for (int i = 0; i < OPTION_COUNT; i++)
        if (same(options[i].name, word, length) || same(options[i].letter, word, length))
            return i;
    return -1;
}

// Edits allowed between a mistyped word and a name: two, or a third of the name.
static int most_edits(const char *name) {
    int third = (int)strlen(name) / 3;
    return third > 2 ? third : 2;
}

const char *command_nearest(const char *name) {
    const char *nearest = NULL;
    int least = 1000;
    for (int i = 0; name && i < COMMAND_COUNT; i++) {
        int most = most_edits(commands[i].name);
        int edits = text_distance(name, commands[i].name, most);
        if (edits <= most && edits < least) {
            least = edits;
            nearest = commands[i].name;
        }
    }
    return nearest;
}

const char *option_nearest(const char *word, int command) {
    const char *nearest = NULL;
    int least = 1000;
    while (*word == '-')  // a dash too few or too many is no letter wrong
        word++;
    for (int i = 0; i < OPTION_COUNT; i++) {
        if (command >= 0 && !option_of_command(&options[i], (command_id)command))
            continue;
        const char *name = options[i].name + 2;
        int most = most_edits(name);
        int edits = text_distance(word, name, most);
        if (edits <= most && edits < least && edits < (int)strlen(name)) {
            least = edits;
            nearest = options[i].name;
        }
    }
    return nearest;
}
