/* test_harmonic.c: the harmonic fit against PARI. */
#include "support.h"

#include <math.h>
#include <pari/pari.h>
#include <stdio.h>

#include "crankcard/harmonic.h"

static const double two_pi = 6.283185307179586476925;

static void near(const char *what, double got, double want, double within)
{
    if (!(fabs(got - want) <= within))
        fail_msg("%s: %.12g, not %.12g", what, got, want);
}

/* The normal equations, solved by PARI to 38 digits. */
static GEN fit_by_pari(const double *turn, const double *value, size_t n, unsigned order)
{
    char text[8000];
    size_t used = 0;

    used += (size_t)snprintf(text, sizeof text, "T=[");
    for (size_t i = 0; i < n; i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%.17g", i ? "," : "", turn[i]);
    used += (size_t)snprintf(text + used, sizeof text - used, "];V=[");
    for (size_t i = 0; i < n; i++)
        used +=
            (size_t)snprintf(text + used, sizeof text - used, "%s%.17g", i ? "," : "", value[i]);
    used += (size_t)snprintf(text + used, sizeof text - used,
                             "]~;A=matrix(#T,%u,i,j,if(j==1,1,if(j%%2==0,cos(2*Pi*(j\\2)*T[i]),"
                             "sin(2*Pi*(j\\2)*T[i]))));matsolve(A~*A,A~*V)",
                             2 * order + 1);
    assert_true(used < sizeof text);
    return gp_read_str(text);
}

static double uniform(gmp_randstate_t rs)
{
    return (double)gmp_urandomm_ui(rs, 1000000) / 1000000;
}

static void harmonics_against_pari(void **state)
{
    (void)state;
    gmp_randstate_t rs;
    unsigned long rounds = test_rounds(60);

    test_random_init(rs);
    for (unsigned long r = 0; r < rounds; r++) {
        pari_sp mark = avma;
        double turn[40], value[40];
        unsigned order = 1 + (unsigned)gmp_urandomm_ui(rs, 5);
        size_t n = 2 * order + 1 + gmp_urandomm_ui(rs, 20);
        for (size_t i = 0; i < n; i++) {
            turn[i] = ((double)i + 0.4 * uniform(rs)) / (double)n + (double)gmp_urandomm_ui(rs, 3);
            value[i] = 0.03 * cos(two_pi * (turn[i] - 0.3)) + 0.01 * uniform(rs) + 5;
        }
        struct cc_harmonics h;
        struct cc_error err;
        if (cc_harmonic_fit(&h, turn, value, n, order, &err) != CC_OK)
            fail_msg("seed %lu, round %lu: %s", test_seed(), r, err.text);
        GEN x = fit_by_pari(turn, value, n, order);
        near("mean", h.mean, gtodouble(gel(x, 1)), 1e-12);
        for (unsigned k = 1; k <= order; k++) {
            near("cosine", h.cosine[k], gtodouble(gel(x, 2 * k)), 1e-12);
            near("sine", h.sine[k], gtodouble(gel(x, 2 * k + 1)), 1e-12);
        }
        double squares = 0, worst = 0;
        for (size_t i = 0; i < n; i++) {
            double rest = value[i] - gtodouble(gel(x, 1));
            for (unsigned k = 1; k <= order; k++)
                rest -= gtodouble(gel(x, 2 * k)) * cos(two_pi * k * turn[i]) +
                        gtodouble(gel(x, 2 * k + 1)) * sin(two_pi * k * turn[i]);
            squares += rest * rest;
            worst = fmax(worst, fabs(rest));
        }
        assert_int_equal(h.freedom, n - 2 * order - 1);
        near("rms", h.residual_rms, h.freedom ? sqrt(squares / (double)h.freedom) : 0, 1e-11);
        near("worst", h.residual_worst, worst, 1e-11);
        set_avma(mark);
    }
    gmp_randclear(rs);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(harmonics_against_pari),
    };

    pari_init(8000000, 2);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    pari_close();
    return failed;
}
