/* sim/report/advice.h - what in a sprayer's settings lies outside common practice, one sentence each. */
#ifndef REPORT_ADVICE_H
#define REPORT_ADVICE_H

#include <stdbool.h>
#include <stdio.h>

#include "base/json.h"
#include "report/air_rule.h"
#include "scenario/scenario.h"

enum { REPORT_ADVICE = 24, REPORT_ADVICE_TEXT = 280 };

typedef struct {
    int n; /* what finds no room is left out; the last line then says so */
    char line[REPORT_ADVICE][REPORT_ADVICE_TEXT];
} report_advice;

void report_advise_speed(report_advice *advice, double travel_speed_m_s);
void report_advise_rate(report_advice *advice, double rate_m);
/** @param name of the tip */
void report_advise_pressure(report_advice *advice, const char *name, scenario_tip_kind kind, double pressure_Pa);
/** Worn and plugged nozzles of the scenario. */
void report_advise_nozzles(report_advice *advice, const drupelet_scenario *scenario);
/** A fan at that speed beside the reference and beside the rule. */
void report_advise_fan(report_advice *advice, const drupelet_scenario *scenario, const report_air_rule *rule,
                       double fan_rpm);
/** Writes the section, or nothing where there is nothing to say. */
void report_advice_print(FILE *to, const report_advice *advice);
/** Writes the entry "outside_common_practice", a list of texts. */
void report_advice_json(base_json *j, const report_advice *advice);

#endif
