/* sim/base/spelling.c - which of some names was meant by a misspelt one: the one with the fewest edits. */
#include "base/spelling.h"

#include <stddef.h>
#include <string.h>

enum { NAME = 48 }; /* longer names are not compared */

/* Edits that turn a into b: insert, drop, change a letter, swap neighbours. */
static int distance(const char *a, int n_a, const char *b, int n_b)
{
    int edits[NAME + 1][NAME + 1];
    for (int i = 0; i <= n_a; i++)
        for (int j = 0; j <= n_b; j++) {
            if (i == 0 || j == 0) {
                edits[i][j] = i + j;
                continue;
            }
            int least = edits[i - 1][j - 1] + (a[i - 1] != b[j - 1]);
            if (edits[i - 1][j] + 1 < least)
                least = edits[i - 1][j] + 1;
            if (edits[i][j - 1] + 1 < least)
                least = edits[i][j - 1] + 1;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] && edits[i - 2][j - 2] + 1 < least)
                least = edits[i - 2][j - 2] + 1;
            edits[i][j] = least;
        }
    return edits[n_a][n_b];
}

int base_meant(const char *misspelt, const char *(*name)(const void *names, int i, int *n), const void *names)
{
    const size_t length = strlen(misspelt);
    int best = -1, n = 0,
        least = 2 + (int)(length < NAME ? length : NAME) / 4; /* at this distance it is another word */
    if (length > NAME)
        return -1;
    const char *candidate;
    for (int i = 0; (candidate = name(names, i, &n)) != NULL; i++) {
        const int edits = n <= NAME ? distance(misspelt, (int)length, candidate, n) : NAME;
        if (edits < least) {
            least = edits;
            best = i;
        }
    }
    return best;
}
