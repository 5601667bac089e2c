"""Dividing by first principles, for `make vote`: what a head can do for a request, worked out from the kinematics alone.

    theta = m / (unit * ratio)      the spindle after m units, in turns
    unit    holes in a turn of the crank (plain), least common multiple of two circles (compound), holes times pins
            of the direct plate
    ratio   crank turns, relative to the plate, in one turn of the spindle: R; R - e with the plate geared; 1 for direct

Whole numbers and fractions only. Nothing of the program is used or looked at: heads and requests are those that vote.py
draws, and their meaning is that of docs/method.md.
"""
from fractions import Fraction as F
from itertools import permutations
from math import gcd, lcm

ASSUMED = {"worm": F(2, 21600), "direct": F(5, 21600)}     # what a head is taken to hold where its profile is silent, turns


class Request:
    """N divisions of arc, or positions; all angles in turns. block 0: free; circle 0: any; methods None: all."""

    def __init__(self, divisions=0, arc=F(1), offset=F(0), block=0, methods=None, circle=0, tolerance=None, positions=None,
                 by_eye=1):
        self.by_eye = by_eye
        self.divisions, self.arc, self.offset, self.block = divisions, arc, offset, block
        self.methods, self.circle, self.tolerance, self.positions = methods, circle, tolerance, positions

    def is_circle(self):
        return self.positions is None and self.arc == 1

    def allows(self, method):
        return self.methods is None or method in self.methods

    def allows_circle(self, *circles):
        return self.circle == 0 or self.circle in circles

    def rows(self):
        """Movements after row 0."""
        return self.divisions if self.positions is None else len(self.positions)

    def is_narrowed(self, head):
        """Whether an option leaves out exact settings that the head may have."""
        kinds = {"direct", "plain", "differential", "compound"} | ({"dial"} if head.dial else set())
        left_out = self.methods is not None and not kinds <= self.methods
        return left_out or self.circle != 0 or self.block != 0


