/* tests/fuzz/search/search.c - hands the bytes of clang's libFuzzer to the target that DRUPELET_FUZZ names. */
#define _DEFAULT_SOURCE
#include <sanitizer/common_interface_defs.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../targets.h"
#include "change_apart.h"
#include "limit_time.h"
#include "words.h"

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n);
size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t n, size_t most, unsigned seed);
size_t LLVMFuzzerMutate(uint8_t *bytes, size_t n, size_t most);

static const fuzz_target *target;

/* The frame in which it was is what scripts/fuzz tells HDF5's own doing by. */
static void took_too_long(int signal)
{
    (void)signal;
    fprintf(stderr, "==0==ERROR: more than %d s of processor time\n", FUZZ_MOST_SECONDS);
    __sanitizer_print_stack_trace();
    abort(); /* libFuzzer keeps the input */
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    const char *name = getenv("DRUPELET_FUZZ");
    if (!name) { /* names the targets; makes seeds and a dictionary where a folder and a file are given */
        for (int i = 0; i < fuzz_n_targets; i++)
            printf("%s %s\n", fuzz_targets[i].name, fuzz_targets[i].seeds);
        if (*argc > 1) fuzz_make_seeds((*argv)[1]);
        if (*argc > 2) fuzz_write_words((*argv)[2]);
        exit(0);
    }
    for (int i = 0; i < fuzz_n_targets; i++)
        if (strcmp(fuzz_targets[i].name, name) == 0) target = &fuzz_targets[i];
    if (!target) {
        fprintf(stderr, "search: no target '%s'\n", name);
        exit(2);
    }
    if (target->is_hdf5) fuzz_begin_changes();
    target->try_bytes((const uint8_t *)"", 0); /* what a target makes once is made outside the limit of time */
    signal(SIGPROF, took_too_long);
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n)
{
    fuzz_limit_time(FUZZ_MOST_SECONDS);
    target->try_bytes(bytes, n);
    fuzz_limit_time(0);
    return 0;
}

size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t n, size_t most, unsigned seed)
{
    const size_t changed = target->is_hdf5 ? fuzz_change_apart(bytes, n, most, seed) : 0;
    return changed > 0 ? changed : LLVMFuzzerMutate(bytes, n, most);
}
