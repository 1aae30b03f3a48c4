/* sim/report/vtk.c - air of a result as a rectilinear grid in VTK's XML (.vtr), which ParaView and other programs open
 * (The VTK User's Guide, 11th edition, Kitware 2010, chapter 19: XML file formats; memory). Numbers stand as decimals:
 * the file is larger than a binary one, but anybody can read it. The three speeds are one vector; names and units are
 * those of the result file. */
#include "report/vtk.h"

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
static void put_velocity(FILE *to, const vtk_grid *g, size_t n)
{
    begin_array(to, "Float32", "velocity", 3);
    for (size_t i = 0; i < n; i++)
        fprintf(to, "%s%.9g %.9g %.9g",
                i % (A_LINE / 3) > 0 ? " "
                : i > 0              ? "\n"
                                     : "",
                (double)g->velocity[0][i], (double)g->velocity[1][i], (double)g->velocity[2][i]);
    end_array(to, "m/s");
}

static void put_value(FILE *to, const result_quantity *q, const float *value, size_t n)
{
    begin_array(to, "Float32", q->name, 1);
    for (size_t i = 0; i < n; i++)
        fprintf(to, "%s%.9g", i % A_LINE > 0 ? " " : i > 0 ? "\n" : "", (double)value[i]);
    end_array(to, q->unit);
}

void vtk_write(FILE *to, const drupelet_result *r, const vtk_grid *g)
{
    const size_t n = (size_t)g->n[0] * (size_t)g->n[1] * (size_t)g->n[2];
    fputs("<?xml version=\"1.0\"?>\n", to);
    fprintf(to, "<!-- drupelet %s: %s. %s -->\n", r->version, g->what, r->caution);
    fputs("<VTKFile type=\"RectilinearGrid\" version=\"0.1\" byte_order=\"LittleEndian\">\n", to);
    fprintf(to, "<RectilinearGrid WholeExtent=\"0 %d 0 %d 0 %d\">\n<Piece Extent=\"0 %d 0 %d 0 %d\">\n<Coordinates>\n",
            g->n[0] - 1, g->n[1] - 1, g->n[2] - 1, g->n[0] - 1, g->n[1] - 1, g->n[2] - 1);
    put_axis(to, "x", g->n[0], g->at_m[0]);
    put_axis(to, "y", g->n[1], g->at_m[1]);
    put_axis(to, "z", g->n[2], g->at_m[2]);
    fputs("</Coordinates>\n<PointData Vectors=\"velocity\">\n", to);
    put_velocity(to, g, n);
    for (int k = 0; k < g->group->n; k++) {
        const result_quantity *q = &g->group->quantity[k];
        const float *value = q->axes && q->axes[0] != '\0' ? result_value(r, g->group, q, 0) : NULL;
        if (value && value != g->velocity[0] && value != g->velocity[1] && value != g->velocity[2])
            put_value(to, q, value, n);
    }
    fputs("</PointData>\n<CellData/>\n</Piece>\n</RectilinearGrid>\n</VTKFile>\n", to);
}
