/* batch_pack.c: see batch_pack.h. */
#include "cli/command/batch_pack.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"
#include "cli/out/html.h"
#include "cli/out/markup.h"

static void close_memory(FILE *stream)
{
    if (fclose(stream) != 0)
        memory_exhausted();
}

void pack_init(struct pack *pack)
{
    *pack = (struct pack){ .jobs = 0 };
    pack->contents = memory_stream(&pack->contents_text, &pack->contents_length);
    pack->pages = memory_stream(&pack->pages_text, &pack->pages_length);
    pack->job = memory_stream(&pack->job_text, &pack->job_length);
}

void pack_clear(struct pack *pack)
{
    close_memory(pack->contents);
    close_memory(pack->pages);
    close_memory(pack->job);
    free(pack->contents_text);
    free(pack->pages_text);
    free(pack->job_text);
    free(pack->name);
}

void pack_name(struct pack *pack, const char *name)
{
    free(pack->name);
    pack->name = memory_copy(name);
}

bool pack_has_page(const struct pack *pack)
{
    return pack->name != NULL;
}

void pack_text(struct pack *pack, const char *text)
{
    fprintf(pack->job, "%s\n", text);
}

/* One line of the contents. */
static void list_job(struct pack *pack, unsigned long line, bool page, const char *message)
{
    fprintf(pack->contents, "<li value=\"%lu\">", line);
    if (page) {
        fprintf(pack->contents, "<a href=\"#j%lu\">", line);
        markup_text(pack->contents, pack->name);
        fputs("</a>", pack->contents);
    }
    if (*message != '\0') {
        fprintf(pack->contents, page ? "; <strong>" : "<strong>NO PAGE: ");
        markup_text(pack->contents, message);
        fputs("</strong>", pack->contents);
    }
    fputs("</li>\n", pack->contents);
}

void pack_end_job(struct pack *pack, unsigned long line, bool good, const char *message)
{
    bool page = good && pack_has_page(pack);

    if (fflush(pack->job) != 0)
        memory_exhausted();
    list_job(pack, line, page, message);
    if (page)
        fwrite(pack->job_text, 1, pack->job_length, pack->pages);
    pack->jobs += page;
    pack->without += !page;
    rewind(pack->job);
    free(pack->name);
    pack->name = NULL;
}

void pack_write(struct pack *pack, FILE *out, const char *path)
{
    struct html html = { .out = out, .in_pack = true };
    char head[400];

    snprintf(head, sizeof head, "%.300s: %lu job%s", strcmp(path, "-") == 0 ? "standard input" : path, pack->jobs,
             pack->jobs == 1 ? "" : "s");
    if (pack->without > 0)
        snprintf(head + strlen(head), sizeof head - strlen(head), ", %lu without a page", pack->without);
    if (fflush(pack->contents) != 0 || fflush(pack->pages) != 0)
        memory_exhausted();
    html_document_begin(out, head, NULL);
    html_begin(&html, head, NULL);
    html_title(&html, head);
    html_paragraph(&html, "", "Numbers are those of the lines.", false, false);
    fprintf(out, "<ol>\n%s</ol>\n", pack->contents_text);
    html_end(&html);
    fwrite(pack->pages_text, 1, pack->pages_length, out);
    html_document_end(out);
}
