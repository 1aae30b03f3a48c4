/* sim/store/stored.h - how values of a result are stored. */
#ifndef STORE_STORED_H
#define STORE_STORED_H

#include "result/quantity.h"
#include "store/out.h"

/** A share is stored as two datasets of real numbers. */
static inline store_type store_type_of(result_type type)
{
    static const store_type TYPE[] = {
        [RESULT_SHARE] = STORE_DOUBLE, [RESULT_DOUBLE] = STORE_DOUBLE, [RESULT_FLOAT] = STORE_FLOAT,
        [RESULT_INT8] = STORE_INT8,    [RESULT_INT32] = STORE_INT32,   [RESULT_INT64] = STORE_INT64,
        [RESULT_TEXT] = STORE_TEXT};
    return TYPE[type];
}

#endif
