/* sim/scenario/tree.c - trees of values that programs put together, and the text (YAML) that says the same.
 *
 * A scenario is read from that text, so that a tree is checked as a file is, and a result holds a scenario that can be
 * run again. The text keeps every value as it was given; what it means is the reader's to say. */
#define _POSIX_C_SOURCE 200809L
#include "scenario/tree.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "scenario/node.h"

struct drupelet_tree {
    scenario_node_kind kind;
    char *key;  /* NULL in a list; of the outermost its name */
    char *text; /* of a value */
    int n;      /* entries */
    drupelet_tree *parent, *first, *last, *next;
};

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the scenario");
}

/* ---- the tree ---- */

static drupelet_tree *create(scenario_node_kind kind, const char *key, const char *text)
{
    drupelet_tree *t = calloc(1, sizeof *t);
    if (!t) return NULL;
    t->kind = kind;
    t->key = key ? strdup(key) : NULL;
    t->text = text ? strdup(text) : NULL;
    if ((!key || t->key) && (!text || t->text)) return t;
    free(t->key);
    free(t->text);
    free(t);
    return NULL;
}

drupelet_status drupelet_tree_create(const char *name, drupelet_tree **tree)
{
    *tree = create(SCENARIO_GROUP, name, NULL);
    return *tree ? base_ok() : no_memory();
}

void drupelet_tree_free(drupelet_tree *tree)
{
    if (!tree) return;
    for (drupelet_tree *child = tree->first, *next; child; child = next) { /* no deeper than SCENARIO_NODE_DEPTH */
        next = child->next;
        drupelet_tree_free(child);
    }
    free(tree->key);
    free(tree->text);
    free(tree);
}

static drupelet_tree *entry_of(const drupelet_tree *in, const char *key)
{
    for (drupelet_tree *child = in->kind == SCENARIO_GROUP && key ? in->first : NULL; child; child = child->next)
        if (strcmp(child->key, key) == 0) return child;
    return NULL;
}

static int depth_of(const drupelet_tree *tree)
{
    int depth = 1;
    for (; tree->parent; tree = tree->parent)
        depth++;
    return depth;
}

static drupelet_status refuse(const drupelet_tree *in, const char *key, const char *found, const char *expected)
{
    const drupelet_tree *top = in;
    while (top->parent)
        top = top->parent;
    return base_error(DRUPELET_SCENARIO, "%.160s: %.60s: found %s, expected %s", top->key,
                      key && key[0] ? key : "an entry", found, expected);
}

/* Finds or adds the entry of a key. @param text of a value; NULL: a group or a list */
static drupelet_status put(drupelet_tree *in, const char *key, scenario_node_kind kind, const char *text,
                           drupelet_tree **entry)
{
    *entry = NULL;
    if (in->kind == SCENARIO_GROUP && (!key || key[0] == '\0'))
        return refuse(in, key, "no key", "one: entries of a group have names");
    if (in->kind == SCENARIO_LIST && key)
        return refuse(in, key, "a key in a list", "NULL: entries of a list have no names");
    drupelet_tree *there = entry_of(in, key);
    if (there && there->kind != kind)
        return refuse(in, key, "another kind of entry under this key", "a value, a group or a list throughout");
    if (there) {
        char *copy = text ? strdup(text) : NULL;
        if (text && !copy) return no_memory();
        free(there->text);
        there->text = copy;
        *entry = there;
        return base_ok();
    }
    if (in->n >= SCENARIO_NODE_CHILDREN) return refuse(in, key, "more than 256 entries", "fewer");
    if (kind != SCENARIO_VALUE && depth_of(in) >= SCENARIO_NODE_DEPTH)
        return refuse(in, key, "more than 12 levels, one inside the other", "fewer");
    drupelet_tree *new = create(kind, key, text);
    if (!new) return no_memory();
    new->parent = in;
    *(in->last ? &in->last->next : &in->first) = new;
    in->last = new;
    in->n++;
    *entry = new;
    return base_ok();
}

drupelet_status drupelet_tree_text(drupelet_tree *in, const char *key, const char *value)
{
    drupelet_tree *entry;
    return put(in, key, SCENARIO_VALUE, value, &entry);
}

drupelet_status drupelet_tree_number(drupelet_tree *in, const char *key, double value, const char *unit)
{
    char number[40], *text = NULL;
    void *former_locale;
    if (!isfinite(value)) return refuse(in, key, "a number that is not finite", "a finite number");
    drupelet_status status = base_c_locale_enter(&former_locale);
    if (status.code != DRUPELET_OK) return status;
    snprintf(number, sizeof number, "%.15g", value);
    if (strtod(number, NULL) != value) /* the fewest digits that say this number */
        snprintf(number, sizeof number, "%.17g", value);
    base_c_locale_leave(former_locale);
    const bool alone = !unit || unit[0] == '\0';
    text = malloc(sizeof number + (alone ? 0 : strlen(unit)) + 2);
    if (!text) return no_memory();
    sprintf(text, "%s%s%s", number, alone ? "" : " ", alone ? "" : unit);
    status = drupelet_tree_text(in, key, text);
    free(text);
    return status;
}

drupelet_status drupelet_tree_group(drupelet_tree *in, const char *key, drupelet_tree **group)
{
    return put(in, key, SCENARIO_GROUP, NULL, group);
}

drupelet_status drupelet_tree_list(drupelet_tree *in, const char *key, drupelet_tree **list)
{
    return put(in, key, SCENARIO_LIST, NULL, list);
}

/* ---- its text ---- */

/* Can text stand without quotes, whatever its place? */
static bool is_plain(const char *text)
{
    static const char anywhere[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_.%+/-^ ";
    const size_t n = strlen(text);
    const char first = text[text[0] == '-'];
    return n > 0 && strspn(text, anywhere) == n && text[n - 1] != ' '
           && ((first >= 'a' && first <= 'z') || (first >= 'A' && first <= 'Z') || (first >= '0' && first <= '9'));
}

static void write_text(FILE *to, const char *text)
{
    if (is_plain(text)) {
        fputs(text, to);
        return;
    }
    fputc('"', to);
    for (const unsigned char *c = (const unsigned char *)text; *c; c++) {
        if (*c == '"' || *c == '\\')
            fprintf(to, "\\%c", *c);
        else if (*c < 0x20 || *c == 0x7F)
            fprintf(to, "\\x%02X", *c);
        else
            fputc(*c, to);
    }
    fputc('"', to);
}

static void write_entries(FILE *to, const drupelet_tree *in, int indent)
{
    for (const drupelet_tree *child = in->first; child; child = child->next) {
        fprintf(to, "%*s", indent, "");
        if (in->kind == SCENARIO_GROUP) {
            write_text(to, child->key);
            fputc(':', to);
        } else {
            fputc('-', to);
        }
        if (child->kind == SCENARIO_VALUE) {
            fputc(' ', to);
            write_text(to, child->text);
        } else if (!child->first) {
            fputs(child->kind == SCENARIO_GROUP ? " {}" : " []", to);
        }
        fputc('\n', to);
        write_entries(to, child, indent + 2);
    }
}

const char *scenario_tree_name(const drupelet_tree *tree)
{
    return tree->key ? tree->key : "";
}

drupelet_status scenario_tree_text(const drupelet_tree *tree, char **text, size_t *n_bytes)
{
    *text = NULL;
    FILE *to = open_memstream(text, n_bytes);
    if (!to) return no_memory();
    write_entries(to, tree, 0);
    const bool written = !ferror(to);
    if (fclose(to) == 0 && written) return base_ok();
    free(*text);
    *text = NULL;
    return no_memory();
}
