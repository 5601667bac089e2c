/* test_wide_words.c: the tests of test_wide.c for two words of 64 bits, which 32-bit machines use. */
#define CCI_TWO_WORDS
#include "test_wide.c"
