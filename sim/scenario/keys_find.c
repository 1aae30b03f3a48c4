/* sim/scenario/keys_find.c - keys by path and by group, words by number and by value. */
#include "scenario/keys.h"

#include <stdio.h>
#include <string.h>

const scenario_key *scenario_key_of(const char *path)
{
    for (int i = 0; i < scenario_n_keys; i++)
        if (strcmp(scenario_keys[i].path, path) == 0)
            return &scenario_keys[i];
    return NULL;
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

bool scenario_key_lies_in(const scenario_key *key, const char *path)
{
    char group[SCENARIO_KEY];
    for (const char *dot = strchr(key->path, '.'); dot; dot = strchr(dot + 1, '.')) {
        snprintf(group, sizeof group, "%.*s", (int)(dot - key->path), key->path);
        if (dot[-1] != '*' && fits(path, group))
            return true;
    }
    return false;
}

/* Name that follows a group in a path, or NULL where the path does not lie in it. */
static const char *name_in(const char *path, const char *group, int *n)
{
    const size_t length = strlen(group);
    if (length > 0 && (strncmp(path, group, length) != 0 || path[length] != '.'))
        return NULL;
    const char *name = length > 0 ? path + length + 1 : path;
    *n = (int)strcspn(name, ".");
    return name;
}

const char *scenario_key_in(const char *group, int i, int *n)
{
    const char *former = "";
    int n_former = 0;
    for (int k = 0; k < scenario_n_keys; k++) {
        const char *name = name_in(scenario_keys[k].path, group, n);
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

const char *scenario_word_of(const char *path, int value)
{
    const scenario_key *key = scenario_key_of(path);
    const char *word;
    int found = 0;
    for (int i = 0; (word = scenario_key_word(key, i, &found)) != NULL; i++)
        if (found == value)
            return word;
    return NULL;
}
