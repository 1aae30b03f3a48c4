/* sim/sweep/record.h - a finished case as the journal has it. */
#ifndef SWEEP_RECORD_H
#define SWEEP_RECORD_H

#include "base/hash.h"
#include "result/columns.h"
#include "sweep/plan.h"

/* Most bytes of one; of the reason of a failure, with its end. */
enum { SWEEP_RECORD = 16 * 1024, SWEEP_REASON = sizeof((drupelet_status *)0)->message };

/** What tells one case from another, whatever its number in a plan: made of every value that it used. */
typedef base_hash sweep_identity;

typedef struct {
    int64_t i_case, n_droplets;
    sweep_identity identity;
    drupelet_code code;        /* DRUPELET_OK: done; else it failed, and the reason says why */
    double seconds;            /* that it took, of which the air's making; not part of the results */
    double air_seconds;
    char reason[SWEEP_REASON];
    result_measures measures;
} sweep_record;

/** Writes a record to bytes; returns how many. @param profiles with strips and thirds */
size_t sweep_record_pack(const sweep_record *record, bool profiles, unsigned char bytes[SWEEP_RECORD]);
/** Bytes of the measures in it, those of collectors left out. */
size_t sweep_record_measures(bool profiles);
/** Reads it back; false where the bytes are none. */
bool sweep_record_unpack(const unsigned char *bytes, size_t n, bool profiles, sweep_record *record);

/** Identity of a case from its checked scenario and what is kept of it. */
sweep_identity sweep_identity_of(const drupelet_scenario *scenario, sweep_keep keep);

#endif
