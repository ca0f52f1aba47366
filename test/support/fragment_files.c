#include "support/fragment_files.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int fragments_split(const char *all, fragment *pieces, int most) {
    int count = 0;
    for (const char *line = all; line && *line;) {
        const char *end = strchr(line, '\n');
        const char *next = end ? end + 1 : line + strlen(line);
        if (*line >= 'a' && *line <= 'z' && count < most) {
            const char *colon = strchr(line, ':');
            fragment *p = &pieces[count++];
            *p = (fragment){.start = next};
            snprintf(p->name, sizeof p->name, "%.*s", (int)(colon - line), line);
        } else if (count) {
            pieces[count - 1].length = (size_t)(next - pieces[count - 1].start);
        }
        line = end ? next : NULL;
    }
    return count;
}

// The lines of one section of a piece, without those whose id `but` declares too.
static void put_section(text *t, const fragment *p, const char *section, const fragment *but) {
    char head[40];
    snprintf(head, sizeof head, "  %s:", section);
    bool inside = false;
    const char *stop = p->start + p->length;
    for (const char *line = p->start; line < stop;) {
        const char *end = memchr(line, '\n', (size_t)(stop - line));
        end = end ? end + 1 : stop;
        if (strncmp(line, "  ", 2) == 0 && line[2] != ' ') {
            inside = strncmp(line, head, strlen(head)) == 0;
        } else if (inside && strncmp(line, "    ", 4) == 0) {
            char id[80];
            snprintf(id, sizeof id, "\n    %.*s:", (int)strcspn(line + 4, ":"), line + 4);
            char *body = but ? calloc(1, but->length + 2) : NULL;
            if (body) {
                body[0] = '\n';
                memcpy(body + 1, but->start, but->length);
            }
            if (!body || !strstr(body, id))
                text_put_n(t, line + 2, (size_t)(end - line - 2));
            free(body);
        }
        line = end;
    }
}

void fragment_file(const fragment *around, const fragment *one, text *t) {
    static const char *const others[] = {"seen",      "functions", "together",
                                         "questions", "phases",    "papers"};
    text_put(t, "deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n");
    put_section(t, around, "parts", one);
    put_section(t, one, "parts", NULL);
    for (size_t s = 0; s < sizeof others / sizeof others[0]; s++) {
        text section = text_make(allocator_default());
        put_section(&section, one, others[s], NULL);
        if (section.length)
            text_all(t, others[s], ":\n", text_get(&section), NULL);
        text_free(&section);
    }
}
