/* sim/store/seal.c - writes and checks the line at the end of HDF5 files: CRC-32 (zlib) and number of bytes. */
#define _POSIX_C_SOURCE 200809L
#include "store/seal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

enum { LINE = 66, PIECE = 1 << 16 /* bytes read at a time: a choice */ };

/* All lines have one length: a bit that flips in one makes it no line, and hurts nothing. */
static void put_line(char line[LINE + 1], int64_t n_bytes, uint32_t sum)
{
    char text[LINE + 32]; /* for the compiler, which knows no longest number */
    snprintf(text, sizeof text, "\ndrupelet: CRC-32 of the %018lld bytes above: %08lx\n", (long long)n_bytes,
             (unsigned long)sum);
    memcpy(line, text, LINE);
    line[LINE] = '\0';
}

/* @return 0 or the cause */
static int sum_up(int file, int64_t n_bytes, uint32_t *sum)
{
    unsigned char piece[PIECE];
    uLong crc = crc32(0, Z_NULL, 0);
    for (int64_t at = 0; at < n_bytes;) {
        const int64_t left = n_bytes - at;
        const ssize_t n = pread(file, piece, (size_t)(left < PIECE ? left : PIECE), (off_t)at);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return n < 0 ? errno : EIO;
        crc = crc32(crc, piece, (uInt)n);
        at += n;
    }
    *sum = (uint32_t)crc;
    return 0;
}

int store_seal_add(int file)
{
    struct stat found;
    uint32_t sum = 0;
    char line[LINE + 1];
    int cause = fstat(file, &found) == 0 ? sum_up(file, found.st_size, &sum) : errno;
    put_line(line, found.st_size, sum);
    for (int done = 0; done < LINE && cause == 0;) {
        const ssize_t n = pwrite(file, line + done, (size_t)(LINE - done), found.st_size + done);
        if (n > 0)
            done += (int)n;
        else if (n == 0 || errno != EINTR)
            cause = n == 0 ? ENOSPC : errno;
    }
    return cause;
}

static store_seal look(int file)
{
    struct stat found;
    char line[LINE + 1], wanted[LINE + 1];
    char *end;
    if (fstat(file, &found) != 0 || found.st_size < LINE
        || pread(file, line, LINE, found.st_size - LINE) != (ssize_t)LINE)
        return STORE_SEAL_NONE;
    line[LINE] = '\0';
    const int64_t n_bytes = found.st_size - LINE;
    const uint32_t told = (uint32_t)strtoul(line + LINE - 9, &end, 16); /* 8 digits and the end of the line */
    put_line(wanted, n_bytes, told);
    uint32_t sum = 0;
    if (strcmp(line, wanted) != 0 || sum_up(file, n_bytes, &sum) != 0) return STORE_SEAL_NONE;
    return sum == told ? STORE_SEAL_HOLDS : STORE_SEAL_BROKEN;
}

store_seal store_seal_of(const char *path)
{
    const int file = open(path, O_RDONLY | O_CLOEXEC);
    const store_seal seal = file >= 0 ? look(file) : STORE_SEAL_NONE;
    if (file >= 0) close(file);
    return seal;
}
