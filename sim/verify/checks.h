/* sim/verify/checks.h - what the subjects of verify share: how a number is compared and put on the list, and the
 * functions that put each subject there. */
#ifndef VERIFY_CHECKS_H
#define VERIFY_CHECKS_H

#include "verify/verify.h"

/** What a set of published numbers is and how close ours must be. */
typedef struct {
    const char *subject, *source, *unit;
    verify_kind kind;
    double tolerance;
    bool informational;
} verify_target;

/** Puts one comparison on the list; the case is printf-formatted. A number that is not one fails. */
void verify_compare(verify_list *list, const verify_target *target, double published, double ours, const char *format,
                    ...) __attribute__((format(printf, 5, 6)));

/** Keeps the case of a long table that is farthest from the published number, measured by the tolerance. Start from
 *  {.target = ...}. */
typedef struct {
    const verify_target *target;
    int n;
    double published, ours, distance;
    char what[40];
} verify_worst;
void verify_worst_case(verify_worst *worst, double published, double ours, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** Puts it on the list as "<table>, worst of <n>: <case>". A table without a case fails. */
void verify_worst_compare(verify_list *list, const verify_worst *worst, const char *table);

/* The subjects, in the order of the printed table; one file each. */
drupelet_status verify_humid_air(verify_list *list);
drupelet_status verify_settling(verify_list *list);
drupelet_status verify_evaporation(verify_list *list);
drupelet_status verify_impaction(verify_list *list);
drupelet_status verify_outcome(verify_list *list);
drupelet_status verify_retention(verify_list *list);
drupelet_status verify_coverage(verify_list *list);
drupelet_status verify_flow(verify_list *list);
drupelet_status verify_fan_air(verify_list *list);
/* Goes on from fan_air. */
drupelet_status verify_fan_jets(verify_list *list);
drupelet_status verify_wind(verify_list *list);
drupelet_status verify_dispersion(verify_list *list);
drupelet_status verify_plumes(verify_list *list);
drupelet_status verify_collectors(verify_list *list);

#endif
