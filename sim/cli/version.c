/* sim/cli/version.c - what the program is built of, for reports of faults. */
#include <stdio.h>

#include "cli/cli.h"
#include "droplet/kernel.h"
#include "store/store.h"
#include "store/sweep_file.h"

void cli_show_build(void)
{
    unsigned hdf5[3];
    store_hdf5_version(hdf5);
#if defined __clang__
    printf("compiler: %s\n", __VERSION__); /* it has its name in it */
#elif defined __GNUC__
    printf("compiler: gcc %s\n", __VERSION__);
#endif
    printf("vectors of the droplet kernel on this processor: %s\n", droplet_flight_name());
    printf("HDF5: %u.%u.%u\n", hdf5[0], hdf5[1], hdf5[2]);
    printf("formats: results %d, sweeps %d\n", STORE_FORMAT, STORE_SWEEP_FORMAT);
}
