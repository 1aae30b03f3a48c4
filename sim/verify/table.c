/* sim/verify/table.c - reads comma-separated values: # lines are comments, the first other line names the columns, a
 * cell that holds a comma stands in double quotes. Left out: line breaks and quotes inside a cell. */
#include "verify/table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"

struct verify_table {
    char *text;   /* the copy that the cells point into */
    char **cell;  /* [n_rows + 1][n_columns]; row 0 holds the names */
    int n_rows, n_columns;
};

/* Ends the line that starts at *next, moves *next behind it, and returns it; NULL when there is none left. */
static char *next_line(char **next)
{
    char *line = *next;
    if (!*line)
        return NULL;
    char *end = line + strcspn(line, "\n");
    *next = *end ? end + 1 : end;
    *end = '\0';
    if (end > line && end[-1] == '\r')
        end[-1] = '\0';
    return line;
}

/* Splits a line in place; stores at most most cells and returns how many there are. */
static int split(char *line, char **cell, int most)
{
    int n = 0;
    for (char *at = line; at; n++) {
        char *first = at, *comma;
        if (*at == '"' && strchr(at + 1, '"')) {
            first = at + 1;
            char *quote = strchr(first, '"');
            *quote = '\0';
            comma = strchr(quote + 1, ',');
        } else {
            comma = strchr(at, ',');
        }
        if (comma)
            *comma = '\0';
        if (n < most)
            cell[n] = first;
        at = comma ? comma + 1 : NULL;
    }
    return n;
}

static int count(const char *text, char c)
{
    int n = 0;
    for (; *text; text++)
        n += *text == c;
    return n;
}

static drupelet_status parse(const char *name, verify_table *table)
{
    char *next = table->text;
    for (char *line = next_line(&next); line; line = next_line(&next)) {
        if (*line == '#' || *line == '\0')
            continue;
        if (table->n_columns == 0) {
            table->n_columns = count(line, ',') + 1; /* no name holds a comma */
            table->cell = malloc(((size_t)count(next, '\n') + 2) * (size_t)table->n_columns * sizeof *table->cell);
            if (!table->cell)
                return base_error(DRUPELET_MEMORY, "no memory for the reference data %s", name);
            split(line, table->cell, table->n_columns);
            continue;
        }
        const int n = split(line, table->cell + (table->n_rows + 1) * table->n_columns, table->n_columns);
        if (n != table->n_columns)
            return base_error(DRUPELET_FILE, "%s: row %d: found %d cells, expected %d", name, table->n_rows + 1, n,
                              table->n_columns);
        table->n_rows++;
    }
    return table->n_columns > 0 ? base_ok() : base_error(DRUPELET_FILE, "%s: found no line of column names", name);
}

drupelet_status verify_table_create(const char *name, const char *text, verify_table **table)
{
    *table = NULL;
    if (!text)
        return base_error(DRUPELET_FILE, "%s: there is no such reference data", name);
    verify_table *t = calloc(1, sizeof *t);
    const size_t size = strlen(text) + 1;
    if (!t || !(t->text = malloc(size))) {
        free(t);
        return base_error(DRUPELET_MEMORY, "no memory for the reference data %s", name);
    }
    memcpy(t->text, text, size);
    const drupelet_status status = parse(name, t);
    if (status.code == DRUPELET_OK)
        *table = t;
    else
        verify_table_free(t);
    return status;
}

drupelet_status verify_table_open(const char *name, verify_table **table)
{
    return verify_table_create(name, verify_data(name), table);
}

void verify_table_free(verify_table *table)
{
    if (!table)
        return;
    free(table->cell);
    free(table->text);
    free(table);
}

int verify_table_rows(const verify_table *table)
{
    return table->n_rows;
}

const char *verify_table_text(const verify_table *table, int row, const char *column)
{
    for (int i = 0; row >= 0 && row < table->n_rows && i < table->n_columns; i++)
        if (strcmp(table->cell[i], column) == 0)
            return table->cell[(row + 1) * table->n_columns + i];
    return "";
}

double verify_table_number(const verify_table *table, int row, const char *column)
{
    const char *text = verify_table_text(table, row, column);
    char *end;
    const double value = strtod(text, &end);
    return end > text && *end == '\0' ? value : NAN;
}
