/* sim/base/axis.h - round numbers for axes and scales. Values, spans and counts are above 0. */
#ifndef BASE_AXIS_H
#define BASE_AXIS_H

double base_decade(double value); /**< the power of ten at or below */
/** A step of 1, 2 or 5 times a power of ten that makes about n of a span. */
double base_round_step(double span, double n);
/** The least of 1, 2, 2.5 and 5 times a power of ten that is the value, but for a thousandth, or more. */
double base_round_scale(double value);
/** The least number of one digit that is the value or more. */
double base_one_digit_up(double value);

#endif
