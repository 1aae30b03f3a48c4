/* sim/verify/checks.h - what the subjects of verify share: how a number is compared and put on the list, and the
 * functions that put each subject there. A comparison has its subject, unit, source and tolerance in tolerances.csv,
 * where it is found by its name. */
#ifndef VERIFY_CHECKS_H
#define VERIFY_CHECKS_H

#include <stddef.h>

#include "verify/table.h"
#include "verify/verify.h"

extern const char verify_tolerances_csv[], verify_columns_csv[]; /* the files of these names */

/** Puts one comparison on the list; the case is printf-formatted. A number that is not one fails. */
void verify_compare(verify_list *list, const char *name, double published, double ours, const char *format, ...)
    __attribute__((format(printf, 5, 6)));
/** The same beside a published range (a tolerance of "range"): ours must lie inside it, and its middle is shown. */
void verify_compare_range(verify_list *list, const char *name, double low, double high, double ours,
                          const char *what);
/** The same with a tolerance that only the caller knows. */
void verify_compare_by(verify_list *list, const verify_target *target, double published, double ours,
                       const char *format, ...) __attribute__((format(printf, 5, 6)));
/** A row of tolerances.csv; one that fails whatever is compared where there is none. */
verify_target verify_target_of(const verify_list *list, const char *name);

/** Keeps the case of a long table that is farthest from the published number, measured by the tolerance. */
typedef struct {
    verify_target target;
    int n;
    double published, ours, distance;
    char what[40];
} verify_worst;
verify_worst verify_worst_of(const verify_list *list, const char *name);
void verify_worst_case(verify_worst *worst, double published, double ours, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** Puts it on the list as "<table>, worst of <n>: <case>". A table without a case fails. */
void verify_worst_compare(verify_list *list, const verify_worst *worst, const char *table);

/** The model's number beside a row of a file of tests/data, under the name that columns.csv has for it. */
typedef struct { const char *name; double (*value)(const verify_table *table, int row); } verify_model;

/** Puts the columns of columns.csv on the list whose tolerance is "<subject>.something", in their order.
 *  @param models n of them, all that those columns name
 *  @return DRUPELET_OK, DRUPELET_MEMORY, or DRUPELET_FILE (no such file, no such model) */
drupelet_status verify_columns(verify_list *list, const char *subject, const verify_model *models, size_t n);

/* The subjects, in the order of the printed table; one file each. The list has been begun. */
drupelet_status verify_humid_air(verify_list *list);
drupelet_status verify_settling(verify_list *list);
drupelet_status verify_evaporation(verify_list *list);
drupelet_status verify_impaction(verify_list *list);
drupelet_status verify_small_catch(verify_list *list);
drupelet_status verify_outcome(verify_list *list);
drupelet_status verify_crowns(verify_list *list);
drupelet_status verify_retention(verify_list *list);
drupelet_status verify_coverage(verify_list *list);
drupelet_status verify_flow(verify_list *list);
drupelet_status verify_fan_air(verify_list *list);
drupelet_status verify_fan_flow(verify_list *list);
drupelet_status verify_spray_air(verify_list *list);
drupelet_status verify_wind(verify_list *list);
drupelet_status verify_computed_wind(verify_list *list);
drupelet_status verify_dispersion(verify_list *list);
drupelet_status verify_plumes(verify_list *list);
drupelet_status verify_collectors(verify_list *list);

#endif
