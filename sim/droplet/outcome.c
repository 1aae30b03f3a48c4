/* sim/droplet/outcome.c - does a droplet that meets a leaf stay, bounce or shatter? The table of the outcomes.
 *
 * Air inside droplets: their own density in We and Re; both depend on density times diameter and on speed alone, so
 * that a droplet of a share q of the liquid's density has the borders of one of q times its diameter. Left out:
 * droplets that shake off later. */
#include "droplet/outcome.h"

/* What nothing else happens to. */
static bool always(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                   const droplet_liquid *liquid)
{
    (void)diameter_m, (void)normal_speed_m_s, (void)leaf, (void)liquid;
    return true;
}

const droplet_outcome_kind droplet_outcomes[DROPLET_OUTCOMES] = {
    [DROPLET_ADHERES] = {.name = "adhered", .verb = "adhere", .letter = 'a', .sentence = "it stays where it hits",
                         .happens = always},
    [DROPLET_BOUNCES] = {.name = "bounced", .verb = "bounce", .letter = 'B',
                         .sentence = "it springs off whole and flies on",
                         .happens = droplet_bounces, .border_m_s = droplet_bounce_speed_m_s,
                         .wet_border_m_s = droplet_wet_bounce_m_s, .wet_end_m_s = droplet_wet_bounce_end_m_s,
                         .flies_on = droplet_bounce_off},
    [DROPLET_SHATTERS] = {.name = "shattered", .verb = "shatter", .letter = 'S',
                          .sentence = "a part of it stays, the rest flies on as smaller droplets",
                          .happens = droplet_shatters, .border_m_s = droplet_shatter_speed_m_s,
                          .wet_border_m_s = droplet_wet_wall_splash_m_s, .flies_on = droplet_shatter_off},
};

const char *droplet_outcome_name(int outcome)
{
    return droplet_outcomes[outcome].name;
}

droplet_leaf_class droplet_leaf_class_of(scenario_wetting wetting)
{
    return scenario_leaf_of_class(wetting);
}

droplet_outcome droplet_leaf_outcome(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                                     const droplet_liquid *liquid)
{
    int o = DROPLET_OUTCOMES - 1;
    while (o > DROPLET_ADHERES && !droplet_outcomes[o].happens(diameter_m, normal_speed_m_s, leaf, liquid))
        o--;
    return (droplet_outcome)o;
}
