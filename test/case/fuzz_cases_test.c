// What fuzzing once found, and the corners it could find, asked again through the same entry: every
// file of test/case/fuzz is eight bytes that choose the question, then an aircraft file.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuzz/fuzz_question.h"

enum { CASE_MOST = 1 << 16 };

static void ask_again(const char *name, uint8_t *bytes) {
    char path[512];
    snprintf(path, sizeof path, "%s/case/fuzz/%s", DEADBUS_TEST_DIR, name);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    size_t size = fread(bytes, 1, CASE_MOST, f);
    fclose(f);
    if (size < FUZZ_CHOICES || size == CASE_MOST)
        fail_msg("%s has %zu bytes", name, size);
    // An answer that isn't what every answer must be ends the program; this line says whose it was.
    print_message("%s\n", name);
    fuzz_ask_bytes(bytes, size);
    // And as every other question, twice, of the same file.
    for (unsigned command = 0; command < 4; command++) {
        bytes[CHOOSE_COMMAND] = (uint8_t)(0xE0 | command);
        fuzz_ask_bytes(bytes, size);
    }
}

static void every_case_is_answered(void **unused) {
    (void)unused;
    DIR *folder = opendir(DEADBUS_TEST_DIR "/case/fuzz");
    assert_non_null(folder);
    uint8_t *bytes = malloc(CASE_MOST);
    assert_non_null(bytes);
    int count = 0;
    for (const struct dirent *e = readdir(folder); e; e = readdir(folder)) {
        if (e->d_name[0] == '.')
            continue;
        ask_again(e->d_name, bytes);
        count++;
    }
    closedir(folder);
    free(bytes);
    assert_true(count > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_case_is_answered)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
