/* tests/faults/copy.h - copies of the process, in which a call fails; the process itself goes on without a failure. */
#ifndef TESTS_FAULTS_COPY_H
#define TESTS_FAULTS_COPY_H

/** Makes a copy of the process, with a copy of the folder that it works in, and waits for its end.
 *  @param what  what is tried in it, a word or two for who asked for copies
 *  @return 1 in the copy, 0 in the process once the copy has ended and its folder has been judged */
int copy_is_this(const char *what);

/** The number of the process that this one is a copy of, its own where it is none. */
int copy_apparent_number(void);

/** For a child of a copy that the program itself has made: it is somebody else than its parent. */
void copy_is_a_child(void);

#endif
