// Parts and conditions named in sentences, as one person would say them to another.
#ifndef DEADBUS_MODEL_PART_WORDS_H
#define DEADBUS_MODEL_PART_WORDS_H

#include "base/text.h"
#include "model/aircraft.h"

// "PITOT HT breaker", "battery contactor", "wire of com 1": the printed label where there is
// one, else the id with spaces, and what it is where the label alone wouldn't tell.
void part_name(const aircraft *a, int which, text *t);
// The label or the id with spaces, without what it is: for tables that say it in another column.
void part_short_name(const aircraft *a, int which, text *t);
// As part_name, to start a sentence: first letter a capital, words all in capitals kept for short
// placards only ("MAIN BUS" becomes "Main bus").
void part_sentence_name(const aircraft *a, int which, text *t);
// "fuel-pressure" -> "fuel pressure"; initials in capitals: "usb-sockets" -> "USB sockets".
void words_of_id(const char *id, text *t);

// A condition in words: "main bus below 25 V for 2 s".
void condition_words(const aircraft *a, int condition, text *t);

// A figure with its unit and a true minus sign, rounded to `decimals` places: "−57 A".
void words_figure(text *t, double value, int decimals, const char *sign);
// The same with a plus sign before what is positive.
void words_signed(text *t, double value, int decimals, const char *sign);

#endif
