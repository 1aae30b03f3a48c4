/* sim/report/compare.c - compares results with the first of them.
 *
 * The error of a difference between headline numbers comes from the 32 differences of the batches: what chance does to
 * both alike drops out where both runs have one seed (common random numbers: common practice in simulation), and with
 * other seeds it is right, too. Errors of the other numbers are added as if independent: with one seed too large. */
#define _POSIX_C_SOURCE 200809L
#include "report/compare.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "report/tradeoff.h"
#include "result/columns.h"
#include "result/quantity.h"
#include "store/store.h"

static const tally_estimate UNKNOWN = {NAN, NAN};

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the comparison");
}

bool report_beyond_noise(tally_estimate d)
{
    return isfinite(d.share) && d.share != 0.0 && !(fabs(d.share) <= REPORT_BEYOND_NOISE * d.error);
}

/* ---- settings ---- */

/* The rest of the line "key: value" of a list of settings, or NULL. */
static const char *value_of(const char *lines, const char *key)
{
    const size_t n = strlen(key);
    for (const char *line = lines; *line; line += strlen(line) + 1)
        if (strncmp(line, key, n) == 0 && strncmp(line + n, ": ", 2) == 0) return line + n + 2;
    return NULL;
}

const char *report_setting_mark(const char *key, const char *value)
{
    const size_t n = strlen(value);
    const char *mark = NULL;
    const bool free_text = strcmp(key, "name") == 0 || strcmp(key, "place") == 0;
    for (const char *at = value; (at = strstr(at, " (")) != NULL; at++)
        mark = at;
    return mark && value[n - 1] == ')' && !free_text ? mark : NULL;
}

/* Bytes of a value without its mark. */
static size_t bare(const char *key, const char *value)
{
    const char *mark = report_setting_mark(key, value);
    return mark ? (size_t)(mark - value) : strlen(value);
}

static bool same_value(const char *key, const char *a, const char *b)
{
    if (!a || !b) return a == b;
    const size_t n = bare(key, a);
    return n == bare(key, b) && memcmp(a, b, n) == 0;
}

/* "key: value\n..." becomes lines, each ended by a zero byte, and an empty one at the end. */
static char *cut_lines(const char *text)
{
    const size_t n = strlen(text);
    char *lines = calloc(n + 2, 1);
    for (size_t i = 0, to = 0; lines && i < n; i++)
        if (text[i] != '\n' || (to > 0 && lines[to - 1] != '\0')) lines[to++] = text[i] == '\n' ? '\0' : text[i];
    return lines;
}

/* Ends the key of a line; the value begins two bytes behind. */
static char *key_of(const char *line)
{
    const char *colon = strstr(line, ": ");
    return colon ? strndup(line, (size_t)(colon - line)) : NULL;
}

static bool is_known(const report_comparison *c, const char *key, int before)
{
    for (int i = 0; i < before; i++)
        if (value_of(c->resolved[i], key)) return true;
    return false;
}

static drupelet_status add_setting(report_comparison *c, char *key)
{
    compare_setting *more = realloc(c->setting, ((size_t)c->n_settings + 1) * sizeof *more);
    if (!more) return no_memory();
    c->setting = more;
    compare_setting *s = &c->setting[c->n_settings];
    *s = (compare_setting){.key = key};
    bool differs = false;
    for (int i = 0; i < c->n; i++) {
        s->value[i] = value_of(c->resolved[i], key);
        differs = differs || !same_value(key, s->value[0], s->value[i]);
    }
    c->n_settings += differs;
    if (!differs) free(key);
    return base_ok();
}

/* Each key once, in the order of the first result that has it. */
static drupelet_status compare_settings(report_comparison *c)
{
    drupelet_status status = base_ok();
    for (int i = 0; i < c->n && status.code == DRUPELET_OK; i++) {
        c->resolved[i] = cut_lines(c->result[i]->resolved);
        if (!c->resolved[i]) status = no_memory();
    }
    for (int i = 0; i < c->n && status.code == DRUPELET_OK; i++)
        for (const char *line = c->resolved[i]; *line && status.code == DRUPELET_OK; line += strlen(line) + 1) {
            char *key = key_of(line);
            if (!key || is_known(c, key, i)) {
                free(key);
                continue;
            }
            status = add_setting(c, key);
            if (status.code != DRUPELET_OK) free(key);
        }
    return status;
}

/* ---- numbers ---- */

static tally_estimate apart(tally_estimate a, tally_estimate b)
{
    return (tally_estimate){b.share - a.share, base_hypot(a.error, b.error)};
}

/* The same, with the error of the differences batch by batch. */
static tally_estimate by_batches(const drupelet_result *a, const drupelet_result *b, int target,
                                 tally_estimate difference)
{
    const float *of_a = a->batch_percent + target * TALLY_BATCHES, *of_b = b->batch_percent + target * TALLY_BATCHES;
    double mean = 0.0, squares = 0.0;
    for (int k = 0; k < TALLY_BATCHES; k++)
        mean += ((double)of_b[k] - (double)of_a[k]) / TALLY_BATCHES;
    for (int k = 0; k < TALLY_BATCHES; k++) {
        const double off = (double)of_b[k] - (double)of_a[k] - mean;
        squares += off * off;
    }
    difference.error = sqrt(squares / (TALLY_BATCHES - 1.0) / TALLY_BATCHES);
    return difference;
}

static compare_number *add_number(report_comparison *c)
{
    compare_number *more = realloc(c->number, ((size_t)c->n_numbers + 1) * sizeof *more);
    if (!more) return NULL;
    c->number = more;
    c->number[c->n_numbers] = (compare_number){.unit = ""};
    return &c->number[c->n_numbers++];
}

