/* scripts/doc_tables.c - prints the tables of docs/ that are made from tables of the program; scripts/doc-tables puts
 * them into the pages. */
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "droplet/outcome.h"
#include "result/columns.h"
#include "result/quantity.h"
#include "run/collect.h"
#include "report/key_list.h"
#include "scenario/keys.h"
#include "scenario/uncertain.h"
#include "sweep/plan_factors.h"
#include "verify/checks.h"

static void begin(const char *subject, const char *name, const char *head, const char *rule)
{
    printf("<!-- table: %s %s -->\n%s\n%s\n", subject, name, head, rule);
}

static void end(void)
{
    puts("<!-- end of table -->");
}

static void print_axes(const result_group *group, const result_quantity *q)
{
    for (int i = 0; i < RESULT_MOST_AXES; i++) {
        const result_quantity *axis = result_axis_of(group, q, i);
        if (axis)
            printf("%s%s", i > 0 ? ", " : "", axis->name);
    }
}

/* The points of an axis, or the words of flags, where they are words; those of a scenario's key stand with the key. */
static void print_words(const result_quantity *q, int n)
{
    for (int i = 0; i < scenario_n_keys; i++)
        if (scenario_keys[i].name_at == q->word) {
            printf(", a word of `%s`", scenario_keys[i].path);
            return;
        }
    fputs(": ", stdout);
    for (int i = 0; i < n; i++)
        printf("%s`%s`", i > 0 ? ", " : "", q->word(i));
}

static void print_quantity(const result_group *group, const result_quantity *q)
{
    printf("| `%s`%s | ", q->name, q->type == RESULT_SHARE ? " +/-" : "");
    if (q->axes)
        print_axes(group, q);
    else
        fputs("*axis*", stdout);
    printf(" | %s | %s", q->unit ? q->unit : "", q->meaning);
    if (q->word && (!q->axes || q->n_words > 0))
        print_words(q, q->axes ? q->n_words : q->length);
    if (!q->axes && !q->word && q->place.none)
        printf(", from %d", q->first);
    puts(" |");
}

/* ---- the keys of a scenario ---- */

static int section_length(const char *path)
{
    return (int)strcspn(path, ".");
}

static bool same_section(const scenario_key *a, const scenario_key *b)
{
    const bool whole = !strchr(a->path, '.') && !strchr(b->path, '.') && a->holds != SCENARIO_IS_LIST
                       && b->holds != SCENARIO_IS_LIST; /* name and place have no section */
    const int n = section_length(a->path);
    return whole || (n == section_length(b->path) && strncmp(a->path, b->path, (size_t)n) == 0);
}

static void print_key(const scenario_key *key)
{
    printf("| `%s` | ", key->path);
    report_key_holds(stdout, key);
    fputs(" |", stdout);
    report_key_range(stdout, key);
    fputs(" | ", stdout);
    report_key_default(stdout, key);
    printf(" |%s%s |\n", key->meaning[0] ? " " : "", key->meaning);
}

static void print_keys(void)
{
    for (int i = 0; i < scenario_n_keys; i++) {
        const scenario_key *key = &scenario_keys[i];
        char section[32];
        snprintf(section, sizeof section, "%.*s", section_length(key->path), key->path);
        if (i == 0 || !same_section(key - 1, key))
            begin("keys", i == 0 ? "top" : section, "| key | unit or words | range | default | meaning |",
                  "| --- | --- | --- | --- | --- |");
        print_key(key);
        if (i + 1 == scenario_n_keys || !same_section(key, key + 1))
            end();
    }
}

/* The keys of a plan itself; those of its factors go by the form of the factor. */
static void print_plan_keys(void)
{
    begin("plan", "keys", "| key | unit or words | range | default | meaning |", "| --- | --- | --- | --- | --- |");
    for (int i = 0; i < sweep_plan_keys.n; i++)
        if (!strchr(sweep_plan_keys.key[i].path, '.'))
            print_key(&sweep_plan_keys.key[i]);
    end();
}

