/* sim/report/budget.c - the budget as tables for people, as JSON, and as comma-separated values. Left out of the tables
 * for people: standard errors of single numbers; the largest is told, the file and the JSON have all. */
#include "report/budget.h"

#include <math.h>

#include "base/status.h"
#include "droplet/outcome.h"
#include "report/text.h"
#include "store/store.h"

enum { WIDE = 12 }; /* letters of a column of numbers */

const char *report_class_words(const drupelet_result *r, int i, char text[32])
{
    if (!isfinite(r->class_high_um[i]))
        snprintf(text, 32, "%.4g and more", r->class_low_um[i]);
    else if (r->class_low_um[i] > 0.0)
        snprintf(text, 32, "%.4g to %.4g", r->class_low_um[i], r->class_high_um[i]);
    else
        snprintf(text, 32, "below %.4g", r->class_high_um[i]);
    return text;
}

/* ---- tables for people ---- */

/* A table whose lines have so many amounts in two groups of columns; the error is the largest of all. */
typedef struct {
    FILE *to;
    double sum[TALLY_FIRSTS + TALLY_ENDS], error;
} table;

static void print_amounts(table *t, const tally_estimate *first, const tally_estimate *end)
{
    for (int i = 0; i < TALLY_FIRSTS + TALLY_ENDS; i++) {
        if (i < TALLY_FIRSTS && !first) continue;
        const tally_estimate e = i < TALLY_FIRSTS ? first[i] : end[i - TALLY_FIRSTS];
        fprintf(t->to, "%s%*.3f", i == TALLY_FIRSTS && first ? " |" : "", WIDE, 100.0 * e.share);
        t->sum[i] += 100.0 * e.share;
        t->error = fmax(t->error, 100.0 * e.error);
    }
    fputc('\n', t->to);
}

static void print_sums(table *t, bool firsts)
{
    double all = 0.0;
    fprintf(t->to, "  %-28s", "together");
    for (int i = firsts ? 0 : TALLY_FIRSTS; i < TALLY_FIRSTS + TALLY_ENDS; i++) {
        fprintf(t->to, "%s%*.3f", i == TALLY_FIRSTS && firsts ? " |" : "", WIDE, t->sum[i]);
        all += i < TALLY_FIRSTS ? 0.0 : t->sum[i];
    }
    fprintf(t->to, "\n  ends together %.3f L of 100 L; the largest standard error of an entry is %.2g L\n", all,
            t->error);
}

/* Short words over the columns, in the order of tally_end. */
static const char *const END_HEAD[2][TALLY_ENDS] = {
    {"at first", "same row,", "another", "block's", "ground", "left in", "aloft at"},
    {"hit", "later", "row", "ground", "outside", "the air", "the end"}};

static void print_head(FILE *to, const char *title, const char *what, bool firsts)
{
    fprintf(to, "\n%s\n", title);
    for (int line = 0; line < 2; line++) {
        fprintf(to, "  %-28s", line > 0 ? what : "");
        for (int i = 0; firsts && i < TALLY_FIRSTS; i++)
            fprintf(to, "%*s", WIDE, i > 0 ? line > 0 ? "" : tally_first_name(i) : line > 0 ? "first hit" : "without");
        for (int i = 0; i < TALLY_ENDS; i++)
            fprintf(to, "%s%*s", i == 0 && firsts ? " |" : "", WIDE, END_HEAD[line][i]);
        fputc('\n', to);
    }
}

static void print_tables(FILE *to, const drupelet_result *r)
{
    char words[32];
    table t = {.to = to};
    fprintf(to, "%s: the way of 100 L of spray, L\n", r->name);
    fputs("What a droplet's first hit on leaf or wood did, and where its liquid came to rest, before run-off.\n", to);
    print_head(to, "By diameter at the nozzle", "um", true);
    for (int c = 0; c < TALLY_CLASSES; c++) {
        fprintf(to, "  %-28s", report_class_words(r, c, words));
        print_amounts(&t, r->budget.class_first[c], r->budget.class_end[c]);
    }
    print_sums(&t, true);
    t = (table){.to = to};
    print_head(to, "By the zone of the first hit: crowns beside the sprayer's alley, then other rows", "zone", true);
    for (int z = 0; z < TALLY_ZONES; z++) {
        fprintf(to, "  %-28s", tally_zone_label(z));
        print_amounts(&t, r->budget.zone_first[z], r->budget.zone_end[z]);
    }
    print_sums(&t, true);
    t = (table){.to = to};
    print_head(to, "By pass of the sprayer", "alley; 0 is outside row 1", false);
    for (int i = 0; i < r->n_passes; i++) {
        fprintf(to, "  %-28d", r->pass[i].alley);
        print_amounts(&t, NULL, r->pass[i].end);
    }
    print_sums(&t, false);
    fprintf(to, "\n%s\n", r->caution);
}

/* ---- JSON ---- */