class Head:
    """What is on the bench. direct: holes of a circle of the direct plate, and its pins. plates: a list of (side 1, side 2), each a list of circles; mounted: (plate, side) from 0.

    spots: each circle, and whether one is on now. couples: each two circles that crank pin and second pin reach together and
    that give more than one of them, with their least common multiple, likewise; any_couples whichever pin is in which. ratios: each R - e > 0, with (pairs, idlers) of
    the train that is cheapest to set up.
    """

    def __init__(self, worm=None, direct=None, plates=(), pin="same", gears=(), is_reversed=False, least_sum=0,
                 most_sum=0, worm_holds=None, direct_holds=None, mounted=None, dial=None, dial_holds=None):
        self.dial, self.dial_holds = dial, dial_holds       # (lines, parts of the vernier)
        self.worm, self.direct, self.plates, self.pin = worm, direct or {}, plates, pin
        self.gears, self.is_reversed, self.least_sum, self.most_sum = gears, is_reversed, least_sum, most_sum
        self.worm_holds, self.direct_holds = worm_holds, direct_holds
        self.mounted = mounted
        self.spots, self.couples, self.any_couples = {}, {}, {}
        self.find_circles()
        self.ratios = self.find_ratios() if worm is not None else {}

    def find_circles(self):
        for p, sides in enumerate(self.plates):
            for s, this in enumerate(sides):
                is_mounted = (p, s) == self.mounted
                for a in this:
                    self.spots[a] = self.spots.get(a, False) or is_mounted
                    for b in {"same": this, "other": sides[1 - s], "none": ()}[self.pin]:
                        if lcm(a, b) not in (a, b):
                            couple = (a, b, lcm(a, b))
                            self.couples[couple] = self.couples.get(couple, False) or is_mounted
                            couple = (min(a, b), max(a, b), lcm(a, b))
                            self.any_couples[couple] = self.any_couples.get(couple, False) or is_mounted

    # ---- gears ----

    def meshes(self, a, b):
        return a + b >= self.least_sum and (self.most_sum == 0 or a + b <= self.most_sum)

    def find_ratios(self):
        """Every R - e > 0 of a train of two or four of the gears, idlers from those left."""
        turns = {}

        def add(e, *train):
            e = -e if self.is_reversed else e
            turns[e] = min(turns.get(e, train), train)      # fewer pairs, then fewer idlers: the cheaper

        indices = range(len(self.gears))
        for i, j in permutations(indices, 2):
            for idlers in (1, 2):
                if self.joins((i, j), i, j, idlers):
                    add(F(self.gears[i], self.gears[j]) * (1 if idlers == 1 else -1), 1, idlers)
        for used in permutations(indices, 4):
            a, b, c, d = (self.gears[i] for i in used)
            for first, second in ((0, 0), (1, 0), (0, 1)):
                if self.stands(used, first, second):
                    add(F(a * c, b * d) * (1 if first + second == 0 else -1), 2, first + second)
        return {self.worm - e: train for e, train in sorted(turns.items()) if self.worm > e}

    def joins(self, used, i, j, idlers):
        """Whether gear i drives gear j through so many idlers of those not used."""
        if idlers == 0:
            return self.meshes(self.gears[i], self.gears[j])
        return any(self.meshes(self.gears[i], self.gears[x]) and self.joins(used + (x,), x, j, idlers - 1)
                   for x in range(len(self.gears)) if x not in used)

    def stands(self, used, first, second):
        """Whether two pairs stand on a bracket with so many idlers in the first mesh and in the second, one at most.

        With a module of 1 the shafts of two gears that mesh are half their teeth apart, with an idler between them all its
        teeth more; a gear reaches half its teeth and 1. C, beside B on the stud, stays off the middle of A's shaft, and B off
        that of D's.
        """
        a, b, c, d = (self.gears[i] for i in used)
        for idler in [0] if first + second == 0 else [g for i, g in enumerate(self.gears) if i not in used]:
            meshes = ((a, idler), (idler, b), (c, d)) if first else ((a, b), (c, idler), (idler, d)) if second else ((a, b), (c, d))
            to_stud, from_stud = F(a + b, 2) + first * idler, F(c + d, 2) + second * idler
            if all(self.meshes(*pair) for pair in meshes) and to_stud > F(c, 2) + 1 and from_stud > F(b, 2) + 1:
                return True
        return False

    def train_fault(self, gearing):
        """What is wrong with a train that is said to be one of this head's, or None."""
        drivers, driven, idlers = gearing["drivers"], gearing["driven"], gearing["idlers"]
        left, used = list(self.gears), []
        for teeth in [gear for pair in zip(drivers, driven) for gear in pair]:
            if teeth not in left:
                return f"no gear of {teeth} teeth is left"
            used.append(left.index(teeth))
            left[used[-1]] = None
        e = F(1)
        for a, b in zip(drivers, driven):
            e *= F(a, b)
        if (idlers != (1 if len(drivers) == 1 else 0)) != self.is_reversed:
            e = -e
        if e != F(gearing["ratio"]):
            return f"these gears give e = {e}"
        place = gearing["idlers_in"]
        if len(drivers) == 1:
            good = idlers in (1, 2) and self.joins(tuple(used), *used, idlers)
        else:
            good = idlers in (0, 1) and self.stands(tuple(used), idlers * (place == 1), idlers * (place == 2))
        return None if good else "this train cannot stand"

    # ---- what it holds ----

    def tolerance(self, request):
        if request.tolerance is not None:
            return request.tolerance
        return self.taken_to_hold("direct" if self.worm is None else "worm") / 4

    def taken_to_hold(self, by):
        """As stated, else assumed; a dial where nothing is stated of it as the worm."""
        if by == "dial" and self.dial_holds is None:
            by = "worm"
        stated = {"direct": self.direct_holds, "worm": self.worm_holds, "dial": self.dial_holds}[by]
        return stated if stated is not None else ASSUMED[by]

    def holds(self, request, by):
        """Whether what it holds by the worm, the direct plate or the dial is within a tolerance that was asked for."""
        return request.tolerance is None or self.taken_to_hold(by) <= request.tolerance

    def dial_parts(self, request):
        """To how many parts of a crank turn the dial is read."""
        return self.dial[0] * self.dial[1] * request.by_eye


