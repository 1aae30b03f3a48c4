/* sim/verify/table.c - published numbers in memory, by row and name of the column. */
#include "verify/table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/status.h"

struct verify_table {
    char *text, *end;  /* the cells, one after the other */
    char **cell;       /* [n_rows + 1][n_columns]; row 0 holds the names */
    int n_rows, n_columns;
};

static void keep(verify_table *t, int row, int column, const char *text)
{
    t->cell[row * t->n_columns + column] = t->end;
    strcpy(t->end, text);
    t->end += strlen(text) + 1;
}

/* @param most of rows, that of the names included */
static drupelet_status fill(verify_table *t, base_csv *csv, size_t size, size_t most)
{
    t->n_columns = csv->n_columns;
    t->text = t->end = malloc(size + 1); /* each cell ends where a comma or a line did */
    t->cell = malloc(most * (size_t)t->n_columns * sizeof *t->cell);
    if (!t->text || !t->cell)
        return base_error(DRUPELET_MEMORY, "no memory for the reference data %s", csv->path);
    for (int i = 0; i < t->n_columns; i++)
        keep(t, 0, i, csv->name[i]);
    while (base_csv_next(csv)) {
        t->n_rows++;
        for (int i = 0; i < t->n_columns; i++)
            keep(t, t->n_rows, i, csv->cell[i].text);
    }
    return csv->status;
}

drupelet_status verify_table_create(const char *name, const char *text, verify_table **table)
{
    *table = NULL;
    if (!text)
        return base_error(DRUPELET_FILE, "%s: there is no such reference data", name);
    size_t n_lines = 1;
    for (const char *c = text; *c; c++)
        n_lines += *c == '\n';
    verify_table *t = calloc(1, sizeof *t);
    if (!t)
        return base_error(DRUPELET_MEMORY, "no memory for the reference data %s", name);
    base_csv csv;
    base_csv_embedded(name, text, &csv);
    drupelet_status status = csv.status;
    if (status.code == DRUPELET_OK)
        status = fill(t, &csv, strlen(text), n_lines);
    if (status.code == DRUPELET_SCENARIO)
        status.code = DRUPELET_FILE; /* the data are the program's, not the user's */
    base_csv_close(&csv);
    if (status.code == DRUPELET_OK)
        *table = t;
    else
        verify_table_free(t);
    return status;
}

drupelet_status verify_table_open(const char *name, verify_table **table)
{
    const verify_file *file = verify_files;
    while (file->name && strcmp(file->name, name) != 0)
        file++;
    return verify_table_create(name, file->text, table);
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
