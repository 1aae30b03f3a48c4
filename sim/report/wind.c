/* sim/report/wind.c - reads a result that keeps its wind, and writes what is asked for. */
#include "report/wind.h"

#include "base/status.h"
#include "report/wind_parts.h"
#include "store/store.h"

static drupelet_status read_wind(const char *path, drupelet_result **result)
{
    drupelet_status status = store_read(path, result);
    if (status.code == DRUPELET_OK && (*result)->wind_nx == 0) {
        status = base_error(DRUPELET_SCENARIO, "%s: does not hold the wind: run it again with --set run.keep_wind=yes",
                            path);
        drupelet_result_free(*result);
        *result = NULL;
    }
    return status;
}

drupelet_status report_wind(const char *result_path, const char *svg_path, const char *vtk_path, bool overwrite)
{
    drupelet_result *result;
    store_draft draft;
    FILE *to;
    drupelet_status status = read_wind(result_path, &result);
    if (status.code == DRUPELET_OK && svg_path) {
        status = store_text_begin(svg_path, overwrite, &draft, &to);
        if (to) status = store_text_end(&draft, to, wind_picture(to, result));
    }
    if (status.code == DRUPELET_OK && vtk_path) {
        status = store_text_begin(vtk_path, overwrite, &draft, &to);
        if (to) {
            wind_grid(to, result);
            status = store_text_end(&draft, to, base_ok());
        }
    }
    drupelet_result_free(result);
    return status;
}
