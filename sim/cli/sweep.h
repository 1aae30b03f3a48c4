/* sim/cli/sweep.h - the command sweep, with whoever runs the cases: this program's threads, or the ranks of another. */
#ifndef CLI_SWEEP_H
#define CLI_SWEEP_H

#include "sweep/sweep.h"

/** The command, the cases run by a function. @param n_threads as asked for, 0 where it was not
 *  @param cached whether computed winds are kept where no option says so */
int cli_sweep_by(int argc, char **argv, bool cached, drupelet_status (*run)(sweep_job *job, int n_threads, void *user),
                 void *user);
/** The same command line for one who helps: reads the plan and serves until told to end. Silent but for faults. */
int cli_sweep_help(int argc, char **argv, drupelet_status (*serve)(sweep_job *job, int n_threads, void *user),
                   void *user);

#endif
