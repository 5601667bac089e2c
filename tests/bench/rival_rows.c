/*
 * rival_rows.c: what the rows of crankcard divide are measured by: the same CSV, byte for byte (bench.py compares), as someone would
 * write it who knows the subject and the language and needs nothing but this list. Every number is worked out row by
 * row in 64 bits, which is what the rows that are timed fit; each row is one fprintf.
 *
 * usage: rival_rows compute|print N CIRCLE P Q RADIUS MARKS
 *
 * N divisions of a circle, the first P/Q of a turn from the zero hole, by the nearest hole of CIRCLE, on the head of
 * long-division.ini; RADIUS in mm, 0 for none; MARKS 1 for --mark 5=mid --mark 10=long --number 10, else 0.
 * "print" is the least that any loop could do: it works out KEPT rows from the middle before it begins, and prints those
 * again and again, as many as the list has.
 */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WORM 1000
#define KEPT 4096
#define PI 3.14159265358979323846

struct fraction { int64_t num; uint64_t den; };

struct row {
    uint64_t step, division, turns, holes, hole;
    struct fraction crank, angle, nominal, error;
    char label[32], degrees[32], arcsec[32], length[32];
};

static uint64_t n, circle, unit, p, q, last;    /* unit: holes in a turn of the spindle; last: the row before, in holes */
static double radius;
static int marks;

static uint64_t gcd(uint64_t a, uint64_t b)
{
    while (b != 0) {
        uint64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

static struct fraction lowest(int64_t num, uint64_t den)
{
    uint64_t common = gcd((uint64_t)(num < 0 ? -num : num), den);
    return (struct fraction){ num / (int64_t)common, den / common };
}

static void strip(char *text)
{
    char *end = text + strlen(text);

    while (end[-1] == '0')
        *--end = '\0';
    if (end[-1] == '.')
        end[-1] = '\0';
    if (strcmp(text, "-0") == 0)
        strcpy(text, "0");
}

/* num/den scale, rounded half away from zero. */
static void decimal(char *out, size_t size, int64_t num, uint64_t den, uint64_t scale, uint64_t power, int decimals)
{
    uint64_t a = (2 * (uint64_t)(num < 0 ? -num : num) * scale * power + den) / (2 * den);

    snprintf(out, size, "%s%" PRIu64 ".%0*" PRIu64, num < 0 ? "-" : "", a / power, decimals, a % power);
    strip(out);
}

static void put_label(struct row *r)
{
    r->label[0] = '\0';
    if (r->step == n || !marks || r->division % 5 != 0)
        return;
    if (r->division % 10 == 0)
        snprintf(r->label, sizeof r->label, "long %" PRIu64, r->division);
    else
        strcpy(r->label, "mid");
}

static void compute(struct row *r, uint64_t i)
{
    uint64_t a = p * n + i * q, d = q * n;      /* the position is a/d */
    uint64_t units = (2 * a * unit + d) / (2 * d), moved = units - last;

    last = units;
    r->step = i;
    r->division = i == n ? 0 : i;
    r->turns = moved / circle;
    r->holes = moved % circle;
    r->hole = units % circle;
    r->crank = lowest((int64_t)units, circle);
    r->angle = lowest((int64_t)units, unit);
    r->nominal = lowest((int64_t)a, d);
    r->error = lowest((int64_t)(units * d - a * unit), unit * d);
    decimal(r->degrees, sizeof r->degrees, (int64_t)units, unit, 360, 1000000000, 9);
    decimal(r->arcsec, sizeof r->arcsec, r->error.num, r->error.den, 1296000, 1000, 3);
    put_label(r);
    r->length[0] = '\0';
    if (radius > 0) {
        snprintf(r->length, sizeof r->length, "%.6f", 2 * PI * radius * ((double)r->error.num / (double)r->error.den));
        strip(r->length);
    }
}

static void print(const struct row *r)
{
    fprintf(stdout, "%s,%" PRIu64 ",%" PRIu64 ",%s,%" PRIu64 ",%" PRIu64 ",%" PRIu64 ",%" PRIu64 ",,,,%" PRId64 ",%" PRIu64
            ",%" PRId64 ",%" PRIu64 ",%" PRId64 ",%" PRIu64 ",%s,%" PRId64 ",%" PRIu64 ",%s,%s,,,,\r\n",
            (p * unit % q == 0 && unit % n == 0) ? "plain,true" : "nearest-hole,false", r->step, r->division, r->label,
            r->turns, r->holes, circle, r->hole, r->crank.num, r->crank.den, r->angle.num, r->angle.den, r->nominal.num,
            r->nominal.den, r->degrees, r->error.num, r->error.den, r->arcsec, r->length);
}

int main(int argc, char **argv)
{
    static struct row rows[KEPT];

    if (argc != 8)
        return 2;
    n = strtoull(argv[2], NULL, 10);
    circle = strtoull(argv[3], NULL, 10);
    p = strtoull(argv[4], NULL, 10);
    q = strtoull(argv[5], NULL, 10);
    radius = atof(argv[6]);
    marks = atoi(argv[7]);
    unit = WORM * circle;
    puts("method,exact,step,division,label,turns,holes,circle,hole,holes2,circle2,hole2,crank_num,crank_den,angle_num,angle_den,"
         "nominal_num,nominal_den,angle_deg,error_num,error_den,error_arcsec,error_mm,dial_num,dial_den,rim_num,rim_den\r");
    if (strcmp(argv[1], "print") == 0) {
        for (uint64_t i = 0; i < KEPT; i++)
            compute(&rows[i], n / 2 + i);
        for (uint64_t i = 0; i <= n; i++)
            print(&rows[i % KEPT]);
    } else {
        for (uint64_t i = 0; i <= n; i++) {
            compute(&rows[0], i);
            print(&rows[0]);
        }
    }
    return ferror(stdout) != 0;
}
