/* sim/cli/cache.c - the options --cache and --no-cache. The folder of caches is where the XDG Base Directory
 * Specification (freedesktop.org, version 0.8; memory) has it; a path there that is not absolute does not count. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cache.h"

#include <stdio.h>
#include <stdlib.h>

/* The folder in that of an environment variable; false where there is none. */
static bool find_in(const char *variable, const char *below, char room[CLI_PATH])
{
    const char *folder = getenv(variable);
    return folder && folder[0] == '/' && snprintf(room, CLI_PATH, "%s/%s", folder, below) < CLI_PATH;
}

int cli_cache_find(const char *command, bool by_default, cli_cache *c)
{
    if (c->named && c->none) return cli_bad_usage(command, "--cache goes without --no-cache");
    if (c->named && c->named[0] == '\0') return cli_bad_usage(command, "--cache: found '', expected a folder");
    c->folder = c->named;
    if (!c->named && !c->none && by_default
        && (find_in("XDG_CACHE_HOME", "drupelet", c->room) || find_in("HOME", ".cache/drupelet", c->room)))
        c->folder = c->room;
    return CLI_GO;
}

void cli_cache_end(const cli_cache *c, bool quiet)
{
    if (c->refused && !quiet)
        cli_say("%s: the computed air cannot be kept there, so that the next run computes it again; --cache names "
                "another folder",
                c->folder);
}
