/* sim/run/parts.c - a part of a lane's droplet stays where it hits, the rest flies on as if there was no target. */
#include "run/parts.h"

#include "base/nearest.h"
#include "base/random.h"
#include "run/books.h"

run_part_done run_part_stays(run_crew *c, int i, tally_fate *fate)
{
    run_passenger *p = &c->lane[i];
    droplet_batch *b = &c->batch;
    const double part = run_part_met(c->plan->emission->plain, p->parts, p->start.parts);
    if (part >= 1.0)
        return RUN_MEETS_WHOLE;
    if (b->voxel[i] >= 0)
        __builtin_prefetch(&c->voxel[b->voxel[i]], 1);
    const droplet_encounter e = droplet_look(c->plan->setting, c->plan->targets, b, i);
    const bool stays = e.target == DROPLET_ON_GRASS || e.outcome == DROPLET_ADHERES;
    bool chosen = false; /* the one that a whole droplet would be; where it matters */
    if (!stays || p->i_track >= 0) {
        const uint64_t id = (uint64_t)b->id_high[i] << 32 | b->id_low[i];
        uint32_t bits[4];
        base_random_block(c->plan->emission->seed, BASE_STREAM_PARTS, id, b->step[i] + (b->passed[i] << 24), bits);
        chosen = base_uniform(bits[0]) < part;
    }
    if (!stays && chosen)
        return RUN_MEETS_WHOLE; /* the same numbers give the same encounter once more */
    int64_t kept = 0;
    if (stays) {
        kept = base_nearest(part * (double)p->parts);
        run_book_step(c, i, kept);
        run_book_vapour(c, i, kept);
        *fate = run_book_encounter(c, i, &e, kept, kept, (double)b->whole_m[i], (double)b->diameter_m[i]);
    }
    p->parts -= kept;
    b->passed[i]++;
    b->path_limit[i] += e.path_limit * (float)run_part_met(false, p->parts, p->start.parts);
    return stays && chosen && p->i_track >= 0 ? RUN_FLIES_ON_UNSEEN : RUN_FLIES_ON;
}
