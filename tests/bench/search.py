#!/usr/bin/env python3
"""The exact settings of one head for one N after the other, searched in Python: what crankcard table is measured by.

usage: search.py PROFILE COUNT...

Written as one would who knows the subject and the language: the trains of two and of four gears are listed once and
kept as fractions in lowest terms, each ratio once; every test is a remainder of whole numbers; a method is only
searched where the ones before it found nothing. Prints a line for each N: N, method, block; and then, on the last
line, the seconds spent on the search alone, the listing of the trains left out.

It does less than crankcard: it does not choose among the settings that it finds, works out no movement, and where
nothing is exact it says so and leaves out the approximate methods.
"""
import configparser
import sys
import time
from fractions import Fraction
from itertools import combinations
from math import gcd, lcm


class Head:
    def __init__(self, path):
        profile = configparser.ConfigParser(inline_comment_prefixes=(";",), strict=True)
        with open(path, encoding="utf-8") as f:
            profile.read_file(f)
        self.worm = Fraction(profile["head"]["worm"])
        self.direct = [int(h) for h in profile["direct"]["holes"].split()] if "direct" in profile else []
        sides = [[int(c) for c in circles.split()] for name in profile.sections() if name.startswith("plate ")
                 for circles in profile[name].values()]
        self.circles = sorted({c for side in sides for c in side})
        self.pairs = sorted({lcm(a, b) for side in sides for a, b in combinations(side, 2)})
        self.gears = [int(t) for t in profile["gears"]["teeth"].split()] if "gears" in profile else []
        self.ratios = self.list_trains()

    def list_trains(self):
        """R - e of every train, as (p, q): both directions, where there are gears left for the idlers."""
        gears, total = self.gears, len(self.gears)
        found = {}      # |e|: fewest gears on the shafts
        for n in range(total):
            for m in range(total):
                if n != m:
                    found[Fraction(gears[n], gears[m])] = 2
        for drivers in combinations(range(total), 2):
            rest = [i for i in range(total) if i not in drivers]
            top = gears[drivers[0]] * gears[drivers[1]]
            for driven in combinations(rest, 2):
                found.setdefault(Fraction(top, gears[driven[0]] * gears[driven[1]]), 4)
        ratios = set()
        for e, used in found.items():
            idlers = 1 if used == 2 else 0      # one more turns the plate the other way
            for signed, more in ((e, idlers), (-e, idlers + 1)):
                if used + more <= total and self.worm - signed > 0:
                    ratios.add(self.worm - signed)
        return [(r.numerator, r.denominator) for r in sorted(ratios)]


def search(head, n):
    p, q = head.worm.numerator, head.worm.denominator
    if any(holes % n == 0 for holes in head.direct):
        return "direct", 1
    if any(c * p % (q * n) == 0 for c in head.circles):
        return "plain", 1
    for tp, tq in head.ratios:
        qn = tq * n
        for c in head.circles:
            if tp * c % qn == 0:
                return "differential", 1
    if any(c * p % (q * n) == 0 for c in head.pairs):
        return "compound", 1
    for tp, tq in head.ratios:
        qn = tq * n
        for c in head.circles:
            if tp * c % n == 0:
                k = qn // gcd(qn, tp * c)
                if k < n and gcd(k, n) == 1:
                    return "differential", k
    return "none", 1


def main():
    head = Head(sys.argv[1])
    start = time.perf_counter()
    answers = [(n, *search(head, n)) for n in map(int, sys.argv[2:])]
    seconds = time.perf_counter() - start
    for n, method, block in answers:
        print(n, method, block)
    print(seconds)


main()