# ---- exact settings ----

def is_exact(scale, request, block):
    """Whether every position is a whole number of units, scale of them to a turn, taken block divisions at a time."""
    def whole(angle):
        return scale.numerator * angle.numerator % (scale.denominator * angle.denominator) == 0
    if request.positions is not None:
        return all(whole(p) for p in request.positions)
    step = F(block, request.divisions) if request.is_circle() else request.arc / request.divisions
    return whole(request.offset) and whole(step)


def exact_block(scale, request):
    """The least block with which a setting is exact, or 0. Only a full circle may be taken by blocks of one's own choice.

    k divisions are k scale / N units: k must take the denominator of scale / N away, so it is a multiple of it. If the
    denominator itself has a factor in common with N, so has every multiple, and then not all divisions are reached.
    """
    if not request.is_circle() or request.block != 0:
        block = max(request.block, 1)
        return block if is_exact(scale, request, block) else 0
    block = (scale / request.divisions).denominator
    if block > 1 and (block >= request.divisions or gcd(block, request.divisions) > 1):
        return 0
    return block if is_exact(scale, request, block) else 0


# ---- approximate settings ----

def nearest(x):
    """The whole number nearest to x, halves away from zero."""
    n, d = abs(x.numerator), x.denominator
    whole = (2 * n + d) // (2 * d)
    return whole if x >= 0 else -whole


def worst_of_rounding(scale, request):
    """The largest distance of any row from the nearest unit, turns."""
    if request.positions is not None:
        return max((abs(nearest(p * scale) - p * scale) for p in request.positions), default=F(0)) / scale
    first, each = request.offset * scale, scale * request.arc / request.divisions
    below = lcm(first.denominator, each.denominator)
    at, step = first.numerator * (below // first.denominator) % below, each.numerator * (below // each.denominator) % below
    worst = 0
    for _ in range(min(request.divisions, below) + 1):
        worst = max(worst, min(at, below - at))
        at = (at + step) % below
    return F(worst, below) / scale


def keeps_apart(scale, request):
    """Rounding does: a division is a unit or more; exactly one, half a unit off, may be rounded both ways at zero."""
    if request.positions is not None:
        return True
    division = scale * request.arc / request.divisions
    if request.block > 1 and scale.denominator != 1:
        return False
    half = (request.offset * scale).denominator == 2
    return division > 1 or (division == 1 and not (half and request.is_circle()))


def worst_of_constant(scale, request, block, move):
    """The largest error where every movement is move units: a straight line, so at one of its ends."""
    first = nearest(request.offset * scale) / scale - request.offset
    grown = request.divisions * (move / scale - F(block, request.divisions))
    return max(abs(first), abs(first + grown))


# ---- one setting, row by row ----

def rows_of(scale, request, block, move=None):
    """(units, angle, nominal) of every row; move units each time, or each position rounded where that is None."""
    for i in range(request.rows() + 1):
        if request.positions is not None:
            nominal = request.positions[i - 1] if i > 0 else F(0)
        elif request.is_circle():
            nominal = request.offset + F(i * block, request.divisions)
        else:
            nominal = request.offset + i * request.arc / request.divisions
        units = nearest(nominal * scale) if move is None else nearest(request.offset * scale) + i * move
        yield units, units / scale, nominal


def figures(scale, request, block, move=None):
    """(worst error, pitch error, closing error) from the rows; closing is None where nothing closes."""
    errors = [angle - nominal for _, angle, nominal in rows_of(scale, request, block, move)]
    worst = max(abs(e) for e in errors)
    if not request.is_circle():
        return worst, max((abs(b - a) for a, b in zip(errors, errors[1:])), default=F(0)), None
    n = request.divisions
    on_work = [F(0)] * n
    for i in range(n):
        on_work[i * block % n] = errors[i]
    pitch = max(abs(on_work[(d + 1) % n] - on_work[d]) for d in range(n))
    return worst, pitch, errors[n]
