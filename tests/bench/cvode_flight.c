/* tests/bench/cvode_flight.c - droplets through a general-purpose library for ordinary differential equations:
 * SUNDIALS, CVODE, variable-order backward differentiation with Newton's method, one integrator that starts anew for
 * each droplet. */
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include "flights.h"

typedef struct {
    const reference_setting *setting;
    reference_droplet start;
} trial;

static int rates(sunrealtype t, N_Vector state, N_Vector rate, void *user)
{
    const trial *c = user;
    reference_rates(c->setting, &c->start, t, N_VGetArrayPointer(state), N_VGetArrayPointer(rate));
    return 0;
}

/* What every droplet's integration shares. */
typedef struct {
    SUNContext context;
    N_Vector state, absolute;
    SUNMatrix matrix;
    SUNLinearSolver solver;
    void *cvode;
} integrator;

static bool integrator_open(double tolerance, trial *c, integrator *n)
{
    *n = (integrator){0};
    if (SUNContext_Create(NULL, &n->context) != 0)
        return false;
    n->state = N_VNew_Serial(REFERENCE_STATES, n->context);
    n->absolute = N_VNew_Serial(REFERENCE_STATES, n->context);
    n->matrix = SUNDenseMatrix(REFERENCE_STATES, REFERENCE_STATES, n->context);
    n->solver = SUNLinSol_Dense(n->state, n->matrix, n->context);
    n->cvode = CVodeCreate(CV_BDF, n->context);
    N_VConst(0.0, n->state);
    N_VConst(tolerance, n->absolute);
    return n->cvode && CVodeInit(n->cvode, rates, 0.0, n->state) == CV_SUCCESS
           && CVodeSVtolerances(n->cvode, tolerance, n->absolute) == CV_SUCCESS
           && CVodeSetUserData(n->cvode, c) == CV_SUCCESS
           && CVodeSetLinearSolver(n->cvode, n->solver, n->matrix) == CV_SUCCESS
           && CVodeSetMaxNumSteps(n->cvode, 1000000) == CV_SUCCESS;
}

static void integrator_close(integrator *n)
{
    CVodeFree(&n->cvode);
    SUNLinSolFree(n->solver);
    SUNMatDestroy(n->matrix);
    N_VDestroy(n->absolute);
    N_VDestroy(n->state);
    SUNContext_Free(&n->context);
}

int64_t bench_fly_cvode(const flight_case *c, int n, double tolerance, const bench_end *end, bench_end *by_cvode)
{
    static droplet_batch lane;
    trial t = {.setting = &c->reference};
    integrator solver;
    int64_t steps = integrator_open(tolerance, &t, &solver) ? 0 : -1;
    flight_case_park(&lane);
    for (int i = 0; i < n && steps >= 0; i++) {
        double *y = N_VGetArrayPointer(solver.state), reached_s = 0.0;
        long taken = 0;
        flight_case_emit(c, bench_id(c, i, n), true, &lane, 0);
        t.start = reference_of_lane(&lane, 0);
        for (int d = 0; d < 3; d++) {
            y[d] = t.start.place_m[d];
            y[3 + d] = t.start.velocity_m_s[d];
        }
        y[6] = 1.0;
        const bool done = CVodeReInit(solver.cvode, 0.0, solver.state) == CV_SUCCESS
                          && CVodeSetStopTime(solver.cvode, end[i].time_s) == CV_SUCCESS
                          && CVode(solver.cvode, end[i].time_s, solver.state, &reached_s, CV_NORMAL) >= 0
                          && CVodeGetNumSteps(solver.cvode, &taken) == CV_SUCCESS;
        steps = done ? steps + taken : -1;
        by_cvode[i] = (bench_end){{y[0], y[1], y[2]}, reached_s};
    }
    integrator_close(&solver);
    return steps;
}
