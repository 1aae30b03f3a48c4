/* sim/cli/verify.c - drupelet verify: the physics beside published numbers; exit code 1 if one is out of its tolerance.
 */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/status.h"
#include "cli/cli.h"
#include "verify/verify.h"

static const char help[] = "Usage: drupelet verify [OPTION]\n"
                           "Works out settling, evaporation, capture and other physics, and prints each beside the "
                           "published number, with its\n"
                           "source and the tolerance. Exit code 1 if one is out.\n"
                           "\n"
                           "  -h, --help   print this text\n";

int cli_verify(int argc, char **argv)
{
    int code = cli_options(argc, argv, help, (cli_option[]){{.name = NULL}});
    if (code != CLI_GO)
        return code;
    if (optind < argc)
        return cli_bad_usage(argv[0], "takes no file, found '%s'", argv[optind]);

    verify_list *list = calloc(1, sizeof *list);
    const drupelet_status status = list ? verify_run(list) : base_error(DRUPELET_MEMORY, "no memory for the checks");
    code = cli_end(status);
    if (status.code == DRUPELET_OK) {
        verify_print(stdout, list);
        code = verify_failures(list) > 0 ? CLI_FAILED : CLI_DONE;
    }
    if (list)
        verify_end(list);
    free(list);
    return code;
}
