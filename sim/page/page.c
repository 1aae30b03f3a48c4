/* sim/page/page.c - puts a page together: the frame of sim/page/browser/page.html, its style, data, texts and
 * scripts.
 *
 * The content policy allows the style and the scripts of the program by their SHA-256, and nothing else: no request,
 * no code from elsewhere, none from a text of the result. Where the page holds the simulator, it may also compile
 * WebAssembly and start workers from memory, which have the same policy. Data are JSON in script elements of another
 * type, which browsers do not run. The same results give the same bytes. */
#define _POSIX_C_SOURCE 200809L
#include "page/page.h"

#include <string.h>

#include "base/status.h"
#include "page/parts.h"
#include "report/fan_note.h"
#include "report/model_error.h"

/* Made from the files of sim/page/browser/ when the program is built (scripts/cmake/embedded_data.cmake). */
extern const char page_frame[], page_style[], page_script[], page_d3[], page_three[],
    page_text_en[], page_text_es[];
extern const char page_style_sha256[], page_script_sha256[], page_d3_sha256[],
    page_three_sha256[]; /* hexadecimal */

static int hexadecimal(char c)
{
    return c <= '9' ? c - '0' : c - 'a' + 10;
}

/* 'sha256-' and the base64 of a hash that is given in hexadecimal */
static void write_hash(FILE *to, const char *hash)
{
    static const char LETTER[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    unsigned char byte[33] = {0}; /* a third of the 32 bytes and a bit more: a 0 fills up */
    for (int i = 0; i < 32; i++)
        byte[i] = (unsigned char)(16 * hexadecimal(hash[2 * i]) + hexadecimal(hash[2 * i + 1]));
    fputs(" 'sha256-", to);
    for (int i = 0; i < 33; i += 3) {
        const unsigned bits = (unsigned)byte[i] << 16 | (unsigned)byte[i + 1] << 8 | byte[i + 2];
        const char four[4] = {LETTER[bits >> 18], LETTER[bits >> 12 & 63], LETTER[bits >> 6 & 63],
                              i + 2 < 32 ? LETTER[bits & 63] : '='};
        fwrite(four, 1, 4, to);
    }
    fputc('\'', to);
}

/* A sweep has its points alone. */
static bool holds_simulator(int n, char *const result_path[], const page_start *start)
{
    return page_live_is_built() && !start->without_simulator && !(n == 1 && store_sweep_is(result_path[0]));
}

/* @param simulator the page may compile the module that it holds, and start workers from what it holds */
static void write_policy(FILE *to, bool simulator)
{
    fputs("default-src 'none'; script-src", to);
    write_hash(to, page_three_sha256);
    write_hash(to, page_d3_sha256);
    write_hash(to, page_script_sha256);
    if (simulator)
        fputs(" 'wasm-unsafe-eval'; worker-src blob:", to);
    fputs("; style-src", to);
    write_hash(to, page_style_sha256);
    fputs("; base-uri 'none'; form-action 'none'", to);
}

static void write_block(FILE *to, const char *open, const char *content, const char *close)
{
    fputs(open, to);
    fputs(content, to);
    fputs(close, to);
}

static drupelet_status write_data(FILE *to, int n, char *const result_path[], const page_start *start)
{
    drupelet_status status = base_ok();
    base_json j = {.to = to};
    fputs("<script type=\"application/json\" id=\"data\">", to);
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "language", start->language);
    base_json_words(&j, "units", start->units);
    store_sweep sweep;
    const bool is_sweep = n == 1 && store_sweep_is(result_path[0]);
    if (is_sweep) {
        status = store_sweep_read(result_path[0], &sweep);
        if (status.code == DRUPELET_OK)
            status = page_sweep(&j, &sweep);
        store_sweep_free(&sweep);
    }
    if (!is_sweep)
        base_json_words(&j, "fan_note", report_fan_note_of_results());
    report_model_error_json(&j);
    base_json_open(&j, "results", '[');
    for (int i = 0; i < n && !is_sweep && status.code == DRUPELET_OK; i++) {
        drupelet_result *result;
        const char *slash = strrchr(result_path[i], '/');
        status = store_read(result_path[i], &result);
        base_json_open(&j, NULL, '{');
        if (status.code == DRUPELET_OK)
            status = page_result(&j, slash ? slash + 1 : result_path[i], result, true);
        if (status.code == DRUPELET_OK)
            status = page_live(&j, result, start->without_simulator);
        base_json_close(&j, '}');
        drupelet_result_free(result);
    }
    base_json_close(&j, ']');
    if (holds_simulator(n, result_path, start))
        page_live_keys(&j);
    base_json_close(&j, '}');
    fputs("</script>\n", to);
    return status;
}

/* Where scripts may not run. Of a sweep there is the head alone: what it has to say is all in pictures to work with. */
static drupelet_status write_plain(FILE *to, int n, char *const result_path[], const page_start *start)
{
    drupelet_status status = base_ok();
    const bool spanish = start->language && strcmp(start->language, "es") == 0;
    const bool us = start->units && strcmp(start->units, "us") == 0;
    const char *texts = spanish ? page_text_es : page_text_en;
    page_plain_head(to, texts, spanish);
    for (int i = 0; i < n && status.code == DRUPELET_OK && !store_sweep_is(result_path[i]); i++) {
        drupelet_result *result;
        status = store_read(result_path[i], &result);
        if (status.code == DRUPELET_OK)
            page_plain_result(to, texts, spanish, us, result);
        drupelet_result_free(result);
    }
    page_plain_foot(to, texts, spanish);
    return status;
}

static drupelet_status write_page(FILE *to, int n, char *const result_path[], const page_start *start)
{
    drupelet_status status = base_ok();
    for (const char *from = page_frame; *from != '\0';) {
        const char *mark = strstr(from, "{{"), *end = mark ? strstr(mark, "}}") : NULL;
        if (!end) {
            fputs(from, to);
            break;
        }
        fwrite(from, 1, (size_t)(mark - from), to);
        if (strncmp(mark, "{{policy", 8) == 0) {
            write_policy(to, holds_simulator(n, result_path, start));
        } else if (strncmp(mark, "{{style", 7) == 0) {
            write_block(to, "<style>", page_style, "</style>");
        } else if (strncmp(mark, "{{plain", 7) == 0) {
            status = write_plain(to, n, result_path, start);
        } else if (strncmp(mark, "{{data", 6) == 0 && status.code == DRUPELET_OK) {
            status = write_data(to, n, result_path, start);
            if (holds_simulator(n, result_path, start))
                page_live_simulator(to);
        } else if (strncmp(mark, "{{texts", 7) == 0) {
            write_block(to, "<script type=\"application/json\" id=\"text-en\">", page_text_en, "</script>\n");
            write_block(to, "<script type=\"application/json\" id=\"text-es\">", page_text_es, "</script>");
        } else if (strncmp(mark, "{{scripts", 9) == 0) {
            write_block(to, "<script>", page_three, "</script>\n");
            write_block(to, "<script>", page_d3, "</script>\n");
            write_block(to, "<script>", page_script, "</script>");
        }
        from = end + 2;
    }
    return status;
}

drupelet_status page_write(int n, char *const result_path[], const char *html_path, bool overwrite,
                           const page_start *start)
{
    store_draft draft;
    FILE *to;
    const drupelet_status status = store_text_begin(html_path, overwrite, &draft, &to);
    return to ? store_text_end(&draft, to, write_page(to, n, result_path, start)) : status;
}
