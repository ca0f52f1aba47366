// What is said letter by letter, and written in capitals: the one list of it. The page's build
// reads this file, so each stands on a line of its own.
#ifndef DEADBUS_MODEL_INITIALS_H
#define DEADBUS_MODEL_INITIALS_H

// clang-format off
static const char *const INITIALS[] = {
    "adf",
    "dme",
    "elt",
    "gps",
    "ils",
    "tcas",
    "usb",
    "vor",
};
// clang-format on

#endif
