"""Which way of doing a request comes first, for `make vote`: every setting of a head with what it is and what it costs.

The seconds are those of docs/method.md, "Effort", the order that of "Which plan comes first", both written down again. What
is to be changed when the order changes is SECONDS, SET_UP, CLASSES and rank().
"""
from fractions import Fraction as F
from math import gcd

import witness
from witness import is_exact, nearest

# Hands and risk of a movement, seconds.
SECONDS = {
    "direct": (7, 3), "direct that differs": (14, 12), "pins": (12, 8),
    "plain": (10, 4), "nearest hole": (14, 12), "list": (22, 20),
    "differential": (12, 6), "differential list": (24, 22),
    "dial": (12, 10), "dial parts": (16, 10),
    "compound": (25, 25), "compound back": (32, 30), "nearest compound": (32, 40), "compound list": (42, 60),
}
WHOLE_TURN, BY_BLOCKS, MARK = (2, 2), (5, 10), 3
SET_UP = {"worm out and in": 60 + 150, "circle and arms": 75, "plate": 300, "second pin": 180,
          "gears": {(1, 1): 900 + 600, (1, 2): 1200 + 600, (2, 0): 1500 + 600, (2, 1): 1800 + 600}}     # pairs, idlers; off again

# Of exact plans, the preferred first.
CLASSES = ["direct", "plain", "plain by blocks", "dial", "differential", "compound", "compound by blocks", "differential by blocks"]


class Way:
    """One way to do a request: a setting and how it is moved."""

    def __init__(self, scale, unit, block=1, move=None, pair=None, train=None, is_direct=False, has_pins=False, is_mounted=True,
                 bound=None, dial=None):
        self.scale, self.unit, self.block, self.move = scale, unit, block, move
        self.pair, self.train, self.is_direct, self.has_pins, self.is_mounted = pair, train, is_direct, has_pins, is_mounted
        self.dial = dial            # "dial", "dial parts" where it is read finer than its lines, or None
        self.bound = bound          # the worst error that a search is promised to come to; None: what it is


def goes_forward(units, pair):
    """Whether so many units can be shared out between two circles with neither part going back.

    a holes of the first are a u units, b of the second b v, with u and v prime to each other: the least b that leaves a
    multiple of u must leave no less than nothing.
    """
    first, second, unit = pair
    u, v = unit // first, unit // second
    least = units * pow(v, -1, u) % u if u > 1 else 0
    return least * v <= units


