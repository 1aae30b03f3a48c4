/* tests/faults/copy.c - a copy of the process by fork(), which works in a copy of its folder.
 *
 * A try costs only what comes after the failure, not all that leads to it. FAIL_COPY names the folder of the copy. When
 * a copy has ended, a line with its exit code and with what was tried goes to the file ASK; a line from the file ANSWER
 * says that the folder has been looked at. A process of several threads cannot be copied. */
#define _GNU_SOURCE
#include "copy.h"

#include <dirent.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/prctl.h>
#include <sys/sendfile.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

enum { ASK = 8, ANSWER = 9, MOST_FILES = 256, MOST_SECONDS = 120, NO_COPY = 99 };

static int apparent; /* 0: the true number */

int copy_apparent_number(void)
{
    return apparent > 0 ? apparent : (int)syscall(SYS_getpid);
}

void copy_is_a_child(void)
{
    apparent = 0;
}

static void stop(const char *why)
{
    fprintf(stderr, "faults: %s\n", why);
    _Exit(NO_COPY);
}

/* ---- the folder ---- */

static void fill(int source, int made)
{
    struct stat there;
    if (source < 0 || made < 0 || fstat(source, &there) != 0) stop("a file cannot be copied");
    for (off_t left = there.st_size; left > 0;) {
        const ssize_t n = sendfile(made, source, NULL, (size_t)left);
        if (n <= 0) stop("a file cannot be copied");
        left -= n;
    }
}

static void copy_file(int from, const char *name, int to, mode_t mode)
{
    const int source = openat(from, name, O_RDONLY | O_CLOEXEC);
    const int made = openat(to, name, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, mode & 0777);
    fill(source, made);
    close(source);
    close(made);
}

