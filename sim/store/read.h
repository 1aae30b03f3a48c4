/* sim/store/read.h - what the parts of the reader of result files share. */
#ifndef STORE_READ_H
#define STORE_READ_H

#include "store/in.h"
#include "store/store.h"

/* What numbers can be. Where no key of a scenario gives a range these are choices, far outside of what any run makes:
 * they keep sums, loops and pictures finite. */
static const store_range STORE_SHARE = {0.0, 1.0 + 1e-4, false}, /* rounded */
    STORE_SHARE_OR_NONE = {0.0, 1.0 + 1e-4, true}, STORE_PERCENT = {0.0, 100.0 + 1e-2, false},
    STORE_PERCENT_OR_NONE = {0.0, 100.0 + 1e-2, true}, STORE_AMOUNT = {0.0, 1e9, false},
    STORE_AMOUNT_OR_NONE = {0.0, 1e9, true}, STORE_NET = {-1e9, 1e9, false}, STORE_NET_OR_NONE = {-1e9, 1e9, true},
    STORE_PLACE = {-1e5, 1e5, false}, STORE_PLACE_OR_NONE = {-1e5, 1e5, true};

/** Values and their standard errors, the dataset with the ending _standard_error, into memory that is there. */
void store_read_estimates(store_in *in, const char *name, int rank, const hsize_t shape[], store_range range,
                          tally_estimate *estimate);
/** The same, not a number where the file has no such dataset: files from before there was one are results, too. */
void store_read_estimates_or_none(store_in *in, const char *name, int rank, const hsize_t shape[], store_range range,
                                  tally_estimate *estimate);
/** Numbers into new memory, each in the range; shape as for store_in_take(). The caller frees it. */
double *store_read_numbers(store_in *in, const char *name, int rank, hsize_t shape[], store_range range);
float *store_read_floats(store_in *in, const char *name, int rank, hsize_t shape[], store_range range);
int32_t *store_read_counts(store_in *in, const char *name, hsize_t n[1], int32_t low, int32_t high);
/** Numbers that rise or fall throughout, at most so many. */
double *store_read_axis(store_in *in, const char *name, hsize_t n[1], double most);

/* The groups of the file, each into its part of the result. */
void store_read_canopy(store_in *in, store_result *r);
void store_read_collectors(store_in *in, store_result *r);
void store_read_tracks(store_in *in, store_result *r);
void store_read_air(store_in *in, store_result *r);
void store_read_sprayer(store_in *in, store_result *r);
void store_read_inputs(store_in *in, store_result *r);
void store_read_warnings(store_in *in, store_result *r);

#endif
