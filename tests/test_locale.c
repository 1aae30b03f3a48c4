/* tests/test_locale.c - a program whose locale has a decimal comma reads, runs and writes the same as any other:
 * strtod() would read 0.5 as 0, printf() write 0,5. */
#define _POSIX_C_SOURCE 200809L
#include <locale.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "drupelet/drupelet.h"

/* Makes a locale with a decimal comma in a new folder and takes it. */
static bool take_comma(const char *folder)
{
    char command[400];
    snprintf(command, sizeof command,
             "localedef -c -i de_DE -f UTF-8 %s/de_DE.UTF-8 >/dev/null 2>&1; test -d %s/de_DE.UTF-8", folder, folder);
    return system(command) == 0 && setenv("LOCPATH", folder, 1) == 0 && setlocale(LC_ALL, "de_DE.UTF-8") != NULL
           && strcmp(localeconv()->decimal_point, ",") == 0;
}

static drupelet_status whole_run(const char *path)
{
    const char *const settings[] = {"weather.wind_speed=9.5 m/s"}; /* warned of, in words with numbers */
    const drupelet_run_options options = {.n_droplets = 2000};
    drupelet_scenario *scenario = NULL;
    drupelet_result *result = NULL;
    drupelet_status status = drupelet_scenario_read(DRUPELET_SCENARIOS "/measured-canopy.yaml", settings, 1, &scenario);
    if (status.code == DRUPELET_OK) status = drupelet_run(scenario, &options, &result);
    if (status.code == DRUPELET_OK) status = drupelet_result_write(result, path, true);
    drupelet_result_free(result);
    drupelet_scenario_free(scenario);
    return status;
}

static char *bytes_of(const char *path, size_t *size)
{
    enum { MOST = 1 << 26 };
    FILE *file = fopen(path, "rb");
    char *bytes = malloc(MOST);
    assert_non_null(file);
    assert_non_null(bytes);
    *size = fread(bytes, 1, MOST, file);
    assert_true(*size > 0 && *size < MOST);
    fclose(file);
    return bytes;
}

static void a_decimal_comma_changes_nothing(void **state)
{
    (void)state;
    char folder[] = "/tmp/drupelet-locale-XXXXXX", path[2][64], command[64], printed[16];
    assert_non_null(mkdtemp(folder));
    for (int i = 0; i < 2; i++)
        snprintf(path[i], sizeof path[i], "%s/%d.h5", folder, i);
    drupelet_status status[2] = {whole_run(path[0])};
    const bool comma = take_comma(folder);
    status[1] = comma ? whole_run(path[1]) : status[0];
    snprintf(printed, sizeof printed, "%.1f", 1.5);
    setlocale(LC_ALL, "C");
    unsetenv("LOCPATH");
    for (int i = 0; i < 2; i++)
        if (status[i].code != DRUPELET_OK)
            fail_msg("%s comma: %s", i ? "with" : "without", status[i].message);
    if (comma) {
        size_t size[2];
        char *bytes[] = {bytes_of(path[0], &size[0]), bytes_of(path[1], &size[1])};
        assert_int_equal(size[0], size[1]);
        assert_memory_equal(bytes[0], bytes[1], size[0]);
        free(bytes[0]);
        free(bytes[1]);
        assert_string_equal(printed, "1,5"); /* the program has its locale back */
    }
    snprintf(command, sizeof command, "rm -rf %s", folder);
    assert_int_equal(system(command), 0);
    if (!comma)
        skip(); /* no such locale can be made here */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_decimal_comma_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
