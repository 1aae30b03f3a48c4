/* sim/cli/canopy.c - drupelet canopy: writes the canopy of a scenario voxel by voxel, without simulating. */
#define _POSIX_C_SOURCE 200809L
#include <getopt.h>
#include <stdio.h>

#include "base/status.h"
#include "cli/cli.h"
#include "drupelet/drupelet.h"
#include "orchard/orchard.h"
#include "store/store.h"

static const char help[] =
    "Usage: drupelet canopy [OPTION]... SCENARIO\n"
    "Writes the leaf and wood area density of a scenario's canopy, voxel by voxel, and prints what it holds.\n"
    "The key canopy.measured of a scenario takes the file back; docs/canopy-format.md says what is in it.\n"
    "\n"
    "  -o, --output FILE     file to write: .csv, or .h5 or .nc for HDF5 that opens as netCDF-4; default: the\n"
    "                        scenario's name with -canopy.csv, in the current folder\n"
    "      --force           replace a file that exists\n"
    "      --set KEY=VALUE   another value for a key, such as --set 'canopy.voxel=0.1 m'; may be repeated\n"
    "  -h, --help            print this text\n";

/* Area of all voxels of the canopy over the ground of its rows. */
static double area_index(const orchard_canopy *c, const float *density)
{
    double sum = 0.0;
    for (int64_t v = 0; v < orchard_voxels(c); v++)
        sum += (double)density[v];
    return sum * c->edge_m * c->edge_m * c->edge_y_m / (c->n_rows * c->row_spacing_m * c->period_m);
}

static void print_facts(const drupelet_scenario *s, const orchard_canopy *c)
{
    printf("%s%s%s\n", s->name, s->place[0] ? " - " : "", s->place);
    printf("  rows                    %d, %.6g m apart, %.6g m long before they repeat\n", c->n_rows, c->row_spacing_m,
           c->period_m);
    printf("  crown                   from %.6g to %.6g m high, %.6g m wide\n", s->canopy.base_m, s->canopy.height_m,
           s->canopy.width_m);
    printf("  voxels of a row         %d across, %d along, %d up; %.6g m across and up, %.6g m along\n", c->nx, c->ny,
           c->nz, c->edge_m, c->edge_y_m);
    printf("  leaf area index         %.6g, one side of the leaves\n", area_index(c, c->leaf_area_density_1_m));
    printf("  wood area index         %.6g, half the wood's surface\n", area_index(c, c->wood_area_density_1_m));
}

static int write_canopy(const char *path, const cli_texts *settings, const char *output, bool force)
{
    drupelet_scenario *scenario = NULL;
    orchard_canopy *canopy = NULL;
    drupelet_status status = drupelet_scenario_read(path, settings->text, settings->n, &scenario);
    if (status.code == DRUPELET_OK && !cli_output_apart_from_canopy(output, scenario)) {
        drupelet_scenario_free(scenario);
        return CLI_BAD;
    }
    if (status.code == DRUPELET_OK) {
        status = orchard_create(scenario, &canopy);
        if (status.code == DRUPELET_SCENARIO) /* found only now, so without a line */
            status = base_error(DRUPELET_SCENARIO, "%s: %s", path, status.message);
    }
    if (status.code == DRUPELET_OK)
        status = store_canopy_write(scenario, canopy, output, force);
    if (status.code == DRUPELET_OK) {
        print_facts(scenario, canopy);
        cli_say("wrote %s", output);
    }
    orchard_free(canopy);
    drupelet_scenario_free(scenario);
    return cli_end(status);
}

static int read_and_write(int argc, char **argv, cli_texts *settings)
{
    const char *output = NULL;
    bool force = false;
    char room[CLI_PATH];
    const int code = cli_options(argc, argv, help, (cli_option[]){{"output", .text = &output},
                                                                  {"force", .flag = &force},
                                                                  {"set", .texts = settings, .with_key = true},
                                                                  {.name = NULL}});
    if (code != CLI_GO)
        return code;
    if (optind + 1 != argc)
        return cli_bad_usage(argv[0], "name one scenario file");
    output = cli_output_of(argv[0], output, argv[optind], "-canopy.csv", room);
    if (!output)
        return CLI_BAD;
    if (store_canopy_form_of(output) == STORE_CANOPY_UNKNOWN)
        return cli_bad_usage(argv[0], "--output: found '%s', expected a name that ends with .csv, .h5 or .nc", output);
    const char *const input[] = {argv[optind]};
    if (!cli_input_readable(input[0]) || !cli_output_allowed(output, force, 1, input))
        return CLI_BAD;
    return write_canopy(argv[optind], settings, output, force);
}

int cli_canopy(int argc, char **argv)
{
    return cli_with_settings(argc, argv, read_and_write);
}
