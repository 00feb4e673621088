#include "cli/photo.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#ifdef PW_HAS_PRINT

#include <gdk-pixbuf/gdk-pixbuf.h>

enum { LONGEST_PX = 1280 }; /* as on the page (shell/page/src/state/photos.ts) */

static GdkPixbuf *shrunk(GdkPixbuf *whole)
{
    const int width = gdk_pixbuf_get_width(whole), height = gdk_pixbuf_get_height(whole);
    const int longest = width > height ? width : height;
    if (longest <= LONGEST_PX) {
        return g_object_ref(whole);
    }
    const int wide = width * LONGEST_PX / longest, high = height * LONGEST_PX / longest;
    return gdk_pixbuf_scale_simple(whole, wide > 0 ? wide : 1, high > 0 ? high : 1, GDK_INTERP_BILINEAR);
}

static char *as_address(const gchar *bytes, gsize length)
{
    static const char head[] = "data:image/jpeg;base64,";
    gchar *letters = g_base64_encode((const guchar *)bytes, length);
    char *out = malloc(sizeof head + strlen(letters));
    if (out) {
        memcpy(out, head, sizeof head - 1);
        memcpy(out + sizeof head - 1, letters, strlen(letters) + 1);
    }
    g_free(letters);
    return out;
}

char *cli_photo(const char *path, const char **why)
{
    GdkPixbuf *read = gdk_pixbuf_new_from_file(path, NULL);
    GdkPixbuf *turned = read ? gdk_pixbuf_apply_embedded_orientation(read) : NULL;
    GdkPixbuf *small = turned ? shrunk(turned) : NULL;
    gchar *bytes = NULL;
    gsize length = 0;
    char *out = NULL;
    if (small && gdk_pixbuf_save_to_buffer(small, &bytes, &length, "jpeg", NULL, "quality", "80", NULL)) {
        out = as_address(bytes, length);
    }
    *why = "cli.no-photo";
    g_free(bytes);
    g_clear_object(&small);
    g_clear_object(&turned);
    g_clear_object(&read);
    return out;
}

#else

char *cli_photo(const char *path, const char **why)
{
    (void)path;
    *why = "cli.built-without-print";
    return NULL;
}

#endif
