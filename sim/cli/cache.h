/* sim/cli/cache.h - the options --cache and --no-cache: where computed winds and resolved
 * air of fans are kept between runs. */
#ifndef CLI_CACHE_H
#define CLI_CACHE_H

#include <stdbool.h>

#include "cli/cli.h"

typedef struct {
    const char *named;  /* by --cache */
    bool none;          /* --no-cache */
    const char *folder; /* what follows from both; NULL: no winds are kept */
    bool refused;       /* did it not take a wind? */
    char room[CLI_PATH];
} cli_cache;

/* Rows of a command's table of options, and their lines of its help. */
#define CLI_CACHE_OPTIONS(cache) {"cache", .text = &(cache)->named}, {"no-cache", .flag = &(cache)->none}
#define CLI_CACHE_HELP                                                                                                 \
    "      --cache DIR       where computed winds and resolved air of fans are kept for later runs; default: the\n"    \
    "                        folder drupelet in that of the environment variable XDG_CACHE_HOME, else in .cache of\n"  \
    "                        the home folder\n"                                                                       \
    "      --no-cache        neither keep such air nor take what is kept. The result does not depend on it\n"

/** Finds the folder that the options ask for. @param by_default whether winds are kept where no option says so
 *  @return CLI_GO, or the exit code of options that do not go together */
int cli_cache_find(const char *command, bool by_default, cli_cache *cache);
/** Warns, once the work is done, where the folder did not take a wind. */
void cli_cache_end(const cli_cache *cache, bool quiet);

#endif
