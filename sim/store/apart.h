/* sim/store/apart.h - reads a file for a try in a process of its own, so that a crash there is one sentence here.
 *
 * The door (store/in.h) refuses what is wrong as far as HDF5 shows it. What HDF5 itself does wrong with a file that
 * breaks HDF5's own format can end the process, and then another one than the user's ends. */
#ifndef STORE_APART_H
#define STORE_APART_H

#include "drupelet/status.h"

/** Reads a file in a process of its own, where the program has asked for it by store_read_apart(); else does nothing.
 *  @param reading reads path; what it makes goes with its process
 *  @return its status; DRUPELET_SCENARIO where the process crashed; DRUPELET_STOPPED where a signal from outside ended
 *          it; DRUPELET_OK where no process can be had: then the file is read without a try */
drupelet_status store_try(const char *path, drupelet_status (*reading)(const char *path));

#endif
