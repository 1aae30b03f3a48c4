/* sim/cli/uncertain.h - drupelet run --uncertain: a sweep over what is not known well, and its answers. */
#ifndef CLI_UNCERTAIN_H
#define CLI_UNCERTAIN_H

#include "cli/cache.h"
#include "cli/cli.h"

enum { CLI_SAMPLES = 64, CLI_SAMPLES_LEAST = 32, CLI_SAMPLES_MOST = 100000 }; /* choice: 12 inputs in a minute or two */

typedef struct {
    const char *scenario, *output;
    bool force, resume, quiet, json, seed_given;
    int64_t n_samples, n_droplets; /* droplets of a case; 0: not given */
    uint64_t seed;
    int n_threads;
    const cli_texts *settings, *known, *range;
    cli_cache *cache;
} cli_uncertain_request;

/** @return exit code */
int cli_uncertain(const cli_uncertain_request *request);

#endif
