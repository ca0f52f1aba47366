// What makes a PDF is a module of its own, loaded only when it is asked for: librsvg brings some
// forty libraries, which no other command shall wait for.
#include "pdf.h"

#include <dlfcn.h>
#include <stdio.h>
#include <string.h>

typedef char *(*maker)(const char *svg, size_t length, size_t *made, char trouble[TROUBLE_ROOM]);

char *pdf_of_svg(const char *svg, size_t length, size_t *made, char trouble[TROUBLE_ROOM]) {
    *made = 0;
    // Found beside the program, or where it is installed (its run path).
    void *module = dlopen("deadbus-pdf.so", RTLD_NOW | RTLD_LOCAL);
    void *found = module ? dlsym(module, "deadbus_pdf_of_svg") : NULL;
    if (!found) {
        snprintf(trouble, TROUBLE_ROOM,
                 "deadbus: error: this program was built without PDF. Print the HTML (-o "
                 "NAME.html) from a browser, or install librsvg2-dev and fonts-noto-core and build "
                 "again");
        return NULL;
    }
    maker make;
    memcpy(&make, &found, sizeof make);  // POSIX promises that this holds a function
    return make(svg, length, made, trouble);
}
