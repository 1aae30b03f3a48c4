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

static const size_t WITHOUT_PROFILES = offsetof(result_measures, strip);

size_t sweep_record_pack(const sweep_record *r, bool profiles, unsigned char bytes[SWEEP_RECORD])
{
    _Static_assert(sizeof(record_head) + sizeof(result_measures) <= SWEEP_RECORD, "a record that does not fit");
    const record_head head = {r->i_case, r->n_droplets, {r->identity.part[0], r->identity.part[1]}, r->seconds,
                              r->air_seconds, r->code};
    memcpy(bytes, &head, sizeof head);
    const size_t n = r->code != DRUPELET_OK ? strlen(r->reason) + 1 : profiles ? sizeof r->measures : WITHOUT_PROFILES;
    memcpy(bytes + sizeof head, r->code != DRUPELET_OK ? (const void *)r->reason : (const void *)&r->measures, n);
    return sizeof head + n;
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
    if (n != (profiles ? sizeof r->measures : WITHOUT_PROFILES))
        return false;
    memcpy(&r->measures, bytes + sizeof head, n);
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
