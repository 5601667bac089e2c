/* output.c: the options that say how results look, and the file they go to. */
#include "cli/ask/output.h"

#include <stdlib.h>
#include <string.h>

#include "cli/ask/values.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"

const struct option_row output_options[] = {
    { OPT_FORMAT, 'f', "format", "NAME", "card, csv, tsv, jsonl or svg (default card)" },
    { OPT_WIDTH, 'w', "width", "COLUMNS", "columns of a card, 32 to 200 (default 72)" },
    { OPT_ASCII, 0, "ascii", NULL, "cards in 7-bit characters: d m s for the marks of an angle" },
    { OPT_PAGES, 0, "pages", "LINES", "end a page of a card with a form feed after so many lines" },
    { OPT_UNITS, 'u', "units", "mm|in", "unit of bare lengths and of lengths printed (default mm)" },
    { OPT_OUTPUT, 'o', "output", "FILE", "write to FILE, which is replaced only when all is written" },
    OPTIONS_END
};

void output_init(struct output *output)
{
    *output = (struct output){ .format = FORMAT_CARD, .width = 72, .unit = CC_MM };
}

static bool set_format(struct output *output, const char *text, struct cc_error *err)
{
    static const char *const names[] = { "card", "csv", "tsv", "jsonl", "svg", NULL };

    for (int i = 0; names[i] != NULL; i++) {
        if (strcmp(text, names[i]) == 0) {
            output->format = (enum format)i;
            output->format_given = true;
            return true;
        }
    }
    cc_fail(err, CC_EPARSE, "--format: '%.40s' is not a format: card, csv, tsv, jsonl or svg", text);
    return false;
}

bool output_option(struct output *output, int id, const char *text, struct cc_error *err)
{
    unsigned long number = 0;

    switch (id) {
    case OPT_FORMAT:
        return set_format(output, text, err);
    case OPT_WIDTH:
        if (!value_number(&number, text, "--width", 32, 200, err))
            return false;
        output->width = (unsigned)number;
        return true;
    case OPT_ASCII:
        output->ascii = true;
        return true;
    case OPT_PAGES:
        if (!value_number(&number, text, "--pages", 20, 1000, err))
            return false;
        output->pages = (unsigned)number;
        return true;
    case OPT_UNITS:
        if (strcmp(text, "mm") != 0 && strcmp(text, "in") != 0) {
            cc_fail(err, CC_EPARSE, "--units: '%.40s' is not a unit: mm or in", text);
            return false;
        }
        output->unit = text[0] == 'i' ? CC_INCH : CC_MM;
        return true;
    case OPT_OUTPUT:
        output->path = text;
        return true;
    default:        /* a switch that the command looks for itself */
        return true;
    }
}

bool output_units_first(struct output *output, int argc, char **argv, const struct option_row *const *tables,
                        struct cc_error *err)
{
    struct args args;

    args_init(&args, argc, argv, tables);
    for (enum arg_kind kind; (kind = args_next(&args, err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return false;
        if (kind == ARG_OPTION && args.id == OPT_UNITS && !output_option(output, args.id, args.text, err))
            return false;
    }
    return true;
}

int output_begin(struct output *output, struct cli *cli)
{
    if (cli->in_batch && output->format_given && output->format != FORMAT_JSONL)
        return cli_trouble(cli, "a batch answers in JSON Lines: leave --format out of its lines");
    if (cli->in_batch)
        output->format = FORMAT_JSONL;
    if (output->path == NULL)
        return EXIT_YES;
    if (cli->in_batch)
        return cli_trouble(cli, "--output cannot stand in a batch line: give it to batch itself");
    if (new_file_begin(&output->file, output->path, &cli->err) != CC_OK)
        return EXIT_TROUBLE;
    output->saved_out = cli->out;
    cli->out = output->file.stream;
    return EXIT_YES;
}

int output_end(struct output *output, struct cli *cli, int status)
{
    if (output->saved_out == NULL)
        return status;
    cli->out = output->saved_out;
    output->saved_out = NULL;
    if (status == EXIT_TROUBLE)
        new_file_drop(&output->file);
    else if (new_file_end(&output->file, &cli->err) != CC_OK)
        status = EXIT_TROUBLE;
    return status;
}
