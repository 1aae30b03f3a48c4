/* include/drupelet/tree.h - a scenario as a tree of values that a program puts together, in the place of a file.
 *
 *     drupelet_tree *scenario, *weather;
 *     drupelet_status status = drupelet_tree_create("windy block", &scenario);
 *     if (status.code == DRUPELET_OK) status = drupelet_tree_group(scenario, "weather", &weather);
 *     if (status.code == DRUPELET_OK) status = drupelet_tree_number(weather, "wind_speed", 4.5, "m/s");
 *
 * A tree belongs to one thread at a time. Every function returns DRUPELET_OK, DRUPELET_SCENARIO (the place takes no
 * such value; the message says why) or DRUPELET_MEMORY; after a failure the tree is as it was. */
#ifndef DRUPELET_TREE_H
#define DRUPELET_TREE_H

#include "drupelet/status.h"

/** A group of keys, or a list. Groups and lists inside one belong to it and end with it. */
typedef struct drupelet_tree drupelet_tree;

/** An empty group of keys: a scenario without a section.
 *  @param name  stands for the file in messages, and for the scenario where no key name is given; copied
 *  @param tree  out: the caller ends it with drupelet_tree_free(); NULL on failure */
DRUPELET_API drupelet_status drupelet_tree_create(const char *name, drupelet_tree **tree);
/** Ends what drupelet_tree_create() made, with all in it. NULL is allowed; what lies inside another is not. */
DRUPELET_API void drupelet_tree_free(drupelet_tree *tree);

/* In a group each key stands once; in a list the key is NULL, and the value comes behind those that are there. */

/** A value as a scenario file has it, such as "3.5 m" or "wall"; UTF-8, copied. Replaces a value of the same key. */
DRUPELET_API drupelet_status drupelet_tree_text(drupelet_tree *in, const char *key, const char *value);
/** A number with its unit. @param value must be finite  @param unit such as "m/s"; NULL or "": none */
DRUPELET_API drupelet_status drupelet_tree_number(drupelet_tree *in, const char *key, double value, const char *unit);
/** A group of keys, or a list, inside; the one that is there, where there is one.
 *  @param group, list  out: belongs to in, do not end it; NULL on failure */
DRUPELET_API drupelet_status drupelet_tree_group(drupelet_tree *in, const char *key, drupelet_tree **group);
DRUPELET_API drupelet_status drupelet_tree_list(drupelet_tree *in, const char *key, drupelet_tree **list);

#endif
