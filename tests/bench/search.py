#!/usr/bin/env python3
"""The exact settings of one head for one N after the other, searched in Python: what crankcard table is measured by.

usage: search.py [--integers] PROFILE COUNT...

Written as one would who knows the subject and the language: the trains of two and of four gears are listed once,
each ratio once, and a method is only searched where the ones before it found nothing. As the formulas stand, every test
is of a Fraction: is t = C (R - e) k / N whole? With --integers the fractions are taken apart beforehand, equal
products C p are merged, and every test is a remainder of whole numbers. Prints a line for each N: N, method, block; and then, on the last line, the seconds of processor time spent on the search alone, the listing of the trains left out.

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
        products = {}       # C p: every q
        for r in self.ratios:
            for c in self.circles:
                products.setdefault(c * r.numerator, set()).add(r.denominator)
        self.products = products
        self.in_order = sorted(products)
        self.whole = {p // q for p, every in products.items() for q in every if p % q == 0}
        self.largest = max(self.whole, default=0)

    def list_trains(self):
        """R - e of every train: both directions, where there are gears left for the idlers."""
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
        return sorted(ratios)


def search(head, n):
    """The first method that is exact for n, with Fractions."""
    part = Fraction(1, n)
    if any((holes * part).denominator == 1 for holes in head.direct):
        return "direct", 1
    if any((c * head.worm * part).denominator == 1 for c in head.circles):
        return "plain", 1
    for ratio in head.ratios:
        one = ratio * part
        for c in head.circles:
            if (c * one).denominator == 1:
                return "differential", 1
    if any((c * head.worm * part).denominator == 1 for c in head.pairs):
        return "compound", 1
    for ratio in head.ratios:
        one = ratio * part
        for c in head.circles:
            k = (c * one).denominator       # the smallest k for which k times the movement is whole
            if k < n and gcd(k, n) == 1:
                return "differential", k
    return "none", 1


def search_integers(head, n):
    """The same with whole numbers."""
    p, q = head.worm.numerator, head.worm.denominator
    if any(holes % n == 0 for holes in head.direct):
        return "direct", 1
    if any(c * p % (q * n) == 0 for c in head.circles):
        return "plain", 1
    if any(multiple in head.whole for multiple in range(n, head.largest + 1, n)):
        return "differential", 1
    if any(c * p % (q * n) == 0 for c in head.pairs):
        return "compound", 1
    for product in [product for product in head.in_order if not product % n]:
        for tq in head.products[product]:
            k = tq * n // gcd(tq * n, product)
            if k < n and gcd(k, n) == 1:
                return "differential", k
    return "none", 1


def main():
    words = sys.argv[1:]
    find = search
    if words[0] == "--integers":
        find = search_integers
        del words[0]
    head = Head(words[0])
    start = time.process_time()
    answers = [(n, *find(head, n)) for n in map(int, words[1:])]
    seconds = time.process_time() - start
    for n, method, block in answers:
        print(n, method, block)
    print(seconds)


main()