static drupelet_status compare_columns(report_comparison *c)
{
    for (int k = 0; k < result_columns_all(); k++) {
        const result_column column = result_column_of(k);
        const int target = result_column_target(k);
        compare_number *n = add_number(c);
        if (!n) return no_memory();
        snprintf(n->name, sizeof n->name, "%s", column.name);
        n->unit = column.units;
        n->meaning = result_column_heading(k);
        n->paired = target >= 0;
        for (int i = 0; i < c->n; i++) {
            n->value[i] = result_column_value(c->result[i], k);
            n->paired = n->paired && target < c->result[i]->n_batched;
        }
        for (int i = 1; i < c->n; i++) {
            n->difference[i] = apart(n->value[0], n->value[i]);
            if (n->paired) n->difference[i] = by_batches(c->result[0], c->result[i], target, n->difference[i]);
        }
    }
    return base_ok();
}

static const result_collector *collector_named(const drupelet_result *r, const char *name)
{
    for (int i = 0; i < r->n_collectors; i++)
        if (strcmp(r->collector[i].name, name) == 0) return &r->collector[i];
    return NULL;
}

/* The quantity of what collectors caught. */
static const result_quantity *caught(void)
{
    for (int k = 0; k < result_collectors.n; k++)
        if (strcmp(result_collectors.quantity[k].name, "caught") == 0) return &result_collectors.quantity[k];
    return NULL;
}

/* Collectors of one name, whoever has them. */
static drupelet_status compare_collectors(report_comparison *c)
{
    for (int first = 0; first < c->n; first++)
        for (int k = 0; k < c->result[first]->n_collectors; k++) {
            const char *name = c->result[first]->collector[k].name;
            bool seen = false;
            for (int i = 0; i < first; i++)
                seen = seen || collector_named(c->result[i], name);
            if (seen) continue;
            compare_number *n = add_number(c);
            if (!n) return no_memory();
            snprintf(n->name, sizeof n->name, "%s", name);
            n->unit = caught()->unit;
            n->meaning = caught()->meaning;
            for (int i = 0; i < c->n; i++) {
                const result_collector *of = collector_named(c->result[i], name);
                n->value[i] = of ? of->measured.of[RUN_CAUGHT] : UNKNOWN;
                n->difference[i] = apart(n->value[0], n->value[i]);
            }
        }
    return base_ok();
}

/* ---- everything else ---- */

/* Values of two results that differ by more than twice their error, or -1 where the shapes differ. */
static int count_differing(const drupelet_result *a, const drupelet_result *b, const result_group *group,
                           const result_quantity *q)
{
    size_t shape[2][RESULT_MOST_AXES];
    const int rank = result_shape(a, group, q, shape[0]);
    result_shape(b, group, q, shape[1]);
    int n = 0;
    for (int i = 0; i < rank; i++)
        if (shape[0][i] != shape[1][i]) return -1;
    const size_t size = result_size(a, group, q);
    for (size_t i = 0; i < size; i++) {
        const tally_estimate *of_a = result_value(a, group, q, i), *of_b = result_value(b, group, q, i);
        n += of_a && of_b && report_beyond_noise(apart(*of_a, *of_b));
    }
    return n;
}

static drupelet_status compare_elsewhere_in(report_comparison *c, const result_group *group, const result_quantity *q)
{
    compare_elsewhere e = {.n = (int)result_size(c->result[0], group, q)};
    bool differs = false;
    for (int i = 1; i < c->n; i++) {
        e.n_differ[i] = count_differing(c->result[0], c->result[i], group, q);
        differs = differs || e.n_differ[i] != 0;
    }
    if (!differs) return base_ok();
    compare_elsewhere *more = realloc(c->elsewhere, ((size_t)c->n_elsewhere + 1) * sizeof *more);
    if (!more) return no_memory();
    snprintf(e.name, sizeof e.name, "%s/%s", group->name, q->name);
    c->elsewhere = more;
    c->elsewhere[c->n_elsewhere++] = e;
    return base_ok();
}

/* Quantities with errors that are no columns of a sweep. */
static drupelet_status look_elsewhere(report_comparison *c)
{
    drupelet_status status = base_ok();
    for (int g = 0; g < result_n_groups; g++)
        for (int k = 0; k < result_groups[g]->n && status.code == DRUPELET_OK; k++) {
            const result_quantity *q = &result_groups[g]->quantity[k];
            if (q->type == RESULT_SHARE && q->column.rank == 0) status = compare_elsewhere_in(c, result_groups[g], q);
        }
    return status;
}

/* ---- the whole ---- */

drupelet_status report_comparison_create(int n, const char *const path[], report_comparison *c)
{
    drupelet_status status = base_ok();
    *c = (report_comparison){.n = 0};
    for (int i = 0; i < n && status.code == DRUPELET_OK; i++) {
        c->path[i] = path[i];
        status = store_read(path[i], &c->result[i]);
        c->n += status.code == DRUPELET_OK;
    }
    if (status.code == DRUPELET_OK) status = compare_settings(c);
    if (status.code == DRUPELET_OK) status = compare_columns(c);
    if (status.code == DRUPELET_OK) status = compare_collectors(c);
    if (status.code == DRUPELET_OK) status = look_elsewhere(c);
    return status;
}

void report_comparison_free(report_comparison *c)
{
    for (int i = 0; i < c->n_settings; i++)
        free(c->setting[i].key);
    free(c->setting);
    free(c->number);
    free(c->elsewhere);
    for (int i = 0; i < c->n; i++) {
        free(c->resolved[i]);
        drupelet_result_free(c->result[i]);
    }
    *c = (report_comparison){.n = 0};
}
