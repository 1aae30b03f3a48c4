/* sim/report/key_list.h - the keys of a scenario in words: what each holds, its range and its default. */
#ifndef REPORT_KEY_LIST_H
#define REPORT_KEY_LIST_H

#include <stdio.h>

#include "scenario/keys.h"

/** What a key holds: its unit, its words, or what a list is of. */
void report_key_holds(FILE *to, const scenario_key *key);
/** Its range, with a blank before it; nothing where the words say it all. */
void report_key_range(FILE *to, const scenario_key *key);
/** Its default and the reason for it, or that it is required. */
void report_key_default(FILE *to, const scenario_key *key);
/** All keys whose path begins with a text ("" for all), each with the rest in a line below it. @return how many */
int report_key_list(FILE *to, const char *start);

#endif
