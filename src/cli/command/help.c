/* help.c: see help.h. */
#include "cli/command/help.h"

#include <gmp.h>
#include <string.h>

#include "cli/ask/args.h"
#include "cli/out/form.h"

void help_version(FILE *out)
{
    fprintf(out, "crankcard %s (GMP %s)\n", cc_version(), gmp_version);
}

void help_overview(FILE *out, const struct command *const *commands)
{
    fputs("usage: crankcard N [OPTIONS]           N equal divisions, on your dividing head\n"
          "       crankcard COMMAND ... [OPTIONS]\n"
          "\n"
          "Which setup gives the divisions, every movement of the crank in order, and how\n"
          "exact each one is.\n"
          "\n"
          "commands:\n",
          out);
    for (; *commands != NULL; commands++)
        fprintf(out, "  %-8s %-14s %s\n", (*commands)->name, (*commands)->operands, (*commands)->summary);
    fputs("\n"
          "first steps:\n"
          "  crankcard 57                          a card for 57 divisions\n"
          "  crankcard divide 57 --format csv      the same as a table\n"
          "  crankcard heads                       the heads it knows\n"
          "  crankcard divide --help               more about one command\n"
          "\n"
          "Without --head, the small 40:1 tilting head with three plates is taken, or your own in\n"
          "~/.config/crankcard/head.ini; crankcard heads --help says how to describe it. man crankcard\n"
          "tells the rest.\n",
          out);
}

static void option_line(FILE *out, const struct option_row *row)
{
    char left[64];

    snprintf(left, sizeof left, "%s%c%s--%s%s%s", row->letter != 0 ? "-" : "  ",
             row->letter != 0 ? row->letter : ' ', row->letter != 0 ? ", " : " ", row->name,
             row->value != NULL ? " " : "", row->value != NULL ? row->value : "");
    fprintf(out, "  %-28s %s\n", left, row->help);
}

/* Whether the row can be typed: its table is taken here, and no row of that name stands before it. */
static bool is_taken(const struct command *command, const struct option_table *table, const struct option_row *row)
{
    for (const struct option_table *t = command->options; t < table; t++)
        for (const struct option_row *r = t->rows; r->name != NULL; r++)
            if (strcmp(r->name, row->name) == 0)
                return false;
    return table->refuse == NULL;
}

void help_command(FILE *out, const struct command *command)
{
    fprintf(out, "usage: crankcard %s%s%s [OPTIONS]\n\n%s: %s\n\n%s", command->name,
            command->operands[0] != '\0' ? " " : "", command->operands, command->name,
            command->summary, command->about);
    fputs("\noptions:\n", out);
    for (const struct option_table *t = command->options; t->rows != NULL; t++)
        for (const struct option_row *row = t->rows; row->name != NULL; row++)
            if (is_taken(command, t, row))
                option_line(out, row);
    fprintf(out, "  %-28s %s\n", "-h, --help", "show this help");
    fprintf(out, "\nexamples:\n%s", command->examples);
}

/* ---- fields of the records ---- */

static bool writes(const struct command *command, const struct form *form)
{
    for (const struct form *const *f = command->records; f != NULL && *f != NULL; f++)
        if (*f == form)
            return true;
    return false;
}

/* The rows of a table, with what stands in front of their names. Members that a row above has too are not told again. */
static void field_lines(FILE *out, const char *front, const struct field *fields)
{
    static const char *const where[] = { "", " [jsonl]", " [csv, tsv]", " [where asked for]" };
    char name[80];

    for (const struct field *f = fields; f->name != NULL; f++) {
        const struct field *same = fields;
        while (same < f && (f->members == NULL || same->members != f->members))
            same++;
        snprintf(name, sizeof name, "%s%s%s", front, f->name, f->kind == KIND_OBJECTS ? "[]" : "");
        fprintf(out, "  %-30s  %-19s  %s%s%s%s\n", name, kind_words(f->kind), f->meaning, same < f ? "; members as of " : "",
                same < f ? same->name : "", where[f->where]);
        if (f->members != NULL && same == f) {
            snprintf(name + strlen(name), sizeof name - strlen(name), ".");
            field_lines(out, name, f->members);
        }
    }
}

static void form_lines(FILE *out, const struct command *const *commands, const struct form *form)
{
    const char *before = ": ";

    fprintf(out, "\n%s", form->name);
    for (; *commands != NULL; commands++) {
        if (writes(*commands, form)) {
            fprintf(out, "%s%s", before, (*commands)->name);
            before = ", ";
        }
    }
    putc('\n', out);
    field_lines(out, "", form->fields);
}

void help_fields(FILE *out, const struct command *const *commands)
{
    fputs("Records for programs: the name of each, the commands that write it, and its fields in their order.\n\nkinds\n", out);
    for (enum field_kind k = 0; k < KINDS; k++)
        fprintf(out, "  %-19s  %s\n", kind_words(k), kind_meaning(k));
    for (const struct command *const *c = commands; *c != NULL; c++) {
        for (const struct form *const *f = (*c)->records; f != NULL && *f != NULL; f++) {
            const struct command *const *first = commands;
            while (!writes(*first, *f))
                first++;
            if (first == c)
                form_lines(out, commands, *f);
        }
    }
}
