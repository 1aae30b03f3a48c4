/* include/drupelet/status.h - how every function of the library reports what went wrong. */
#ifndef DRUPELET_STATUS_H
#define DRUPELET_STATUS_H

#if defined(__GNUC__)
#define DRUPELET_API __attribute__((visibility("default")))
#else
#define DRUPELET_API
#endif

typedef enum {
    DRUPELET_OK,       /**< all went well */
    DRUPELET_SCENARIO, /**< the scenario, or another input of the user, cannot be used as it stands */
    DRUPELET_MEMORY,   /**< no memory left */
    DRUPELET_FILE,     /**< a file cannot be read or written */
    DRUPELET_BALANCE,  /**< the fates do not add up to what was emitted: a fault of the program */
    DRUPELET_STOPPED   /**< the caller asked for a stop; nothing was written */
} drupelet_code;

/** Returned by value; message is one whole sentence for the user, "" when all went well. */
typedef struct {
    drupelet_code code;
    char message[640];
} drupelet_status;

#endif
