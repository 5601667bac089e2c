/* text.c: see text.h. */
#include "cli/out/text.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"
#include "cli/base/plain_text.h"

void text_init(struct text *text, FILE *out, const struct output *output)
{
    *text = (struct text){ .out = out, .width = output->width, .ascii = output->ascii,
                           .pages = output->pages };
    if (output->format == FORMAT_HTML) {
        text->html = (struct html){ .out = out, .in_pack = output->page > 0, .job = output->page };
        text->sheet = output->paper;
        text->ascii = false;
        text->pages = 0;
    }
    if (text->pages == 0)
        return;
    text->paper = out;
    text->out = memory_stream(&text->held, &text->length);
}

void text_init_screen(struct text *text, FILE *out, const struct output *output)
{
    struct output screen = *output;

    screen.pages = 0;
    text_init(text, out, &screen);
}

/* In held text: how many pages there are. plain_put lets no text have this byte. */
#define PAGES_IN_ALL '\001'

void text_end(struct text *text)
{
    if (text_is_html(text))
        html_end(&text->html);
    if (text->paper == NULL)
        return;
    if (fclose(text->out) != 0)
        memory_exhausted();
    for (size_t i = 0; i < text->length; i++) {
        if (text->held[i] == PAGES_IN_ALL)
            fprintf(text->paper, "%u", text->page + 1);
        else
            putc(text->held[i], text->paper);
    }
    free(text->held);
    text->out = text->paper;
    text->paper = NULL;
}

static bool is_continuation(char c)
{
    return ((unsigned char)c & 0xC0) == 0x80;
}

unsigned text_columns(const char *s)
{
    unsigned n = 0;
    for (; *s != '\0'; s++)
        if (!is_continuation(*s))
            n++;
    return n;
}

static const struct {
    const char *sign;
    char stand_in;
} signs[] = {
    { "\xC2\xB0", 'd' },     /* ° */
    { "\xE2\x80\xB2", 'm' }, /* ′ */
    { "\xE2\x80\xB3", 's' }, /* ″ */
    { "\xC3\x97", 'x' },     /* × */
    { "\xE2\x88\x92", '-' }, /* − */
    { "\xE2\x80\x93", '-' }, /* – */
    { "\xC2\xB1", '~' },     /* ± */
    { "\xE2\x89\xA4", '<' }, /* ≤ */
    { "\xC2\xB7", '.' },     /* · */
    { "\xC3\xB8", 'o' },     /* ø */
    { "\xE2\x94\x80", '-' }, /* ─ */
    { "\xE2\x94\x9C", '|' }, /* ├ */
    { "\xE2\x94\xA4", '|' }, /* ┤ */
    { "\xE2\x94\xBC", '+' }, /* ┼ */
    { "\xE2\x97\x8F", 'o' }, /* ● */
};

static void put(struct text *text, const char *s, size_t length)
{
    if (!text->ascii) {
        plain_put(text->out, s, length);
        return;
    }
    for (size_t i = 0; i < length;) {
        if ((unsigned char)s[i] < 0x80) {
            plain_put(text->out, &s[i++], 1);
            continue;
        }
        size_t n = 1;
        char stand_in = '?';
        while (i + n < length && is_continuation(s[i + n]))
            n++;
        for (size_t k = 0; k < sizeof signs / sizeof signs[0]; k++)
            if (strlen(signs[k].sign) == n && memcmp(signs[k].sign, s + i, n) == 0)
                stand_in = signs[k].stand_in;
        putc(stand_in, text->out);
        i += n;
    }
}

/* Bytes of s that make up at most columns columns. */
static size_t bytes_of(const char *s, unsigned columns)
{
    size_t i = 0;
    while (s[i] != '\0' && columns > 0) {
        i++;
        while (is_continuation(s[i]))
            i++;
        columns--;
    }
    return i;
}

/* So that whoever makes a pack of the pages has its name. */
static void put_page_name(struct text *text)
{
    putc(OUTPUT_PAGE, text->out);
    plain_line(text->out, text->head);
}

