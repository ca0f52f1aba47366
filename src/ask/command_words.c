#include "ask/command_words.h"

static const command_words commands[COMMAND_COUNT] = {
    [COMMAND_CHECK] =
        {
            .question = "Is the file right, and what is assumed?",
            .help =
                "Reads the whole file and tells every mistake with its line and column, what was "
                "expected and what to do. Then counts how many figures are measured, from a "
                "book, written without saying where from, guessed or assumed, and lists each "
                "assumed figure with the source of the default.\n"
                "Ends with 1 if the file has an error; warnings and notes leave it at 0.",
            .examples = {"check aircraft/bowline.yaml", "check - --json < my-aeroplane.yaml", NULL},
        },
    [COMMAND_SHOW] =
        {
            .question = "What is on which breaker, on which bus?",
            .help =
                "Lists the aeroplane bus by bus: each breaker or fuse, what hangs on it, and what "
                "that gives the pilot. With --faults it lists every part with the faults that "
                "`state --fail` takes for it. With --normal it tells what is normal in each phase; "
                "readings confirmed by hand in the file are compared, and it ends with 1 if one "
                "differs.",
            .examples = {"show aircraft/bowline.yaml", "show aircraft/bowline.yaml --faults",
                         "show aircraft/bowline.yaml --csv", NULL},
        },
    [COMMAND_STATE] =
        {
            .question = "In this state: volts, amps, what is lost, what is kept, and why?",
            .help =
                "Starts from a phase of flight, applies the positions and faults given, solves the "
                "circuit and lets breakers act. Answers what each item does and why, which "
                "functions are kept, reduced or lost, and what the instruments and lights show.\n"
                "A position is `on` or `off` for a switch, a position's own label, a percentage "
                "for a dimmer, `in` or `out` for a breaker, `running`, `windmilling`, `stopped` "
                "or a speed for an engine, `yes` or `no` for a condition of the phase such as "
                "`icing`. What isn't given is as the phase says.\n"
                "The faults that a part can have are listed by `show FILE --faults`.\n"
                "With a scenario after the aircraft's file it answers for the moment of it that "
                "--at says, just after what happens then.",
            .examples = {"state aircraft/bowline.yaml --phase cruise --fail alternator=dead",
                         "state aircraft/bowline.yaml --set flap-switch=TAKE-OFF",
                         "state aircraft/bowline.yaml --fail main-bus=short --before-trip --json",
                         "state aircraft/bowline.yaml lessons/silent-loss.yaml --at 12min", NULL},
        },
    [COMMAND_ENDURANCE] =
        {
            .question = "After the source is lost: how long, and what dies when?",
            .help =
                "Starts from a phase of flight with the positions given. Then what --fail names "
                "fails, or without it every alternator, generator and ground supply, and the "
                "batteries run down: when does each item drop out, when is each function lost, "
                "when does a contactor let go, how much charge is left. Three cases stand side by "
                "side, the low one first; nobody can know in flight which it is. The linear method "
                "of load analyses stands beside it. With --flights many flights are drawn instead "
                "of three cases: the low one, worse in one of twenty, the median, and which "
                "unknown matters most.\n"
                "With --shed it is told what is switched once the loss is noticed. With --keep it "
                "is told what must stay; without it communication, attitude, heading, airspeed, "
                "altitude and power are taken, as far as the file has them, and what night, cloud "
                "and icing need, which must be switched on.\n"
                "No minutes are promised: the approved handbook comes first.",
            .examples = {"endurance aircraft/bowline.yaml",
                         "endurance aircraft/bowline.yaml --phase cruise --charge 70% "
                         "--temperature -10C --keep communication",
                         "endurance aircraft/bowline.yaml --noticed 5min "
                         "--shed strobes.switch=off --flights 1000",
                         "endurance aircraft/bowline.yaml --csv -o endurance.csv", NULL},
        },
    [COMMAND_SHED] =
        {
            .question = "I need so many minutes: what do I switch off, in which order?",
            .help =
                "After the loss of the source: the switches, and breakers where no switch does it, "
                "that are to be put off so that what must stay lasts as long as --need says in the "
                "low case. The fewest functions are lost, then the fewest reduced, breakers and "
                "steps; the answer is proven by running it. Where it can't be done, it says so and "
                "how near one comes, and ends with 1.\n"
                "Night, cloud and icing are given with --set or by the phase and keep what they "
                "need, which must be switched on. Never "
                "offered: what puts the battery off the line, stops a source that works, its "
                "breakers, what feeds the engine or makes a supply, several radios at once in "
                "cloud, what no hand reaches from the seat.\n"
                "For teaching and for planning on the ground; the approved handbook comes first.",
            .examples = {"shed aircraft/bowline.yaml --need 45min",
                         "shed aircraft/bowline.yaml --phase night-cruise --need 30min --keep "
                         "communication",
                         NULL},
        },
    [COMMAND_DRAW] =
        {
            .question = "What does it look like, as a diagram?",
            .help =
                "Writes the diagram as SVG, or as PDF where -o names a file that ends with .pdf. "
                "With "
                "a phase, positions or faults it shows that state: "
                "what is live, what only the battery feeds, what is dead. Without -o the drawing "
                "goes to standard output. With a scenario file and --at it shows that moment.",
            .examples =
                {"draw aircraft/bowline.yaml -o bowline.svg",
                 "draw aircraft/bowline.yaml --phase cruise --fail alternator=dead -o a.svg",
                 "draw aircraft/bowline.yaml --theme print -o wall.svg", NULL},
        },
    [COMMAND_PAGE] =
        {
            .question = "One file to teach with: what happens if I move or break this?",
            .help =
                "Writes one HTML file that holds the aeroplane and everything that works on it. It "
                "opens in a browser from a disk, a stick or a phone, with no network. One operates "
                "breakers and switches on the diagram, sees what the seat shows, and is asked to "
                "predict first where that is wanted. With --instructor the aircraft file can be "
                "edited in it as well.",
            .examples = {"page aircraft/bowline.yaml -o bowline.html",
                         "page aircraft/bowline.yaml --instructor -o bowline-instructor.html",
                         NULL},
        },
    [COMMAND_CARD] =
        {
            .question = "What do I print for the flight bag and for the wall?",
            .help =
                "Writes a card for the flight bag, or a diagram for the wall: what works with "
                "everything dead, normal readings, how to read the meters, breakers by place and "
                "what each carries beyond its label. It is black on white and takes one sheet: the "
                "card's two sides stand beside each other, to cut apart or to fold. Without --form "
                "the name after -o decides: .html, .svg or .pdf; else the answer is text.\n"
                "Type on a card is 10 pt or more. Where not everything has room, the card and a "
                "warning say what is left out. Places for what the file can't know are filled in "
                "by hand.",
            .examples = {"card aircraft/bowline.yaml",
                         "card aircraft/bowline.yaml -o bowline-card.pdf",
                         "card aircraft/bowline.yaml --paper letter -o bowline-wall.html", NULL},
        },
    [COMMAND_SCHEMA] =
        {
            .question = "What may stand in an aircraft file, for an editor?",
            .help =
                "Writes the JSON Schema of the aircraft file. Editors use it to complete keys and "
                "to mark mistakes while one writes.",
            .examples = {"schema -o aircraft.schema.json", NULL},
        },
    [COMMAND_ASK] =
        {
            .question = "The same questions for programs, in JSON: what do I get?",
            .help =
                "Takes a question worded in JSON and answers in JSON, byte for byte as the page "
                "gets it: {\"ask\":\"state\",\"phase\":\"cruise\",\"fail\":[\"alternator=dead\"]}. "
                "`ask` names the command; the other keys are its options without their dashes, "
                "with true for an option that takes no value. The answer holds the findings with "
                "their places, and under `answer` what the command answers.",
            .examples = {"ask aircraft/bowline.yaml --question "
                         "'{\"ask\":\"state\",\"fail\":[\"alternator=dead\"]}'",
                         NULL},
        },
    [COMMAND_RUN] =
        {
            .question = "This scenario on a time line: what happens when, and what is seen?",
            .help =
                "Plays a scenario on the aeroplane: batteries run down and are charged, breakers "
                "warm up and trip, things drop out, and what the scenario brings happens at its "
                "moments. Answers with a log: the time, what happens, and what the pilot sees of "
                "it; then what was asked and what came.\n"
                "--chart draws volts, amps and charge over time with the events named; --csv "
                "writes them as a table; --json has all of it. What may stand in a scenario file "
                "is written in docs/scenario.md; `schema --scenario` is for editors.",
            .examples = {"run aircraft/bowline.yaml lessons/silent-loss.yaml",
                         "run aircraft/bowline.yaml lessons/silent-loss.yaml --chart -o chart.svg",
                         "run aircraft/bowline.yaml lessons/silent-loss.yaml --json", NULL},
        },
};

