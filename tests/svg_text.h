/* tests/svg_text.h - what tests ask of a picture. */
#ifndef TESTS_SVG_TEXT_H
#define TESTS_SVG_TEXT_H

/** A file as a text, to be freed. */
char *svg_text_of(const char *path);
/** How many times a text holds another. */
int svg_count(const char *text, const char *what);
/** Ends the test unless every tag that opens closes in its turn, every & begins a name, and no number is none. */
void svg_assert_well_formed(const char *svg);
/** x (which 0) or y (which 1) of the words; ends the test where they are missing. */
double svg_at_words(const char *svg, const char *words, int which);

#endif
