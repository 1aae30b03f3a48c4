/* sim/report/key_list.c - prints what the table of keys says of a key. */
#include "report/key_list.h"

#include <string.h>

void report_key_holds(FILE *to, const scenario_key *key)
{
    const char *word;
    switch (key->holds) {
    case SCENARIO_IS_QUANTITY: fputs(key->unit[0] ? key->unit : "none", to); break;
    case SCENARIO_IS_COUNT: fputs("whole number", to); break;
    case SCENARIO_IS_TEXT: fputs("text", to); break;
    case SCENARIO_IS_LIST: fprintf(to, key->high > 0.0 ? "list of %s" : "%s", key->unit); break;
    case SCENARIO_IS_WORD:
        for (int i = 0; (word = scenario_key_word(key, i, NULL)) != NULL; i++)
            fprintf(to, "%s%s", i > 0 ? ", " : "", word);
    }
}

void report_key_range(FILE *to, const scenario_key *key)
{
    if (key->holds == SCENARIO_IS_LIST && key->high == 0.0) /* no single value */
        return;
    const char *of = key->holds == SCENARIO_IS_LIST ? " entries" : "";
    char digits[32];
    snprintf(digits, sizeof digits, "%.0f", key->high); /* of a power of ten, where there are many */
    switch (key->holds) {
    case SCENARIO_IS_WORD: break;
    case SCENARIO_IS_TEXT: fprintf(to, " up to %g bytes", key->high); break;
    case SCENARIO_IS_QUANTITY:
    case SCENARIO_IS_COUNT:
    case SCENARIO_IS_LIST:
        if (key->high < 1e9)
            fprintf(to, " %.12g to %.12g%s", key->low, key->high, of);
        else if (key->high < 1.8e19)
            fprintf(to, " %.12g to 1e%zu", key->low, strlen(digits) - 1);
        else
            fprintf(to, " %.12g to 18446744073709551615", key->low);
    }
}

void report_key_default(FILE *to, const scenario_key *key)
{
    if (!key->otherwise)
        fputs("required", to);
    else if (!key->otherwise[0])
        fputs(key->reason, to);
    else
        fprintf(to, "%s (%s)", key->otherwise, key->reason);
}

int report_key_list(FILE *to, const char *start)
{
    int n = 0;
    for (int i = 0; i < scenario_n_keys; i++) {
        const scenario_key *key = &scenario_keys[i];
        if (strncmp(key->path, start, strlen(start)) != 0)
            continue;
        fprintf(to, "%s\n    ", key->path);
        report_key_holds(to, key);
        report_key_range(to, key);
        fputs(key->otherwise ? "; default: " : "; ", to);
        report_key_default(to, key);
        fprintf(to, "%s%s\n", key->meaning[0] ? ". " : "", key->meaning);
        n++;
    }
    return n;
}
