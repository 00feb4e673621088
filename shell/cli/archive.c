#include "cli/archive.h"

#ifdef PW_HAS_PRINT

#include <glib.h>
#include <lcms2.h>
#include <qpdf/qpdf-c.h>
#include <stdlib.h>
#include <string.h>

/* ---- metadata ---- */

/* "D:20261201144156+01'00" of the file's own metadata as XMP has it, 2026-12-01T14:41:56+01:00; "" for another. */
static char *iso_date(const char *date)
{
    const char zone = date && strlen(date) >= 16 ? date[16] : '\0';
    if (zone == '\0' || strncmp(date, "D:", 2) != 0) {
        return g_strdup("");
    }
    const gboolean away = (zone == '+' || zone == '-') && strlen(date) >= 22;
    return g_strdup_printf("%.4s-%.2s-%.2sT%.2s:%.2s:%.2s%s%.2s%s%.2s", date + 2, date + 6, date + 8, date + 10,
                           date + 12, date + 14, away ? (zone == '+' ? "+" : "-") : "Z", away ? date + 17 : "",
                           away ? ":" : "", away ? date + 20 : "");
}

/* A property that the file's own metadata have, too; before and after: how XMP wraps it. */
static void put_property(GString *xmp, qpdf_data file, const char *key, const char *before, const char *after)
{
    const qpdf_oh own = qpdf_oh_get_key_if_dict(file, qpdf_get_trailer(file), "/Info");
    const qpdf_oh found = qpdf_oh_get_key_if_dict(file, own, key);
    const char *value = qpdf_oh_is_string(file, found) ? qpdf_oh_get_utf8_value(file, found) : "";
    if (value[0]) {
        char *words = strcmp(key, "/CreationDate") == 0 ? iso_date(value) : g_strdup(value);
        char *safe = g_markup_escape_text(words, -1);
        g_string_append_printf(xmp, "%s%s%s\n", before, safe, after);
        g_free(safe);
        g_free(words);
    }
}

static GString *write_xmp(qpdf_data file)
{
    GString *xmp = g_string_new(
        "<?xpacket begin=\"\xEF\xBB\xBF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n"
        "<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" "
        "xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\" "
        "xmlns:pdfaid=\"http://www.aiim.org/pdfa/ns/id/\">\n"
        "<pdfaid:part>2</pdfaid:part>\n<pdfaid:conformance>B</pdfaid:conformance>\n"
        "<dc:format>application/pdf</dc:format>\n");
    put_property(xmp, file, "/Title", "<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">",
                 "</rdf:li></rdf:Alt></dc:title>");
    put_property(xmp, file, "/Subject", "<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">",
                 "</rdf:li></rdf:Alt></dc:description>");
    put_property(xmp, file, "/Author", "<dc:creator><rdf:Seq><rdf:li>", "</rdf:li></rdf:Seq></dc:creator>");
    put_property(xmp, file, "/Creator", "<xmp:CreatorTool>", "</xmp:CreatorTool>");
    put_property(xmp, file, "/Producer", "<pdf:Producer>", "</pdf:Producer>");
    put_property(xmp, file, "/CreationDate", "<xmp:CreateDate>", "</xmp:CreateDate>");
    g_string_append(xmp, "</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>\n");
    return xmp;
}

static qpdf_oh add_stream(qpdf_data file, const void *bytes, size_t length, const char *dictionary)
{
    const qpdf_oh stream = qpdf_oh_new_stream(file), given = qpdf_oh_parse(file, dictionary);
    const qpdf_oh dict = qpdf_oh_get_dict(file, stream);
    qpdf_oh_begin_dict_key_iter(file, given);
    while (qpdf_oh_dict_more_keys(file)) {
        const char *key = qpdf_oh_dict_next_key(file);
        qpdf_oh_replace_key(file, dict, key, qpdf_oh_get_key(file, given, key));
    }
    qpdf_oh_replace_stream_data(file, stream, bytes, length, qpdf_oh_new_null(file), qpdf_oh_new_null(file));
    return stream;
}

/* ---- colour ---- */

/* All colours of the file are red, green and blue of sRGB: its profile, 4.2 as ISO 32000-1 knows it. */
static unsigned char *write_profile(cmsUInt32Number *length)
{
    unsigned char *bytes = NULL;
    const cmsHPROFILE profile = cmsCreate_sRGBProfile();
    if (!profile) {
        return NULL;
    }
    cmsSetProfileVersion(profile, 4.2);
    if (cmsSaveProfileToMem(profile, NULL, length)) {
        bytes = malloc(*length);
    }
    if (bytes && !cmsSaveProfileToMem(profile, bytes, length)) {
        free(bytes);
        bytes = NULL;
    }
    cmsCloseProfile(profile);
    return bytes;
}

