/* tests/fuzz/search/search.c - hands the bytes of clang's libFuzzer to the target that DRUPELET_FUZZ names. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../targets.h"

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n);
size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t n, size_t most, unsigned seed);
size_t LLVMFuzzerMutate(uint8_t *bytes, size_t n, size_t most);

static const fuzz_target *target;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    const char *name = getenv("DRUPELET_FUZZ");
    if (!name) { /* names the targets, and makes seeds where a folder is given */
        for (int i = 0; i < fuzz_n_targets; i++)
            printf("%s %s\n", fuzz_targets[i].name, fuzz_targets[i].seeds);
        if (*argc > 1) fuzz_make_seeds((*argv)[1]);
        exit(0);
    }
    for (int i = 0; i < fuzz_n_targets; i++)
        if (strcmp(fuzz_targets[i].name, name) == 0) target = &fuzz_targets[i];
    if (!target) {
        fprintf(stderr, "search: no target '%s'\n", name);
        exit(2);
    }
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t n)
{
    target->try_bytes(bytes, n);
    return 0;
}

size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t n, size_t most, unsigned seed)
{
    const size_t changed = target->is_hdf5 ? fuzz_change_hdf5(bytes, n, most, seed) : 0;
    return changed > 0 ? changed : LLVMFuzzerMutate(bytes, n, most);
}
