// What the module's doors share.
#ifndef DEADBUS_WASM_MODULE_H
#define DEADBUS_WASM_MODULE_H

#include "deadbus.h"

// Words, each ended by a 0: the command, the file's name, then the options as on the command line;
// `about` brings the rest of the question. NULL: no memory, or fewer than two words, or the last
// word doesn't end with 0. The answer is the caller's, for module_forget.
deadbus_answer *answer_words(const char *words, size_t words_length, deadbus_question about);

#endif
