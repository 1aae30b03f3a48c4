/* sim/sprayer/nozzle_names.c - nozzles named by side and height, as the settings sheet lists them. A pair that differs
 * in its side alone, which one line of the scenario makes, has one name. */
#include "sprayer/nozzle_names.h"

#include <stdio.h>
#include <string.h>

#include "base/number.h"

static bool has_fault(const scenario_nozzle *n, sprayer_nozzle_fault fault)
{
    return fault == SPRAYER_PLUGGED_NOZZLES ? n->plugged
                                           : !n->plugged && n->worn > SPRAYER_WORN_MOST * (1.0 + BASE_ROUNDING);
}

static bool pair(const scenario_nozzle *a, const scenario_nozzle *b)
{
    return a->side != b->side && a->height_m == b->height_m && a->offset_m == b->offset_m
           && a->angle_rad == b->angle_rad && a->behind_m == b->behind_m && a->i_tip == b->i_tip
           && a->pressure_Pa == b->pressure_Pa && a->worn == b->worn && a->plugged == b->plugged;
}

int sprayer_nozzle_names(const drupelet_scenario *scenario, sprayer_nozzle_fault fault, char *text, size_t room)
{
    const scenario_sprayer *s = &scenario->sprayer;
    const size_t rest = sizeof " and 9999 more";
    bool told[SCENARIO_NOZZLES] = {false}, full = false;
    size_t used = 0;
    int n = 0, n_told = 0;
    text[0] = '\0';
    for (int i = 0; i < s->n_nozzles; i++) {
        const scenario_nozzle *nozzle = &s->nozzle[i];
        n += has_fault(nozzle, fault);
        if (full || told[i] || !has_fault(nozzle, fault))
            continue;
        int other = i + 1;
        while (other < s->n_nozzles && (told[other] || !pair(nozzle, &s->nozzle[other])))
            other++;
        char name[64];
        int length = snprintf(name, sizeof name, "%s%s at %.2f m", used > 0 ? ", " : "",
                              other < s->n_nozzles            ? "left and right"
                              : nozzle->side == SCENARIO_LEFT ? "left"
                                                              : "right",
                              nozzle->height_m);
        if (fault == SPRAYER_WORN_NOZZLES)
            length += snprintf(name + length, sizeof name - (size_t)length, " (+%.3g %%)", 100.0 * nozzle->worn);
        full = used + (size_t)length + rest > room;
        if (full)
            continue; /* the rest is counted */
        memcpy(text + used, name, (size_t)length + 1);
        used += (size_t)length;
        told[i] = true;
        n_told++;
        if (other < s->n_nozzles) {
            told[other] = true;
            n_told++;
        }
    }
    if (n_told < n && used + rest <= room)
        snprintf(text + used, room - used, "%s%d%s", used > 0 ? " and " : "", n - n_told, used > 0 ? " more" : "");
    return n;
}
