/* sim/air/fan_flow.c - the fan's air around a moving sprayer by the k-epsilon equations in three dimensions.
 *
 * With U over the ground, T the sprayer's travel along y, c drag coefficient times area density of what stands at
 * the speed of its cell (leaves on their way through the air: passing_jet.c) and q the air blown out, a volume: div
 * U = q;  (U - T) . grad U = -grad p + div(nu grad U) - c |U| U + q (U_out - U),  nu = Cmu k^2 / epsilon; (U - T) .
 * grad k = div(nu grad k / sigma_k) + P - epsilon + c (|U|^3 - bd |U| k) + q (k_out - k); (U - T) . grad epsilon =
 * div(nu grad epsilon / sigma_e) + (Ce1 P - Ce2 epsilon) epsilon / k + c (C4 |U|^3 epsilon / k - C5 bd |U| epsilon)
 * + q (epsilon_out - epsilon);  P: production by shear (fan_turbulence.c). Air taken in has the values of its cell.
 *
 * Constants: Cmu 0.09, Ce1 1.44, Ce2 1.92, sigma_k 1, sigma_e 1.3 (B. E. Launder, D. B. Spalding, Comput. Methods
 * Appl. Mech. Eng. 3 (1974) 269; memory), which jets need; bd, C4 and C5 are what the rule of C. Sanz (Boundary-
 * Layer Meteorol. 108 (2003) 191, alpha 0.05, read second hand) makes of these: deep in a stand they hold u* / U =
 * 0.29 and a mixing length of 0.05 / c, as those of flow.c do. Left out of the stress: the transpose of grad U,
 * which a viscosity that is the same everywhere does not feel and which thin jets do not either.
 *
 * The wind far from the sprayer is a solution: what the equations leave of it on this mesh is taken off everywhere
 * (fan_setup.c). So rows hold back the wind once, in the wind's own solution, and where there is no fan all stays as
 * it is, to the last bit. At open sides the wind stands beyond, and the fan adds no pressure there.
 *
 * Steps of false time: each speed implicitly (fan_transport.c), then a pressure that takes out the divergence, then
 * k and epsilon. Numbers are single: a flow settles to 1e-1 in a second, they carry 1e-7, and half the bytes take
 * half the time. */
#include "air/fan_flow.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/fan_state.h"
#include "base/elementary.h"
#include "base/status.h"

enum { FEWEST_ROUNDS = 150, MOST_ROUNDS = 2000, COARSE_ROUNDS = 600 };
/* Choices. A step of false time takes the air blown out over so many cells: longer ones let pressure and speed in the
 * jets swing about each other. With these steps neighbours have the weight 1 in the diagonal, a true step in time;
 * with 2 changes took up to twice the rounds, most of all in slow turbulent air, and ended in a ringing. */
#define CELLS_A_STEP 12.0
#define LONGEST_STEP_S 0.5
/* The flow has settled where the speed's change in a second of false time, as the root of its square integral, is
 * below this share of what the fan adds to the wind: what still changes is the slow air far from the outlets, over some
 * ten seconds. Theory.md 3.7 has how far such flows are from their end. One that has not settled after MOST_ROUNDS
 * wanders: its mean over the last half of them is taken (fan_mean.c) where that is known within UNSURE of what the fan
 * adds (choice), and the run warns. */
#define STILL AIR_FAN_STILL_1_S
#define UNSURE 0.3
#define COARSE_STILL 0.05
#define COARSE_SHARE 0.2 /* of the work, that the coarser meshes take */

typedef struct {
    air_watch watch;
    double from, to; /* shares done */
} stretch;

static bool goes_on(const stretch *w, double residual, double still, double share_of_rounds)
{
    const double done = fmin(fmax(base_log(residual) / base_log(still), share_of_rounds), 1.0);
    return !w->watch.go_on || w->watch.go_on(w->from + (w->to - w->from) * done, w->watch.user);
}

static void one_round(fan_state *s)
{
    fan_step_momentum(s);
    fan_project(s);
}

/* Rounds until the flow has settled, or as many as there may be; what is not a number ends them, too.
 * @param mean over the last half of as many as there may be; NULL: none is wanted */