static void put_ends(base_json *j, const char *key, const tally_estimate *end)
{
    base_json_open(j, key, '{');
    for (int e = 0; e < TALLY_ENDS; e++)
        report_json_estimate(j, tally_end_name(e), result_times(100.0, end[e]));
    base_json_close(j, '}');
}

static void put_firsts(base_json *j, const tally_estimate *first)
{
    base_json_open(j, "first_hit_L_of_100_L", '{');
    for (int f = 0; f < TALLY_FIRSTS; f++)
        report_json_estimate(j, tally_first_name(f), result_times(100.0, first[f]));
    base_json_close(j, '}');
}

static void put_classes(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "by_size", '[');
    for (int c = 0; c < TALLY_CLASSES; c++) {
        base_json_open(j, NULL, '{');
        base_json_number(j, "low_um", r->class_low_um[c], REPORT_JSON_DIGITS);
        base_json_number(j, "high_um", r->class_high_um[c], REPORT_JSON_DIGITS);
        put_firsts(j, r->budget.class_first[c]);
        put_ends(j, "ends_L_of_100_L", r->budget.class_end[c]);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void put_zones(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "by_zone", '[');
    for (int z = 0; z < TALLY_ZONES; z++) {
        base_json_open(j, NULL, '{');
        base_json_words(j, "zone", tally_zone_name(z));
        put_firsts(j, r->budget.zone_first[z]);
        put_ends(j, "ends_L_of_100_L", r->budget.zone_end[z]);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void print_json(FILE *to, const drupelet_result *r)
{
    base_json j = {.to = to, .lines = 3};
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "program_version", r->version);
    base_json_words(&j, "name", r->name);
    base_json_whole(&j, "seed", r->seed);
    put_classes(&j, r);
    put_zones(&j, r);
    base_json_open(&j, "by_pass", '[');
    for (int i = 0; i < r->n_passes; i++) {
        base_json_open(&j, NULL, '{');
        base_json_whole(&j, "alley", (uint64_t)r->pass[i].alley);
        put_ends(&j, "ends_L_of_100_L", r->pass[i].end);
        base_json_close(&j, '}');
    }
    base_json_close(&j, ']');
    base_json_words(&j, "caution", r->caution);
    base_json_close(&j, '}');
    fputc('\n', to);
}

/* ---- comma-separated values ---- */

/* Places where nothing came are left out. */
static void write_csv(FILE *to, const drupelet_result *r)
{
    fputs("# the way of the spray, before run-off; the amounts together are 100 L\n"
          "size_low_um,size_high_um,first_zone,first_outcome,end,L_of_100_L,standard_error_L_of_100_L\n",
          to);
    for (int c = 0; c < TALLY_CLASSES; c++)
        for (int z = 0; z < TALLY_ZONES; z++)
            for (int f = 0; f < TALLY_FIRSTS; f++)
                for (int e = 0; e < TALLY_ENDS; e++) {
                    const tally_estimate *share = &r->budget.path[c][z][f][e];
                    if (!(share->share > 0.0)) continue;
                    fprintf(to, "%.9g,", r->class_low_um[c]);
                    if (isfinite(r->class_high_um[c])) fprintf(to, "%.9g", r->class_high_um[c]);
                    fprintf(to, ",%s,%s,%s,%.9g,%.9g\n", tally_zone_name(z), tally_first_name(f), tally_end_name(e),
                            100.0 * share->share, 100.0 * share->error);
                }
}

/* ---- the whole ---- */

static drupelet_status read_budget(const char *path, drupelet_result **result)
{
    drupelet_status status = store_read(path, result);
    if (status.code == DRUPELET_OK && !isfinite((*result)->budget.class_end[0][0].share)) {
        status =
            base_error(DRUPELET_SCENARIO, "%s: does not hold the budget of the spray: run its scenario again", path);
        drupelet_result_free(*result);
        *result = NULL;
    }
    return status;
}

static drupelet_status write_text(const char *path, bool overwrite, const drupelet_result *r,
                                  void (*write)(FILE *to, const drupelet_result *r))
{
    store_draft draft;
    FILE *to;
    const drupelet_status status = store_text_begin(path, overwrite, &draft, &to);
    if (!to) return status;
    write(to, r);
    return store_text_end(&draft, to, base_ok());
}

drupelet_status report_budget(const char *result_path, const char *csv_path, const char *svg_path, bool overwrite,
                              FILE *to, bool json)
{
    drupelet_result *result;
    drupelet_status status = read_budget(result_path, &result);
    if (status.code == DRUPELET_OK && csv_path) status = write_text(csv_path, overwrite, result, write_csv);
    if (status.code == DRUPELET_OK && svg_path) status = write_text(svg_path, overwrite, result, report_budget_picture);
    if (status.code == DRUPELET_OK && json)
        print_json(to, result);
    else if (status.code == DRUPELET_OK)
        print_tables(to, result);
    drupelet_result_free(result);
    return status;
}