/* As much of s as leaves room for the page's number. */
static void keep_head(struct text *text, const char *s)
{
    size_t length = bytes_of(s, text_is_html(text) ? HEAD_SIZE : text->width > 32 ? text->width - 18 : 14);

    if (length >= sizeof text->head)
        length = sizeof text->head - 1;
    if (s[length] != '\0' && s[length] != ' ' && memchr(s, ' ', length) != NULL)     /* no word is cut, but for one alone */
        while (s[length - 1] != ' ')
            length--;
    memcpy(text->head, s, length);
    while (length > 0 && strchr(" ,:;", s[length - 1]) != NULL)
        length--;
    text->head[length] = '\0';
    if (text_is_html(text) && text->html.in_pack)
        put_page_name(text);
    if (text_is_html(text))
        html_begin(&text->html, text->head, text->sheet);
}

bool text_is_html(const struct text *text)
{
    return text->html.out != NULL;
}

/* The words are the first of all: they name the page, unless text_head has. */
static void begin(struct text *text, const char *words)
{
    if (text->head[0] == '\0')
        keep_head(text, words);
}

static void start_line(struct text *text)
{
    if (text->pages > 0 && text->line >= text->pages)
        text_new_page(text);
    text->line++;
}

static void put_head(struct text *text)
{
    put(text, text->head, strlen(text->head));
    fprintf(text->out, ", page %u of %c\n", text->page + 1, PAGES_IN_ALL);
    text->line = 1;
}

void text_new_page(struct text *text)
{
    if (text->line == 0)
        return;
    putc('\f', text->out);
    text->line = 0;
    text->page++;
    if (text->head[0] != '\0')
        put_head(text);
}

void text_keep(struct text *text, unsigned lines)
{
    if (lines <= text->pages && text_lines_left(text) < lines)
        text_new_page(text);
}

void text_keep_rest(struct text *text, unsigned lines)
{
    if (text_is_html(text))
        html_keep_rest(&text->html);
    else
        text_keep(text, lines);
}

void text_step(struct text *text, unsigned *step, const char *words)
{
    char first[24], rest[24];

    if (text_is_html(text)) {
        text_tick(text, "%u. %s", ++*step, words);
        return;
    }
    int n = snprintf(first, sizeof first, "[ ] %u. ", ++*step);
    snprintf(rest, sizeof rest, "%*s", n, "");
    text_para(text, first, rest, "%s", words);
}

unsigned text_lines_left(const struct text *text)
{
    return text->pages == 0 ? 1000000U : text->line >= text->pages ? 0 : text->pages - text->line;
}

/* The formatted text, in small where it fits, else on the heap (the caller frees when != small). */
CC_PRINTF(3, 0)
static char *format_text(char *small, size_t size, const char *format, va_list args)
{
    va_list again;
    va_copy(again, args);
    int n = vsnprintf(small, size, format, args);
    char *all = small;
    if (n >= (int)size) {
        all = memory_get((size_t)n + 1);
        vsnprintf(all, (size_t)n + 1, format, again);
    }
    va_end(again);
    return all;
}

void text_head(struct text *text, const char *format, ...)
{
    char small[512];
    va_list args;

    va_start(args, format);
    char *s = format_text(small, sizeof small, format, args);
    va_end(args);
    keep_head(text, s);
    if (text->pages > 0)
        put_head(text);
    if (s != small)
        free(s);
}

void text_line(struct text *text, const char *format, ...)
{
    char small[512];
    va_list args;

    va_start(args, format);
    char *s = format_text(small, sizeof small, format, args);
    va_end(args);
    text_plain_line(text, s);
    if (s != small)
        free(s);
}

void text_plain_line(struct text *text, const char *line)
{
    size_t length = strlen(line);

    while (length > 0 && line[length - 1] == ' ')
        length--;
    begin(text, line);
    if (text_is_html(text)) {
        html_paragraph(&text->html, "", line + strspn(line, " "), line[0] == ' ', false);
        return;
    }
    start_line(text);
    put(text, line, length);
    putc('\n', text->out);
}

void text_blank(struct text *text)
{
    if (text_is_html(text)) {
        html_blank(&text->html);
        return;
    }
    if (text->pages > 0 && (text->line == 0 || text->line >= text->pages))
        return;         /* no page begins with an empty line */
    start_line(text);
    putc('\n', text->out);
}

/* Whether a line may end before s: at a blank, but not the one of "( )". */
static bool may_end(const char *s)
{
    return s[0] == '\0' || (s[0] == ' ' && s[1] != ')');
}