static drupelet_status settle(fan_state *s, double still, int most_rounds, const stretch *watch, fan_mean *mean,
                              fan_end *end)
{
    drupelet_status status = base_ok();
    *end = (fan_end){.residual = 1.0};
    fan_settle(s);
    while (end->n_rounds < most_rounds && status.code == DRUPELET_OK) {
        if (!goes_on(watch, end->residual, still, (double)end->n_rounds / most_rounds))
            return base_error(DRUPELET_STOPPED, "stopped before the end; no result was kept");
        one_round(s);
        const fan_norm norm = fan_settle(s);
        if (s->options.viscosity_m2_s == 0.0) fan_step_turbulence(s);
        end->n_rounds++;
        end->residual = norm.change == 0.0 ? 0.0 : sqrt(norm.change / norm.fan) / s->step_s;
        if (end->residual == 0.0 || !(end->residual < HUGE_VAL)) break;
        if (end->residual <= still && end->n_rounds >= FEWEST_ROUNDS) break;
        if (!mean || end->n_rounds <= most_rounds / 2) continue;
        if (!mean->memory) status = fan_mean_create(s, mean);
        if (status.code == DRUPELET_OK) fan_mean_add(s, end->n_rounds > most_rounds / 4 * 3, mean);
    }
    return status;
}

static double step_of(const air_fan_case *c)
{
    double most = 1.0 / LONGEST_STEP_S;
    for (int n = 0; n < c->n_sources; n++) {
        const air_fan_source *of = &c->source[n];
        if (!(of->flow_m3_s > 0.0)) continue;
        const double rate = fabs(of->velocity_m_s[0]) / (c->x_face_m[of->i + 1] - c->x_face_m[of->i])
                            + fabs(of->velocity_m_s[1] - c->travel_m_s) / (c->y_face_m[of->j + 1] - c->y_face_m[of->j])
                            + fabs(of->velocity_m_s[2]) / (c->z_face_m[of->k + 1] - c->z_face_m[of->k]);
        most = fmax(most, rate / CELLS_A_STEP);
    }
    return 1.0 / most;
}

/* Makes a state and settles it. @param finest whether it must settle */
static drupelet_status solve_level(const air_fan_case *c, fan_options options, int n_threads, bool finest,
                                   const stretch *watch, fan_state *s, fan_end *end)
{
    drupelet_status status = fan_state_create(c, options, n_threads, s);
    stretch here = *watch;
    if (status.code == DRUPELET_OK && !options.from_wind && c->n_sources > 0 && fan_can_be_coarser(c)) {
        here.from = watch->from + COARSE_SHARE * (watch->to - watch->from);
        const stretch before = {watch->watch, watch->from, here.from};
        air_fan_case coarser = {0};
        fan_state below = {0};
        status = fan_coarser_case(c, &coarser);
        if (status.code == DRUPELET_OK) status = solve_level(&coarser, options, n_threads, false, &before, &below, end);
        if (status.code == DRUPELET_OK && end->residual < HUGE_VAL) status = fan_begin_from(s, &below);
        fan_state_free(&below);
        air_fan_case_free(&coarser);
    }
    if (status.code != DRUPELET_OK) return status;
    s->step_s = options.step_s > 0.0 ? options.step_s : step_of(c);
    s->weight = options.step_s > 0.0 ? FAN_HEAVY : 1.0f;
    const double still = options.still > 0.0 ? options.still : STILL;
    const int most = options.most_rounds > 0 ? options.most_rounds : MOST_ROUNDS;
    if (!finest) return settle(s, COARSE_STILL, COARSE_ROUNDS, &here, NULL, end);
    fan_mean mean = {0};
    status = settle(s, still, most, &here, options.still > 0.0 || options.most_rounds > 0 ? NULL : &mean, end);
    const bool wanders = status.code == DRUPELET_OK && !(end->residual <= still);
    if (wanders && mean.memory && end->residual < HUGE_VAL) end->unsure = fan_mean_take(s, &mean);
    if (wanders && !(mean.memory && end->residual < HUGE_VAL && end->unsure <= UNSURE))
        status = base_error(DRUPELET_BALANCE,
                            "the fan's air does not settle: after %d rounds it still changes by %.2g of itself in a "
                            "second",
                            end->n_rounds, end->residual);
    fan_mean_free(&mean);
    return status;
}

drupelet_status fan_solve(const air_fan_case *c, fan_options options, int n_threads, air_watch watch,
                          air_fan_flow **flow)
{
    fan_state s;
    fan_end end = {0};
    *flow = NULL;
    drupelet_status status = solve_level(c, options, n_threads, true, &(stretch){watch, 0.0, 1.0}, &s, &end);
    if (status.code == DRUPELET_OK) status = fan_result(&s, end, flow);
    fan_state_free(&s);
    return status;
}

drupelet_status air_fan_flow_solve(const air_fan_case *c, int n_threads, air_watch watch, air_fan_flow **flow)
{
    return fan_solve(c, (fan_options){0}, n_threads < 1 ? 1 : n_threads, watch, flow);
}
