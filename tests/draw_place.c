/* tests/draw_place.c - see draw_place.h. */
#define _POSIX_C_SOURCE 200809L
#include "draw_place.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

int draw_place_make(draw_place *place)
{
    snprintf(place->folder, sizeof place->folder, "/tmp/drupelet-draw-XXXXXX");
    if (!mkdtemp(place->folder))
        return -1;
    snprintf(place->result, sizeof place->result, "%s/result.h5", place->folder);
    snprintf(place->other, sizeof place->other, "%s/other", place->folder);
    snprintf(place->picture, sizeof place->picture, "%s/picture.svg", place->folder);
    snprintf(place->grid, sizeof place->grid, "%s/grid.vtr", place->folder);
    return 0;
}

int draw_place_remove(const draw_place *place)
{
    remove(place->other);
    remove(place->picture);
    remove(place->grid);
    remove(place->result);
    return rmdir(place->folder);
}
