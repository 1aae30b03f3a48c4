/* sim/sheet/record.h - two sheets to print and write on: the field record of a job, and a sheet for a class. */
#ifndef SHEET_RECORD_H
#define SHEET_RECORD_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"
#include "sheet/typed.h"
#include "sprayer/sprayer.h"

/** What was typed in for a record; the rest is left to be filled in by hand. */
typedef struct {
    const char *product; /* NULL: not given */
    bool dosed;
    sheet_dose dose;
    double area_m2; /* NAN: not given */
} sheet_job_done;

/** Puts the field record into a sheet: what the scenario knows is filled in; date, time and names are left blank.
 *  @param work of the scenario, which drives */
void sheet_put_record(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job_done *job);
/** Puts a class's sheet into one: the numbers of the sprayer, sums to do by hand, and on request their answers.
 *  @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status sheet_put_class(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, bool answers);

#endif
