/* sim/report/json.h - writes JSON that may stand inside a script element of a page: no text in it can end the element.
 * Numbers are rounded to so many significant digits; what is no number becomes null. */
#ifndef REPORT_JSON_H
#define REPORT_JSON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

typedef struct {
    FILE *to;
    bool more; /* something stands before in the array or object in hand: a comma is due */
} report_json;

/** Opens an object ('{') or an array ('['). @param key NULL inside an array and for the outermost; so everywhere */
void report_json_open(report_json *j, const char *key, char bracket);
void report_json_close(report_json *j, char bracket); /* '}' or ']' */
void report_json_number(report_json *j, const char *key, double value, int digits);
/** @param stride from one number to the next, in numbers */
void report_json_numbers(report_json *j, const char *key, size_t n, const double *value, size_t stride, int digits);
void report_json_words(report_json *j, const char *key, const char *text);
void report_json_truth(report_json *j, const char *key, bool value);
/** Bytes in base64 (RFC 4648). */
void report_json_bytes(report_json *j, const char *key, size_t n, const uint8_t *byte);

#endif
