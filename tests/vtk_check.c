/* tests/vtk_check.c - VTK, where it is installed, reads the grids that drupelet draw writes. */
#include "vtk_check.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>

#include <cmocka.h>

void vtk_check(const char *grid, const char *result, const char *group)
{
    char command[1024];
    snprintf(command, sizeof command,
             "IFS=:; for d in $PATH; do if [ -x \"$d/python3\" ] && \"$d/python3\" -c 'import vtk, h5py' 2>/dev/null; "
             "then exec \"$d/python3\" '%s/tests/check_grid.py' '%s' '%s' %s; fi; done; exit 77",
             DRUPELET_SOURCE, grid, result, group);
    const int answer = system(command), code = WIFEXITED(answer) ? WEXITSTATUS(answer) : -1;
    assert_int_equal(remove(grid), 0);
    if (code == 77) {
        print_message("SKIPPED: no python3 with vtk and h5py is installed, so VTK did not read the grid\n");
        skip();
    }
    assert_int_equal(code, 0);
}
