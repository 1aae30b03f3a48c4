/* sim/droplet/outcome.h - outcomes of an impact on a leaf or on wood: one table says what each is called, when it
 * happens and what it does to the droplet.
 *
 * A new outcome is a file with its equations and their source (like bounce.c), its place in droplet_outcome, its row in
 * outcome.c, and its test. Of two that would happen the later one in the table does. */
#ifndef DROPLET_OUTCOME_H
#define DROPLET_OUTCOME_H

#include "droplet/kernel.h"

typedef enum { DROPLET_ADHERES, DROPLET_BOUNCES, DROPLET_SHATTERS, DROPLET_OUTCOMES } droplet_outcome;
typedef enum { DROPLET_ON_LEAF, DROPLET_ON_WOOD, DROPLET_ON_GRASS } droplet_target;

typedef struct {
    droplet_target target;
    droplet_outcome outcome;
    int upper_side;   /* leaf: 1 upper, 0 lower */
    int leaf_kind;    /* leaf: the way it faces where nothing turns it (droplet_leaf_kind()) */
    float towards[3]; /* leaf: direction that the droplet comes in, length 1 */
    double normal_speed_m_s; /* leaf, wood: at which the droplet arrives */
    double kept;      /* share of the droplet that stays there; 1: all, 0: none */
    float path_limit; /* cover to the target after this one: exponential */
    /* Secondary droplets fly as two parcels of half of what leaves each; the lane holds the first, this the second.
     * Sizes and directions are drawn for each: either may stand for both. */
    int splashed;
    float second_diameter_m, second_whole_m, second_path_limit, second_velocity_m_s[3];
} droplet_encounter;

/** How a droplet arrives. */
typedef struct {
    uint64_t seed, id;
    const droplet_liquid *liquid;      /* without air */
    const droplet_leaf_class *surface;
    double diameter_m, alike_m;        /* alike: a droplet without air, same We and Re */
    double approach[3], normal[3];     /* normal: of the target, against the approach */
    double log_speed;                  /* of the normal speed */
    double log_border;                 /* of the speed at which the outcome begins on this leaf; NAN: it has none */
    double chance;                     /* uniform on (0, 1), for the outcome's own use */
    bool wet;                          /* the leaf */
    bool along_leaf;                   /* where the droplets of a splash go: canopy.splash */
} droplet_arrival;

typedef struct {
    const char *name;     /* in files: what the droplet did, "adhered" */
    const char *verb;     /* "adhere"; a regular one */
    char letter;          /* in tables by diameter and speed */
    const char *sentence; /* for people: what it does */
    /* What decides: does it happen on a mean dry leaf at this speed? */
    bool (*happens)(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                    const droplet_liquid *liquid);
    /* The lowest speed at which it happens, where there is one and it happens at all that are higher: impacts then look
     * it up in a table. NULL: impacts ask `happens` one by one. INFINITY: never */
    double (*border_m_s)(double diameter_m, const droplet_leaf_class *leaf, const droplet_liquid *liquid);
    /* The same on a leaf that is wet already, where that is lower. NULL: it is not */
    double (*wet_border_m_s)(double diameter_m, const droplet_liquid *liquid);
    /* What happens on a wet leaf has nothing to do with the leaf below: it happens from wet_border_m_s up to this
     * speed, or, with canopy.wet_leaves: hold, never. NULL: as said above */
    double (*wet_end_m_s)(double diameter_m, const droplet_liquid *liquid);
    /* What becomes of the droplet: its velocity, what of it stays, secondary droplets. NULL: it stays where it is */
    void (*flies_on)(const droplet_arrival *arrival, droplet_batch *batch, int i, double velocity_m_s[3],
                     droplet_encounter *encounter);
} droplet_outcome_kind;

extern const droplet_outcome_kind droplet_outcomes[DROPLET_OUTCOMES];
/** Name of an outcome by its number, for tables of words. */
const char *droplet_outcome_name(int outcome);
/** What happens on a mean dry leaf. */
droplet_outcome droplet_leaf_outcome(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                                     const droplet_liquid *liquid);

/** Which of a droplet's blocks of random numbers an impact takes: three a step, for it meets at most one target a step,
 *  but others for each target that it has passed in it before (run/capture.h). */
static inline uint32_t droplet_impact_block(const droplet_batch *b, int i, uint32_t which)
{
    return 3 * b->step[i] + which + (b->passed[i] << 24);
}

/* ---- what the rows are made of (bounce.c, shatter.c) ---- */
bool droplet_bounces(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                     const droplet_liquid *liquid);
void droplet_bounce_off(const droplet_arrival *arrival, droplet_batch *batch, int i, double velocity_m_s[3],
                        droplet_encounter *encounter);
double droplet_wet_bounce_m_s(double diameter_m, const droplet_liquid *liquid);
double droplet_wet_bounce_end_m_s(double diameter_m, const droplet_liquid *liquid);
bool droplet_shatters(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                      const droplet_liquid *liquid);
void droplet_shatter_off(const droplet_arrival *arrival, droplet_batch *batch, int i, double velocity_m_s[3],
                         droplet_encounter *encounter);

#endif
