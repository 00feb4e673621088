/* Pictures on sheets of paper: figures and codes. */
#include "cli/print.h"

#ifdef PW_HAS_PRINT

#include "cli/print_pen.h"

#include <gdk-pixbuf/gdk-pixbuf.h>
#include <qrencode.h>
#include <string.h>

#define MOST_HIGH 225.0 /* of a figure */
#define PHOTO_PT  0.4   /* of a pixel of a photo, at most: 180 to the inch */

/* A picture at x, y, as wide as said; draw false: only its height. */
static double put_picture(pen *p, const char *svg, double x, double y, double width, bool draw)
{
    RsvgHandle *handle = rsvg_handle_new_from_data((const guint8 *)svg, strlen(svg), NULL);
    double wide = 0.0, high = 0.0;
    if (!handle || !rsvg_handle_get_intrinsic_size_in_pixels(handle, &wide, &high) || wide <= 0.0) {
        p->failed = true;
    } else {
        double scale = width / wide;
        scale = high * scale > MOST_HIGH ? MOST_HIGH / high : scale;
        const RsvgRectangle whole = {x, y, wide * scale, high * scale};
        p->failed = p->failed || (draw && !p->measures && !rsvg_handle_render_document(handle, p->cr, &whole, NULL));
        high *= scale;
    }
    if (handle) {
        g_object_unref(handle);
    }
    return high;
}

static void put_key(pen *p, const pw_json *key)
{
    double x = PEN_MARGIN;
    for (const pw_json *entry = key->first; entry; entry = entry->next) {
        PangoLayout *layout = pen_layout(p, pen_text(entry, "words"), PEN_SMALL, false, -1.0);
        int width = 0, height = 0;
        pango_layout_get_size(layout, &width, &height);
        const double wide = (double)width / PANGO_SCALE + 40.0;
        if (x > PEN_MARGIN && x + wide > p->width - PEN_MARGIN) {
            x = PEN_MARGIN;
            p->y += 15.0;
        }
        put_picture(p, pen_text(entry, "svg"), x, p->y, 17.0, true);
        pen_show(p, layout, x + 21.0, p->y + 1.5, &pen_ink);
        g_object_unref(layout);
        x += wide;
    }
    p->y += 18.0;
}

void pen_figure(pen *p, const pw_json *block)
{
    const pw_json *key = pw_json_get(block, "key");
    const char *svg = pen_text(block, "svg");
    const double high = put_picture(p, svg, 0.0, 0.0, pen_inner(p), false);
    pen_need(p, high + 44.0);
    p->y += 4.0;
    pen_paragraph(p, pen_text(block, "title"), PEN_MARGIN, PEN_CELL, true, &pen_ink);
    p->y += put_picture(p, svg, PEN_MARGIN, p->y, pen_inner(p), true) + 4.0;
    if (key) {
        put_key(p, key);
    } else {
        pen_paragraph(p, pen_text(block, "words"), PEN_MARGIN, PEN_SMALL, false, &pen_soft);
    }
    p->y += 4.0;
}

/* Width and height of a JPEG in pixels; false: it is none. */
static bool size_of(guchar *bytes, gsize length, int *width, int *height)
{
    GInputStream *stream = g_memory_input_stream_new_from_data(bytes, (gssize)length, NULL);
    GdkPixbuf *picture = gdk_pixbuf_new_from_stream(stream, NULL, NULL);
    if (picture) {
        *width = gdk_pixbuf_get_width(picture);
        *height = gdk_pixbuf_get_height(picture);
        g_object_unref(picture);
    }
    g_object_unref(stream);
    return picture != NULL;
}

/* The JPEG goes into the file as it is: cairo takes it instead of the pixels of the surface. */
static void show_jpeg(pen *p, guchar *bytes, gsize length, int width, int height, double scale)
{
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    if (cairo_surface_set_mime_data(surface, CAIRO_MIME_TYPE_JPEG, bytes, length, g_free, bytes) !=
        CAIRO_STATUS_SUCCESS) {
        g_free(bytes);
        p->failed = true;
    } else {
        cairo_save(p->cr);
        cairo_translate(p->cr, PEN_MARGIN, p->y);
        cairo_scale(p->cr, scale, scale);
        cairo_set_source_surface(p->cr, surface, 0.0, 0.0);
        /* a picture that asks to be smoothed is not allowed in an archive (ISO 19005-2, from memory) */
        cairo_pattern_set_filter(cairo_get_source(p->cr), CAIRO_FILTER_NEAREST);
        cairo_paint(p->cr);
        cairo_restore(p->cr);
    }
    cairo_surface_destroy(surface);
}

void pen_photo(pen *p, const pw_json *block)
{
    const char *letters = strchr(pen_text(block, "picture"), ',');
    gsize length = 0;
    int width = 0, height = 0;
    guchar *bytes = letters ? g_base64_decode(letters + 1, &length) : NULL;
    if (!bytes || !size_of(bytes, length, &width, &height)) {
        g_free(bytes);
        p->failed = true;
        return;
    }
    double scale = pen_inner(p) / width;
    scale = scale > PHOTO_PT ? PHOTO_PT : scale;
    scale = scale * height > MOST_HIGH ? MOST_HIGH / height : scale;
    pen_need(p, scale * height + 24.0);
    pen_paragraph(p, pen_text(block, "words"), PEN_MARGIN, PEN_CELL, true, &pen_ink);
    if (p->measures) {
        g_free(bytes);
    } else {
        show_jpeg(p, bytes, length, width, height, scale);
    }
    p->y += scale * height + 8.0;
}

void pen_code(pen *p, const char *words, double x, double y, double side)
{
    QRcode *code = QRcode_encodeString(words, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
    if (!code) {
        p->failed = true;
        return;
    }
    const double module = side / (code->width + 8); /* a rim of four modules (ISO/IEC 18004, from memory) */
    for (int i = 0; i < code->width * code->width && !p->measures; i++) {
        if (code->data[i] & 1) {
            cairo_rectangle(p->cr, x + module * (4 + i % code->width), y + module * (4 + i / code->width), module,
                            module);
        }
    }
    if (!p->measures) {
        cairo_set_source_rgb(p->cr, 0, 0, 0);
        cairo_fill(p->cr);
    }
    QRcode_free(code);
}

#endif
