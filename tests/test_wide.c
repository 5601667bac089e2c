/*
 * test_wide.c: whole numbers of 128 bits against GMP, on random and on extreme words: the compiler's own type here,
 * two words in test_wide_words.c.
 */
#include "core/wide.h"
#include "crankcard/number.h"
#include "support.h"

/* Words at whose edges carries and estimates go wrong. */
static const uint64_t edges[] = {
    0, 1, 2, 3, 10, 0x7fffffff, 0x80000000, 0xffffffff, 0x100000000, 0x100000001, 0x1ffffffff,
    0x7fffffff00000000, 0x7fffffffffffffff, 0x8000000000000000, 0x8000000000000001, 0x80000000ffffffff,
    0xffffffff00000000, 0xfffffffeffffffff, 0xfffffffffffffffe, 0xffffffffffffffff,
};
enum { EDGES = sizeof edges / sizeof edges[0] };

struct bench {
    mpz_t a, b, got, want, word;
};

static void bench_init(struct bench *t)
{
    mpz_inits(t->a, t->b, t->got, t->want, t->word, NULL);
}

static void bench_clear(struct bench *t)
{
    mpz_clears(t->a, t->b, t->got, t->want, t->word, NULL);
}

static void set_wide(mpz_t out, cci_u128 n)
{
    mpz_t low;

    mpz_init(low);
    cc_set_u64(out, cci_wide_high(n));
    mpz_mul_2exp(out, out, 64);
    cc_set_u64(low, cci_wide_low(n));
    mpz_add(out, out, low);
    mpz_clear(low);
}

/* want modulo 2^128 against what was got. */
static void check(struct bench *t, const char *what, cci_u128 got)
{
    mpz_fdiv_r_2exp(t->want, t->want, 128);
    set_wide(t->got, got);
    if (mpz_cmp(t->got, t->want) != 0) {
        char text[200];
        gmp_snprintf(text, sizeof text, "%s of %Zd, %Zd, word %Zd: %Zd, not %Zd", what, t->a, t->b, t->word, t->got,
                     t->want);
        fail_msg("seed %lu: %s", test_seed(), text);
    }
}

static void check_pair(struct bench *t, cci_u128 a, cci_u128 b)
{
    set_wide(t->a, a);
    set_wide(t->b, b);
    mpz_set_ui(t->word, 0);
    mpz_add(t->want, t->a, t->b);
    check(t, "sum", cci_wide_add(a, b));
    mpz_sub(t->want, t->a, t->b);
    check(t, "difference", cci_wide_sub(a, b));
    mpz_sub(t->want, t->a, t->b);
    mpz_abs(t->want, t->want);
    check(t, "distance", cci_wide_distance(a, b));
    int order = mpz_cmp(t->a, t->b);
    assert_int_equal(cci_wide_compare(a, b), (order > 0) - (order < 0));
    assert_int_equal(cci_wide_less(a, b), order < 0);
    if (mpz_sgn(t->b) != 0) {
        mpz_fdiv_q(t->want, t->a, t->b);
        check(t, "quotient", cci_wide_quotient(a, b));
    }
}

static void check_word(struct bench *t, cci_u128 a, uint64_t word)
{
    set_wide(t->a, a);
    cc_set_u64(t->word, word);
    mpz_set_ui(t->b, 0);
    mpz_mul(t->want, t->a, t->word);
    check(t, "multiple", cci_wide_times(a, word));
    if (word == 0)
        return;
    uint64_t rest, quotient = cci_wide_divide(&rest, a, word);
    mpz_fdiv_r(t->want, t->a, t->word);
    check(t, "rest", cci_wide(cci_wide_rest(a, word)));
    check(t, "rest of divide", cci_wide(rest));
    mpz_fdiv_q(t->want, t->a, t->word);
    if (mpz_sizeinbase(t->want, 2) <= 64)
        check(t, "divide", cci_wide(quotient));
}

static void check_words(struct bench *t, uint64_t a, uint64_t b, uint64_t m)
{
    cc_set_u64(t->a, a);
    cc_set_u64(t->b, b);
    cc_set_u64(t->word, m);
    mpz_mul(t->want, t->a, t->b);
    check(t, "product", cci_wide_product(a, b));
    if (m == 0)
        return;
    mpz_mul(t->want, t->a, t->b);
    mpz_fdiv_r(t->want, t->want, t->word);
    check(t, "product modulo", cci_wide(cci_wide_mul_mod(a, b, m)));
}

static void extreme_words(void **state)
{
    struct bench t;
    (void)state;

    bench_init(&t);
    for (size_t i = 0; i < EDGES; i++) {
        for (size_t j = 0; j < EDGES; j++) {
            cci_u128 a = cci_wide_of(edges[i], edges[j]);
            assert_true(cci_wide_high(a) == edges[i] && cci_wide_low(a) == edges[j]);
            for (size_t k = 0; k < EDGES; k++) {
                check_word(&t, a, edges[k]);
                check_words(&t, edges[i], edges[j], edges[k]);
                for (size_t l = 0; l < EDGES; l++)
                    check_pair(&t, a, cci_wide_of(edges[k], edges[l]));
            }
        }
    }
    bench_clear(&t);
}

/* A word of any length, often near an edge. */
static uint64_t random_word(gmp_randstate_t random)
{
    uint64_t word = (uint64_t)gmp_urandomb_ui(random, 32) << 32 | gmp_urandomb_ui(random, 32);

    if (gmp_urandomm_ui(random, 4) == 0)
        return edges[gmp_urandomm_ui(random, EDGES)] + gmp_urandomm_ui(random, 5) - 2;
    return word >> gmp_urandomm_ui(random, 64);
}

static void random_words(void **state)
{
    unsigned long rounds = test_rounds(20000);
    gmp_randstate_t random;
    struct bench t;
    (void)state;

    test_random_init(random);
    bench_init(&t);
    for (unsigned long i = 0; i < rounds; i++) {
        uint64_t word[4];
        for (size_t k = 0; k < 4; k++)
            word[k] = random_word(random);
        check_pair(&t, cci_wide_of(word[0], word[1]), cci_wide_of(word[2], word[3]));
        check_pair(&t, cci_wide_of(word[0], word[1]), cci_wide(word[2]));
        check_word(&t, cci_wide_of(word[0], word[1]), word[2]);
        check_words(&t, word[0], word[1], word[2]);
    }
    bench_clear(&t);
    gmp_randclear(random);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(extreme_words),
        cmocka_unit_test(random_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
