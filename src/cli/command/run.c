/* run.c: see run.h. */
#include "cli/command/run.h"

#include <stdlib.h>
#include <string.h>

#include "cli/ask/command.h"
#include "cli/ask/defaults.h"
#include "cli/ask/spelling.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/command/help.h"

/* What could be a division count, right or wrong: 57, -3, 1.5, 10^40. */
static bool looks_like_count(const char *word)
{
    if (*word == '-' || *word == '+')
        word++;
    return (*word >= '0' && *word <= '9') || *word == '.';
}

static int unknown_command(struct cli *cli, const char *word)
{
    const char *names[64];
    size_t n = 0;

    for (const struct command *const *c = cli->commands; *c != NULL && n < 63; c++)
        names[n++] = (*c)->name;
    names[n] = NULL;
    const char *near = nearest_name(word, names);
    if (near != NULL)
        return cli_trouble(cli, "'%.40s' is not a command: did you mean '%s'?", word, near);
    return cli_trouble(cli, "'%.40s' is neither a count nor a command: see crankcard --help", word);
}

/* Whether a general option stands among the arguments, before a "--". */
static bool asks_for(const char *option, const char *letter, int argc, char **argv)
{
    for (int i = 0; i < argc && strcmp(argv[i], "--") != 0; i++)
        if (strcmp(argv[i], option) == 0 || strcmp(argv[i], letter) == 0)
            return true;
    return false;
}

/* Whether an option of those, or enough of it to be one, stands among the arguments: the request has its own units already. */
static bool asks_instead(const char *const *options, int argc, char **argv)
{
    for (; options != NULL && *options != NULL; options++)
        for (int i = 0; i < argc && strcmp(argv[i], "--") != 0; i++)
            if (strcspn(argv[i], "=") > 3 && strncmp(argv[i], *options, strcspn(argv[i], "=")) == 0)
                return true;
    return false;
}

static bool is_among(const char *const *words, const char *word)
{
    while (words != NULL && *words != NULL && strcmp(*words, word) != 0)
        words++;
    return words != NULL && *words != NULL;
}

/*
 * Run it with the user's default of units as an option behind the command's name (and the request's), before all that was
 * typed, which overrides it: what was typed, as cards and kept jobs say it, then holds for anybody and at any time.
 */
static int run_in_units(struct cli *cli, const struct command *command, int argc, char **argv)
{
    size_t before = cli->typed_count > argc || argv[0][0] != '-' ? 1 : 0;       /* its name, or "57" alone */
    size_t n = (size_t)cli->typed_count;
    if (before < n && is_among(command->requests, cli->typed[before]))
        before++;
    char **words = memory_get((n + 3) * sizeof *words), option[] = "--units", *unit = memory_copy(defaults_units());

    memcpy(words, cli->typed, before * sizeof *words);
    words[before] = option;
    words[before + 1] = unit;
    memcpy(words + before + 2, cli->typed + before, (n - before) * sizeof *words);
    words[n + 2] = NULL;
    bool named = cli->typed_count > argc;
    cli->typed = words;
    cli->typed_count = (int)n + 2;
    int status = command->run(cli, cli->typed_count - named, words + named);
    free(words);
    free(unit);
    return status;
}

static int run_with_defaults(struct cli *cli, const struct command *command, int argc, char **argv)
{
    if (!defaults_load(&cli->err) && !command->any_defaults)
        return EXIT_TROUBLE;
    cli->err.text[0] = '\0';
    if (defaults_units() == NULL || !command_has(command, "units") || asks_for("--units", "-u", argc, argv) ||
        asks_instead(command->instead, argc, argv))
        return command->run(cli, argc, argv);
    return run_in_units(cli, command, argc, argv);
}

/* help, help COMMAND, help fields. */
static int help(struct cli *cli, int argc, char **argv)
{
    const struct command *command;

    if (argc > 2)
        return cli_trouble(cli, "'%.40s' is one word too many: help takes the name of one command, or fields", argv[2]);
    if (argc == 1) {
        help_overview(cli->out, cli->commands);
        return EXIT_YES;
    }
    if (strcmp(argv[1], "fields") == 0) {
        help_fields(cli->out, cli->commands);
        return EXIT_YES;
    }
    command = command_find(cli->commands, argv[1]);
    if (command == NULL)
        return unknown_command(cli, argv[1]);
    help_command(cli->out, command);
    return EXIT_YES;
}

int cli_run(struct cli *cli, int argc, char **argv)
{
    const struct command *command = NULL;

    cli->typed_count = argc;
    cli->typed = argv;
    if (argc == 0 || strcmp(argv[0], "--help") == 0 || strcmp(argv[0], "-h") == 0) {
        help_overview(cli->out, cli->commands);
        return EXIT_YES;
    }
    if (strcmp(argv[0], "--version") == 0 || strcmp(argv[0], "-V") == 0) {
        help_version(cli->out);
        return EXIT_YES;
    }
    if (strcmp(argv[0], "help") == 0)
        return help(cli, argc, argv);
    command = command_find(cli->commands, argv[0]);
    if (command != NULL) {
        argc--;
        argv++;
    } else if (looks_like_count(argv[0]) || argv[0][0] == '-') {
        command = command_find(cli->commands, "divide");   /* crankcard N, or options first: crankcard -f csv N */
    } else {
        return unknown_command(cli, argv[0]);
    }
    if (asks_for("--help", "-h", argc, argv)) {
        help_command(cli->out, command);
        return EXIT_YES;
    }
    if (asks_for("--version", "-V", argc, argv)) {
        help_version(cli->out);
        return EXIT_YES;
    }
    return run_with_defaults(cli, command, argc, argv);
}
