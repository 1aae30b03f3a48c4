/* tests/fuzz/search/words.c - the dictionary of the search, from the program's own tables. */
#include "words.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "scenario/keys.h"
#include "sweep/plan_factors.h"

static void put(FILE *file, const char *before, const char *word, const char *behind)
{
    const char *const part[] = {before, word, behind};
    fputc('"', file);
    for (int i = 0; i < 3; i++)
        for (const char *c = part[i]; *c; c++) {
            if (isalnum((unsigned char)*c) || strchr("_. :=%/", *c)) fputc(*c, file);
            else fprintf(file, "\\x%02X", (unsigned char)*c);
        }
    fputs("\"\n", file);
}

static void put_keys(FILE *file, const scenario_table *table)
{
    for (int i = 0; i < table->n; i++) {
        const scenario_key *key = &table->key[i];
        const char *name = strrchr(key->path, '.'), *word;
        put(file, "", key->path, "=");
        put(file, "", name ? name + 1 : key->path, ": ");
        for (int w = 0; key->holds == SCENARIO_IS_WORD && (word = scenario_key_word(key, w, NULL)); w++)
            put(file, "", word, "");
        if (key->otherwise && key->otherwise[0]) put(file, "", key->otherwise, "");
    }
}

void fuzz_write_words(const char *path)
{
    FILE *file = fopen(path, "w");
    if (!file) abort();
    put_keys(file, &scenario_all_keys);
    put_keys(file, &sweep_plan_keys);
    for (int kind = 0; kind < SCENARIO_KINDS; kind++) {
        const char *spelling;
        for (int i = 0; (spelling = scenario_kind_spelling((scenario_quantity_kind)kind, i)); i++)
            if (spelling[0]) put(file, " ", spelling, "");
    }
    if (fclose(file) != 0) abort();
}
