/* tests/draw_place.h - a folder of its own for tests of pictures, with the names of the files in it. */
#ifndef TESTS_DRAW_PLACE_H
#define TESTS_DRAW_PLACE_H

typedef struct {
    char folder[64], result[96], other[96], picture[96], grid[96]; /* other: for a result that a test changes */
} draw_place;

/** Makes the folder. @return 0, or -1 where it cannot be made */
int draw_place_make(draw_place *place);
/** Removes the folder and those of its files that are there. @return 0, or -1 where other files are in it */
int draw_place_remove(const draw_place *place);

#endif
