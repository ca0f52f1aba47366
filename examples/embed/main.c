// Asks one question of the library: in cruise, with the alternator dead, what is lost and why?
//
//   embed AIRCRAFT.yaml
//
// For teaching. The approved flight manual, the maintenance manual, local rules and licensed people
// come before anything computed here.
#include <deadbus.h>

#include <stdio.h>

int main(int count, char **arguments) {
    if (count != 2) {
        fprintf(stderr, "usage: %s AIRCRAFT.yaml\n", arguments[0]);
        return DEADBUS_WRONG_USAGE;
    }
    FILE *file = fopen(arguments[1], "rb");
    if (file == NULL) {
        perror(arguments[1]);
        return 3;
    }
    static char bytes[1 << 20];
    size_t length = fread(bytes, 1, sizeof bytes, file);
    fclose(file);

    const char *options[] = {"--phase", "cruise", "--fail", "alternator=dead"};
    deadbus_question question = {
        .command = "state",
        .file_name = arguments[1],
        .file = bytes,
        .file_length = length,
        .options = options,
        .option_count = sizeof options / sizeof options[0],
    };
    deadbus_answer answer;
    deadbus_exit exit = deadbus_ask(NULL, &question, &answer);
    printf("Deadbus %s\n%s", deadbus_version(), answer.out != NULL ? answer.out : "");
    fprintf(stderr, "%s", answer.messages != NULL ? answer.messages : "");
    deadbus_forget(&answer);
    return exit;
}
