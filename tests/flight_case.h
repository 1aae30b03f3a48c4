/* tests/flight_case.h - the pieces of a run, set up as a run does, for tests and benchmarks that fly droplets on their
 * own. */
#ifndef TESTS_FLIGHT_CASE_H
#define TESTS_FLIGHT_CASE_H

#include "droplet/encounter.h"
#include "droplet/kernel.h"
#include "reference_flight.h"
#include "run/emission.h"

typedef struct {
    drupelet_scenario *scenario;
    orchard_canopy *canopy;
    sprayer_work work;
    air_field *field;
    run_emission *emission;
    droplet_setting setting;
    droplet_targets targets;
    reference_setting reference;
} flight_case;

/** Sets up a scenario with up to four overrides ("key.path=value" or NULL). @param calm no turbulence: the sigmas are a
 * thousandth of a millimetre a second, and the eddies of that last
 *  @return DRUPELET_OK or what went wrong; end the case in either case. It must stay where it is: its parts point to
 *  each other */
drupelet_status flight_case_open(const char *path, const char *const set[4], int64_t n_droplets, bool calm,
                                 flight_case *c);
void flight_case_close(flight_case *c);

/** Puts droplet id as emitted into lane i; calm: without an eddy, and it never meets a leaf. */
run_start flight_case_emit(const flight_case *c, int64_t id, bool calm, droplet_batch *batch, int i);
/** Empties a batch: harmless droplets that stay where they are. */
void flight_case_park(droplet_batch *batch);

#endif
