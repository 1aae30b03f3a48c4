/* scripts/doc_tables.c - prints the tables of docs/ that are made from tables of the program; scripts/doc-tables puts
 * them into the pages. */
#include <stdio.h>
#include <string.h>

#include "result/quantity.h"

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

/* The points of an axis, or the words of flags, where they are words. */
static void print_words(const result_quantity *q, int n)
{
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

int main(void)
{
    for (int g = 0; g < result_n_groups; g++) {
        const result_group *group = result_groups[g];
        begin("result", group->name, "| dataset | shape | unit | meaning |", "| --- | --- | --- | --- |");
        for (int k = 0; k < group->n; k++)
            print_quantity(group, &group->quantity[k]);
        end();
    }
    return 0;
}
