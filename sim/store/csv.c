/* sim/store/csv.c - reads comma-separated values line by line, and says where a value is wrong. */
#include "store/csv.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/units.h"

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

static void refuse(store_csv *csv, int line, int column, const char *name, const char *found, const char *expected)
{
    if (csv->status.code == DRUPELET_OK)
        csv->status = base_error(DRUPELET_SCENARIO, "%s:%d:%d: %s%sfound %s, expected %s", csv->path, line, column,
                                 name, name[0] ? ": " : "", found, expected);
}

void store_csv_refuse_at(store_csv *csv, int line, int column, const char *name, const char *found, const char *format,
                         ...)
{
    char expected[EXPECTED];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(expected, sizeof expected, format, arguments);
    va_end(arguments);
    refuse(csv, line, column, name, found, expected);
}

void store_csv_refuse(store_csv *csv, int i_column, const char *format, ...)
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
static store_cell cell_of(const char *line, char *from, char *to)
{
    while (from < to && blank(*from))
        from++;
    while (to > from && blank(to[-1]))
        to--;
    if (to - from >= 2 && *from == '"' && to[-1] == '"') {
        from++;
        to--;
    }
    const store_cell cell = {from, letters(line, from) + 1};
    *to = '\0';
    return cell;
}

/* Takes the next line that says something apart into cells; false at the end of the file. */
static bool split(store_csv *csv)
{
    while (csv->status.code == DRUPELET_OK && *csv->at) {
        char *line = csv->at, *end = line + strcspn(line, "\n");
        const bool last = *end == '\0';
        csv->line = csv->next_line++;
        csv->at = last ? end : end + 1;
        char *first = line;
        while (first < end && blank(*first))
            first++;
        if (first == end || *first == '#')
            continue;
        csv->n_cells = 0;
        for (char *from = line; from <= end;) {
            char *to = from + strcspn(from, last ? "," : ",\n");
            if (csv->n_cells == STORE_CSV_CELLS) {
                refuse(csv, csv->line, letters(line, from) + 1, "", "more values", "at most 32 in a line");
                return false;
            }
            csv->cell[csv->n_cells++] = cell_of(line, from, to);
            from = to + 1;
        }
        return true;
    }
    return false;
}

bool store_csv_next(store_csv *csv)
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

static void read_columns(store_csv *csv, const char *known)
{
    if (!split(csv)) {
        refuse(csv, csv->next_line, 1, "", "the end of the file", "a line that names the columns");
        return;
    }
    for (int i = 0; i < csv->n_cells && csv->status.code == DRUPELET_OK; i++) {
        csv->name[i] = "";
        if (!is_known(csv->cell[i].text, known))
            store_csv_refuse(csv, i, "the name of a column, one of: %s", known);
        for (int k = 0; k < i; k++)
            if (strcmp(csv->cell[k].text, csv->cell[i].text) == 0)
                store_csv_refuse(csv, i, "each column once");
    }
    for (int i = 0; i < csv->n_cells; i++)
        csv->name[i] = csv->cell[i].text;
    csv->n_columns = csv->n_cells;
}

static drupelet_status read_bytes(const char *path, size_t most, char **bytes)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        return base_error(DRUPELET_SCENARIO, "%s: cannot be read: %s", path, strerror(errno));
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
        status = base_error(DRUPELET_SCENARIO, "%s: cannot be read: %s", path, strerror(errno));
    else
        (*bytes)[n] = '\0';
    fclose(file);
    if (status.code == DRUPELET_OK && strlen(*bytes) != n)
        status = base_error(DRUPELET_SCENARIO, "%s: found bytes that are no text, expected comma-separated values",
                            path);
    return status;
}

void store_csv_open(const char *path, size_t most, const char *known, store_csv *csv)
{
    *csv = (store_csv){.path = path, .next_line = 1};
    csv->status = read_bytes(path, most, &csv->bytes);
    if (csv->status.code != DRUPELET_OK)
        return;
    csv->at = csv->bytes + (strncmp(csv->bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0); /* a mark that it is UTF-8 */
    read_columns(csv, known);
}

void store_csv_close(store_csv *csv)
{
    free(csv->bytes);
    csv->bytes = csv->at = NULL;
}

int store_csv_column(const store_csv *csv, const char *name)
{
    for (int i = 0; i < csv->n_columns; i++)
        if (strcmp(csv->name[i], name) == 0)
            return i;
    return -1;
}

void store_csv_need(store_csv *csv, const char *name)
{
    if (csv->status.code == DRUPELET_OK && store_csv_column(csv, name) < 0)
        refuse(csv, csv->line, csv->cell[0].column, name, "no such column", "one");
}

const char *store_csv_text(const store_csv *csv, int i_column)
{
    return i_column >= 0 ? csv->cell[i_column].text : "";
}

double store_csv_number(store_csv *csv, int i_column, double low, double high, const char *what)
{
    double value = 0.0;
    if (csv->status.code != DRUPELET_OK)
        return low;
    const char *rest = scenario_number(csv->cell[i_column].text, &value);
    if (rest && *rest == '\0' && value >= low && value <= high)
        return value;
    store_csv_refuse(csv, i_column, "%s from %g to %g", what, low, high);
    return low;
}
