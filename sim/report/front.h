/* sim/report/front.h - which points of a sweep are best: steps of report_tradeoff_create(). */
#ifndef REPORT_FRONT_H
#define REPORT_FRONT_H

#include "report/tradeoff.h"

/* In this order, each @return DRUPELET_OK or DRUPELET_MEMORY. */
drupelet_status report_find_aloft(report_tradeoff *t);
drupelet_status report_find_front(report_tradeoff *t);
drupelet_status report_find_best(report_tradeoff *t);

#endif