def whole_turns(way, request):
    """Whole turns of the crank in the movements after the start, all together."""
    if way.is_direct:
        return 0
    if request.positions is not None:
        units = [0] + [nearest(p * way.scale) for p in request.positions]
        return sum(abs(b - a) // way.unit for a, b in zip(units, units[1:]))
    n = request.divisions
    if way.move is not None:
        return n * (abs(way.move) // way.unit)
    # rounded places grow by the whole part of a movement or by one more, and so many more in all
    each = way.scale * (F(way.block, n) if request.is_circle() else request.arc / n)
    less = each.numerator // each.denominator
    start = request.offset * way.scale
    more = nearest(start + n * each) - nearest(start) - n * less
    return (n - more) * (less // way.unit) + more * ((less + 1) // way.unit)


def movement_kind(way, request):
    is_list, varies = request.positions is not None, way.move is None
    if way.dial:
        return way.dial
    if way.is_direct:
        return "pins" if way.has_pins else "direct that differs" if is_list or varies else "direct"
    if way.pair is not None:
        back = not varies and not goes_forward(way.move, way.pair)
        return "compound list" if is_list else "nearest compound" if varies else "compound back" if back else "compound"
    if way.train is not None:
        return "differential list" if is_list else "differential"
    return "list" if is_list else "nearest hole" if varies else "plain"


def effort(way, head, request):
    """(seconds by hand, the same with the risk)."""
    hands, risk = SECONDS[movement_kind(way, request)]
    if way.block > 1:
        hands, risk = hands + BY_BLOCKS[0], risk + BY_BLOCKS[1]
    n, turns = request.rows(), whole_turns(way, request)
    if way.is_direct:
        set_up = SET_UP["worm out and in"] if head.worm is not None else 0
    elif way.dial:
        set_up = 0
    else:
        set_up = SET_UP["circle and arms"] + (0 if way.is_mounted else SET_UP["plate"])
        set_up += SET_UP["second pin"] if way.pair is not None else 0
        set_up += SET_UP["gears"][way.train] if way.train is not None else 0
    time = set_up + n * (2 * hands + MARK) + 2 * turns * WHOLE_TURN[0]
    return time, time + n * risk + turns * WHOLE_TURN[1]


def class_name(way, request):
    """Of an exact way."""
    name = "direct" if way.is_direct else "dial" if way.dial else "compound" if way.pair else "differential" if way.train else "plain"
    return name + (" by blocks" if way.block != max(request.block, 1) and not way.is_direct and not way.dial else "")


def index_of(way):
    """What it sets the spindle by."""
    return "direct" if way.is_direct else "dial" if way.dial else "worm"


def rank(way, head, request, worst):
    """What decides which of two ways comes first: the smaller. worst: 0 for an exact one."""
    is_within, is_exact_way = worst <= head.tolerance(request), worst == 0
    preference = CLASSES.index(class_name(way, request)) if is_exact_way else 0
    return (not is_within, F(0) if is_within else worst, not head.holds(request, index_of(way)), not is_exact_way, preference,
            effort(way, head, request)[1], worst)


# ---- every way there is ----

def settings(head, request):
    """(method when exact, a Way without a movement) of every circle, couple and train that the request allows."""
    for holes, pins in head.direct.items():
        if request.allows_circle(holes):
            yield "direct", Way(F(holes * pins), holes * pins, is_direct=True, has_pins=pins > 1)
    if head.worm is None:
        return
    if head.dial:
        parts = head.dial_parts(request)
        if request.allows_circle(parts):
            yield "dial", Way(parts * head.worm, parts, dial="dial parts" if parts > head.dial[0] else "dial")
    for c, is_mounted in head.spots.items():
        if request.allows_circle(c):
            yield "plain", Way(c * head.worm, c, is_mounted=is_mounted)
    for (a, b, unit), is_mounted in head.any_couples.items():
        if request.allows_circle(a, b):
            yield "compound", Way(unit * head.worm, unit, pair=(a, b, unit), is_mounted=is_mounted)
    for ratio, train in head.ratios.items():
        for c, is_mounted in head.spots.items():
            if request.allows_circle(c):
                yield "differential", Way(c * ratio, c, train=train, is_mounted=is_mounted)


def moved(way, request, block, move=None, bound=None):
    return Way(way.scale, way.unit, block, move, way.pair, way.train, way.is_direct, way.has_pins, way.is_mounted, bound,
               way.dial)


def exact_ways(head, request):
    one = max(request.block, 1)
    for method, way in settings(head, request):
        if not request.allows(method):
            continue
        block = witness.exact_block(way.scale, request) if method not in ("direct", "dial") else one if is_exact(way.scale, request, one) else 0
        if block == 0:
            continue
        move = None
        if request.positions is None:
            each = F(block, request.divisions) if request.is_circle() else request.arc / request.divisions
            move = int(each * way.scale)
        yield moved(way, request, block, move)


def nearly_exact_ways(way, request):
    """The same movement every time, of one block or another, with which neighbours are surely kept apart."""
    n, num, den = request.divisions, way.scale.numerator, way.scale.denominator
    first = abs(nearest(request.offset * way.scale) / way.scale - request.offset)
    for k in [request.block] if request.block else range(1, n):
        if gcd(k, n) > 1:
            continue
        move, off = divmod(k * num, n * den)        # k divisions are so many units and off / (n den) more
        if 2 * off >= n * den:
            move, off = move + 1, n * den - off
        grown = F(off, num)                         # n movements, each off / (n den) units out
        # neighbours are up to n - 1 movements apart and must stay less than a division off
        if 0 < grown and grown * (n - 1) < 1:
            yield moved(way, request, k, move, first + grown)


def nearest_train_way(way, request):
    n, k = request.divisions, max(request.block, 1)
    apart = pow(k, -1, n) if n > 1 else 0
    move = nearest(way.scale * k / n)
    grown = abs(n * move - k * way.scale) / way.scale
    first = abs(nearest(request.offset * way.scale) / way.scale - request.offset)
    if move > 0 and 0 < grown < 1 and grown * max(apart, n - apart) < 1:
        yield moved(way, request, k, move, first + grown)


def approximate_ways(head, request):
    """(a Way, its worst error) of every way that is not exact."""
    one = max(request.block, 1)
    for method, way in settings(head, request):
        rounding = "dial" if way.dial else "nearest-compound" if way.pair is not None else None if way.train is not None else "nearest-hole"
        if rounding and request.allows(rounding) and not is_exact(way.scale, request, one) and \
                witness.keeps_apart(way.scale, request):
            yield moved(way, request, one), witness.worst_of_rounding(way.scale, request)
        if not request.is_circle():
            continue
        if way.pair is not None and request.allows("nearly-exact") and request.divisions > 1:
            for constant in nearly_exact_ways(way, request):
                yield constant, witness.worst_of_constant(way.scale, request, constant.block, constant.move)
        if method == "differential" and request.allows(method):
            for constant in nearest_train_way(way, request):
                yield constant, witness.worst_of_constant(way.scale, request, constant.block, constant.move)