/* Empties the folder to and fills it with what is in from, or leaves it empty where from is below 0. */
static void copy_folder(int from, int to)
{
    DIR *list = fdopendir(openat(to, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!list) stop("no folder for a copy");
    for (const struct dirent *e; (e = readdir(list));) {
        if (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0) continue;
        if (unlinkat(to, e->d_name, 0) == 0) continue;
        const int inner = openat(to, e->d_name, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        copy_folder(-1, inner);
        close(inner);
        unlinkat(to, e->d_name, AT_REMOVEDIR);
    }
    closedir(list);
    if (from < 0) return;
    list = fdopendir(openat(from, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!list) stop("no folder to copy");
    for (const struct dirent *e; (e = readdir(list));) {
        struct stat there;
        if (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0) continue;
        if (fstatat(from, e->d_name, &there, AT_SYMLINK_NOFOLLOW) != 0) continue;
        if (S_ISREG(there.st_mode)) copy_file(from, e->d_name, to, there.st_mode);
        if (!S_ISDIR(there.st_mode)) continue;
        mkdirat(to, e->d_name, there.st_mode & 0777);
        const int inner_from = openat(from, e->d_name, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        const int inner_to = openat(to, e->d_name, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        copy_folder(inner_from, inner_to);
        close(inner_from);
        close(inner_to);
    }
    closedir(list);
}

/* ---- open files ---- */

/* flock() holds for what both processes have open together, so the copy needs a lock of its own. */
static int is_locked(int file)
{
    char name[64], text[1024];
    snprintf(name, sizeof name, "/proc/self/fdinfo/%d", file);
    const int info = open(name, O_RDONLY | O_CLOEXEC);
    const ssize_t n = info >= 0 ? read(info, text, sizeof text - 1) : 0;
    close(info);
    text[n > 0 ? n : 0] = '\0';
    return strstr(text, "FLOCK") != NULL;
}

/* A file without a name any more, with the contents of the one that is open.  @return open for what flags say */
static int copy_nameless(const char *open_one, const char *to, int flags)
{
    char path[2 * PATH_MAX];
    snprintf(path, sizeof path, "%s/nameless", to);
    const int source = open(open_one, O_RDONLY | O_CLOEXEC), filled = open(path, O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
    fill(source, filled);
    close(source);
    close(filled);
    const int made = open(path, flags);
    unlink(path);
    return made;
}

/* Opens what is open, in the other folder where it lies in the first, with places to read and write of its own. */
static void reopen(int file, const char *from, const char *to)
{
    char name[64], path[PATH_MAX], other[2 * PATH_MAX];
    struct stat there;
    if (fstat(file, &there) != 0 || !S_ISREG(there.st_mode)) return;
    snprintf(name, sizeof name, "/proc/self/fd/%d", file);
    const ssize_t n = readlink(name, path, sizeof path - 1);
    path[n > 0 ? n : 0] = '\0';
    const size_t length = strlen(from);
    const int is_in = strncmp(path, from, length) == 0 && path[length] == '/';
    snprintf(other, sizeof other, "%s%s", is_in ? to : "", is_in ? path + length : path);
    const int flags = (fcntl(file, F_GETFL) & (O_ACCMODE | O_APPEND)) | O_CLOEXEC, on_exec = fcntl(file, F_GETFD);
    const off_t at = lseek(file, 0, SEEK_CUR);
    const int locked = is_locked(file), made = there.st_nlink > 0 ? open(other, flags) : copy_nameless(name, to, flags);
    if (made < 0 || lseek(made, at, SEEK_SET) != at) stop("an open file cannot be opened again");
    dup3(made, file, on_exec & FD_CLOEXEC ? O_CLOEXEC : 0);
    close(made);
    if (locked) flock(file, LOCK_EX | LOCK_NB);
}

/* Both ends of a pipe that the program has made, and of which a child of the copy will get one: with the ends that the
 * original holds, it would never be closed. */
static void make_pipe_anew(int out)
{
    struct stat there, other;
    int end[2];
    if (fstat(out, &there) != 0 || !S_ISFIFO(there.st_mode) || (fcntl(out, F_GETFL) & O_ACCMODE) != O_RDONLY) return;
    for (int in = 0; in < MOST_FILES; in++) {
        if (in == out || fstat(in, &other) != 0 || !S_ISFIFO(other.st_mode) || other.st_ino != there.st_ino) continue;
        if (pipe(end) != 0) stop("no pipe");
        dup2(end[0], out);
        dup2(end[1], in);
        close(end[0]);
        close(end[1]);
        return;
    }
}

static void be_copy(int original)
{
    const char *to = getenv("FAIL_COPY");
    char from[PATH_MAX];
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    close(ASK);
    close(ANSWER);
    apparent = original;
    const int folder = to ? open(to, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    if (folder < 0 || !getcwd(from, sizeof from)) stop("FAIL_COPY names no folder");
    const int here = open(".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    copy_folder(here, folder);
    close(here);
    for (int file = 0; file < MOST_FILES; file++) {
        reopen(file, from, to);
        make_pipe_anew(file);
    }
    if (fchdir(folder) != 0) stop("no folder for a copy");
    close(folder);
    alarm(MOST_SECONDS); /* one that hangs ends by the signal */
}

/* ---- the copy and who waits for it ---- */

int copy_is_this(const char *what)
{
    struct stat threads;
    if (stat("/proc/self/task", &threads) == 0 && threads.st_nlink > 3) stop("a process of several threads");
    const int original = copy_apparent_number();
    int (*make)(void);
    void *found = dlsym(RTLD_NEXT, "fork");
    memcpy(&make, &found, sizeof make);
    const pid_t copy = make();
    if (copy < 0) stop("no copy can be made");
    if (copy == 0) {
        be_copy(original);
        return 1;
    }
    int how = 0;
    char word;
    while (waitpid(copy, &how, 0) != copy)
        continue;
    dprintf(ASK, "%d %s\n", WIFEXITED(how) ? WEXITSTATUS(how) : 128 + WTERMSIG(how), what);
    do
        if (read(ANSWER, &word, 1) != 1) _exit(3); /* nobody wants to know */
    while (word != '\n');
    return 0;
}
