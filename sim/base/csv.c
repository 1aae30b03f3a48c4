/* sim/base/csv.c - reads comma-separated values line by line, and says where a value is wrong. */
#include "base/csv.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"

enum { QUOTED = 64, EXPECTED = 200 }; /* bytes of a value and of what was expected, in a message */

/* ---- messages ---- */

/* A value as it is quoted: on one line, and short. */
static void quote(const char *text, char quoted[QUOTED])
{
    int n = 0;
    for (const char *c = text; *c && n < QUOTED - 4; c++)
        quoted[n++] = (unsigned char)*c < 0x20 || *c == 0x7F ? '?' : *c;
    while (n > 0 && strlen(text) > (size_t)n && ((unsigned char)text[n] & 0xC0) == 0x80)
        n--; /* not within a letter */
    strcpy(quoted + n, strlen(text) > (size_t)n ? "..." : "");
}

static void refuse(base_csv *csv, int line, int column, const char *name, const char *found, const char *expected)
{
    if (csv->status.code == DRUPELET_OK)
        csv->status = base_error(DRUPELET_SCENARIO, "%s:%d:%d: %s%sfound %s, expected %s", csv->path, line, column,
                                 name, name[0] ? ": " : "", found, expected);
}

void base_csv_refuse_at(base_csv *csv, int line, int column, const char *name, const char *found, const char *format,
                         ...)
{
    char expected[EXPECTED];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(expected, sizeof expected, format, arguments);
    va_end(arguments);
    refuse(csv, line, column, name, found, expected);
}

void base_csv_refuse(base_csv *csv, int i_column, const char *format, ...)
{
    char expected[EXPECTED], found[QUOTED];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(expected, sizeof expected, format, arguments);
    va_end(arguments);
    quote(csv->cell[i_column].text, found);
    refuse(csv, csv->line, csv->cell[i_column].column, csv->name[i_column], found[0] ? found : "nothing", expected);
}

/* ---- lines ---- */

static bool blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

/* Letters of a piece of text: bytes that go on with a letter do not count. */
static int letters(const char *from, const char *to)
{
    int n = 0;
    for (; from < to; from++)
        n += ((unsigned char)*from & 0xC0) != 0x80;
    return n;
}

/* Cuts blanks and quotes off a value; to is where it ends. */
static base_cell cell_of(const char *line, char *from, char *to)
{
    while (from < to && blank(*from))
        from++;
    while (to > from && blank(to[-1]))
        to--;
    if (to - from >= 2 && *from == '"' && to[-1] == '"') {
        from++;
        to--;
    }
    const base_cell cell = {from, letters(line, from) + 1};
    *to = '\0';
    return cell;
}

/* The comma or the end of the line behind a value. */
static char *end_of_value(char *from)
{
    char *at = from;
    while (blank(*at))
        at++;
    char *quote = *at == '"' ? strchr(at + 1, '"') : NULL;
    if (quote) {
        for (quote++; blank(*quote);)
            quote++;
        if (*quote == ',' || *quote == '\0')
            return quote;
    }
    return from + strcspn(from, ",");
}

/* Copies the next line that is neither empty nor a comment; false at the end of the file. */
static bool copy_line(base_csv *csv)
{
    while (csv->status.code == DRUPELET_OK && *csv->at) {
        const char *line = csv->at, *end = line + strcspn(line, "\n"), *first = line;
        csv->line = csv->next_line++;
        csv->at = *end ? end + 1 : end;
        while (first < end && blank(*first))
            first++;
        if (first == end || *first == '#')
            continue;
        const size_t n = (size_t)(end - line);
        if (n >= BASE_CSV_LINE) {
            refuse(csv, csv->line, 1, "", "a longer line", "at most 4095 bytes in a line");
            return false;
        }
        memcpy(csv->room, line, n);
        csv->room[n] = '\0';
        return true;
    }
    return false;
}

/* Cuts the next line that is neither empty nor a comment into cells; false at the end of the file. */
static bool split(base_csv *csv)
{
    if (!copy_line(csv))
        return false;
    csv->n_cells = 0;
    for (char *from = csv->room; from;) {
        char *to = end_of_value(from), *next = *to ? to + 1 : NULL;
        if (csv->n_cells == BASE_CSV_CELLS) {
            refuse(csv, csv->line, letters(csv->room, from) + 1, "", "more values", "at most 32 in a line");
            return false;
        }
        csv->cell[csv->n_cells++] = cell_of(csv->room, from, to);
        from = next;
    }
    return true;
}

