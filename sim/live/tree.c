/* sim/live/tree.c - a scenario as a tree of values, from bytes.
 *
 * A node is a letter and what belongs to it: V (a value as it stands in a file) or Q (one in quotes) with a text; G (a
 * group) with keys, each K with a text and the node behind it, and a full stop; L (a list) with nodes and a full stop.
 * Texts end with a zero byte. sim/page/browser/live/tree.js writes it. */
#include "live/tree.h"

#include <string.h>

#include "base/status.h"

typedef struct {
    const char *at, *end;
    int depth;
} reader;

static drupelet_status damaged(void)
{
    return base_error(DRUPELET_SCENARIO, "the scenario of the page is damaged");
}

/* The text that comes next; NULL where it has no end. */
static const char *take_text(reader *r)
{
    const char *text = r->at, *zero = memchr(r->at, '\0', (size_t)(r->end - r->at));
    if (zero) r->at = zero + 1;
    return zero ? text : NULL;
}

static drupelet_status take_node(reader *r, scenario_node *into);

static drupelet_status take_entries(reader *r, scenario_node *into)
{
    if (++r->depth > SCENARIO_NODE_DEPTH) return damaged();
    while (r->at < r->end && *r->at != '.') {
        const char *key = NULL;
        if (into->kind == SCENARIO_GROUP && (*r->at++ != 'K' || !(key = take_text(r)))) return damaged();
        scenario_node *entry = into->n < SCENARIO_NODE_CHILDREN ? scenario_node_append(into, key) : NULL;
        if (!entry)
            return into->n < SCENARIO_NODE_CHILDREN ? base_error(DRUPELET_MEMORY, "no memory for the scenario")
                                                    : damaged();
        const drupelet_status status = take_node(r, entry);
        if (status.code != DRUPELET_OK) return status;
    }
    r->depth--;
    return r->at++ < r->end ? base_ok() : damaged();
}

static drupelet_status take_node(reader *r, scenario_node *into)
{
    const char kind = r->at < r->end ? *r->at++ : '\0';
    if (kind == 'V' || kind == 'Q') {
        const char *text = take_text(r);
        if (!text) return damaged();
        return scenario_node_fill(into, SCENARIO_VALUE, text, kind == 'Q')
                   ? base_ok()
                   : base_error(DRUPELET_MEMORY, "no memory for the scenario");
    }
    if (kind != 'G' && kind != 'L') return damaged();
    scenario_node_fill(into, kind == 'G' ? SCENARIO_GROUP : SCENARIO_LIST, NULL, false);
    return take_entries(r, into);
}

drupelet_status live_tree(const char *bytes, size_t n_bytes, scenario_node **root)
{
    reader r = {.at = bytes, .end = bytes + n_bytes};
    *root = scenario_node_create("scenario");
    drupelet_status status = *root ? take_node(&r, *root) : base_error(DRUPELET_MEMORY, "no memory for the scenario");
    if (status.code == DRUPELET_OK && (r.at != r.end || (*root)->kind != SCENARIO_GROUP)) status = damaged();
    if (status.code != DRUPELET_OK) {
        scenario_node_free(*root);
        *root = NULL;
    }
    return status;
}
