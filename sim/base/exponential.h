/* sim/base/exponential.h - exp() and log() with more than 53 digits, for what is made of them in base. */
#ifndef BASE_EXPONENTIAL_H
#define BASE_EXPONENTIAL_H

/** exp(x + rest) for a rest below 1e-4. */
double base_exp_of_sum(double x, double rest);

#endif
