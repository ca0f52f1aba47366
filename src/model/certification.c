#include "model/certification.h"

#include <string.h>

#include "base/text.h"

enum { FIRST_AMENDMENT = 49, HIGH_AMENDMENT = 62, LAST_AMENDMENT = 63 };

// The number behind "amendment", with or without the part's "23-" before it; -1: there is none.
static int amendment_of(const char *words) {
    const char *at = strstr(words, "mendment ");
    if (at == NULL)
        return -1;
    at += strlen("mendment ");
    if (strncmp(at, "23-", 3) == 0)
        at += 3;
    int number = 0, digits = 0;
    for (; *at >= '0' && *at <= '9' && digits < 4; at++, digits++)
        number = 10 * number + (*at - '0');
    return digits > 0 ? number : -1;
}

battery_figure certification_battery(const aircraft *a) {
    battery_figure f = {0};
    for (int i = 0; i < a->paper_count; i++)
        if (text_equal(a->papers[i].key, "certified-under"))
            f.basis = a->papers[i].value;
    int amendment = f.basis != NULL ? amendment_of(f.basis) : -1;
    if (amendment < FIRST_AMENDMENT || amendment > LAST_AMENDMENT)
        return f;
    f.applies = true;
    f.minutes = 30;
    f.minutes_high = amendment >= HIGH_AMENDMENT ? 60 : 0;
    return f;
}
