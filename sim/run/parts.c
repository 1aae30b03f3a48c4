/* sim/run/parts.c - a part of a lane's droplet stays where it hits, the rest flies on. */
#include "run/parts.h"

#include <math.h>

#include "base/random.h"
#include "run/books.h"

run_part_done run_part_stays(run_crew *c, int i, tally_fate *fate)
{
    run_passenger *p = &c->lane[i];
    droplet_batch *b = &c->batch;
    const double part = run_part_met(c->plan->emission->plain, p->parts, p->start.parts);
    if (part >= 1.0)
        return RUN_MEETS_WHOLE;
    const uint64_t id = (uint64_t)b->id_high[i] << 32 | b->id_low[i];
    const double whole_m = (double)b->whole_m[i], arrives_m = (double)b->diameter_m[i];
    uint32_t bits[4];
    base_random_block(c->plan->emission->seed, BASE_STREAM_PARTS, id, b->step[i], bits);
    run_book_vapour(c, i);
    const droplet_encounter e = droplet_look(c->plan->setting, c->plan->targets, b, i);
    const bool chosen = base_uniform(bits[0]) < part; /* the one that a whole droplet would be */
    const bool stays = e.target == DROPLET_ON_GRASS || e.outcome == DROPLET_ADHERES;
    if (!stays && chosen)
        return RUN_MEETS_WHOLE; /* the same numbers give the same encounter once more */
    int64_t kept = 0;
    if (stays) {
        kept = llround(part * (double)p->parts);
        if (e.target == DROPLET_ON_GRASS) {
            *fate = run_book_ground(c, i, kept);
        } else {
            *fate = e.target == DROPLET_ON_LEAF ? TALLY_LEAF : TALLY_WOOD;
            c->accounts->impacts[p->start.i_batch][e.outcome] += kept;
            run_book(c, i, *fate, kept);
        }
        if (e.target == DROPLET_ON_LEAF) {
            run_book_leaf(c, i, e.upper_side, kept);
            run_book_stains(c, i, &e, kept, kept, whole_m, arrives_m);
        }
    }
    p->parts -= kept;
    b->path[i] = 0.0f; /* those that pass fly as if there was nothing */
    b->path_limit[i] = (float)(-log(base_uniform(bits[1])) * run_part_met(false, p->parts, p->start.parts));
    return stays && chosen && p->i_track >= 0 ? RUN_FLIES_ON_UNSEEN : RUN_FLIES_ON;
}
