/* tests/fuzz/search/words.h - what files may say, so that a search does not have to find the words letter by letter. */
#ifndef FUZZ_WORDS_H
#define FUZZ_WORDS_H

/** Writes keys of scenarios and plans, their words and the spellings of units in the form of libFuzzer's dictionaries.
 *  Ends the program where the file cannot be written. */
void fuzz_write_words(const char *path);

#endif
