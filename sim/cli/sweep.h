/* sim/cli/sweep.h - the command sweep, with whoever runs the cases: this program's threads, or the ranks of another. */
#ifndef CLI_SWEEP_H
#define CLI_SWEEP_H

#include "cli/cache.h"
#include "sweep/sweep.h"

/** The command, the cases run by a function. @param n_threads as asked for, 0 where it was not
 *  @param cached whether computed winds are kept where no option says so */
int cli_sweep_by(int argc, char **argv, bool cached, drupelet_status (*run)(sweep_job *job, int n_threads, void *user),
                 void *user);
/** The same command line for one who helps: reads the plan and serves until told to end. Silent but for faults. */
int cli_sweep_help(int argc, char **argv, drupelet_status (*serve)(sweep_job *job, int n_threads, void *user),
                   void *user);

/** A sweep whose plan another command made. */
typedef struct {
    const char *output;  /* the journal lies beside it */
    bool force, resume, quiet;
    int n_threads;
    const cli_cache *cache;
} cli_made_sweep;
/** Runs its cases as the command sweep does, with the same journal and messages, but prints no summary.
 *  @return exit code; CLI_DONE also where the result file is complete already and --resume was given */
int cli_sweep_made(sweep_plan *plan, const cli_made_sweep *made);

#endif
