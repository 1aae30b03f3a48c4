/* sim/mpi/main.c - drupelet-mpi: the command sweep of drupelet over the ranks of an MPI job.
 *
 *     mpirun -n 4 drupelet-mpi sweep plan.yaml
 *
 * Rank 0 reads the plan, hands out cases, is the only one to write the journal and makes the result file; the others
 * simulate cases. Each of them works on one case and, until cases run short, has a second one ready, so that none waits
 * for rank 0. With one rank, rank 0 does all by itself, as drupelet does. A rank that waits sleeps between two polls: a
 * rank 0 that polls without a pause would take a core from a rank that simulates. When a rank dies, the whole MPI job
 * is ended; finished cases are in the journal. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <mpi.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/status.h"
#include "cli/cli.h"
#include "cli/sweep.h"
#include "drupelet/drupelet.h"
#include "store/store.h"

enum { WORK = 1, RESULT, AHEAD = 2 /* cases a rank holds: one that it works on, one that is ready */ };
enum { SHORT_NS = 20000, LONG_NS = 1000000 };

/* A case to do; the group says which cases have one air, and 1 that no other has it. */
typedef struct { int64_t i_case, group, of_group; } order;

typedef struct {
    int size;
    bool called;  /* the other ranks were told to begin */
    bool at_work; /* some of them may be at work still */
} other_ranks;

static void nap(long *ns)
{
    const struct timespec pause = {0, *ns};
    nanosleep(&pause, NULL);
    *ns = *ns < LONG_NS ? 2 * *ns : LONG_NS;
}

/* Tells the other ranks whether to begin. */
static void call(other_ranks *c, int begin)
{
    if (!c->called)
        MPI_Bcast(&begin, 1, MPI_INT, 0, MPI_COMM_WORLD);
    c->called = true;
}

/* ---- rank 0 ---- */

static drupelet_status lost(void)
{
    return base_error(DRUPELET_FILE, "the sweep has ended early: a rank is lost");
}

/* Gives a rank its next case; false when there is none. */
static bool give(const sweep_job *job, sweep_dispatch *dispatch, int rank, int *held, drupelet_status *status)
{
    const int64_t i_case = sweep_dispatch_next(dispatch, rank - 1);
    if (i_case < 0)
        return false;
    const order o = {i_case, job->group[i_case], sweep_dispatch_size(dispatch, job->group[i_case])};
    held[rank]++;
    if (MPI_Send(&o, sizeof o, MPI_BYTE, rank, WORK, MPI_COMM_WORLD) != MPI_SUCCESS)
        *status = lost();
    return true;
}

/* Takes a result that has come. @param rank out: whose */
static drupelet_status take(sweep_job *job, const MPI_Status *found, unsigned char *bytes, sweep_record *record)
{
    int n = 0;
    MPI_Get_count(found, MPI_BYTE, &n);
    if (n > SWEEP_RECORD
        || MPI_Recv(bytes, n, MPI_BYTE, found->MPI_SOURCE, RESULT, MPI_COMM_WORLD, MPI_STATUS_IGNORE) != MPI_SUCCESS)
        return lost();
    if (!sweep_record_unpack(bytes, (size_t)n, job->plan->keep != SWEEP_FATES, record))
        return base_error(DRUPELET_FILE, "rank %d sent a result that cannot be read", found->MPI_SOURCE);
    return sweep_take(job, record);
}