/* A paragraph wrapped at blanks: see text_para. */
static void wrap(struct text *text, const char *first, const char *rest, const char *s)
{
    const char *prefix = first;

    do {
        unsigned taken = text_columns(prefix);
        unsigned room = text->width > taken + 8 ? text->width - taken : 8;
        while (*s == ' ')
            s++;
        size_t end = bytes_of(s, room);
        if (!may_end(s + end)) {        /* go back to the last blank */
            size_t cut = end;
            while (cut > 0 && !may_end(s + cut))
                cut--;
            if (cut > 0)
                end = cut;
        }
        size_t length = end;
        while (length > 0 && s[length - 1] == ' ')
            length--;
        start_line(text);
        put(text, prefix, strlen(prefix));
        put(text, s, length);
        putc('\n', text->out);
        s += end;
        while (*s == ' ')
            s++;
        prefix = rest;
    } while (*s != '\0');
}

/* How each stands in plain text: in front of its first line, and of the others. A label stands in place of the first. */
static const struct {
    const char *first, *rest;
} kinds[] = {
    [TEXT_TITLE] = { "", "  " }, [TEXT_HEADING] = { "", "  " },     [TEXT_TASK] = { "[ ] ", "    " },
    [TEXT_CRY] = { "", "  " },   [TEXT_LABELLED] = { "", LABELS }, [TEXT_TICK] = { "[ ] ", "    " },
    [TEXT_ACROSS] = { "    ", "    " },
};

static void put_html(struct html *html, enum text_kind kind, const char *label, const char *words)
{
    switch (kind) {
    case TEXT_TITLE:
        html_title(html, words);
        break;
    case TEXT_HEADING:
    case TEXT_TASK:
        html_heading(html, words, kind == TEXT_TASK);
        break;
    case TEXT_LABELLED:
        html_labelled(html, label, words);
        break;
    case TEXT_TICK:
        html_tick(html, words);
        break;
    case TEXT_ACROSS:
        html_across(html, words);
        break;
    default:
        html_paragraph(html, "", words, false, true);
    }
}

CC_PRINTF(4, 0)
static void write_kind(struct text *text, enum text_kind kind, const char *label, const char *format, va_list args)
{
    char small[1024], first[sizeof LABELS + 8];
    char *words = format_text(small, sizeof small, format, args);

    begin(text, words);
    snprintf(first, sizeof first, "  %-8s", label);
    if (text_is_html(text))
        put_html(&text->html, kind, label, words);
    else
        wrap(text, kind == TEXT_LABELLED ? first : kinds[kind].first, kinds[kind].rest, words);
    if (words != small)
        free(words);
}

void text_para(struct text *text, const char *first, const char *rest, const char *format, ...)
{
    char small[1024];
    va_list args;

    va_start(args, format);
    char *words = format_text(small, sizeof small, format, args);
    va_end(args);
    begin(text, words);
    if (text_is_html(text) && strcmp(first, LABELS) == 0)
        html_labelled(&text->html, "", words);
    else if (text_is_html(text))
        html_paragraph(&text->html, first + strspn(first, " "), words, first[0] == ' ', false);
    else
        wrap(text, first, rest, words);
    if (words != small)
        free(words);
}

void text_say(struct text *text, enum text_kind kind, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    write_kind(text, kind, "", format, args);
    va_end(args);
}

void text_labelled(struct text *text, const char *label, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    write_kind(text, TEXT_LABELLED, label, format, args);
    va_end(args);
}

/* ---- pictures ---- */

FILE *text_picture_begin(struct text *text)
{
    return text_is_html(text) ? html_picture_begin(&text->html) : NULL;
}

void text_picture_end(struct text *text)
{
    html_picture_end(&text->html);
}

/* ---- tables ---- */

static const char *pad(char *buf, size_t size, const char *s, unsigned columns, bool left)
{
    unsigned have = text_columns(s);
    unsigned blanks = have < columns ? columns - have : 0;

    if (left)
        snprintf(buf, size, "%*s%s", (int)blanks, "", s);
    else
        snprintf(buf, size, "%s%*s", s, (int)blanks, "");
    return buf;
}

const char *text_pad_left(char *buf, size_t size, const char *s, unsigned columns)
{
    return pad(buf, size, s, columns, true);
}

