/* sim/sprayer/spectrum.c - volume spectra: fitted to quantiles, or a measured table.
 *
 *   log-normal              F = Phi(ln(d/a) / b)                        a median, b = ln(geometric standard deviation)
 *   Rosin-Rammler           F = 1 - exp(-(d/a)^b)                       P. Rosin, E. Rammler, J. Inst. Fuel 7 (1933) 29
 *   upper-limit log-normal  F = (1 + erf(c y)) / 2, y = ln(b d/(a-d))   R. A. Mugele, H. D. Evans, Ind. Eng. Chem. 43
 *                           a largest diameter, b skew, c width         (1951) 1317
 * Forms: memory (sure). Their small tails differ, and the small tail decides drift: the form is the user's to name.
 * Left out: number spectra, sizes that differ over the spray's cross-section. */
#include "sprayer/spectrum.h"

#include <assert.h>
#include <math.h>

#include "base/elementary.h"
#include "base/status.h"

#define NORMAL_90 1.2815515655446004 /* standard normal number below which 90 % lie */

drupelet_status sprayer_spectrum_fit(scenario_spectrum_form form, double dv10_m, double dv50_m, double dv90_m,
                                     sprayer_spectrum *spectrum)
{
    assert(form == SCENARIO_SPECTRUM_LOG_NORMAL || form == SCENARIO_SPECTRUM_ROSIN_RAMMLER
           || form == SCENARIO_SPECTRUM_UPPER_LIMIT);
    *spectrum = (sprayer_spectrum){.form = form};
    if (!(dv10_m > 0.0 && dv50_m > dv10_m && dv90_m > dv50_m && isfinite(dv90_m)))
        return base_error(DRUPELET_SCENARIO,
                          "found Dv10 %g um, Dv50 %g um, Dv90 %g um, expected rising diameters above 0", 1e6 * dv10_m,
                          1e6 * dv50_m, 1e6 * dv90_m);
    const double spread = base_log(dv90_m / dv10_m);
    if (form == SCENARIO_SPECTRUM_LOG_NORMAL) {
        spectrum->a = sqrt(dv10_m * dv90_m);
        spectrum->b = spread / (2.0 * NORMAL_90);
    } else if (form == SCENARIO_SPECTRUM_ROSIN_RAMMLER) {
        spectrum->b = base_log(base_log(0.1) / base_log(0.9)) / spread;
        spectrum->a = dv10_m / base_pow(-base_log(0.9), 1.0 / spectrum->b);
    } else {
        const double room = dv50_m * dv50_m - dv10_m * dv90_m;
        if (!(room > 1e-6 * dv50_m * dv50_m))
            return base_error(DRUPELET_SCENARIO,
                              "found Dv10 %g um, Dv50 %g um, Dv90 %g um, expected Dv50 above %g um (the root of Dv10 "
                              "times Dv90) for the upper-limit form; a log-normal form may suit",
                              1e6 * dv10_m, 1e6 * dv50_m, 1e6 * dv90_m, 1e6 * sqrt(dv10_m * dv90_m));
        spectrum->a = dv50_m * (dv50_m * (dv10_m + dv90_m) - 2.0 * dv10_m * dv90_m) / room;
        spectrum->b = (spectrum->a - dv50_m) / dv50_m;
        spectrum->c = NORMAL_90 / BASE_ROOT_2 / base_log(spectrum->b * dv90_m / (spectrum->a - dv90_m));
    }
    return base_ok();
}

drupelet_status sprayer_spectrum_from_table(int n, const double diameter_m[], const double share_below[],
                                            sprayer_spectrum *spectrum)
{
    *spectrum = (sprayer_spectrum){.form = SCENARIO_SPECTRUM_TABLE, .n_table = n};
    if (n < 2 || n > SCENARIO_SPECTRUM)
        return base_error(DRUPELET_SCENARIO, "found a volume table of %d lines, expected 2 to %d", n,
                          SCENARIO_SPECTRUM);
    for (int i = 0; i < n; i++) {
        const double d_before_m = i > 0 ? diameter_m[i - 1] : 0.0, share_before = i > 0 ? share_below[i - 1] : -1.0;
        if (!(diameter_m[i] > d_before_m && isfinite(diameter_m[i]) && share_below[i] > share_before))
            return base_error(
                DRUPELET_SCENARIO,
                "found %g %% of the volume below %g um in line %d of the table, expected rising diameters above 0 and "
                "rising shares",
                100.0 * share_below[i], 1e6 * diameter_m[i], i + 1);
        spectrum->table_diameter_m[i] = diameter_m[i];
        spectrum->table_share_below[i] = share_below[i];
    }
    if (share_below[0] != 0.0 || share_below[n - 1] != 1.0)
        return base_error(DRUPELET_SCENARIO, "found a volume table from %g to %g %%, expected one from 0 to 100 %%",
                          100.0 * share_below[0], 100.0 * share_below[n - 1]);
    return base_ok();
}

