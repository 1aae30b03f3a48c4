/* sim/report/fan_note.h - what a reader of a sweep must know where its points differ in the fan's air. */
#ifndef REPORT_FAN_NOTE_H
#define REPORT_FAN_NOTE_H

#include <stdbool.h>

#include "store/sweep_file.h"

enum { REPORT_FAN_NOTE = 720 };

/** text is what text, JSON and page say. The rest is there for who says it in another language. */
typedef struct {
    int i_factor;             /* the factor that sets the fan; -1: none does, and text is "" */
    int i_ground, i_airborne; /* the outputs that are compared */
    bool compared;            /* both are known; else the next three say nothing */
    bool opposite;            /* beyond two standard errors of the differences the two rank two levels oppositely */
    char least_ground[96], least_airborne[96]; /* the levels of the factor with the least of each, as read */
    char text[REPORT_FAN_NOTE];
} report_fan_note;

/** What is said where results that differ in the fan stand side by side, of which there are too few to rank. */
const char *report_fan_note_of_results(void);

/** @return DRUPELET_OK or DRUPELET_MEMORY; the note is empty then */
drupelet_status report_fan_note_of(const store_sweep *sweep, report_fan_note *note);

#endif
