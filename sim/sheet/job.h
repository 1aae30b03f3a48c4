/* sim/sheet/job.h - the job in numbers: speed, work, tank fills, product, fuel, cost. */
#ifndef SHEET_JOB_H
#define SHEET_JOB_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"
#include "sheet/typed.h"
#include "sprayer/sprayer.h"

/** What was typed in; numbers that were not are NAN. */
typedef struct {
    double course_m, timed_s;     /* the course that was timed; the scenario's speed has been set by it */
    double area_m2, row_length_m; /* area: of all that is to be sprayed; else of the scenario's rows of that length */
    double turn_s, refill_s;      /* from row to row; of a tank, with the way there */
    double fuel_m3_s;
    bool dosed;
    sheet_dose dose;
    int n_prices;
    sheet_price price[SHEET_PRICES]; /* one of each at most */
} sheet_job;

sheet_job sheet_job_none(void);

/** What follows from it. NAN where a number that it needs was not typed in. */
typedef struct {
    double pass_width_m; /* ground that a pass treats, mean */
    double spray_s_m2;   /* spraying alone */
    double area_m2, volume_m3, n_passes, n_turns;
    double spraying_s, turning_s, filling_s, whole_s; /* whole: of those that are known */
    double n_fills, n_full, last_m3; /* fills of the tank; those that are full; what the last one holds otherwise */
    double product, product_tank, product_last, product_per_m2; /* in the unit of the dose */
    double fuel_m3;
} sheet_job_numbers;

sheet_job_numbers sheet_job_work_out(const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job *job);
/** Puts speed, work, tank, product and cost into a sheet. @param work of the scenario, which drives */
void sheet_put_job(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job *job);

#endif
