/* labels.c: see labels.h. */
#include "cli/out/labels.h"

#include <math.h>
#include <stdlib.h>

#include "cli/base/memory.h"

#define CLEARANCE 0.6       /* mm on every side of a label */
#define LEADER_WIDTH 0.15

struct label_box {
    double left, top, right, bottom;
};

struct label_leader {
    double x1, y1, x2, y2;
};

void labels_init(struct labels *labels, double x, double y, double way, double reach_x, double reach_y)
{
    *labels = (struct labels){ .x = x, .y = y, .way = way, .reach_x = reach_x, .reach_y = reach_y };
}

void labels_restart(struct labels *labels)
{
    labels->box_count = labels->leader_count = 0;
}

void labels_clear(struct labels *labels)
{
    free(labels->boxes);
    free(labels->leaders);
}

double labels_x(const struct labels *labels, double angle, double radius)
{
    return labels->x + labels->way * radius * sin(angle);
}

double labels_y(const struct labels *labels, double angle, double radius)
{
    return labels->y - radius * cos(angle);
}

static bool boxes_meet(const struct label_box *a, const struct label_box *b)
{
    return a->left < b->right && b->left < a->right && a->top < b->bottom && b->top < a->bottom;
}

/* Narrow [*low, *high], a part of the leader, to where start + t * change lies between two bounds. */
static bool narrow(double *low, double *high, double start, double change, double least, double most)
{
    if (fabs(change) < 1e-9)
        return start > least && start < most;
    double a = (least - start) / change, b = (most - start) / change;
    *low = fmax(*low, fmin(a, b));
    *high = fmin(*high, fmax(a, b));
    return *low < *high;
}

static bool leader_meets(const struct label_leader *line, const struct label_box *box)
{
    double low = 0, high = 1;

    return narrow(&low, &high, line->x1, line->x2 - line->x1, box->left, box->right) &&
           narrow(&low, &high, line->y1, line->y2 - line->y1, box->top, box->bottom);
}

static bool is_free(const struct labels *labels, const struct label_box *box,
                    const struct label_leader *leader)
{
    if (box->left < labels->x - labels->reach_x || box->right > labels->x + labels->reach_x ||
        box->top < labels->y - labels->reach_y || box->bottom > labels->y + labels->reach_y)
        return false;
    for (size_t i = 0; i < labels->box_count; i++)
        if (boxes_meet(box, &labels->boxes[i]) ||
            (leader != NULL && leader_meets(leader, &labels->boxes[i])))
            return false;
    for (size_t i = 0; i < labels->leader_count; i++)
        if (leader_meets(&labels->leaders[i], box))
            return false;
    return true;
}

static void keep_box(struct labels *labels, const struct label_box *box)
{
    labels->boxes = memory_resize(labels->boxes, (labels->box_count + 1) * sizeof *labels->boxes);
    labels->boxes[labels->box_count++] = *box;
}

static void keep_leader(struct labels *labels, const struct label_leader *leader)
{
    labels->leaders = memory_resize(labels->leaders, (labels->leader_count + 1) * sizeof *labels->leaders);
    labels->leaders[labels->leader_count++] = *leader;
}

static void put_leader(struct svg *svg, const struct label_leader *leader)
{
    svg_path_begin(svg, LEADER_WIDTH);
    svg_path_move(svg, leader->x1, leader->y1);
    svg_path_line(svg, leader->x2, leader->y2);
    svg_path_end(svg, false);
}

bool labels_place(struct labels *labels, struct svg *svg, double angle, double radius,
                  const struct label_rings *rings, struct svg_text_style style, const char *text)
{
    double half_width = svg_text_width(text, style) / 2, half_height = SVG_CAPITAL * style.size / 2;
    /* How far a box's middle must stand off for the box to touch the ring. */
    double off = fabs(sin(angle)) * half_width + fabs(cos(angle)) * half_height;
    double way = rings->inward ? -1 : 1;

    for (unsigned ring = 0; ring < rings->count; ring++) {
        double near = rings->first + way * ring * rings->spacing;
        double x = labels_x(labels, angle, near + way * off);
        double y = labels_y(labels, angle, near + way * off);
        struct label_box box = { x - half_width - CLEARANCE, y - half_height - CLEARANCE,
                                 x + half_width + CLEARANCE, y + half_height + CLEARANCE };
        struct label_leader leader = {
            labels_x(labels, angle, radius), labels_y(labels, angle, radius),
            labels_x(labels, angle, near - way * CLEARANCE), labels_y(labels, angle, near - way * CLEARANCE)
        };
        if ((rings->inward && near < off) || !is_free(labels, &box, rings->leaders ? &leader : NULL))
            continue;
        keep_box(labels, &box);
        if (rings->leaders)
            keep_leader(labels, &leader);
        if (svg != NULL && rings->leaders)
            put_leader(svg, &leader);
        style.anchor = SVG_MIDDLE;
        if (svg != NULL)
            svg_text(svg, x, y + half_height, style, "%s", text);
        return true;
    }
    return false;
}
