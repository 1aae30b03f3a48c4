/* tests/text_file.h - writes a file that a test reads back through the program. Include it after cmocka.h. */
#ifndef TEXT_FILE_H
#define TEXT_FILE_H

#include <stdio.h>

static inline void text_file_put(const char *path, const char *text)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_true(fputs(text, f) >= 0);
    assert_int_equal(fclose(f), 0);
}

#endif
