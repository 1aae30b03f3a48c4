/* sim/verify/columns.c - columns of published numbers beside the model, row by row, as columns.csv says. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/status.h"
#include "verify/checks.h"

/* What takes a row, "column=word" or "column=low:high", blanks between several; an empty text takes all. */
static bool takes(const char *rows, const verify_table *table, int row)
{
    char column[64], wanted[32];
    double low, high;
    for (int n = 0; sscanf(rows, " %63[^=]=%31s%n", column, wanted, &n) == 2; rows += n, n = 0) {
        const double number = verify_table_number(table, row, column);
        if (sscanf(wanted, "%lf:%lf", &low, &high) == 2 ? !(number >= low && number <= high)
                                                         : strcmp(verify_table_text(table, row, column), wanted) != 0)
            return false;
    }
    return true;
}

/* Writes a case's name, with the cells that it names between braces. */
static void name_case(const char *name, const verify_table *table, int row, size_t size, char *to)
{
    size_t n = 0;
    for (; *name != '\0' && n + 1 < size; name++) {
        char column[64] = "";
        if (sscanf(name, "{%63[^}]}", column) != 1) {
            to[n++] = *name;
            continue;
        }
        n += (size_t)snprintf(to + n, size - n, "%s", verify_table_text(table, row, column));
        n = n < size ? n : size - 1;
        name += strlen(column) + 1;
    }
    to[n] = '\0';
}

/* @param i row of columns.csv */
static drupelet_status compare(verify_list *list, const verify_table *columns, int i, const verify_model *model)
{
    const char *target = verify_table_text(columns, i, "target"), *column = verify_table_text(columns, i, "column");
    const char *summary = verify_table_text(columns, i, "summary");
    const double scale = verify_table_number(columns, i, "scale");
    verify_table *table;
    const drupelet_status status = verify_table_open(verify_table_text(columns, i, "file"), &table);
    if (status.code != DRUPELET_OK)
        return status;
    verify_worst worst = verify_worst_of(list, target);
    int n = 0;
    for (int row = 0; row < verify_table_rows(table); row++) {
        char name[sizeof list->check[0].what];
        const double published = scale * verify_table_number(table, row, column);
        if (isnan(published) || !takes(verify_table_text(columns, i, "rows"), table, row))
            continue;
        name_case(verify_table_text(columns, i, "case"), table, row, sizeof name, name);
        if (summary[0] != '\0')
            verify_worst_case(&worst, published, model->value(table, row), "%s", name);
        else
            verify_compare(list, target, published, model->value(table, row), "%s", name);
        n++;
    }
    if (summary[0] != '\0' || n == 0) /* a column without a case fails */
        verify_worst_compare(list, &worst, n > 0 ? summary : column);
    verify_table_free(table);
    return status;
}

drupelet_status verify_columns(verify_list *list, const char *subject, const verify_model *models, size_t n)
{
    verify_table *columns;
    drupelet_status status = verify_table_create("columns.csv", verify_columns_csv, &columns);
    if (status.code != DRUPELET_OK)
        return status;
    const size_t length = strlen(subject);
    for (int i = 0; status.code == DRUPELET_OK && i < verify_table_rows(columns); i++) {
        const char *target = verify_table_text(columns, i, "target"), *ours = verify_table_text(columns, i, "ours");
        if (strncmp(target, subject, length) != 0 || target[length] != '.')
            continue;
        size_t m = 0;
        while (m < n && strcmp(models[m].name, ours) != 0)
            m++;
        status = m < n ? compare(list, columns, i, &models[m])
                       : base_error(DRUPELET_FILE, "columns.csv: %s: there is no model '%s'", target, ours);
    }
    verify_table_free(columns);
    return status;
}
