/*
 * bench_steps.c: how fast crankcard writes steps as CSV, beside a bare loop that prints the same bytes
 * with one fprintf a row.
 *
 *     bench_steps CRANKCARD ARGUMENTS      for example: bench_steps build/crankcard divide 10000000
 *                                          --head tests/bench/long-division.ini
 *
 * The bare loop computes nothing: the numbers of LOOP_ROWS rows are read into memory first, decimals as
 * ready text. It is run over them again until as many rows are printed as crankcard printed. Both write to
 * /dev/null; the best of RUNS is taken. That the loop's bytes are crankcard's is checked before timing.
 */
#define _POSIX_C_SOURCE 200809L
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define LOOP_ROWS 200000
#define RUNS 3

struct row {
    char method[24], exact[8], label[40], circle2[8], holes2[24], hole2[24];
    uint64_t step, hole;
    char division[24];
    int64_t turns, holes;
    unsigned circle;
    int64_t num[4];         /* crank, angle, nominal, error */
    uint64_t den[4];
    char degrees[24], arcsec[24], length[24];
};

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static void stop(const char *why)
{
    fprintf(stderr, "bench_steps: %s\n", why);
    exit(1);
}

/* The next field of *line, cut off at its comma or at the end of the line. */
static char *field(char **line)
{
    char *start = *line, *end = start + strcspn(start, ",\r\n");
    *line = *end == ',' ? end + 1 : end;
    *end = '\0';
    return start;
}

static void copy(char *to, size_t size, const char *from)
{
    if (strlen(from) >= size)
        stop("a field is longer than this program expects");
    strcpy(to, from);
}

static void read_fraction(struct row *row, int which, char **line)
{
    row->num[which] = strtoll(field(line), NULL, 10);
    row->den[which] = strtoull(field(line), NULL, 10);
}

static void read_row(struct row *row, char *line)
{
    copy(row->method, sizeof row->method, field(&line));
    copy(row->exact, sizeof row->exact, field(&line));
    row->step = strtoull(field(&line), NULL, 10);
    copy(row->division, sizeof row->division, field(&line));
    copy(row->label, sizeof row->label, field(&line));
    row->turns = strtoll(field(&line), NULL, 10);
    row->holes = strtoll(field(&line), NULL, 10);
    row->circle = (unsigned)strtoul(field(&line), NULL, 10);
    row->hole = strtoull(field(&line), NULL, 10);
    copy(row->holes2, sizeof row->holes2, field(&line));
    copy(row->circle2, sizeof row->circle2, field(&line));
    copy(row->hole2, sizeof row->hole2, field(&line));
    for (int i = 0; i < 3; i++)
        read_fraction(row, i, &line);
    copy(row->degrees, sizeof row->degrees, field(&line));
    read_fraction(row, 3, &line);
    copy(row->arcsec, sizeof row->arcsec, field(&line));
    copy(row->length, sizeof row->length, field(&line));
}

/* One fprintf a row. */
static void print_row(FILE *out, const struct row *r)
{
    fprintf(out, "%s,%s,%" PRIu64 ",%s,%s,%" PRId64 ",%" PRId64 ",%u,%" PRIu64 ",%s,%s,%s,%" PRId64 ",%" PRIu64 ",%" PRId64
            ",%" PRIu64 ",%" PRId64 ",%" PRIu64 ",%s,%" PRId64 ",%" PRIu64 ",%s,%s,,,,\r\n",
            r->method, r->exact, r->step, r->division, r->label, r->turns, r->holes, r->circle, r->hole,
            r->holes2, r->circle2, r->hole2, r->num[0], r->den[0], r->num[1], r->den[1], r->num[2],
            r->den[2], r->degrees, r->num[3], r->den[3], r->arcsec, r->length);
}

/* Read rows 1 ... LOOP_ROWS of the command; check that printing them gives the same bytes. */
static size_t read_rows(struct row *rows, const char *command)
{
    FILE *in = popen(command, "r");
    char line[1024], again[1024];
    size_t n = 0;

    if (in == NULL || fgets(line, sizeof line, in) == NULL || fgets(line, sizeof line, in) == NULL)
        stop("the command gives no rows");
    while (n < LOOP_ROWS && fgets(line, sizeof line, in) != NULL) {
        char cut[1024];
        strcpy(cut, line);
        read_row(&rows[n], cut);
        FILE *memory = fmemopen(again, sizeof again, "w");
        print_row(memory, &rows[n]);
        fclose(memory);
        if (strcmp(line, again) != 0)
            stop("the loop does not print the same bytes");
        n++;
    }
    pclose(in);
    return n;
}

int main(int argc, char **argv)
{
    static struct row rows[LOOP_ROWS];
    char command[2048] = "";
    double ours = 1e9, bare = 1e9;
    uint64_t printed = 0;

    if (argc < 4)
        stop("usage: bench_steps CRANKCARD divide N [OPTIONS]");
    for (int i = 1; i < argc; i++) {
        size_t n = strlen(command);
        snprintf(command + n, sizeof command - n, "%s ", argv[i]);
    }
    strcat(command, "--format csv");
    size_t n = read_rows(rows, command);
    uint64_t wanted = strtoull(argv[3], NULL, 10);
    strcat(command, " > /dev/null");
    for (int run = 0; run < RUNS; run++) {
        double start = now();
        if (system(command) != 0)
            stop("the command fails");
        double took = now() - start;
        ours = took < ours ? took : ours;
    }
    for (int run = 0; run < RUNS; run++) {
        FILE *out = fopen("/dev/null", "w");
        double start = now();
        for (printed = 0; printed < wanted;)
            for (size_t i = 0; i < n && printed < wanted; i++, printed++)
                print_row(out, &rows[i]);
        fclose(out);
        double took = now() - start;
        bare = took < bare ? took : bare;
    }
    printf("steps %" PRIu64 ": crankcard %.3f s, bare fprintf %.3f s, speed ratio %.2f\n", printed, ours, bare,
           bare / ours);
    return 0;
}