void sprayer_spectrum_scale(sprayer_spectrum *spectrum, double factor)
{
    assert(factor > 0.0);
    spectrum->a *= factor; /* the only diameter of each form */
    for (int i = 0; i < spectrum->n_table; i++)
        spectrum->table_diameter_m[i] *= factor;
}

static double table_share(const sprayer_spectrum *s, double diameter_m)
{
    const double *d = s->table_diameter_m, *share = s->table_share_below;
    if (diameter_m >= d[s->n_table - 1]) return 1.0;
    if (diameter_m <= d[0]) return 0.0;
    int i = 1;
    while (d[i] < diameter_m)
        i++;
    return share[i - 1] + (share[i] - share[i - 1]) * base_log(diameter_m / d[i - 1]) / base_log(d[i] / d[i - 1]);
}

static double table_quantile_m(const sprayer_spectrum *s, double wanted)
{
    const double *d = s->table_diameter_m, *share = s->table_share_below;
    int i = 1;
    while (i < s->n_table - 1 && share[i] < wanted)
        i++;
    return d[i - 1] * base_pow(d[i] / d[i - 1], (wanted - share[i - 1]) / (share[i] - share[i - 1]));
}

double sprayer_spectrum_share_below(const sprayer_spectrum *s, double diameter_m)
{
    if (!(diameter_m > 0.0)) return 0.0;
    switch (s->form) {
    case SCENARIO_SPECTRUM_LOG_NORMAL: return 0.5 * base_erfc(-base_log(diameter_m / s->a) / (s->b * BASE_ROOT_2));
    case SCENARIO_SPECTRUM_ROSIN_RAMMLER: return -base_expm1(-base_pow(diameter_m / s->a, s->b));
    case SCENARIO_SPECTRUM_UPPER_LIMIT:
        return diameter_m < s->a ? 0.5 * base_erfc(-s->c * base_log(s->b * diameter_m / (s->a - diameter_m))) : 1.0;
    case SCENARIO_SPECTRUM_TABLE: return table_share(s, diameter_m);
    case SCENARIO_SPECTRUM_GENERIC: break;
    }
    assert(false && "a generic tip has a named form");
    return 0.0;
}

double sprayer_spectrum_quantile_m(const sprayer_spectrum *s, double share)
{
    assert(share > 0.0 && share < 1.0);
    switch (s->form) {
    case SCENARIO_SPECTRUM_LOG_NORMAL: return s->a * base_exp(s->b * base_normal_quantile(share));
    case SCENARIO_SPECTRUM_ROSIN_RAMMLER: return s->a * base_pow(-base_log1p(-share), 1.0 / s->b);
    case SCENARIO_SPECTRUM_UPPER_LIMIT:
        return s->a / (1.0 + s->b * base_exp(-base_normal_quantile(share) / (BASE_ROOT_2 * s->c)));
    case SCENARIO_SPECTRUM_TABLE: return table_quantile_m(s, share);
    case SCENARIO_SPECTRUM_GENERIC: break;
    }
    assert(false && "a generic tip has a named form");
    return 0.0;
}

/* One over the volume mean of 1/d. Closed forms; a Rosin-Rammler exponent of 1 or less has no mean above 0. */
double sprayer_spectrum_sauter_m(const sprayer_spectrum *s)
{
    double mean_1_m = 0.0;
    switch (s->form) {
    case SCENARIO_SPECTRUM_LOG_NORMAL: return s->a * base_exp(-0.5 * s->b * s->b);
    case SCENARIO_SPECTRUM_ROSIN_RAMMLER: return s->b > 1.0 ? s->a / base_gamma(1.0 - 1.0 / s->b) : 0.0;
    case SCENARIO_SPECTRUM_UPPER_LIMIT: return s->a / (1.0 + s->b * base_exp(0.25 / (s->c * s->c)));
    case SCENARIO_SPECTRUM_TABLE:
        for (int i = 1; i < s->n_table; i++)
            mean_1_m += (s->table_share_below[i] - s->table_share_below[i - 1])
                        * (1.0 / s->table_diameter_m[i - 1] - 1.0 / s->table_diameter_m[i])
                        / base_log(s->table_diameter_m[i] / s->table_diameter_m[i - 1]);
        return 1.0 / mean_1_m;
    case SCENARIO_SPECTRUM_GENERIC: break;
    }
    assert(false && "a generic tip has a named form");
    return 0.0;
}

const char *sprayer_spectrum_form_name(scenario_spectrum_form form)
{
    switch (form) {
    case SCENARIO_SPECTRUM_LOG_NORMAL: return "log-normal";
    case SCENARIO_SPECTRUM_ROSIN_RAMMLER: return "Rosin-Rammler";
    case SCENARIO_SPECTRUM_UPPER_LIMIT: return "upper-limit log-normal";
    case SCENARIO_SPECTRUM_TABLE: return "volume table";
    case SCENARIO_SPECTRUM_GENERIC: break;
    }
    return "generic";
}
