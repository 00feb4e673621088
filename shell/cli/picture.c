/* PNG through librsvg, which reads the SVG, and cairo, which draws it. */
#include "cli/picture.h"

#include "cli/voice.h"

#ifdef PW_HAS_CAIRO

#include <cairo.h>
#include <librsvg/rsvg.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_PIXELS = 20000 }; /* of a side: cairo stops at 32767 */

typedef struct bytes {
    char *data;
    size_t length, room;
} bytes;

static cairo_status_t take(void *closure, const unsigned char *data, unsigned int length)
{
    bytes *to = closure;
    if (to->length + length > to->room) {
        size_t room = 2 * (to->length + length);
        char *larger = realloc(to->data, room);
        if (!larger) {
            return CAIRO_STATUS_NO_MEMORY;
        }
        to->data = larger;
        to->room = room;
    }
    memcpy(to->data + to->length, data, length);
    to->length += length;
    return CAIRO_STATUS_SUCCESS;
}

/* Draw on a surface that fits, and pack it. */
static bool draw(RsvgHandle *handle, double scale, bytes *png)
{
    double width = 0, height = 0;
    if (!rsvg_handle_get_intrinsic_size_in_pixels(handle, &width, &height) || width * scale > MOST_PIXELS ||
        height * scale > MOST_PIXELS) {
        return false;
    }
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(width * scale + 0.5), (int)(height * scale + 0.5));
    cairo_t *pen = cairo_create(surface);
    const RsvgRectangle whole = {0, 0, width * scale, height * scale};
    bool good = rsvg_handle_render_document(handle, pen, &whole, NULL);
    good = good && cairo_surface_write_to_png_stream(surface, take, png) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(pen);
    cairo_surface_destroy(surface);
    return good;
}

char *cli_png(const char *svg, size_t length, double scale, size_t *png_length, const char **why)
{
    bytes png = {NULL, 0, 0};
    RsvgHandle *handle = rsvg_handle_new_from_data((const guint8 *)svg, length, NULL);
    bool good = handle && draw(handle, scale, &png);
    if (handle) {
        g_object_unref(handle);
    }
    if (!good) {
        *why = "cli.no-picture";
        free(png.data);
        return NULL;
    }
    *png_length = png.length;
    return png.data;
}

#else

char *cli_png(const char *svg, size_t length, double scale, size_t *png_length, const char **why)
{
    (void)svg, (void)length, (void)scale;
    *png_length = 0;
    *why = "cli.built-without";
    return NULL;
}

#endif
