/* sim/scenario/keys_find.c - keys by path and by group, words by number and by value. */
#include "scenario/keys.h"

#include <stdio.h>
#include <string.h>

#include "scenario/node.h"

const scenario_key *scenario_key_among(const scenario_table *table, const char *path)
{
    for (int i = 0; i < table->n; i++)
        if (strcmp(table->key[i].path, path) == 0)
            return &table->key[i];
    return NULL;
}

const scenario_key *scenario_key_of(const char *path)
{
    return scenario_key_among(&scenario_all_keys, path);
}

/* Does a path fit a line of the table of keys? "*" stands for a number, or for a name that may hold dots. */
static bool fits(const char *path, const char *pattern)
{
    if (pattern[0] == '\0' || path[0] == '\0')
        return pattern[0] == path[0];
    if (pattern[0] != '*')
        return path[0] == pattern[0] && fits(path + 1, pattern + 1);
    for (const char *rest = path + 1;; rest++) {
        if (fits(rest, pattern + 1))
            return true;
        if (*rest == '\0')
            return false;
    }
}

const scenario_key *scenario_key_at(const char *path)
{
    for (int i = 0; i < scenario_n_keys; i++)
        if (fits(path, scenario_keys[i].path))
            return &scenario_keys[i];
    return NULL;
}

/* Does a key lie in a group of that path, by its name? */
static bool lies_in(const scenario_key *key, const char *path)
{
    char group[SCENARIO_KEY];
    for (const char *dot = strchr(key->path, '.'); dot; dot = strchr(dot + 1, '.')) {
        snprintf(group, sizeof group, "%.*s", (int)(dot - key->path), key->path);
        if (dot[-1] != '*' && fits(path, group))
            return true;
    }
    return false;
}

bool scenario_of_air(const char *path)
{
    const scenario_key *key = scenario_key_at(path);
    const char *dot = strrchr(path, '.');
    if (!key && dot && dot[1] && dot[1 + strspn(dot + 1, "0123456789")] == '\0') { /* an entry of a list */
        char list[SCENARIO_PATH];
        snprintf(list, sizeof list, "%.*s", (int)(dot - path), path);
        key = scenario_key_at(list);
        key = key && key->holds == SCENARIO_IS_LIST ? key : NULL;
    }
    if (key)
        return !key->not_of_air;
    bool any = false;
    for (int i = 0; i < scenario_n_keys; i++)
        if (lies_in(&scenario_keys[i], path)) {
            if (!scenario_keys[i].not_of_air)
                return true;
            any = true;
        }
    return !any;
}

const char *scenario_key_below(const scenario_key *key, const char *group)
{
    const size_t length = strlen(group);
    if (length == 0)
        return key->path;
    return strncmp(key->path, group, length) == 0 && key->path[length] == '.' ? key->path + length + 1 : NULL;
}

const char *scenario_key_in(const scenario_table *table, const char *group, int i, int *n)
{
    const char *former = "";
    int n_former = 0;
    for (int k = 0; k < table->n; k++) {
        const char *name = scenario_key_below(&table->key[k], group);
        *n = name ? (int)strcspn(name, ".") : 0;
        if (!name || (*n == n_former && strncmp(name, former, (size_t)*n) == 0))
            continue; /* keys of one group stand together */
        former = name;
        n_former = *n;
        if (i-- == 0)
            return name;
    }
    return NULL;
}

const char *scenario_key_word(const scenario_key *key, int i, int *value)
{
    const char *word = key->name_at ? key->name_at(i) : key->words[i].word;
    if (value)
        *value = key->name_at ? i : key->words[i].value;
    return word;
}

bool scenario_key_value(const scenario_key *key, const char *text, int *value)
{
    const char *word;
    int found = 0;
    for (int i = 0; (word = scenario_key_word(key, i, &found)) != NULL; i++)
        if (strcmp(word, text) == 0) {
            *value = found;
            return true;
        }
    return false;
}

const char *scenario_word_for(const scenario_key *key, int value)
{
    const char *word;
    int found = 0;
    for (int i = 0; (word = scenario_key_word(key, i, &found)) != NULL; i++)
        if (found == value)
            return word;
    return NULL;
}

const char *scenario_word_of(const char *path, int value)
{
    return scenario_word_for(scenario_key_of(path), value);
}
