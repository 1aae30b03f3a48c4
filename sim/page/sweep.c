/* sim/page/sweep.c - what a page knows of a sweep: its points with all outputs, and the main effects.
 *
 * Of a large sweep MOST_POINTS are shown: those of the default trade-off front, and others spread evenly over the rest
 * (choice: a page should stay light). Effects are of all points. */
#include <math.h>
#include <stdlib.h>

#include "base/status.h"
#include "page/parts.h"
#include "report/fan_note.h"
#include "report/tradeoff.h"

enum { MOST_POINTS = 3000, DIGITS = 5 };

static void factors(base_json *j, const store_sweep *s)
{
    base_json_open(j, "factors", '[');
    for (int f = 0; f < s->head.n_factors; f++) {
        const store_sweep_factor *factor = &s->head.factor[f];
        base_json_open(j, NULL, '{');
        base_json_words(j, "name", factor->name);
        base_json_words(j, "key", factor->key);
        base_json_words(j, "units", factor->units);
        base_json_truth(j, "numeric", factor->numeric);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

/* Numbers with their units stay numbers, so that the page can change units; levels become their words. */
static void settings(base_json *j, const store_sweep *s, int64_t n, const int64_t *point)
{
    base_json_open(j, "settings", '['); /* [factor][point] */
    for (int f = 0; f < s->head.n_factors; f++) {
        base_json_open(j, NULL, '[');
        for (int64_t i = 0; i < n; i++) {
            char text[96];
            report_setting(s, point[i], f, text);
            if (s->head.factor[f].numeric)
                base_json_number(j, NULL, report_setting_number(s, point[i], f), 6);
            else
                base_json_words(j, NULL, text);
        }
        base_json_close(j, ']');
    }
    base_json_close(j, ']');
}

static drupelet_status outputs(base_json *j, const store_sweep *s, int64_t n, const int64_t *point)
{
    drupelet_status status = base_ok();
    double *value = malloc(2 * (size_t)n * sizeof *value);
    if (!value)
        return base_error(DRUPELET_MEMORY, "no memory for the page");
    base_json_open(j, "outputs", '[');
    for (int o = 0, n_all = result_columns_all(); o < n_all && status.code == DRUPELET_OK; o++) {
        report_column column;
        status = report_column_create(s, o, &column);
        if (status.code != DRUPELET_OK)
            break;
        for (int64_t i = 0; i < n; i++) {
            value[i] = column.mean[point[i]].share;
            value[n + i] = column.mean[point[i]].error;
        }
        base_json_open(j, NULL, '{');
        base_json_words(j, "name", result_column_of(o).name);
        base_json_words(j, "units", result_column_of(o).units);
        base_json_truth(j, "drift", result_column_of(o).is_drift);
        report_question question = {.output = {-1, o}};
        report_question_tell_beside(&question);
        base_json_number(j, "beside", question.tells_beside ? question.output[REPORT_BESIDE] : -1, 9);
        base_json_numbers(j, "v", (size_t)n, value, 1, DIGITS);
        base_json_numbers(j, "e", (size_t)n, value + n, 1, 3);
        base_json_close(j, '}');
        report_column_free(&column);
    }
    base_json_close(j, ']');
    free(value);
    return status;
}

static void amount(base_json *j, const char *key, tally_estimate e)
{
    const double both[2] = {e.share, e.error};
    base_json_numbers(j, key, 2, both, 1, DIGITS);
}

/* One output's effects: [factor]. */
static void effects_of(base_json *j, const report_tradeoff *t, report_role role)
{
    base_json_open(j, NULL, '[');
    for (int f = 0; f < t->sweep->head.n_factors; f++) {
        const report_effect *e = &t->effect[f];
        base_json_open(j, NULL, '{');
        base_json_open(j, "levels", '[');
        for (int l = 0; l < e->n_levels; l++) {
            base_json_open(j, NULL, '{');
            base_json_words(j, "label", e->level[l].label);
            base_json_number(j, "number", e->level[l].number, 6);
            base_json_number(j, "n", (double)e->level[l].n, 9);
            amount(j, "mean", e->level[l].mean[role]);
            base_json_close(j, '}');
        }
        base_json_close(j, ']');
        amount(j, "range", e->range[role]);
        if (t->sweep->head.indices) {
            const report_index *i = &e->index[role];
            const double six[] = {i->first, i->first_low, i->first_high, i->total, i->total_low, i->total_high};
            base_json_numbers(j, "index", 6, six, 1, 4);
        }
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

/* Effects of every output, two at a time as they come from one question. */
static drupelet_status effects(base_json *j, const store_sweep *s, bool *drawn)
{
    drupelet_status status = base_ok();
    base_json_open(j, "effects", '['); /* [output][factor] */
    for (int o = 0, n_all = result_columns_all(); o < n_all && status.code == DRUPELET_OK; o += 2) {
        const int second = o + 1 < n_all ? o + 1 : o;
        const report_question question = {.output = {o, second}, .a = -1, .b = -1};
        report_tradeoff t;
        status = report_tradeoff_create(s, &question, &t);
        if (status.code == DRUPELET_OK) {
            *drawn = t.drawn;
            effects_of(j, &t, REPORT_GAIN);
            if (second != o)
                effects_of(j, &t, REPORT_LOSS);
        }
        report_tradeoff_free(&t);
    }
    base_json_close(j, ']');
    return status;
}

/* Shown points whose drift is not known for all that is aloft, by their place in the list; both lists rise. */
static void aloft(base_json *j, const report_tradeoff *t, int64_t n, const int64_t *point)
{
    int64_t k = 0;
    base_json_open(j, "aloft", '[');
    for (int64_t i = 0; i < n; i++) {
        while (k < t->n_aloft && t->aloft[k] < point[i])
            k++;
        if (k < t->n_aloft && t->aloft[k] == point[i])
            base_json_number(j, NULL, (double)i, 12);
    }
    base_json_close(j, ']');
}

/* Does the sweep vary the fan, and what follows: words, and what a translation of them needs. */
static drupelet_status fan_note(base_json *j, const store_sweep *s)
{
    report_fan_note note;
    const drupelet_status status = report_fan_note_of(s, &note);
    if (status.code != DRUPELET_OK || note.i_factor < 0)
        return status;
    base_json_open(j, "fan_note", '{');
    base_json_words(j, "text", note.text);
    base_json_number(j, "factor", note.i_factor, 9);
    base_json_words(j, "ground", result_column_of(note.i_ground).name);
    base_json_words(j, "airborne", result_column_of(note.i_airborne).name);
    base_json_words(j, "kind", !note.compared ? "unknown" : note.opposite ? "opposite" : "compared");
    base_json_words(j, "least_ground", note.least_ground);
    base_json_words(j, "least_airborne", note.least_airborne);
    base_json_close(j, '}');
    return status;
}

/* Which points are shown, in their order. */
static int64_t choose(const report_tradeoff *t, int64_t *point)
{
    int64_t n = 0, kept = 0;
    bool *front = calloc((size_t)t->n_points, sizeof *front);
    for (int64_t i = 0; i < t->n_front && front; i++)
        front[t->front[i]] = true;
    const int64_t step = (t->n_points + MOST_POINTS - 1) / MOST_POINTS;
    for (int64_t p = 0; p < t->n_points; p++)
        if (p % step == 0 || (front && front[p] && kept++ < MOST_POINTS))
            point[n++] = p;
    free(front);
    return n;
}

drupelet_status page_sweep(base_json *j, const store_sweep *s)
{
    const report_question question = report_question_usual();
    report_tradeoff t;
    drupelet_status status = report_tradeoff_create(s, &question, &t);
    int64_t *point = status.code == DRUPELET_OK ? malloc((size_t)t.n_points * sizeof *point) : NULL;
    if (status.code == DRUPELET_OK && !point)
        status = base_error(DRUPELET_MEMORY, "no memory for the page");
    if (status.code == DRUPELET_OK) {
        const int64_t n = choose(&t, point);
        int64_t n_failed = 0;
        bool drawn = false;
        for (int64_t c = 0; c < s->head.n_cases; c++)
            n_failed += s->failed[c];
        base_json_open(j, "sweep", '{');
        base_json_words(j, "name", s->head.name);
        base_json_words(j, "version", s->head.version);
        base_json_words(j, "design", s->head.design);
        base_json_number(j, "cases", (double)s->head.n_cases, 12);
        base_json_number(j, "points", (double)t.n_points, 12);
        base_json_number(j, "failed", (double)n_failed, 12);
        base_json_number(j, "replicates", s->head.n_replicates, 9);
        base_json_truth(j, "indices", s->head.indices);
        page_groups(j);
        factors(j, s);
        base_json_open(j, "point", '[');
        for (int64_t i = 0; i < n; i++)
            base_json_number(j, NULL, (double)(point[i] + 1), 12);
        base_json_close(j, ']');
        settings(j, s, n, point);
        status = outputs(j, s, n, point);
        if (status.code == DRUPELET_OK)
            status = effects(j, s, &drawn);
        aloft(j, &t, n, point);
        if (status.code == DRUPELET_OK)
            status = fan_note(j, s);
        base_json_truth(j, "drawn", drawn);
        base_json_close(j, '}');
    }
    free(point);
    report_tradeoff_free(&t);
    return status;
}
