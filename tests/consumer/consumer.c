/* tests/consumer/consumer.c - a program outside the project: runs a scenario through the installed library.
 * Arguments: the version it expects, a scenario, and a result file to write. */
#include <drupelet/drupelet.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

static int fault(const char *text)
{
    fprintf(stderr, "consumer: %s\n", text);
    return 1;
}

static int use(const drupelet_scenario *scenario, const char *path)
{
    const drupelet_run_options options = {.n_droplets = 2000, .seed_given = true, .seed = 7, .n_threads = 1};
    drupelet_result *result = NULL;
    drupelet_status status = drupelet_run(scenario, &options, &result);
    if (status.code != DRUPELET_OK)
        return fault(status.message);
    double sum = 0.0;
    for (int fate = 0; fate < DRUPELET_FATES; fate++)
        sum += drupelet_result_fate(result, (drupelet_fate)fate).share;
    int bad = 0;
    if (fabs(sum - 1.0) > 1e-9)
        bad = fault("the fates do not add up to what was emitted");
    if (!(drupelet_result_fate(result, DRUPELET_FATE_LEAF).share > 0.0))
        bad = fault("nothing reached a leaf");
    status = drupelet_result_write(result, path, false);
    if (status.code != DRUPELET_OK)
        bad = fault(status.message);
    drupelet_result_free(result);
    return bad;
}

int main(int argc, char **argv)
{
    if (argc != 4 || strcmp(argv[1], drupelet_version()) != 0)
        return fault("wrong arguments or version");
    if (strlen(drupelet_caution()) == 0)
        return fault("no caution");
    const char *const unknown = "run.dropletts=10";
    drupelet_scenario *scenario = NULL;
    drupelet_status status = drupelet_scenario_read(argv[2], &unknown, 1, &scenario);
    if (status.code != DRUPELET_SCENARIO || scenario || strlen(status.message) == 0)
        return fault("an unknown key was taken");
    status = drupelet_scenario_read(argv[2], NULL, 0, &scenario);
    if (status.code != DRUPELET_OK)
        return fault(status.message);
    const int bad = use(scenario, argv[3]);
    drupelet_scenario_free(scenario);
    return bad;
}
