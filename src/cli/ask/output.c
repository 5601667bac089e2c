/* output.c: the options that say how results look, and the file they go to. */
#include "cli/ask/output.h"

#include <stdlib.h>
#include <string.h>

#include "cli/ask/values.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"

/* In the order of enum format. */
static const char *const formats[] = { "card", "csv", "tsv", "jsonl", NULL };
static const char *const html_formats[] = { "card", "csv", "tsv", "jsonl", "html", NULL };
static const char *const drawing_formats[] = { "card", "csv", "tsv", "jsonl", "html", "svg", NULL };

const struct option_row format_options[] = {
    { TO_WORD(struct output, format, formats, FORMAT_CARD, GIVEN(struct output, format_given)),
      'f', "format", "NAME", "card, csv, tsv or jsonl (default card)" },
    OPTIONS_END
};

const struct option_row html_options[] = {
    { TO_WORD(struct output, format, html_formats, FORMAT_CARD, GIVEN(struct output, format_given)),
      'f', "format", "NAME", "card, csv, tsv, jsonl or html (default card)" },
    OPTIONS_END
};

const struct option_row drawing_options[] = {
    { TO_WORD(struct output, format, drawing_formats, FORMAT_CARD, GIVEN(struct output, format_given)),
      'f', "format", "NAME", "card, csv, tsv, jsonl, html or svg (default card)" },
    OPTIONS_END
};

/* Lines that come through the common print filters whole (common practice): they leave 56 of a page's 66. */
static const struct {
    const char *paper;
    unsigned lines;
} papers[] = { { "a4", 56 }, { "letter", 56 }, { "a5", 39 } };

static bool set_paper(struct output *output, const char *name)
{
    for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i++)
        if (strcmp(name, papers[i].paper) == 0) {
            output->pages = papers[i].lines;
            output->paper = papers[i].paper;
            return true;
        }
    return false;
}

const char *output_paper(const char *name)
{
    struct output output = { .paper = NULL };

    return set_paper(&output, name) ? output.paper : NULL;
}

/* A kind of paper, or lines, or no pages. */
static bool take_pages(void *place, const struct option *option, struct cc_error *err)
{
    struct output *output = place;
    unsigned long lines;

    if (set_paper(output, option->text))
        return true;
    if (strcmp(option->text, "none") == 0) {
        output->pages = 0;
        output->paper = NULL;
        return true;
    }
    if (option->text[0] >= '0' && option->text[0] <= '9') {
        if (!value_number(&lines, option->text, "--pages", 20, 1000, err))
            return false;
        output->pages = (unsigned)lines;
        output->paper = NULL;
        return true;
    }
    cc_fail(err, CC_EPARSE, "--pages: '%.40s' is not known: write a4, a5, letter, none or lines to a page, 20 to 1000", option->text);
    return false;
}

const struct option_row page_options[] = {
    { TO_COUNT(struct output, width, FROM(OUTPUT_LEAST_WIDTH, OUTPUT_MOST_WIDTH)), 'w', "width", "COLUMNS", "columns of a card, 32 to 200 (default 72)" },
    { TO_SWITCH(struct output, ascii), 0, "ascii", NULL, "cards in 7-bit characters: d m s for the marks of an angle" },
    { TO_TAKER(take_pages), 0, "pages", "PAPER", "cards in pages with a form feed between them: a4, a5, letter, none, or lines to a page" },
    OPTIONS_END
};

const struct option_row file_options[] = {
    { TO_TEXT(struct output, path), 'o', "output", "FILE", "write to FILE, which is replaced only when all is written" },
    OPTIONS_END
};

const struct option_row unit_options[] = {
    { TO_UNIT(struct output, unit), 'u', "units", "mm|in", "unit of bare lengths and of lengths printed (default mm)" },
    OPTIONS_END
};

static unsigned default_width = 72;
static const char *default_paper;

void output_defaults(unsigned width, const char *paper)
{
    if (width > 0)
        default_width = width;
    default_paper = paper;
}

void output_init(struct output *output)
{
    *output = (struct output){ .format = FORMAT_CARD, .width = default_width, .unit = CC_MM };
    if (default_paper != NULL)
        set_paper(output, default_paper);
}

bool output_is_card(const struct output *output)
{
    return output->format == FORMAT_CARD || output->format == FORMAT_HTML;
}

int output_begin(struct output *output, struct cli *cli)
{
    enum format format = cli->page > 0 ? FORMAT_HTML : FORMAT_JSONL;

    if (cli->in_batch && output->format_given && output->format != format)
        return cli_trouble(cli, "%s: leave --format out of its lines",
                           cli->page > 0 ? "this batch answers in HTML" : "a batch answers in JSON Lines");
    if (cli->in_batch)
        output->format = format;
    output->page = cli->page;
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
