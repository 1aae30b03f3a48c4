/* sim/report/wind_vtk.c - the wind of a result as a rectilinear grid in VTK's XML (.vtr), which ParaView and other
 * programs open (The VTK User's Guide, 11th edition, Kitware 2010, chapter 19: XML file formats; memory). Numbers stand
 * as decimals: the file is larger than a binary one, but anybody can read it. One layer along the rows, since nothing
 * changes there. The three speeds are one vector; names and units are those of the result file. */
#include "report/wind_parts.h"
#include "result/quantity.h"

enum { A_LINE = 6 }; /* numbers on a line */

static void begin_array(FILE *to, const char *type, const char *name, int n_components)
{
    fprintf(to, "<DataArray type=\"%s\" Name=\"%s\" NumberOfComponents=\"%d\" format=\"ascii\">\n", type, name,
            n_components);
}

/* The unit stands behind the numbers, since readers look for these right behind the tag. */
static void end_array(FILE *to, const char *unit)
{
    fprintf(to, "\n<InformationKey name=\"UNITS_LABEL\" location=\"vtkDataArray\">%s</InformationKey>\n</DataArray>\n",
            unit);
}

static void put_axis(FILE *to, const char *name, int n, const double *at_m)
{
    begin_array(to, "Float64", name, 1);
    for (int i = 0; i < n; i++)
        fprintf(to, "%s%.17g", i % A_LINE > 0 ? " " : i > 0 ? "\n" : "", at_m[i]);
    end_array(to, "m");
}

/* The three speeds, in the frame of the file. */
static void put_velocity(FILE *to, const drupelet_result *r, size_t n)
{
    begin_array(to, "Float32", "velocity", 3);
    for (size_t i = 0; i < n; i++)
        fprintf(to, "%s%.9g %.9g %.9g",
                i % (A_LINE / 3) > 0 ? " "
                : i > 0              ? "\n"
                                     : "",
                (double)r->wind_value[RUN_WIND_ACROSS][i], (double)r->wind_value[RUN_WIND_ALONG][i],
                (double)r->wind_value[RUN_WIND_UP][i]);
    end_array(to, "m/s");
}

static void put_value(FILE *to, const drupelet_result *r, const result_quantity *q, size_t n)
{
    const float *value = result_value(r, &result_wind, q, 0);
    begin_array(to, "Float32", q->name, 1);
    for (size_t i = 0; i < n; i++)
        fprintf(to, "%s%.9g", i % A_LINE > 0 ? " " : i > 0 ? "\n" : "", (double)value[i]);
    end_array(to, q->unit);
}

static bool is_speed(const drupelet_result *r, const result_quantity *q)
{
    const void *value = result_value(r, &result_wind, q, 0);
    return value == r->wind_value[RUN_WIND_ACROSS] || value == r->wind_value[RUN_WIND_ALONG]
           || value == r->wind_value[RUN_WIND_UP];
}

void wind_grid(FILE *to, const drupelet_result *r)
{
    const size_t n = (size_t)r->wind_nx * (size_t)r->wind_nz;
    fputs("<?xml version=\"1.0\"?>\n", to);
    fprintf(to, "<!-- drupelet %s: wind across the rows; x across (row 1 at 0), y along, z up. %s -->\n", r->version,
            r->caution);
    fputs("<VTKFile type=\"RectilinearGrid\" version=\"0.1\" byte_order=\"LittleEndian\">\n", to);
    fprintf(to, "<RectilinearGrid WholeExtent=\"0 %d 0 0 0 %d\">\n<Piece Extent=\"0 %d 0 0 0 %d\">\n<Coordinates>\n",
            r->wind_nx - 1, r->wind_nz - 1, r->wind_nx - 1, r->wind_nz - 1);
    put_axis(to, "x", r->wind_nx, r->wind_x_m);
    put_axis(to, "y", 1, &(double){0.0});
    put_axis(to, "z", r->wind_nz, r->wind_z_m);
    fputs("</Coordinates>\n<PointData Vectors=\"velocity\">\n", to);
    put_velocity(to, r, n);
    for (int k = 0; k < result_wind.n; k++) {
        const result_quantity *q = &result_wind.quantity[k];
        if (q->axes && !is_speed(r, q)) put_value(to, r, q, n);
    }
    fputs("</PointData>\n<CellData/>\n</Piece>\n</RectilinearGrid>\n</VTKFile>\n", to);
}
