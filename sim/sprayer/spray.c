/* sim/sprayer/spray.c - measured spectra as they stand or moved to the nozzle's pressure, and generic ones. */
#include "sprayer/spray.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "sprayer/generic.h"
#include "sprayer/liquid_effect.h"
#include "sprayer/size_class.h"

#define SAME_PRESSURE 0.02 /* measured within 2 %: no move */
#define SAME_MEDIAN 0.02   /* a form that misses the measured Dv50 by more says so */

static drupelet_status with_key(const scenario_tip *tip, drupelet_status status)
{
    return status.code == DRUPELET_OK ? status
                                      : base_error(status.code, "tips.%s.spectrum: %s", tip->name, status.message);
}

static drupelet_status fit(const scenario_tip *tip, scenario_spectrum_form form, double dv10_m, double dv50_m,
                           double dv90_m, sprayer_spray *spray)
{
    return with_key(tip, sprayer_spectrum_fit(form, dv10_m, dv50_m, dv90_m, &spray->spectrum));
}

static drupelet_status table(const scenario_tip *tip, sprayer_spray *spray)
{
    return with_key(tip, sprayer_spectrum_from_table(tip->n_table, tip->table_diameter_m, tip->table_share_below,
                                                     &spray->spectrum));
}

static void add_to_note(sprayer_spray *spray, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void add_to_note(sprayer_spray *spray, const char *format, ...)
{
    const size_t used = strlen(spray->note);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(spray->note + used, sizeof spray->note - used, format, arguments);
    va_end(arguments);
}

drupelet_status sprayer_spray_of(const drupelet_scenario *scenario, int i_tip, double pressure_Pa, double worn,
                                 sprayer_spray *spray)
{
    const scenario_tip *tip = &scenario->tip[i_tip];
    const sprayer_generic generic = sprayer_generic_tip(tip->kind);
    drupelet_status status = base_ok();
    *spray = (sprayer_spray){.i_tip = i_tip,
                             .pressure_Pa = pressure_Pa,
                             .worn = worn,
                             .droplet_density_kg_m3 = scenario->liquid.density_kg_m3 * (1.0 - tip->air_share)};
    if (tip->form == SCENARIO_SPECTRUM_GENERIC) {
        /* a worn orifice is wider, one that is partly plugged narrower: a new tip of that flow */
        const double flow_m3_s = (1.0 + worn) * sprayer_flow_m3_s(tip->flow_m3_s, tip->flow_pressure_Pa, 300e3);
        const double dv50_m =
            tip->generic_factor * sprayer_generic_dv50_m(&generic, flow_m3_s, pressure_Pa)
            * sprayer_liquid_effect(scenario);
        spray->assumed = true;
        status = fit(tip, SCENARIO_SPECTRUM_UPPER_LIMIT, generic.dv10_over_dv50 * dv50_m, dv50_m,
                     generic.dv90_over_dv50 * dv50_m, spray);
        char standing[SPRAYER_STANDING];
        sprayer_generic_standing(tip->kind, standing);
        snprintf(spray->note, sizeof spray->note, "assumed: generic tip, %s; %s",
                 sprayer_spectrum_form_name(SCENARIO_SPECTRUM_UPPER_LIMIT), standing);
        if (tip->generic_factor != 1.0) add_to_note(spray, "; diameters times %.3g", tip->generic_factor);
        if (worn > 0.0) add_to_note(spray, "; worn by %.3g %%, taken for a larger tip", 100.0 * worn);
        if (worn < 0.0) add_to_note(spray, "; gives %.3g %% less than new, taken for a smaller tip", -100.0 * worn);
    } else {
        const double measured_Pa = tip->spectrum_pressure_Pa; /* 0: holds at the nozzle's own */
        const bool moved = measured_Pa > 0.0 && fabs(pressure_Pa / measured_Pa - 1.0) > SAME_PRESSURE;
        status = tip->form == SCENARIO_SPECTRUM_TABLE
                     ? table(tip, spray)
                     : fit(tip, tip->form, tip->dv10_m, tip->dv50_m, tip->dv90_m, spray);
        if (moved && status.code == DRUPELET_OK)
            sprayer_spectrum_scale(&spray->spectrum, base_pow(pressure_Pa / measured_Pa, generic.pressure_exponent));
        spray->assumed = moved || worn != 0.0; /* how wear changes a measured spectrum, no source at hand says */
        if (moved)
            snprintf(spray->note, sizeof spray->note,
                     "assumed: measured at %.3g bar (%s), moved to %.3g bar by an assumed exponent of %.2f",
                     1e-5 * measured_Pa, sprayer_spectrum_form_name(tip->form), 1e-5 * pressure_Pa,
                     generic.pressure_exponent);
        else
            snprintf(spray->note, sizeof spray->note, "%smeasured (as the scenario says), %s form",
                     worn != 0.0 ? "assumed: " : "", sprayer_spectrum_form_name(tip->form));
        if (worn > 0.0) add_to_note(spray, "; worn by %.3g %%, sizes kept", 100.0 * worn);
        if (worn < 0.0) add_to_note(spray, "; gives %.3g %% less than new, sizes kept", -100.0 * worn);
    }
    if (status.code != DRUPELET_OK) return status;
    /* forms of two parameters meet Dv10 and Dv90 alone */
    const double fitted_m = sprayer_spectrum_quantile_m(&spray->spectrum, 0.5);
    if (!spray->assumed && tip->dv50_m > 0.0 && fabs(fitted_m / tip->dv50_m - 1.0) > SAME_MEDIAN)
        add_to_note(spray, " through Dv10 and Dv90; its Dv50 is %.0f um, measured %.0f um", 1e6 * fitted_m,
                    1e6 * tip->dv50_m);
    spray->dv10_m = sprayer_spectrum_quantile_m(&spray->spectrum, 0.1);
    spray->dv50_m = fitted_m;
    spray->dv90_m = sprayer_spectrum_quantile_m(&spray->spectrum, 0.9);
    sprayer_size_class_of(tip, spray);
    if (spray->size_class[0] != '\0') add_to_note(spray, "; size class %s", spray->size_class);
    spray->share_below_100_um = sprayer_spectrum_share_below(&spray->spectrum, 100e-6);
    spray->share_below_150_um = sprayer_spectrum_share_below(&spray->spectrum, 150e-6);
    return status;
}
