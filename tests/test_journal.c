/* tests/test_journal.c - a journal torn at every byte, damaged in the middle, in use, and on a full disk. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "store/journal.h"

enum { RECORDS = 5, MOST = 4096 };
static const char HEAD[] = "what the records belong to";
static const char *const RECORD[RECORDS] = {"first", "", "the third is longer than the others", "x", "last"};

static void name_of(char path[64], const char *what)
{
    snprintf(path, 64, "test_journal.%ld.%s", (long)getpid(), what);
}

static void assert_good(drupelet_status status)
{
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
}

static size_t make(const char *path, unsigned char bytes[MOST])
{
    store_journal *j;
    assert_good(store_journal_create(path, HEAD, sizeof HEAD, true, &j));
    for (int i = 0; i < RECORDS; i++)
        assert_good(store_journal_append(j, RECORD[i], strlen(RECORD[i]), i % 2 == 0));
    store_journal_close(j);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    const size_t n = fread(bytes, 1, MOST, file);
    fclose(file);
    return n;
}

static void put(const char *path, const unsigned char *bytes, size_t n)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    fclose(file);
}

static void assert_records(store_journal *j, const int *which, int n)
{
    assert_int_equal(store_journal_records(j), n);
    for (int i = 0; i < n; i++) {
        const void *bytes;
        size_t length;
        assert_good(store_journal_read(j, i, &bytes, &length));
        assert_int_equal(length, strlen(RECORD[which[i]]));
        assert_memory_equal(bytes, RECORD[which[i]], length);
    }
}

static void what_was_appended_is_there(void **state)
{
    (void)state;
    char path[64];
    unsigned char bytes[MOST];
    store_journal *j;
    size_t n;
    name_of(path, "whole");
    make(path, bytes);
    assert_good(store_journal_open(path, true, &j));
    assert_memory_equal(store_journal_head(j, &n), HEAD, sizeof HEAD);
    assert_int_equal(n, sizeof HEAD);
    assert_records(j, (const int[]){0, 1, 2, 3, 4}, RECORDS);
    assert_int_equal(store_journal_lost(j), 0);
    store_journal_close(j);
    assert_int_equal(store_journal_create(path, HEAD, sizeof HEAD, false, &j).code, DRUPELET_FILE);
    remove(path);
}

/* A program may be killed, or the power cut, anywhere within a write. */
static void torn_at_every_byte_it_keeps_the_whole_records(void **state)
{
    (void)state;
    char path[64];
    unsigned char bytes[MOST];
    name_of(path, "torn");
    const size_t n = make(path, bytes), frame = 12, before = 8 + frame + sizeof HEAD;
    size_t end[RECORDS + 1] = {before};
    for (int i = 0; i < RECORDS; i++)
        end[i + 1] = end[i] + frame + strlen(RECORD[i]);
    assert_int_equal(end[RECORDS], n);
    for (size_t cut = 0; cut < n; cut++) {
        store_journal *j;
        put(path, bytes, cut);
        const drupelet_status status = store_journal_open(path, true, &j);
        if (cut < before) { /* the head is written under another name: this is no crash but damage */
            assert_int_equal(status.code, DRUPELET_FILE);
            assert_null(j);
            continue;
        }
        assert_good(status);
        int whole = 0;
        while (whole < RECORDS && end[whole + 1] <= cut)
            whole++;
        assert_records(j, (const int[]){0, 1, 2, 3, 4}, whole);
        assert_int_equal(store_journal_lost(j), cut - end[whole]);
        assert_good(store_journal_append(j, RECORD[4], strlen(RECORD[4]), false)); /* behind the last whole one */
        store_journal_close(j);
        assert_good(store_journal_open(path, true, &j));
        assert_int_equal(store_journal_records(j), whole + 1);
        assert_int_equal(store_journal_lost(j), 0);
        store_journal_close(j);
    }
    remove(path);
}

/* A bad block of the disk costs the records in it, not those behind. */
static void every_changed_byte_is_noticed(void **state)
{
    (void)state;
    char path[64];
    unsigned char bytes[MOST];
    name_of(path, "changed");
    const size_t n = make(path, bytes), frame = 12, before = 8 + frame + sizeof HEAD;
    for (size_t at = 0; at < n; at++) {
        store_journal *j;
        bytes[at] ^= 0x40;
        put(path, bytes, n);
        bytes[at] ^= 0x40;
        const drupelet_status status = store_journal_open(path, false, &j);
        if (at < before) {
            assert_int_equal(status.code, DRUPELET_FILE);
            continue;
        }
        assert_good(status);
        size_t end = before;
        int which[RECORDS], kept = 0;
        for (int i = 0; i < RECORDS; i++) {
            const size_t next = end + frame + strlen(RECORD[i]);
            if (at < end || at >= next)
                which[kept++] = i;
            end = next;
        }
        assert_int_equal(kept, RECORDS - 1);
        assert_records(j, which, kept);
        assert_true(store_journal_lost(j) > 0);
        store_journal_close(j);
    }
    remove(path);
}

/* Each mark claims all that follows for its record: to sum up every one of them would take some 100 billion bytes. */
static void nothing_but_marks_ends_soon(void **state)
{
    (void)state;
    enum { FRAMES = 1 << 17 };
    static unsigned char bytes[MOST + 12 * FRAMES];
    char path[64];
    store_journal *j;
    name_of(path, "marks");
    size_t n = make(path, bytes);
    const size_t n_good = n;
    for (uint32_t i = 0; i < FRAMES; i++, n += 12) {
        const uint32_t frame[3] = {0x6472701e, 12 * (FRAMES - 1 - i), 0};
        memcpy(bytes + n, frame, sizeof frame);
    }
    put(path, bytes, n);
    const clock_t begin = clock();
    assert_good(store_journal_open(path, false, &j));
    assert_true(clock() - begin < 5 * CLOCKS_PER_SEC); /* some 0.02 s; 30 s with all of them */
    assert_records(j, (const int[]){0, 1, 2, 3, 4}, RECORDS);
    assert_int_equal(store_journal_lost(j), n - n_good);
    store_journal_close(j);
    remove(path);
}

static void two_cannot_write_at_once(void **state)
{
    (void)state;
    char path[64];
    unsigned char bytes[MOST];
    store_journal *j;
    name_of(path, "locked");
    make(path, bytes);
    assert_good(store_journal_open(path, true, &j));
    const pid_t child = fork(); /* a lock is a process's own */
    assert_true(child >= 0);
    if (child == 0) {
        store_journal *other;
        const drupelet_status status = store_journal_open(path, true, &other);
        _exit(status.code == DRUPELET_FILE && strstr(status.message, "in use") ? 0 : 1);
    }
    int answer;
    assert_int_equal(waitpid(child, &answer, 0), child);
    assert_true(WIFEXITED(answer) && WEXITSTATUS(answer) == 0);
    store_journal_close(j);
    remove(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_appended_is_there),
        cmocka_unit_test(torn_at_every_byte_it_keeps_the_whole_records),
        cmocka_unit_test(every_changed_byte_is_noticed),
        cmocka_unit_test(nothing_but_marks_ends_soon),
        cmocka_unit_test(two_cannot_write_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
