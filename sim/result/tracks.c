/* sim/result/tracks.c - sampled paths of droplets: contiguous ragged arrays. */
#include <math.h>

#include "base/status.h"
#include "result/quantity.h"

#define TRACK(name) RESULT_FIELD(track, result_track, name)

static const result_quantity QUANTITIES[] = {
    {"track", NULL, RESULT_INT32, "1", "path", .use = RESULT_MAY_LACK, .count = offsetof(drupelet_result, n_tracks),
     .place.none = true, .most = TALLY_TRACKS},
    {"row_size", "track", RESULT_INT32, "1", "number of points of the path", TRACK(n_points),
     .high = TALLY_TRACK_POINTS, .note = {"sample_dimension", "point"}},
    {"droplet", "track", RESULT_INT64, "1", "ordinal of the droplet in the run", TRACK(droplet)},
    {"weight", "track", RESULT_DOUBLE, "1", "share of the output that the droplet stood for at its release",
     TRACK(weight), .high = 1e9},
    {"emitted_diameter", "track", RESULT_DOUBLE, "um", "diameter as emitted", TRACK(emitted_diameter_um), .high = 1e9},
    {"fate", "track", RESULT_INT8, "1", "fate of the last of the droplet", TRACK(fate), .word = tally_fate_name,
     .n_words = TALLY_FATES},
    {"alley", "track", RESULT_INT32, "1", "alley that it was sprayed from; 0 is outside row 1", TRACK(alley),
     .high = SCENARIO_ROWS},
    {"nozzle", "track", RESULT_INT32, "1", "nozzle that it left, as in the group sprayer", TRACK(nozzle), .low = 1,
     .high = SCENARIO_NOZZLES},
    {"bounces", "track", RESULT_INT32, "1", "number of times it bounced", TRACK(n_outcome[DROPLET_BOUNCES])},
    {"shatters", "track", RESULT_INT32, "1", "number of times it shattered", TRACK(n_outcome[DROPLET_SHATTERS])},
    {"last_rebound", "track", RESULT_DOUBLE, "s", "time of the last bounce or shattering; not a number without any",
     TRACK(last_rebound_s), RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"point", NULL, RESULT_INT32, "1", "point of a path; the paths follow one another", .use = RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, n_points), .place.none = true, .most = TALLY_TRACKS * TALLY_TRACK_POINTS},
    {"time", "point", RESULT_FLOAT, "s", "time since the droplet left the nozzle", RESULT_APART(time_s), .high = 1e6},
    {"x", "point", RESULT_FLOAT, "m", "place across the rows", RESULT_APART(track_x_m)},
    {"y", "point", RESULT_FLOAT, "m", "place along the rows, from where the sprayer stood when it let the droplet go",
     RESULT_APART(track_y_m)},
    {"z", "point", RESULT_FLOAT, "m", "height above the ground", RESULT_APART(track_z_m)},
    {"diameter", "point", RESULT_FLOAT, "um", "diameter at that time", RESULT_APART(diameter_um), .high = 1e6},
    {"speed", "point", RESULT_FLOAT, "m/s", "speed over the ground", RESULT_APART(speed_m_s), .high = 1e4},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    for (int i = 0; i < o->n_tracks; i++)
        r->n_points += o->track[i].n_points;
    r->n_tracks = r->n_points > 0 ? o->n_tracks : 0; /* no dimension may be 0 long: then the group is empty */
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    int64_t n = 0;
    for (int i = 0; i < r->n_tracks; i++) {
        const tally_track *t = &o->track[i];
        int rebounds = 0;
        r->track[i] = (result_track){.droplet = t->droplet,
                                     .first = n,
                                     .n_points = t->n_points,
                                     .alley = t->i_alley,
                                     .nozzle = t->i_nozzle + 1,
                                     .fate = (int8_t)t->fate,
                                     .weight = t->weight,
                                     .emitted_diameter_um = 1e6 * t->emitted_diameter_m,
                                     .last_rebound_s = NAN};
        for (int k = DROPLET_ADHERES + 1; k < TALLY_OUTCOMES; k++) {
            r->track[i].n_outcome[k] = t->n_outcome[k];
            rebounds += t->n_outcome[k];
        }
        if (rebounds > 0)
            r->track[i].last_rebound_s = (double)t->last_rebound_s;
        for (int k = 0; k < t->n_points; k++, n++) {
            r->time_s[n] = t->point[k].time_s;
            r->track_x_m[n] = t->point[k].x_m;
            r->track_y_m[n] = t->point[k].y_m;
            r->track_z_m[n] = t->point[k].z_m;
            r->diameter_um[n] = t->point[k].diameter_um;
            r->speed_m_s[n] = t->point[k].speed_m_s;
        }
    }
    return base_ok();
}

static const char *settle(drupelet_result *r, const char **found)
{
    int64_t first = 0;
    for (int i = 0; i < r->n_tracks; i++) {
        r->track[i].first = first;
        first += r->track[i].n_points;
    }
    *found = "more points, or fewer, than there are";
    return first == r->n_points ? NULL : "row_size";
}

const result_group result_tracks = {
    "tracks",   "sampled paths of droplets: contiguous ragged arrays, row_size points for each track",
    QUANTITIES, RESULT_COUNT(QUANTITIES),
    count,      fill,
    settle};
