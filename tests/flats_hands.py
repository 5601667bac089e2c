"""Flats made from the card alone. Usage: flats_hands.py PROGRAM.

Hands that know a dividing head and a milling machine and nothing else read a card of flats from top to bottom: each row's movement,
each depth and each measure that the order of work names. The work is a disc that may be off centre; the dial's zero is wrong by
what a strip of paper is misjudged by; calipers read to a hundredth. What is left must be N flats, a full turn over N apart, all as
far from the axis as was asked, and nothing may have been cut deeper on the way.
"""
import itertools
import math
import random
import re
import subprocess
import sys
from fractions import Fraction

PROGRAM = sys.argv[1]
WORM, NUMBER = 40, r"(\d+\.\d+) (?:mm|in)"
wrong = []


def card_of(words):
    return subprocess.run([PROGRAM, "flats", *words], capture_output=True, text=True, check=True, env={"HOME": "/nonexistent"}).stdout


def turn_of(movement):
    """Of the spindle, as a row says it: holes of the direct plate, or turns and holes of the crank."""
    whole, _, part = movement.rpartition(" ")
    if "/" not in part:
        whole, part = part, "0"
    return Fraction(whole or 0) + Fraction(part)


def rows_of(card):
    """(row, turn of the spindle since the row before)."""
    steps = card[card.index("\nSteps\n"):card.index("\nClosing check\n")]
    direct = "the direct plate" in card
    each = re.search(r"Each movement ([\d/ ]+)\.", steps)
    if each:        # then the rows may stand side by side, and say their numbers alone
        turn = turn_of(each.group(1)) / (1 if direct else WORM)
        return [(row, turn if row > 0 else Fraction(0)) for row in sorted(int(n) for n in re.findall(r"\[ \] +(\d+)", steps))]
    rows = []
    for line in steps.splitlines():
        found = re.match(r"\[ \] +(\d+)  ([^\[(]*)", line)
        if not found:
            continue
        said = [cell for cell in re.split(r"  +", found.group(2).strip()) if cell]
        turn = turn_of(said[0]) if rows else Fraction(0)
        rows.append((int(found.group(1)), turn if direct else turn / WORM))
    return rows


class Work:
    """A disc on the spindle, and the flats that have been cut: by angle on the work, the distance from the spindle's axis."""

    def __init__(self, stock, off, at):
        self.radius, self.x, self.y = stock / 2, off * math.cos(at), off * math.sin(at)
        self.flats = {}

    def top(self, turn):
        """How far the round reaches from the spindle's axis towards the cutter."""
        return self.radius + self.x * math.cos(2 * math.pi * turn) + self.y * math.sin(2 * math.pi * turn)

    def cut(self, turn, height):
        self.flats[turn % 1] = min(self.flats.get(turn % 1, math.inf), height)

    def over(self, turn):
        """By calipers, over the flat that is up and what is opposite: a flat, or the round."""
        other = (turn + Fraction(1, 2)) % 1
        return round(self.flats[turn % 1] + self.flats.get(other, self.top(turn + Fraction(1, 2))), 2)


def number(pattern, text):
    return float(re.search(pattern, text).group(1))


def make(card, work, misjudged):
    """Do what the card says. Returns the heights that were ever cut."""
    order = re.sub(r"\s+", " ", card[card.index("\nOrder of work"):card.index("\nSteps\n")])
    at, angles = Fraction(0), {}
    for row, turn in rows_of(card):
        at += turn
        angles[row] = at
    items = re.split(r" \d+\. (?=[A-Z])", order)
    first = min(angles)
    zero = work.top(angles[first]) + misjudged      # where the dial shows 0
    dial, done = None, set()
    for item in items:
        if re.match(r"Row \d+, flat 1: ", item):
            row = int(re.search(r"Row (\d+)", item).group(1))
            dial = number("cut " + NUMBER, item)
            work.cut(angles[row], zero - dial)
            right = re.search(f"Go deeper by all that is over {NUMBER}", item)
            if right:
                dial += work.over(angles[row]) - float(right.group(1))
                work.cut(angles[row], zero - dial)
            done.add(row)
        elif re.match(r"Row \d+, flat \d+, opposite: the same dial", item):
            row = int(re.search(r"Row (\d+)", item).group(1))
            work.cut(angles[row], zero - dial)
            dial += (work.over(angles[row]) - number(f"Half of what is over {NUMBER}", item)) / 2
            work.cut(angles[row], zero - dial)
            done.add(row)
        else:
            found = re.match(r"Rows? (\d+)(?: to (\d+))?(?:, all at that dial|: flat 1 again, at that dial|, the other flats: the same dial)", item)
            for row in range(int(found.group(1)), int(found.group(2) or found.group(1)) + 1) if found else ():
                work.cut(angles[row], zero - dial)
                done.add(row)
    return set(angles) - done


def check(n, across, stock, more, off, at, misjudged):
    words = [str(n), "--across", str(across), "--stock", str(stock), *more]
    work = Work(stock, off, at)
    left = make(card_of(words), work, misjudged)
    said = f"flats {' '.join(words)}, off centre {off:.3f}, zero {misjudged:+.3f}"
    if left:
        wrong.append(f"{said}: nobody says what to do in rows {sorted(left)}")
    if sorted(work.flats) != [Fraction(k, n) for k in range(n)]:
        wrong.append(f"{said}: flats at {[str(t) for t in sorted(work.flats)]}")
    for turn, height in work.flats.items():
        if abs(height - across / 2) > 0.0101:       # a hundredth misread, by half or whole
            wrong.append(f"{said}: the flat at {turn} is {height:.3f} from the axis, not {across / 2}")
    return 1


def main():
    draw = random.Random(20)
    runs = 0
    for n, method in itertools.product([*range(2, 13), 16, 24, 30, 60], ["direct", "plain"]):
        if method == "direct" and 24 % n or method == "plain" and n in (7, 9, 11) and draw.random() < 0.3:
            continue
        across = round(draw.uniform(8, 40), 2)
        stock = round(across * draw.choice([1.04, 1.1, 1.25, 2.1 if n < 4 else 1.2]), 2)
        room = (stock - across) / 2
        shy = min(0.2, room / 2)
        # As far off as the card still lets pass; odd numbers of flats lean on the round.
        off = draw.uniform(0, 0.5) * shy if n % 2 == 0 else 0
        runs += check(n, across, stock, ["-m", method], off, draw.uniform(0, 6.28), draw.uniform(-0.45, 0.45) * shy)
    for line in wrong[:20]:
        print("FAIL", line)
    if not wrong:
        print(f"ok   {runs} cards of flats, done by hands that have nothing else")
    return 1 if wrong or runs < 18 else 0


sys.exit(main())