/* What drupelet run --uncertain varies. */
static void print_uncertain(void)
{
    begin("uncertain", "inputs", "| key | range | varies | source of the range |", "| --- | --- | --- | --- |");
    for (int i = 0; i < scenario_n_uncertain_keys; i++) {
        const scenario_uncertain *u = &scenario_uncertain_keys[i];
        const char *unit = scenario_key_of(u->path)->unit;
        const char *blank = unit[0] ? " " : "";
        printf("| `%s` | ", u->path);
        switch (u->bounds) {
        case SCENARIO_BETWEEN: printf("%g to %g%s%s", u->low, u->high, blank, unit); break;
        case SCENARIO_TIMES: printf("%g to %g times the value given", u->low, u->high); break;
        case SCENARIO_TO_TREETOPS:
            printf("%g%s%s to %g%s%s above the trees", u->low, blank, unit, u->high, blank, unit);
            break;
        case SCENARIO_BY_TIP: fputs("by the kind of tip", stdout); break;
        }
        const char *when = u->though_given                   ? "always"
                           : u->bounds == SCENARIO_BY_TIP ? "where no `spectrum` is given"
                                                          : "where not given";
        printf("%s | %s | %s |\n", u->logarithmic ? ", even by logarithm" : "", when, u->source);
    }
    end();
}

static void print_offered(void)
{
    begin("keys", "offered", "A page may offer these keys to its readers as inputs:", "");
    for (int i = 0; i < scenario_n_keys; i++)
        if (scenario_keys[i].offered)
            printf("- `%s`\n", scenario_keys[i].path);
    end();
}

static void print_collector_kinds(void)
{
    begin("collectors", "kinds", "| kind | what it is | its own keys | speed of catch |", "| --- | --- | --- | --- |");
    for (int k = 0; k < SCENARIO_COLLECTOR_KINDS; k++) {
        int n = 0;
        printf("| %s | %s | ", scenario_collector_kind_name(k), run_collector_kinds[k].what);
        for (int i = 0; i < scenario_n_keys; i++) {
            const char *key = scenario_key_below(&scenario_keys[i], "collectors.*");
            if (key && scenario_keys[i].of >> k & 1)
                printf("%s`%s`", n++ > 0 ? ", " : "", key);
        }
        printf(" | %s |\n", run_collector_kinds[k].law);
    }
    end();
}

static void print_outcomes(void)
{
    begin("leaf", "outcomes", "| outcome | what becomes of the droplet |", "| --- | --- |");
    for (int o = 0; o < DROPLET_OUTCOMES; o++)
        printf("| `%s` | %s |\n", droplet_outcomes[o].name, droplet_outcomes[o].sentence);
    end();
}

static void print_columns(void)
{
    begin("sweep", "outputs", "| output | unit | in `batches` | meaning |", "| --- | --- | --- | --- |");
    for (int i = 0; i < result_columns_all(); i++) {
        const result_column c = result_column_of(i);
        printf("| `%s` | %s | %s | %s |\n", c.name, c.units, i < result_columns_batched() ? "yes" : "no", c.long_name);
    }
    end();
}

static int print_crowns(void)
{
    static verify_list list;
    drupelet_status status = verify_begin(&list);
    if (status.code == DRUPELET_OK)
        status = verify_crowns(&list);
    begin("crowns", "light and gaps", "| inside tart cherry crowns | measured | our crown |", "| --- | --- | --- |");
    for (int i = 0; i < list.n; i++)
        if (!strstr(list.check[i].target.name, "of_block")) /* the same numbers of ours again */
            printf("| %s | %.2f | %.2f |\n", list.check[i].what, list.check[i].published, list.check[i].ours);
    end();
    verify_end(&list);
    if (status.code != DRUPELET_OK)
        fprintf(stderr, "%s\n", status.message);
    return status.code == DRUPELET_OK ? 0 : 1;
}

int main(void)
{
    print_keys();
    print_offered();
    print_uncertain();
    print_collector_kinds();
    print_plan_keys();
    print_outcomes();
    print_columns();
    for (int g = 0; g < result_n_groups; g++) {
        const result_group *group = result_groups[g];
        begin("result", group->name, "| dataset | shape | unit | meaning |", "| --- | --- | --- | --- |");
        for (int k = 0; k < group->n; k++)
            print_quantity(group, &group->quantity[k]);
        end();
    }
    return print_crowns();
}
