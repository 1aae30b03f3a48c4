/* sim/sheet/catch.h - the catch test: what each nozzle gave into a jug in a measured time, beside what a new tip gives.
 */
#ifndef SHEET_CATCH_H
#define SHEET_CATCH_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"

#define SHEET_FLUID_OUNCES_A_GALLON 128.0 /* US */
#define SHEET_PLUGGED_BELOW 0.05          /* of a new tip's flow: drips, and counts as plugged; choice */
#define SHEET_LOW_FROM (-0.10)            /* common practice: clean a tip that gives a tenth less, then catch again */
#define SHEET_UNEVEN_FROM 0.10            /* between the sides; common practice */

typedef enum { SHEET_NOT_CAUGHT, SHEET_IN_ORDER, SHEET_WORN, SHEET_LOW, SHEET_PLUGGED } sheet_nozzle_state;

/** A nozzle of the scenario as it was found. Sides as the driver sees them. */
typedef struct {
    int number; /* on its side, from 1, the lowest first */
    int line;   /* of the file; 0: not caught */
    double volume_m3, time_s, pressure_Pa;
    double flow_m3_s; /* that was caught, brought to the job's pressure by the square-root law */
    double new_m3_s;  /* of a new tip at the job's pressure */
    double departure; /* flow over new, less 1 */
    sheet_nozzle_state state;
} sheet_caught;

typedef struct {
    int n_nozzles, n_caught; /* nozzles of the scenario, in its order */
    sheet_caught nozzle[SCENARIO_NOZZLES];
} sheet_catch;

/** Reads a catch test (docs/block-sheet.md).
 *  @return DRUPELET_OK, DRUPELET_SCENARIO ("file:line:column: column: found ..., expected ...") or DRUPELET_MEMORY */
drupelet_status sheet_catch_read(const char *path, const drupelet_scenario *scenario, sheet_catch *caught);
/** The scenario with its nozzles as they were found.
 *  @param path, settings of the scenario, as of drupelet_scenario_read()
 *  @param as_found out: the caller ends it with drupelet_scenario_free(); NULL on failure
 *  @param yaml out: the same as a scenario file; the caller frees it; NULL on failure
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (all are plugged) or DRUPELET_MEMORY */
drupelet_status sheet_as_found(const char *path, const char *const *settings, int n_settings, const sheet_catch *caught,
                               drupelet_scenario **as_found, char **yaml);
/** Writes that file. @return DRUPELET_OK or DRUPELET_FILE */
drupelet_status sheet_as_found_write(const char *yaml, const char *path, bool overwrite);
/** Puts the test into a sheet. @param as_found the scenario with the nozzles as they were found
 *  @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status sheet_put_catch(sheet *s, const drupelet_scenario *scenario, const drupelet_scenario *as_found,
                                const sheet_catch *caught);
/** The picture in it: SVG, to be freed; NULL without memory. */
char *sheet_catch_picture(const drupelet_scenario *scenario, const sheet_catch *caught);

#endif
