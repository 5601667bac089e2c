/*
 * bench_start.c: from starting a program to its end, for two command lines in turn.
 *
 *   bench_start ROUNDS BASE -- PROGRAM [ARGUMENT...]
 *
 * Runs BASE (no arguments) and PROGRAM alternately, output to /dev/null, and prints the least and the
 * median time of each in microseconds: base least, base median, program least, program median.
 */
#define _POSIX_C_SOURCE 200809L
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>

static double microseconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e6 + (double)t.tv_nsec * 1e-3;
}

static double run_once(const posix_spawn_file_actions_t *files, char **argv)
{
    char locale[] = "LC_ALL=C", *environment[] = { locale, NULL };
    pid_t child;
    int status;
    double start = microseconds();

    if (posix_spawn(&child, argv[0], files, NULL, argv, environment) != 0 ||
        waitpid(child, &status, 0) != child || !WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        fprintf(stderr, "bench_start: '%s' did not end well\n", argv[0]);
        exit(1);
    }
    return microseconds() - start;
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

int main(int argc, char **argv)
{
    if (argc < 5 || strcmp(argv[3], "--") != 0) {
        fprintf(stderr, "usage: bench_start ROUNDS BASE -- PROGRAM [ARGUMENT...]\n");
        return 2;
    }
    size_t rounds = strtoul(argv[1], NULL, 10);
    char *base[] = { argv[2], NULL };
    double *times = calloc(2 * (rounds + 1), sizeof *times);
    posix_spawn_file_actions_t files;

    if (times == NULL || rounds == 0)
        return 1;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, 1, "/dev/null", O_WRONLY, 0);
    for (size_t i = 0; i < rounds; i++) {
        times[i] = run_once(&files, base);
        times[rounds + i] = run_once(&files, argv + 4);
    }
    posix_spawn_file_actions_destroy(&files);
    qsort(times, rounds, sizeof *times, ascending);
    qsort(times + rounds, rounds, sizeof *times, ascending);
    printf("%.1f %.1f %.1f %.1f\n", times[0], times[rounds / 2], times[rounds], times[rounds + rounds / 2]);
    free(times);
    return 0;
}
