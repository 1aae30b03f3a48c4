/* sim/base/json.h - writes JSON (RFC 8259), the only place that does. Two layouts: for a page, one line without blanks
 * in which no text can end the script element around it; for people, lines. Numbers are rounded to so many significant
 * digits; what is no number becomes null. */
#ifndef BASE_JSON_H
#define BASE_JSON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

typedef struct {
    FILE *to;
    bool more; /* an entry stands before in the array or object in hand: a comma is due */
    int lines; /* for people: down to this depth, objects and entries with a key begin a line; 0: for a page */
    int depth; /* arrays and objects that are open */
    unsigned lined; /* bit n: an entry at depth n began a line, so that the end of the array or object does, too */
} base_json;

/** Opens an object ('{') or an array ('['). @param key NULL inside an array and for the outermost; so everywhere */
void base_json_open(base_json *j, const char *key, char bracket);
void base_json_close(base_json *j, char bracket); /* '}' or ']' */
void base_json_number(base_json *j, const char *key, double value, int digits);
/** @param stride from one number to the next, in numbers */
void base_json_numbers(base_json *j, const char *key, size_t n, const double *value, size_t stride, int digits);
/** A whole number with all its digits. */
void base_json_whole(base_json *j, const char *key, uint64_t value);
void base_json_words(base_json *j, const char *key, const char *text);
void base_json_truth(base_json *j, const char *key, bool value);
void base_json_null(base_json *j, const char *key);
/** Bytes in base64 (RFC 4648). */
void base_json_bytes(base_json *j, const char *key, size_t n, const uint8_t *byte);

#endif
