/* sim/scenario/take_keys.c - the loop that reads scenarios and plans: every key of a group by its row of the table. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/reader.h"

enum { EXPECTED = 400 };

/* An int, or one of 64 bits; no count is below 0. */
static void take_count(scenario_reader *r, const scenario_node *group, const char *name, const scenario_key *key,
                       void *value)
{
    const bool is_int = key->bytes == sizeof(int);
    uint64_t number = is_int ? (uint64_t) * (int *)value : *(uint64_t *)value;
    if (key->otherwise && key->otherwise[0])
        number = strtoull(key->otherwise, NULL, 10);
    number = scenario_take_count_or(r, group, name, number);
    if (is_int)
        *(int *)value = (int)number;
    else
        *(uint64_t *)value = number;
}

static void take_key(scenario_reader *r, const scenario_node *group, const char *name, const scenario_key *key,
                     void *value)
{
    const bool given = scenario_given(r, group, name);
    if (!given && key->absent) {
        if (key->absent[0])
            scenario_note(r, group, name, "default", "%s", key->absent);
        return;
    }
    if (key->bytes == 0)
        return;
    if (!given && !key->otherwise) {
        scenario_miss(r, group, name);
        return;
    }
    switch (key->holds) {
    case SCENARIO_IS_QUANTITY:
        *(double *)value = given || key->otherwise[0] ? scenario_take(r, group, name)
                                                      : scenario_take_or(r, group, name, *(double *)value, "default");
        break;
    case SCENARIO_IS_COUNT:
        take_count(r, group, name, key, value);
        break;
    case SCENARIO_IS_WORD:
        if (key->bytes == sizeof(bool))
            *(bool *)value = scenario_take_word(r, group, name);
        else
            *(int *)value = scenario_take_word(r, group, name);
        break;
    case SCENARIO_IS_TEXT:
        scenario_take_text(r, group, name, value, key->bytes);
        break;
    case SCENARIO_IS_LIST: /* its entries go in one by one */
        break;
    }
}

/* The kind of an entry, by its key "kind"; -1 where it is not known, or there is none. */
static int kind_of(const scenario_reader *r, const scenario_node *group, const char *path)
{
    char kind[SCENARIO_PATH + 8];
    int value = -1;
    snprintf(kind, sizeof kind, "%s.kind", path);
    const scenario_key *key = scenario_key_among(r->table, kind);
    const scenario_node *node = key ? scenario_node_find(group, "kind") : NULL;
    if (node && node->kind == SCENARIO_VALUE)
        scenario_key_value(key, node->text, &value);
    return value;
}

/* Refuses a key that entries of another kind have, and names those that this kind has: "from and to for a line". */
static void forbid_other_kind(scenario_reader *r, const scenario_node *group, const char *path, int kind,
                              const char *name)
{
    if (!scenario_node_find(group, name))
        return;
    char own[EXPECTED] = "", whole[SCENARIO_PATH + 8];
    const char *last = NULL;
    for (int i = 0; i < r->table->n; i++) {
        const char *other = scenario_key_below(&r->table->key[i], path);
        if (!other || !(r->table->key[i].of >> kind & 1))
            continue;
        if (last)
            base_add_word(own, sizeof own, ", ", last);
        last = other;
    }
    base_add_word(own, sizeof own, " and ", last);
    snprintf(whole, sizeof whole, "%s.kind", path);
    const char *word = scenario_word_for(scenario_key_among(r->table, whole), kind);
    const char *article = strchr("aeiou", word[0]) ? "an" : "a";
    char expected[EXPECTED + 64];
    snprintf(expected, sizeof expected, "%s for %s %s", own, article, word);
    scenario_forbid(r, group, name, expected);
}

void scenario_take_keys(scenario_reader *r, const scenario_node *group, const char *from, const char *before,
                        void *into)
{
    if (!scenario_reads(r))
        return;
    char path[SCENARIO_PATH];
    scenario_node_path(group, NULL, true, path);
    enum { REFUSE, TAKE, PASSES }; /* what should not be there is told before what is missing */
    for (int pass = REFUSE; pass < PASSES; pass++) {
        bool inside = !from;
        const int kind = kind_of(r, group, path);
        for (int i = 0; i < r->table->n; i++) {
            const scenario_key *key = &r->table->key[i];
            const char *name = scenario_key_below(key, path);
            const size_t n = name ? strcspn(name, ".") : 0;
            if (!name)
                continue;
            inside = inside || (strlen(from) == n && strncmp(from, name, n) == 0);
            if (before && strlen(before) == n && strncmp(before, name, n) == 0)
                break;
            if (!inside || name[n] != '\0')
                continue;
            const bool own = key->of == 0 || (kind >= 0 && key->of >> kind & 1);
            if (pass == TAKE && own)
                take_key(r, group, name, key, (char *)into + key->place);
            else if (pass == REFUSE && !own && kind >= 0)
                forbid_other_kind(r, group, path, kind, name);
        }
    }
}