const char *text_pad_right(char *buf, size_t size, const char *s, unsigned columns)
{
    return pad(buf, size, s, columns, false);
}

/* A row of cells in plain text. */
static void put_cells(struct text *text, const struct table *table, const char *const *cells, const char *box)
{
    char line[2048], padded[512];
    size_t n = (size_t)snprintf(line, sizeof line, "%s%s", table->boxes ? box : "", table->boxes ? " " : "");

    for (size_t c = 0; c < table->n && n < sizeof line; c++) {
        const struct table_column *column = &table->column[c];
        if (column->width == 0)
            continue;
        (column->left ? text_pad_right : text_pad_left)(padded, sizeof padded, cells[c], column->width);
        n += (size_t)snprintf(line + n, sizeof line - n, "%*s%s", (int)column->gap, "", padded);
    }
    text_plain_line(text, line);
}

#define USUAL_WIDTH 72      /* a page that was made narrower folds the rows of a table; else a table is as wide as its content */
#define FOLDED "    "       /* in front of what is folded */

unsigned text_row_lines(const struct text *text, const struct table *table)
{
    unsigned lines = 1, used = table->boxes ? 4 : 0;

    if (text_is_html(text) || text->width >= USUAL_WIDTH)
        return 1;
    for (size_t c = 0; c < table->n; c++) {
        const struct table_column *column = &table->column[c];
        if (column->width == 0)
            continue;
        if (c > 0 && used + column->gap + column->width > text->width) {
            lines++;
            used = (unsigned)strlen(FOLDED) + column->width;
        } else {
            used += column->gap + column->width;
        }
    }
    return lines;
}

/* The line so far, where there is anything in it, and none of it left. */
static void end_folded(struct text *text, char *line, size_t size)
{
    if (line[strspn(line, " ")] != '\0')
        text_plain_line(text, line);
    snprintf(line, size, FOLDED);
}

/* A row in as many lines as its columns take; a cell that is wider than the page is wrapped. */
static void put_folded(struct text *text, const struct table *table, const char *const *cells, const char *box)
{
    char line[512], padded[512];

    snprintf(line, sizeof line, "%s%s", table->boxes ? box : "", table->boxes ? " " : "");
    for (size_t c = 0; c < table->n; c++) {
        const struct table_column *column = &table->column[c];
        unsigned have = text_columns(cells[c]), width = have > column->width ? have : column->width, gap = column->gap;
        if (column->width == 0)
            continue;
        if (c > 0 && text_columns(line) + gap + width > text->width) {
            end_folded(text, line, sizeof line);
            gap = 0;
        }
        if (text_columns(line) + gap + have > text->width) {
            wrap(text, FOLDED, FOLDED "  ", cells[c]);
            continue;
        }
        (column->left ? text_pad_right : text_pad_left)(padded, sizeof padded, cells[c], column->width);
        size_t n = strlen(line);
        if (snprintf(line + n, sizeof line - n, "%*s%s", (int)gap, "", padded) >= (int)(sizeof line - n))
            line[n] = '\0';     /* no page is that wide */
    }
    end_folded(text, line, sizeof line);
}

static void put_row(struct text *text, const struct table *table, const char *const *cells, const char *box)
{
    (text_row_lines(text, table) > 1 ? put_folded : put_cells)(text, table, cells, box);
}

void text_table(struct text *text, const struct table *table)
{
    const char *cells[MOST_COLUMNS];

    for (size_t c = 0; c < table->n; c++)
        cells[c] = table->column[c].heading;
    begin(text, table->column[0].heading);
    if (text_is_html(text))
        html_table(&text->html, table);
    else
        put_row(text, table, cells, "   ");
}

void text_row(struct text *text, const struct table *table, const char *const *cells, const char *box)
{
    if (text_is_html(text))
        html_row(&text->html, table, cells, box[0] == '(');
    else
        put_row(text, table, cells, box);
}

void text_item(struct text_list *list, const char *format, ...)
{
    char small[1024], first[16];
    va_list args;

    va_start(args, format);
    char *words = format_text(small, sizeof small, format, args);
    va_end(args);
    snprintf(first, sizeof first, "%2u. ", ++list->number);
    begin(list->text, words);
    if (text_is_html(list->text))
        html_item(&list->text->html, list->number, words);
    else
        wrap(list->text, first, "    ", words);
    if (words != small)
        free(words);
}
