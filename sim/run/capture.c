/* sim/run/capture.c - a share of a lane's droplet stays where it hits; the rest flies on as if there was no target. */
#include "run/capture.h"

#include "base/elementary.h"
#include "base/random.h"
#include "run/thread.h"

/* Two uniform numbers for what a whole droplet would be part of at this encounter: what meets, and what stays. */
static void draw(const run_thread *self, int i, double chance[2])
{
    const droplet_batch *b = &self->batch;
    const uint64_t id = (uint64_t)b->id_high[i] << 32 | b->id_low[i];
    uint32_t bits[4];
    base_random_block(self->plan->emission->seed, BASE_STREAM_CAPTURE, id, b->step[i] + (b->passed[i] << 24), bits);
    chance[0] = base_uniform(bits[0]);
    chance[1] = base_uniform(bits[1]);
}

bool run_capture_ends_path(const run_thread *self, int i, double kept)
{
    double chance[2];
    draw(self, i, chance);
    return chance[1] < kept;
}

run_captured run_capture(run_thread *self, int i, tally_fate *fate)
{
    run_passenger *p = &self->lane[i];
    droplet_batch *b = &self->batch;
    const double share = run_capture_share(self->plan->emission->plain, p->weight, p->start.weight);
    if (share >= 1.0)
        return RUN_MEETS_WHOLE;
    if (b->voxel[i] >= 0)
        __builtin_prefetch(&self->voxel[b->voxel[i]], 1);
    const droplet_encounter e = droplet_preview(self->plan->setting, self->plan->targets, b, i);
    const bool stays = e.target == DROPLET_ON_GRASS || e.outcome == DROPLET_ADHERES;
    bool chosen = false; /* the one that a whole droplet would be; where it matters */
    if (!stays || p->i_track >= 0) {
        double chance[2];
        draw(self, i, chance);
        chosen = chance[0] < share;
    }
    if (!stays && chosen)
        return RUN_MEETS_WHOLE; /* the same numbers give the same encounter once more */
    int64_t kept = 0;
    if (stays) {
        kept = base_nearest(share * (double)p->weight);
        run_book_step(self, i, kept);
        run_book_vapour(self, i, kept);
        *fate = run_book_encounter(self, i, &e, kept, kept, (double)b->whole_m[i], (double)b->diameter_m[i]);
    }
    p->weight -= kept;
    b->passed[i]++;
    b->path_limit[i] += e.path_limit * (float)run_capture_share(false, p->weight, p->start.weight);
    return stays && chosen && p->i_track >= 0 ? RUN_FLIES_ON_UNSEEN : RUN_FLIES_ON;
}