static drupelet_status hand_out(sweep_job *job, const other_ranks *c, sweep_dispatch *dispatch, int *held)
{
    unsigned char *bytes = malloc(SWEEP_RECORD);
    sweep_record *record = malloc(sizeof *record);
    drupelet_status status = bytes && record ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for a case");
    int64_t under_way = 0;
    for (int round = 0; round < AHEAD; round++)
        for (int rank = 1; rank < c->size && status.code == DRUPELET_OK; rank++)
            if (round == 0 || sweep_dispatch_left(dispatch) >= c->size)
                under_way += give(job, dispatch, rank, held, &status);
    for (long ns = SHORT_NS; under_way > 0 && status.code == DRUPELET_OK;) {
        int there = 0;
        MPI_Status found;
        if (job->hooks.stop(job->hooks.user))
            status = base_error(DRUPELET_STOPPED, "stopped");
        else if (MPI_Iprobe(MPI_ANY_SOURCE, RESULT, MPI_COMM_WORLD, &there, &found) != MPI_SUCCESS)
            status = lost();
        if (status.code == DRUPELET_OK && !there)
            nap(&ns);
        if (status.code != DRUPELET_OK || !there)
            continue;
        ns = SHORT_NS;
        const int rank = found.MPI_SOURCE;
        status = take(job, &found, bytes, record);
        held[rank]--;
        under_way--;
        const int most =
            sweep_dispatch_left(dispatch) >= c->size ? AHEAD : 1; /* at the end nothing waits behind a case */
        while (held[rank] < most && status.code == DRUPELET_OK && give(job, dispatch, rank, held, &status))
            under_way++;
    }
    free(record);
    free(bytes);
    return status;
}

static drupelet_status lead(sweep_job *job, int n_threads, void *user)
{
    other_ranks *c = user;
    if (c->size == 1)
        return sweep_run_here(job, n_threads);
    sweep_dispatch *dispatch = NULL;
    int *held = calloc((size_t)c->size, sizeof *held);
    drupelet_status status = held ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the ranks");
    if (status.code == DRUPELET_OK)
        status = sweep_dispatch_create(job->n_cases, job->group, job->n_groups, job->wanted, c->size - 1, &dispatch);
    if (status.code == DRUPELET_OK) {
        call(c, 1);
        c->at_work = true;
        job->progress.first_s = job->flushed_s = job->hooks.now_s(job->hooks.user);
        status = hand_out(job, c, dispatch, held);
    }
    for (int rank = 1; rank < c->size && status.code == DRUPELET_OK; rank++) {
        const order end = {-1, -1, 0};
        if (MPI_Send(&end, sizeof end, MPI_BYTE, rank, WORK, MPI_COMM_WORLD) != MPI_SUCCESS)
            status = lost();
    }
    if (status.code == DRUPELET_OK)
        c->at_work = false;
    if (status.code == DRUPELET_STOPPED)
        cli_say("the sweep was told to end, or a rank has died and the job with it");
    sweep_dispatch_free(dispatch);
    free(held);
    return status;
}

/* ---- the others ---- */

/* The next order; false when the sweep is to end. */
static bool next_order(const sweep_job *job, order *o)
{
    int there = 0;
    for (long ns = SHORT_NS; !there;) {
        MPI_Status found;
        if (job->hooks.stop(job->hooks.user)
            || MPI_Iprobe(0, WORK, MPI_COMM_WORLD, &there, &found) != MPI_SUCCESS)
            return false;
        if (!there)
            nap(&ns);
    }
    return MPI_Recv(o, sizeof *o, MPI_BYTE, 0, WORK, MPI_COMM_WORLD, MPI_STATUS_IGNORE) == MPI_SUCCESS
           && o->i_case >= 0;
}

/* The air of an order, kept as long as the orders share it. */
static void change_air(sweep_job *job, const order *o, int n_threads, int64_t *group, air_field **air)
{
    if (o->group == *group)
        return;
    air_field_free(*air);
    *air = NULL;
    *group = o->group;
    if (o->of_group == 1)
        return; /* the case makes its own */
    drupelet_scenario *scenario = NULL;
    if (sweep_plan_scenario(job->plan, o->i_case, &scenario).code == DRUPELET_OK)
        sweep_air_make(job, scenario, n_threads, air); /* after a failure the case tries, and says why */
    drupelet_scenario_free(scenario);
}