static const char *const options[OPTION_COUNT] = {
    [OPTION_PHASE] = "the phase of flight to start from; without it cruise, else the "
                     "first that is airborne,"
                     " else the first",
    [OPTION_SET] = "put a switch, breaker, engine or condition in this position",
    [OPTION_FAIL] = "let a part fail in this way; at most 8",
    [OPTION_CHARGE] = "charge of every battery, such as 80%",
    [OPTION_TEMPERATURE] = "outside air, such as -10C or 14F",
    [OPTION_BEFORE_TRIP] = "the first instant, before any breaker or fuse has opened",
    [OPTION_KEEP] = "a function that must stay, such as communication",
    [OPTION_NEED] = "how long what must stay has to last from the loss of the source, "
                    "such as 45min",
    [OPTION_SHED] = "put this switch or breaker in this position once the loss is "
                    "noticed",
    [OPTION_NOTICED] = "when the loss is noticed and switches are moved, such as 5min "
                       "or 90s; without it 5min",
    [OPTION_WITHIN] =
        "how far to look, such as 90min, 12h or 60d; without it 4h, at rest on the ground 90d",
    [OPTION_FLIGHTS] = "draw so many flights, 100 to 100000, instead of three cases: "
                       "age, cold, charge and every figure that isn't measured",
    [OPTION_SEED] = "draw other flights: a whole number; without it 1",
    [OPTION_FAULTS] = "list the faults that each part can have",
    [OPTION_CHART] = "the chart as SVG instead of the log",
    [OPTION_AT] = "the moment of the scenario, from its start, such as 12min or 90s",
    [OPTION_SCENARIO] = "the schema of scenario files instead",
    [OPTION_NORMAL] = "what instruments and lights show in each phase when nothing has "
                      "failed, and what proves it on the ground",
    [OPTION_WIDTH] = "fit the drawing to this width, 200 to 10000",
    [OPTION_THEME] = "light, dark, print for paper (black only, and without --width "
                     "laid out for one A4 sheet on its side), or page: without a style "
                     "of its own, for a web page",
    [OPTION_TOUCH] = "rows as far apart as fingers need them",
    [OPTION_INSTRUCTOR] = "the instructor's page, in which the file can be edited",
    [OPTION_PAPER] = "a5 (as without it) or half-letter: the card, two sides on a sheet of "
                     "A4 or Letter; a4 or letter: the wall diagram",
    [OPTION_FORM] = "text, html (one file to print from a browser), svg or pdf",
    [OPTION_QUESTION] = "the question",
    [OPTION_OUTPUT] = "write the answer into this file instead of standard output",
    [OPTION_JSON] = "the answer for programs",
    [OPTION_CSV] = "the answer as a table for a spreadsheet",
};

const command_words *command_words_of(command_id id) { return &commands[id]; }

const char *option_help(option_id id) { return options[id]; }
