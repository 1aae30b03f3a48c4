/* sim/sweep/record.c - packs a case for the journal, and hashes what it is.
 *
 * The hash is FNV-1a (G. Fowler, L. C. Noll, K.-P. Vo; RFC draft draft-eastlake-fnv; memory), twice with different
 * starts and a last mixing: 128 bits keep cases apart that nobody chose in order to collide. */
#include "sweep/record.h"

#include <stdio.h>
#include <string.h>

/* Fixed part of a record, and what follows it: the measures (with a case that is done) or the reason. */
typedef struct {
    int64_t i_case, n_droplets;
    uint64_t identity[2];
    double seconds, air_seconds;
    int64_t code;
} record_head;

/* Pieces of the measures, in the order in which they are packed. */
typedef struct { size_t at, bytes; } piece;
enum { PIECES = 5, COLLECTOR = RESULT_CATCHES * sizeof(tally_estimate) };

static int pieces_of(bool profiles, piece of[PIECES])
{
    const size_t value = sizeof(tally_estimate), batch = TALLY_BATCHES * sizeof(float);
    of[0] = (piece){offsetof(result_measures, value), (size_t)result_columns_all() * value};
    of[1] = (piece){offsetof(result_measures, batch), (size_t)result_columns_batched() * batch};
    of[2] = (piece){offsetof(result_measures, application_rate_L_ha), sizeof(double)};
    of[3] = (piece){offsetof(result_measures, strip), RESULT_STRIPS * value};
    of[4] = (piece){offsetof(result_measures, third), TALLY_THIRDS * value};
    return profiles ? PIECES : 3;
}

size_t sweep_record_measures(bool profiles)
{
    piece of[PIECES];
    size_t n = 0;
    for (int i = 0; i < pieces_of(profiles, of); i++)
        n += of[i].bytes;
    return n;
}

size_t sweep_record_pack(const sweep_record *r, bool profiles, unsigned char bytes[SWEEP_RECORD])
{
    _Static_assert(sizeof(record_head) + sizeof(result_measures) <= SWEEP_RECORD, "a record that does not fit");
    const record_head head = {r->i_case, r->n_droplets, {r->identity.part[0], r->identity.part[1]}, r->seconds,
                              r->air_seconds, r->code};
    memcpy(bytes, &head, sizeof head);
    unsigned char *to = bytes + sizeof head;
    piece of[PIECES];
    if (r->code != DRUPELET_OK) {
        memcpy(to, r->reason, strlen(r->reason) + 1);
        return sizeof head + strlen(r->reason) + 1;
    }
    for (int i = 0; i < pieces_of(profiles, of); to += of[i++].bytes)
        memcpy(to, (const char *)&r->measures + of[i].at, of[i].bytes);
    const size_t caught = (size_t)r->measures.n_collectors * COLLECTOR; /* the rest of the record */
    memcpy(to, r->measures.caught, caught);
    return (size_t)(to - bytes) + caught;
}

bool sweep_record_unpack(const unsigned char *bytes, size_t n, bool profiles, sweep_record *r)
{
    record_head head;
    memset(r, 0, sizeof *r);
    if (n < sizeof head)
        return false;
    memcpy(&head, bytes, sizeof head);
    r->i_case = head.i_case;
    r->n_droplets = head.n_droplets;
    r->identity = (sweep_identity){{head.identity[0], head.identity[1]}};
    r->seconds = head.seconds;
    r->air_seconds = head.air_seconds;
    r->code = (drupelet_code)head.code;
    n -= sizeof head;
    if (r->code != DRUPELET_OK) {
        if (n < 1 || n > sizeof r->reason || bytes[sizeof head + n - 1] != '\0')
            return false;
        memcpy(r->reason, bytes + sizeof head, n);
        return true;
    }
    const size_t fixed = sweep_record_measures(profiles);
    if (n < fixed || (n - fixed) % COLLECTOR != 0 || n - fixed > sizeof r->measures.caught)
        return false;
    const unsigned char *from = bytes + sizeof head;
    piece of[PIECES];
    for (int i = 0; i < pieces_of(profiles, of); from += of[i++].bytes)
        memcpy((char *)&r->measures + of[i].at, from, of[i].bytes);
    memcpy(r->measures.caught, from, n - fixed);
    r->measures.n_collectors = (int64_t)((n - fixed) / COLLECTOR);
    return true;
}

sweep_identity sweep_identity_of(const drupelet_scenario *s, sweep_keep keep)
{
    const int32_t kept = (int32_t)keep;
    sweep_identity id = base_hash_on((sweep_identity){{0, 0}}, s->resolved, strlen(s->resolved));
    id = base_hash_on(id, &kept, sizeof kept);
    const scenario_measured_canopy *m = s->canopy.measured;
    if (m) {
        const size_t n = (size_t)scenario_measured_voxels(m) * sizeof(float);
        id = base_hash_on(id, m->leaf_area_density_1_m, n);
        if (m->wood_area_density_1_m)
            id = base_hash_on(id, m->wood_area_density_1_m, n);
    }
    return id;
}