bool base_csv_next(base_csv *csv)
{
    if (!split(csv))
        return false;
    if (csv->n_cells == csv->n_columns)
        return true;
    char found[48], expected[48];
    const bool more = csv->n_cells > csv->n_columns;
    snprintf(found, sizeof found, "%d value%s", csv->n_cells, csv->n_cells > 1 ? "s" : "");
    snprintf(expected, sizeof expected, "%d, as there are columns", csv->n_columns);
    refuse(csv, csv->line, csv->cell[more ? csv->n_columns : csv->n_cells - 1].column, "", found, expected);
    return false;
}

/* ---- the file and its columns ---- */

static bool is_known(const char *name, const char *known)
{
    const size_t n = strlen(name);
    for (const char *at = known; n > 0 && (at = strstr(at, name)) != NULL; at += n)
        if ((at == known || at[-1] == ' ') && (at[n] == ' ' || at[n] == '\0'))
            return true;
    return false;
}

static void read_columns(base_csv *csv, const char *known)
{
    if (!split(csv)) {
        refuse(csv, csv->next_line, 1, "", "the end of the file", "a line that names the columns");
        return;
    }
    for (int i = 0; i < csv->n_cells && csv->status.code == DRUPELET_OK; i++) {
        csv->name[i] = "";
        if (known && !is_known(csv->cell[i].text, known))
            base_csv_refuse(csv, i, "the name of a column, one of: %s", known);
        for (int k = 0; k < i; k++)
            if (strcmp(csv->cell[k].text, csv->cell[i].text) == 0)
                base_csv_refuse(csv, i, "each column once");
    }
    memcpy(csv->names, csv->room, sizeof csv->names);
    for (int i = 0; i < csv->n_cells; i++)
        csv->name[i] = csv->names + (csv->cell[i].text - csv->room);
    csv->n_columns = csv->n_cells;
}

static drupelet_status read_bytes(const char *path, size_t most, char **bytes)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        return base_error(errno == ENOMEM ? DRUPELET_MEMORY : DRUPELET_SCENARIO, "%s: cannot be read: %s", path,
                          strerror(errno));
    drupelet_status status = base_ok();
    size_t n = 0, room = 1 << 16;
    *bytes = malloc(room + 1);
    while (*bytes && status.code == DRUPELET_OK && !feof(file) && !ferror(file)) {
        n += fread(*bytes + n, 1, room - n, file);
        if (n > most)
            status = base_error(DRUPELET_SCENARIO, "%s: found more than %zu MB, expected a smaller table", path,
                                most / 1000000);
        if (n == room && n <= most) {
            char *more = realloc(*bytes, 2 * room + 1);
            if (!more)
                free(*bytes);
            *bytes = more;
            room *= 2;
        }
    }
    if (!*bytes)
        status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", path);
    else if (ferror(file))
        status = base_error(errno == ENOMEM ? DRUPELET_MEMORY : DRUPELET_SCENARIO, "%s: cannot be read: %s", path,
                          strerror(errno));
    else
        (*bytes)[n] = '\0';
    fclose(file);
    if (status.code == DRUPELET_OK && strlen(*bytes) != n)
        status = base_error(DRUPELET_SCENARIO, "%s: found bytes that are no text, expected comma-separated values",
                            path);
    return status;
}

void base_csv_open(const char *path, size_t most, const char *known, base_csv *csv)
{
    *csv = (base_csv){.path = path, .next_line = 1};
    csv->status = read_bytes(path, most, &csv->bytes);
    if (csv->status.code != DRUPELET_OK)
        return;
    csv->at = csv->bytes + (strncmp(csv->bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0); /* a mark that it is UTF-8 */
    read_columns(csv, known);
}

void base_csv_embedded(const char *name, const char *text, base_csv *csv)
{
    *csv = (base_csv){.path = name, .at = text, .next_line = 1};
    read_columns(csv, NULL);
}

void base_csv_close(base_csv *csv)
{
    free(csv->bytes);
    csv->bytes = NULL;
    csv->at = NULL;
}

int base_csv_column(const base_csv *csv, const char *name)
{
    for (int i = 0; i < csv->n_columns; i++)
        if (strcmp(csv->name[i], name) == 0)
            return i;
    return -1;
}

void base_csv_need(base_csv *csv, const char *name)
{
    if (csv->status.code == DRUPELET_OK && base_csv_column(csv, name) < 0)
        refuse(csv, csv->line, csv->cell[0].column, name, "no such column", "one");
}

const char *base_csv_text(const base_csv *csv, int i_column)
{
    return i_column >= 0 ? csv->cell[i_column].text : "";
}

double base_csv_number(base_csv *csv, int i_column, double low, double high, const char *what)
{
    double value = 0.0;
    if (csv->status.code != DRUPELET_OK)
        return low;
    const char *rest = base_number(csv->cell[i_column].text, &value);
    if (rest && *rest == '\0' && value >= low && value <= high)
        return value;
    base_csv_refuse(csv, i_column, "%s from %g to %g", what, low, high);
    return low;
}