static int put_colour(qpdf_data file, qpdf_oh root)
{
    cmsUInt32Number length = 0;
    unsigned char *profile = write_profile(&length);
    if (!profile) {
        return 0;
    }
    const qpdf_oh intent = qpdf_oh_parse(file, "<< /Type /OutputIntent /S /GTS_PDFA1 /Info (sRGB IEC61966-2.1) "
                                               "/OutputConditionIdentifier (sRGB IEC61966-2.1) >>");
    qpdf_oh_replace_key(file, intent, "/DestOutputProfile",
                        add_stream(file, profile, length, "<< /N 3 /Alternate /DeviceRGB >>"));
    free(profile);
    const qpdf_oh list = qpdf_oh_new_array(file);
    qpdf_oh_append_item(file, list, qpdf_make_indirect_object(file, intent));
    qpdf_oh_replace_key(file, root, "/OutputIntents", list);
    return 1;
}

/* ---- fonts ---- */

static int is_name(qpdf_data file, qpdf_oh dict, const char *key, const char *name)
{
    const qpdf_oh value = qpdf_oh_get_key_if_dict(file, dict, key);
    return qpdf_oh_is_name(file, value) && strcmp(qpdf_oh_get_name(file, value), name) == 0;
}

/* Glyphs are counted as in the font's file: what a reader takes where nothing is said, and an archive wants said. */
static void tell_glyphs(qpdf_data file, qpdf_oh fonts)
{
    qpdf_oh_begin_dict_key_iter(file, fonts);
    while (qpdf_oh_dict_more_keys(file)) {
        const qpdf_oh font = qpdf_oh_get_key(file, fonts, qpdf_oh_dict_next_key(file));
        const qpdf_oh inner = qpdf_oh_get_key_if_dict(file, font, "/DescendantFonts");
        for (int i = 0; qpdf_oh_is_array(file, inner) && i < qpdf_oh_get_array_n_items(file, inner); i++) {
            const qpdf_oh one = qpdf_oh_get_array_item(file, inner, i);
            if (is_name(file, one, "/Subtype", "/CIDFontType2") && !qpdf_oh_has_key(file, one, "/CIDToGIDMap")) {
                qpdf_oh_replace_key(file, one, "/CIDToGIDMap", qpdf_oh_new_name(file, "/Identity"));
            }
        }
    }
}

/* Of a page, or of a form that a page draws. */
static void tell_fonts(qpdf_data file, qpdf_oh owner, int depth)
{
    enum { DEEPEST = 4 };
    const qpdf_oh resources = qpdf_oh_get_key_if_dict(file, owner, "/Resources");
    const qpdf_oh fonts = qpdf_oh_get_key_if_dict(file, resources, "/Font");
    const qpdf_oh drawn = qpdf_oh_get_key_if_dict(file, resources, "/XObject");
    if (qpdf_oh_is_dictionary(file, fonts)) {
        tell_glyphs(file, fonts);
    }
    if (!qpdf_oh_is_dictionary(file, drawn) || depth == DEEPEST) {
        return;
    }
    char *keys[256];
    int count = 0;
    qpdf_oh_begin_dict_key_iter(file, drawn); /* there is one iteration at a time */
    while (qpdf_oh_dict_more_keys(file) && count < 256) {
        keys[count++] = g_strdup(qpdf_oh_dict_next_key(file));
    }
    for (int i = 0; i < count; i++) {
        const qpdf_oh stream = qpdf_oh_get_key(file, drawn, keys[i]);
        if (qpdf_oh_is_stream(file, stream)) {
            tell_fonts(file, qpdf_oh_get_dict(file, stream), depth + 1);
        }
        g_free(keys[i]);
    }
}

/* ---- the file ---- */

static int add_all(qpdf_data file, const char *language)
{
    const qpdf_oh root = qpdf_get_root(file);
    GString *xmp = write_xmp(file);
    qpdf_oh_replace_key(file, root, "/Metadata",
                        add_stream(file, xmp->str, xmp->len, "<< /Type /Metadata /Subtype /XML >>"));
    g_string_free(xmp, TRUE);
    qpdf_oh_replace_key(file, root, "/Lang", qpdf_oh_new_unicode_string(file, language));
    qpdf_oh_replace_key(file, root, "/ViewerPreferences", qpdf_oh_parse(file, "<< /DisplayDocTitle true >>"));
    for (int i = 0; i < qpdf_get_num_pages(file); i++) {
        tell_fonts(file, qpdf_get_page_n(file, (size_t)i), 0);
    }
    return put_colour(file, root);
}

char *cli_archive(const char *pdf, size_t length, const char *language, size_t *out_length)
{
    char *out = NULL;
    qpdf_data file = qpdf_init();
    qpdf_silence_errors(file);
    if (qpdf_read_memory(file, "handover.pdf", pdf, length, NULL) < QPDF_ERRORS && add_all(file, language) &&
        qpdf_init_write_memory(file) < QPDF_ERRORS) {
        qpdf_set_deterministic_ID(file, QPDF_TRUE);
        qpdf_set_minimum_pdf_version(file, "1.7");
        qpdf_set_newline_before_endstream(file, QPDF_TRUE);
        qpdf_set_object_stream_mode(file, qpdf_o_disable);
        if (qpdf_write(file) < QPDF_ERRORS && !qpdf_has_error(file)) {
            *out_length = qpdf_get_buffer_length(file);
            out = malloc(*out_length);
            if (out) {
                memcpy(out, qpdf_get_buffer(file), *out_length);
            }
        }
    }
    qpdf_cleanup(&file);
    return out;
}

#endif
