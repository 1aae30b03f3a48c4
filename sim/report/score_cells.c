/* sim/report/score_cells.c - the cells of a table of measurements. */
#include "report/score_cells.h"

#include <string.h>

const char *const score_column_names[SCORE_COLUMNS] = {"name", "kind",  "distance_m", "span_m",     "height_m",
                                                       "row",  "third", "side",       "collector",  "value",
                                                       "unit", "floor", "error",      "tracer_g_L", "area_cm2"};

bool score_fine(const score_reading *in)
{
    return in->csv.status.code == DRUPELET_OK;
}

const char *score_text(const score_reading *in, score_column c)
{
    return base_csv_text(&in->csv, in->column[c]);
}

bool score_given(const score_reading *in, score_column c)
{
    return score_text(in, c)[0] != '\0';
}

double score_number_or(score_reading *in, score_column c, double low, double high, const char *what, double otherwise)
{
    return score_given(in, c) ? base_csv_number(&in->csv, in->column[c], low, high, what) : otherwise;
}

double score_number_of(score_reading *in, score_column c, double low, double high, const char *what)
{
    if (in->column[c] < 0) base_csv_need(&in->csv, score_column_names[c]);
    return score_fine(in) ? base_csv_number(&in->csv, in->column[c], low, high, what) : low;
}

int score_word_or(score_reading *in, score_column c, const char *(*word)(int i), const char *expected)
{
    const char *text = score_text(in, c);
    if (text[0] == '\0') return -1;
    for (int i = 0; word(i); i++)
        if (strcmp(text, word(i)) == 0) return i;
    score_refuse(in, c, "%s", expected);
    return -1;
}

void score_leave_empty(score_reading *in, const char *kind, int n, const score_column column[])
{
    for (int i = 0; i < n; i++)
        if (score_given(in, column[i])) score_refuse(in, column[i], "nothing, for %s has no such place", kind);
}
