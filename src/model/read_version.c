// The first key of a file: what it is, and its version.
#include "base/number.h"
#include "model/reader.h"

static const char *beginning(reader *r, const file_mark *m, const char *before) {
    return join(r, (const char *const[]){before, "`", m->key, ": 1`", NULL});
}

static version_found missing(reader *r, const node *root, const file_mark *m) {
    if (node_entry(root, m->other_key) != NULL) {
        say_error(r, root->first->key->span, "no-version", m->hint, m->is_other, NULL, NULL, NULL);
        return VERSION_REFUSED;
    }
    say_error(r, root->first->key->span, "no-version", "",
              beginning(r, m, "the first key of the file must be "), NULL, NULL, NULL);
    return VERSION_MISSING;
}

version_found read_version(reader *r, const node *root, const file_mark *m) {
    if (!root || root->type != NODE_MAP || !root->first) {
        if (!r->tree.broken || root)
            say_error(r, root ? root->span : (span){.line = 1, .column = 1}, "no-version",
                      beginning(r, m, "start with "), m->isnt, NULL, NULL, NULL);
        return VERSION_REFUSED;
    }
    const node *version = node_entry(root, m->key);
    if (!version)
        return missing(r, root, m);
    if (root->first != version)
        say_error(r, version->key->span, "version-not-first", "", beginning(r, m, ""),
                  " must be the first key of the file", NULL, NULL);
    if (version->refused || node_is(version, "1"))
        return VERSION_GOOD;
    const char *written = version->type == NODE_TEXT ? version->text : "";
    double number = 0;
    int used = version->type == NODE_TEXT ? number_read(written, version->length, &number) : 0;
    bool newer = used > 0 && (size_t)used == version->length && number > 1;
    if (newer)
        say_error(r, version->span, "version", "", m->is_version, written,
                  "; this program reads up to 1", NULL);
    else
        say_error(r, version->span, "version", "", "'", written,
                  beginning(r, m, "' is not a version: write "), NULL);
    return VERSION_REFUSED;
}
