/* sim/page/live.c - what the page's own simulator starts from: the scenario of a result as a tree of values, or why the
 * result cannot be simulated again; and what its reader may change.
 *
 * A value of the tree is a text; one in quotes is {"q": text}, a group {"g": [[key, node], ...]}, a list {"l": [node,
 * ...]}. The tree is that of the scenario as read, with the settings beside it. It is offered only where this program
 * makes the same values of it as the run did. */
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "drupelet/drupelet.h"
#include "page/parts.h"
#include "result/quantity.h"
#include "scenario/keys.h"
#include "scenario/node.h"
#include "scenario/read.h"

extern const char page_simulator[], page_worker[];
extern const size_t page_simulator_length; /* 0: this build has none (scripts/cmake/simulator.cmake) */

static void write_node(base_json *j, const char *key, const scenario_node *node)
{
    if (node->kind == SCENARIO_VALUE && !node->quoted) {
        base_json_words(j, key, node->text);
        return;
    }
    base_json_open(j, key, '{');
    if (node->kind == SCENARIO_VALUE) {
        base_json_words(j, "q", node->text);
    } else {
        base_json_open(j, node->kind == SCENARIO_GROUP ? "g" : "l", '[');
        for (const scenario_node *child = node->first; child; child = child->next) {
            if (node->kind == SCENARIO_GROUP) {
                base_json_open(j, NULL, '[');
                base_json_words(j, NULL, child->key);
            }
            write_node(j, NULL, child);
            if (node->kind == SCENARIO_GROUP) base_json_close(j, ']');
        }
        base_json_close(j, ']');
    }
    base_json_close(j, '}');
}

/* Applies the lines of the result's settings to the tree. It cuts them at their ends. */
static drupelet_status apply(char *settings, scenario_node *root)
{
    drupelet_status status = base_ok();
    for (char *line = settings, *end; *line && status.code == DRUPELET_OK; line = end) {
        end = line + strcspn(line, "\n");
        if (*end) *end++ = '\0';
        status = scenario_node_set(root, line);
    }
    return status;
}

/* Where the list of used values goes on behind the name, whose default is that of a file. */
static const char *behind_name(const char *resolved)
{
    const char *end = strncmp(resolved, "name: ", 6) == 0 ? strchr(resolved, '\n') : NULL;
    return end ? end : resolved;
}

static bool is_measured(const scenario_node *root)
{
    const scenario_node *canopy = scenario_node_find(root, "canopy");
    return canopy && scenario_node_find(canopy, "measured");
}

/* Whether the tree gives the same values as the run had. Only a lack of memory is an error here. */
static drupelet_status gives_the_same(const drupelet_result *r, scenario_node *root, bool *same)
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = scenario_read_tree("scenario", root, "", 0, NULL, &scenario);
    *same = status.code == DRUPELET_OK && strcmp(behind_name(scenario->resolved), behind_name(r->resolved)) == 0;
    drupelet_scenario_free(scenario);
    return status.code == DRUPELET_MEMORY ? status : base_ok();
}

/* The tree, which borrows the settings. NULL without an error: `why` says why there is none. */
static drupelet_status tree_of(const drupelet_result *r, char *settings, scenario_node **root, const char **why)
{
    bool same = false;
    drupelet_status status = scenario_load("scenario", r->scenario_text, strlen(r->scenario_text), NULL, 0, root);
    if (status.code == DRUPELET_OK) status = apply(settings, *root);
    if (status.code == DRUPELET_OK && is_measured(*root)) {
        *why = "canopy";
    } else {
        if (status.code == DRUPELET_OK) status = gives_the_same(r, *root, &same);
        *why = same ? NULL : "changed";
    }
    if (*why) {
        scenario_node_free(*root);
        *root = NULL;
    }
    return status.code == DRUPELET_MEMORY ? status : base_ok();
}

/* The result keeps the name that it has, where its scenario has none. */
static bool name_it(const drupelet_result *r, scenario_node *root)
{
    if (scenario_node_find(root, "name")) return true;
    scenario_node *name = scenario_node_append(root, "name");
    return name && scenario_node_fill(name, SCENARIO_VALUE, r->name, true);
}

drupelet_status page_live(base_json *j, const drupelet_result *r, bool left_out)
{
    const char *why = NULL;
    char *settings = result_copy(r->settings);
    scenario_node *root = NULL;
    drupelet_status status = settings ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the page");
    if (left_out)
        why = "left_out";
    else if (!page_live_is_built())
        why = "build";
    else if (strcmp(r->version, drupelet_version()) != 0)
        why = "version";
    else if (r->resolved_fan_air) /* a flow in three dimensions takes a browser minutes */
        why = "fan_air";
    else if (settings)
        status = tree_of(r, settings, &root, &why);
    base_json_open(j, "live", '{');
    if (root && !name_it(r, root)) status = base_error(DRUPELET_MEMORY, "no memory for the page");
    if (root) write_node(j, "tree", root);
    if (why) base_json_words(j, "why", why);
    base_json_close(j, '}');
    scenario_node_free(root);
    free(settings);
    return status;
}

/* ---- what may be changed ---- */

static void write_words(base_json *j, const scenario_key *key)
{
    const char *word;
    base_json_open(j, "words", '[');
    for (int i = 0; (word = scenario_key_word(key, i, NULL)); i++)
        base_json_words(j, NULL, word);
    base_json_close(j, ']');
}

void page_live_keys(base_json *j)
{
    base_json_open(j, "live_keys", '{');
    for (int i = 0; i < scenario_n_keys; i++) {
        const scenario_key *key = &scenario_keys[i];
        const bool kind = strcmp(key->path, "tips.*.kind") == 0; /* not offered: of a generic tip it is */
        if (!key->offered && !kind) continue;
        base_json_open(j, key->path, '{');
        base_json_words(j, "unit", key->unit ? key->unit : "");
        base_json_number(j, "low", key->low, 9);
        base_json_number(j, "high", key->high, 9);
        if (key->holds == SCENARIO_IS_WORD) write_words(j, key);
        base_json_close(j, '}');
    }
    base_json_close(j, '}');
}

bool page_live_is_built(void)
{
    return page_simulator_length > 0;
}

void page_live_simulator(FILE *to)
{
    base_json j = {.to = to};
    fputs("<script type=\"application/json\" id=\"simulator\">", to);
    base_json_open(&j, NULL, '{');
    base_json_bytes(&j, "module", page_simulator_length, (const uint8_t *)page_simulator);
    base_json_close(&j, '}');
    fputs("</script>\n<script type=\"text/plain\" id=\"worker\">", to);
    fputs(page_worker, to);
    fputs("</script>\n", to);
}
