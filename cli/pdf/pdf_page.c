// librsvg draws, cairo writes. Without the font that the drawing is measured in librsvg would take
// another, or with none at all write no text and say nothing: so it is looked for first.
#include <cairo-pdf.h>
#include <fontconfig/fontconfig.h>
#include <librsvg/rsvg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/files.h"

static const char *const fonts[] = {"Noto Sans", "Noto Serif"};

typedef struct bytes {
    char *data;
    size_t length, room;
} bytes;

static cairo_status_t take(void *closure, const unsigned char *data, unsigned int length) {
    bytes *b = closure;
    if (b->length + length > b->room) {
        size_t room = (b->length + length) * 2;
        char *moved = realloc(b->data, room);
        if (!moved)
            return CAIRO_STATUS_WRITE_ERROR;
        b->data = moved;
        b->room = room;
    }
    memcpy(b->data + b->length, data, length);
    b->length += length;
    return CAIRO_STATUS_SUCCESS;
}

static int is_there(const char *family) {
    FcPattern *wanted = FcPatternCreate();
    FcPatternAddString(wanted, FC_FAMILY, (const FcChar8 *)family);
    FcConfigSubstitute(NULL, wanted, FcMatchPattern);
    FcDefaultSubstitute(wanted);
    FcResult result;
    FcPattern *found = FcFontMatch(NULL, wanted, &result);
    FcChar8 *name = NULL;
    int there = found && FcPatternGetString(found, FC_FAMILY, 0, &name) == FcResultMatch &&
                strcmp((const char *)name, family) == 0;
    if (found)
        FcPatternDestroy(found);
    FcPatternDestroy(wanted);
    return there;
}

static int draw(RsvgHandle *svg, bytes *out, char trouble[TROUBLE_ROOM]) {
    double width, height;
    if (!rsvg_handle_get_intrinsic_size_in_pixels(svg, &width, &height)) {
        snprintf(trouble, TROUBLE_ROOM, "deadbus: error: the drawing has no size on paper");
        return 1;
    }
    RsvgRectangle page = {0, 0, width * 0.75, height * 0.75};  // a pixel is 1/96 inch
    cairo_surface_t *surface =
        cairo_pdf_surface_create_for_stream(take, out, page.width, page.height);
    // No time of making: the same drawing gives the same bytes.
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE,
                                   "System notes, not a checklist");
    cairo_t *pen = cairo_create(surface);
    GError *error = NULL;
    int drawn = rsvg_handle_render_document(svg, pen, &page, &error);
    cairo_destroy(pen);
    cairo_surface_finish(surface);
    cairo_status_t status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    if (drawn && status == CAIRO_STATUS_SUCCESS)
        return 0;
    snprintf(trouble, TROUBLE_ROOM, "deadbus: error: no PDF could be made: %.300s",
             error ? error->message : cairo_status_to_string(status));
    g_clear_error(&error);
    return 1;
}

// As pdf_of_svg in cli/pdf.h, which loads it.
__attribute__((visibility("default"))) char *
deadbus_pdf_of_svg(const char *svg, size_t length, size_t *made, char trouble[TROUBLE_ROOM]);

char *deadbus_pdf_of_svg(const char *svg, size_t length, size_t *made, char trouble[TROUBLE_ROOM]) {
    *made = 0;
    for (size_t i = 0; i < sizeof fonts / sizeof *fonts; i++)
        if (!is_there(fonts[i])) {
            snprintf(trouble, TROUBLE_ROOM,
                     "deadbus: error: the font %s is missing. Install fonts-noto-core, or print "
                     "the HTML (-o NAME.html) from a browser",
                     fonts[i]);
            return NULL;
        }
    GError *error = NULL;
    RsvgHandle *handle = rsvg_handle_new_from_data((const guint8 *)svg, length, &error);
    if (!handle) {
        snprintf(trouble, TROUBLE_ROOM, "deadbus: error: no PDF could be made: %.300s",
                 error->message);
        g_clear_error(&error);
        return NULL;
    }
    rsvg_handle_set_dpi(handle, 96);
    bytes out = {0};
    if (draw(handle, &out, trouble)) {
        free(out.data);
        out = (bytes){0};
    }
    g_object_unref(handle);
    *made = out.length;
    return out.data;
}
