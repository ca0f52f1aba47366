// A second door for tests of all commands: those that take another file beside the aircraft's.
#include <string.h>

#include "module.h"

deadbus_answer *module_ask_beside(const char *words, size_t words_length, const char *file,
                                  size_t file_length, const char *beside, size_t beside_length,
                                  const char *beside_name);

// `run` takes a scenario beside, with the name it has in findings; `page` takes the empty page.
deadbus_answer *module_ask_beside(const char *words, size_t words_length, const char *file,
                                  size_t file_length, const char *beside, size_t beside_length,
                                  const char *beside_name) {
    deadbus_question about = {.file = file, .file_length = file_length};
    if (words_length > 5 && memcmp(words, "page", 5) == 0) {
        about.empty_page = beside;
        about.empty_page_length = beside_length;
    } else {
        about.scenario = beside;
        about.scenario_length = beside_length;
        about.scenario_name = beside_name;
    }
    return answer_words(words, words_length, about);
}