static drupelet_status serve(sweep_job *job, int n_threads, void *user)
{
    (void)user;
    unsigned char *bytes = malloc(SWEEP_RECORD);
    sweep_record *record = malloc(sizeof *record);
    drupelet_status status = bytes && record ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for a case");
    air_field *air = NULL;
    int64_t group = -1;
    n_threads = sweep_threads(n_threads);
    for (order o; status.code == DRUPELET_OK && next_order(job, &o);) {
        const double began_s = job->hooks.now_s(job->hooks.user);
        change_air(job, &o, n_threads, &group, &air);
        const double air_s = job->hooks.now_s(job->hooks.user) - began_s;
        status = sweep_compute(job, o.i_case, air, n_threads, record);
        if (status.code != DRUPELET_OK)
            break;
        record->air_seconds = air ? air_s : 0.0;
        record->seconds += air_s;
        const size_t n = sweep_record_pack(record, job->plan->keep != SWEEP_FATES, bytes);
        if (MPI_Send(bytes, (int)n, MPI_BYTE, 0, RESULT, MPI_COMM_WORLD) != MPI_SUCCESS)
            status = base_error(DRUPELET_STOPPED, "stopped");
    }
    if (job->status.code != DRUPELET_OK) /* of a result file that could not be written */
        status = job->status;
    air_field_free(air);
    free(record);
    free(bytes);
    return status;
}

/* ---- the program ---- */

static const char usage[] =
    "Usage: mpirun -n N drupelet-mpi sweep [OPTION]... PLAN\n"
    "Runs the cases of a plan over the ranks of an MPI job: rank 0 hands them out, the others work them out. The "
    "result\n"
    "file is the same as that of 'drupelet sweep', whose options it takes ('drupelet-mpi sweep --help').\n"
    "Exit codes: 0 done; 1 a case or the sweep failed; 2 bad usage or bad plan; 130 interrupted.\n";

static int run_lead(int argc, char **argv, other_ranks *c)
{
    if (argc == 2 && (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0))
        return cli_help(usage);
    if (argc == 2 && strcmp(argv[1], "--version") == 0) {
        printf("drupelet-mpi %s\n", drupelet_version());
        return CLI_DONE;
    }
    if (argc < 2 || strcmp(argv[1], "sweep") != 0)
        return argc < 2 ? cli_bad_usage("drupelet-mpi", "name a command: sweep")
                        : cli_bad_usage("drupelet-mpi", "unknown command '%s'; there is sweep", argv[1]);
    char name[] = "drupelet-mpi sweep";
    argv[1] = name;
    return cli_sweep_by(argc - 1, argv + 1, false, lead, c);
}

int main(int argc, char **argv)
{
    int rank, threads, code, begin = 0;
    other_ranks c = {0};
    if (!store_start()) {
        cli_say("no memory for the HDF5 library");
        return CLI_FAILED;
    }
    MPI_Init_thread(&argc, &argv, MPI_THREAD_FUNNELED, &threads);
    MPI_Comm_set_errhandler(MPI_COMM_WORLD, MPI_ERRORS_RETURN);
    MPI_Comm_rank(MPI_COMM_WORLD, &rank);
    MPI_Comm_size(MPI_COMM_WORLD, &c.size);
    if (rank == 0) {
        code = run_lead(argc, argv, &c);
        call(&c, 0);
    } else {
        c.called = MPI_Bcast(&begin, 1, MPI_INT, 0, MPI_COMM_WORLD) == MPI_SUCCESS;
        code = begin ? cli_sweep_help(argc - 1, argv + 1, serve, NULL) : CLI_DONE;
        c.at_work = code != CLI_DONE; /* rank 0 waits in vain */
    }
    const bool failed_before = ferror(stdout) != 0;
    if ((fflush(stdout) != 0 || failed_before) && rank == 0) {
        cli_say("standard output could not be written");
        code = code == CLI_DONE ? CLI_FAILED : code;
    }
    if (c.at_work)
        MPI_Abort(MPI_COMM_WORLD, code);
    MPI_Finalize();
    return code;
}
