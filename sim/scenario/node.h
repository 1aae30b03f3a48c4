/* sim/scenario/node.h - a YAML file as a tree in which every value knows where it stands, for messages with line and
 * column. */
#ifndef SCENARIO_NODE_H
#define SCENARIO_NODE_H

#include <stdbool.h>
#include <stddef.h>

#include "drupelet/status.h"

enum {
    SCENARIO_NODE_DEPTH = 12,     /* most levels; a scenario needs seven */
    SCENARIO_NODE_CHILDREN = 256, /* most entries of one list or group */
    SCENARIO_NODE_LONG = 100000,  /* most entries of a list in a file that may be long */
    SCENARIO_FOUND = 72,          /* bytes of a value as quoted in a message, with the end */
    SCENARIO_PATH = 160           /* bytes of a key path in a message, with the end */
};

typedef enum { SCENARIO_VALUE, SCENARIO_GROUP, SCENARIO_LIST } scenario_node_kind;

typedef struct scenario_node scenario_node;
struct scenario_node {
    scenario_node_kind kind;
    char *key;             /* within a group; NULL at the root and within a list */
    char *text;            /* of a value, not NULL; NULL for groups and lists */
    bool quoted;           /* the value stood in quotes */
    int line, column;      /* of the value, from 1; 0: messages name its key alone */
    int key_line, key_column;
    const char *file;      /* borrowed; NULL where the value comes from a setting */
    const char *setting;   /* the whole "key.path=value", borrowed; NULL where the value comes from the file */
    scenario_node *parent, *first, *last, *next; /* next: of the same parent */
    int n;                 /* entries */
};

/** Reads YAML text (UTF-8) into a tree. Anchors, aliases, tags, a second document, repeated keys and keys that are not
 * plain are refused. @param most entries of a list, SCENARIO_NODE_CHILDREN or SCENARIO_NODE_LONG
 * @param root out: ended with scenario_node_free(); NULL on failure */
drupelet_status scenario_node_load(const char *file, const char *text, size_t n_bytes, int most, scenario_node **root);
/** Applies "key.path=value" to the tree; the value is YAML. List entries are named by their number from 0. */
drupelet_status scenario_node_set(scenario_node *root, const char *setting);
void scenario_node_free(scenario_node *node); /**< with all below it; NULL is allowed */
/** Takes away lines and columns, of a text that nobody has seen. */
void scenario_node_forget_lines(scenario_node *node);

/* ---- a tree made by hand; its values stand nowhere in the file ---- */
/** A root that holds nothing yet. @param file borrowed, for messages. NULL without memory */
scenario_node *scenario_node_create(const char *file);
/** A new entry of a group or list, which holds nothing yet. @param key NULL in a list. NULL without memory */
scenario_node *scenario_node_append(scenario_node *parent, const char *key);
/** What such a node is. @param text of a value, else NULL  @return false without memory */
bool scenario_node_fill(scenario_node *node, scenario_node_kind kind, const char *text, bool quoted);

/** A copy with all below it, whose values keep their places in their files; NULL without memory. */
scenario_node *scenario_node_copy(const scenario_node *node);
/** A value that the program made, as if it stood where a node stands; NULL without memory. */
scenario_node *scenario_node_value(const char *text, const scenario_node *at);
/** Puts a copy of a value, a group or a list at a key path, in place of what stands there; messages about it point to
 *  where it was written. @param at messages about the path itself point there */
drupelet_status scenario_node_put(scenario_node *root, const char *path, const scenario_node *value,
                                  const scenario_node *at);

/** The entry of a group, or NULL. */
scenario_node *scenario_node_find(const scenario_node *group, const char *key);
/** The group or list of that key; an empty group is made where there is none (it borrows the parent's place in the
 * file). NULL without memory. */
scenario_node *scenario_node_group(scenario_node *parent, const char *key);
/** Nothing was written, as in "key:". */
bool scenario_node_empty(const scenario_node *node);

/** The key path, such as sprayer.nozzles.0.angle. With general true, "*" for numbers of lists and names of tips.
 *  @param below a key of the node to add, or NULL */
void scenario_node_path(const scenario_node *node, const char *below, bool general, char path[SCENARIO_PATH]);
/** What was found, fit for one line. */
void scenario_node_found(const scenario_node *node, char found[SCENARIO_FOUND]);

/** Where in the file, "file:line:column: ", or in which setting a value stands. */
void scenario_node_place(const scenario_node *node, char *place, size_t room);
/** "file:line:column: key.path: found ..., expected ...", or "--set key.path=value: key.path: found ...".
 *  @param below a key of the node that is missing, or NULL: then the message is about the node itself
 *  @param found NULL: what stands at the node, or "nothing" for a missing key */
drupelet_status scenario_node_error(const scenario_node *node, const char *below, const char *found, const char *format,
                                    ...) __attribute__((format(printf, 4, 5)));
/** The same, pointing at the node's key. */
drupelet_status scenario_key_error(const scenario_node *node, const char *found, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

#endif
