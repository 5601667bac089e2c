"""Readings of a dial, its vernier and a rim from first principles, and hands that have nothing but the printed card.

Heads and requests are drawn with a seed: worms, lines, verniers, both numberings, ways in which readings rise, offsets, arcs,
lists, parts by eye. In the records of some 10^5 rows each position must stand at the reading nearest to it, halves away from
zero, and dial and rim must show where it is. Then cards are read as a stranger reads them, at 72 and 40 columns: whole turns, up to the
printed reading from the same side; the rim must show what the row says, and every cut must be where the work wants it.

    CRANKCARD=build/crankcard python3 tests/dial.py
"""
import json
import os
import random
import re
import shlex
import subprocess
import sys
import tempfile
from fractions import Fraction as F

CRANKCARD = os.environ["CRANKCARD"]
MULT = int(os.environ.get("CRANKCARD_TEST_MULT", "1"))
SEED = int(os.environ.get("CRANKCARD_SEED", "20261"))
ROWS = 100000 * MULT
CARDS = 120 * MULT
WORMS = [F(90), F(72), F(40), F(60), F(120), F(180), F(77, 2), F(9, 2), F(41, 3)]
WAYS = [None, "clockwise", "counter"]


def ensure(condition, *words):
    if not condition:
        print("FAIL", *words)
        sys.exit(1)


def nearest(x):
    """The nearest whole number, halves away from zero."""
    whole = (2 * abs(x.numerator) + x.denominator) // (2 * x.denominator)
    return whole if x >= 0 else -whole


class Head:
    def __init__(self, rng, path):
        self.worm = rng.choice(WORMS)
        self.lines = rng.choice([240, 100, 150, 360, 480, 200, rng.randint(2, 500)])
        self.vernier = rng.choice([1, 1, 2, 5, 6, 10, 12])
        space = F(1296000) / self.worm / self.lines
        self.by_angle = space.denominator == 1 and rng.random() < 0.7
        self.rises = rng.choice(WAYS)
        self.rim = rng.choice([None, (360, 1), (360, 1), (720, 1), (360, 12), (400, 5)])
        self.rim_rises = rng.choice(WAYS) if self.rises else None
        self.spindle = rng.choice([None, "with", "against"])
        self.fixed = rng.random() < 0.3
        self.path = path
        with open(path, "w", encoding="utf-8") as file:
            file.write(f"[head]\nworm = {self.worm}\n" + (f"spindle = {self.spindle}\n" if self.spindle else "") +
                       f"[dial]\nlines = {self.lines}\nvernier = {self.vernier}\n"
                       f"numbered = {'angle' if self.by_angle else 'lines'}\nzero = {'fixed' if self.fixed else 'settable'}\n" +
                       (f"rises = {self.rises}\n" if self.rises else ""))
            if self.rim:
                file.write(f"[rim]\nlines = {self.rim[0]}\nvernier = {self.rim[1]}\n" +
                           (f"rises = {self.rim_rises}\n" if self.rim_rises else ""))

    def hands(self):
        """Ways of going round that this profile can be asked for."""
        return [[], [], ["--clockwise"], ["--counter"]] if self.spindle and self.rises else [[]]


class Request:
    """positions: where each row is to stand, turns; row 0 first."""

    def __init__(self, rng, head, most):
        self.by_eye = rng.choice([1, 1, 2, 5, 10])
        self.parts = head.lines * head.vernier * self.by_eye
        scale = self.parts * head.worm
        self.is_list = rng.random() < 0.3
        if self.is_list:
            below = rng.choice([360, 21600, rng.randint(2, 400), 2 * scale.numerator])   # the last: ties
            self.positions = [F(0)] + [F(rng.randint(-below // 4, 2 * below), below) for _ in range(rng.randint(1, 12))]
            self.words = ["angles"] + [f"{p}rev" for p in self.positions[1:]]
        else:
            n = rng.choice([7, 11, 13, 127, rng.randint(1, most), rng.randint(1, 200)])
            n = min(n, int(scale))
            arc = rng.choice([F(1)] * 3 + [F(rng.randint(1, 89), 90)])
            if arc != 1:
                n = max(1, min(n, int(scale * arc)))
            offset = rng.choice([F(0)] * 3 + [F(rng.randint(-400, 400), rng.choice([360, 7, 2 * scale.numerator]))])
            self.positions = [offset + i * arc / n for i in range(n + 1)]
            self.words = ["divide", str(n)] + (["--arc", f"{arc}rev"] if arc != 1 else []) + \
                         ([f"--offset={offset}rev"] if offset else [])
        self.words += ["--method", "dial"] + (["--by-eye", str(self.by_eye)] if self.by_eye > 1 else []) + rng.choice(head.hands())

    def line(self, head):
        return self.words + ["--head", head.path]


def forward_of(head, words):
    """1 where readings of the dial rise as the crank is turned forward, -1 where they fall; and the crank's way, or None."""
    if "--clockwise" not in words and "--counter" not in words:
        return 1, head.rises
    # the work follows the other way than the spindle turns; the spindle turns as the crank does, or against it
    spindle = "counter" if "--clockwise" in words else "clockwise"
    other = {"clockwise": "counter", "counter": "clockwise"}
    crank = spindle if head.spindle == "with" else other[spindle]
    return (1 if crank == head.rises else -1), crank


def rim_way(head, words):
    """The same of the rim: as the dial where nothing is said of it."""
    dial, crank = forward_of(head, words)
    return dial if head.rim_rises is None else 1 if crank == head.rim_rises else -1


def check_records(head, request, records):
    plan, steps = records[0], records[1:]
    words = shlex.join(request.line(head))
    ensure(plan["record"] == "plan" and len(steps) == len(request.positions), words, plan, len(steps))
    way, _ = forward_of(head, request.words)
    span = 360 / head.worm if head.by_angle else F(head.lines)
    worst, at = F(0), 0
    for step, wanted in zip(steps, request.positions):
        units = nearest(wanted * request.parts * head.worm)
        angle = units / (request.parts * head.worm)
        ensure(F(step["angle"]) == angle and F(step["nominal"]) == wanted, words, step, angle)
        moved = units - at
        ensure(step["turns"] * request.parts + step["holes"] == moved and abs(step["holes"]) < request.parts, words, step, moved)
        ensure(step["turns"] * moved >= 0 and step["holes"] * moved >= 0, words, "both of one sign", step)
        ensure(step["circle"] == request.parts and step["hole"] == units % request.parts, words, step)
        ensure(F(step["dial"]) == F(way * units % request.parts, request.parts) * span, words, "dial", step)
        if head.rim:
            ensure(F(step["rim"]) == rim_way(head, request.words) * angle * 360 % 360, words, "rim", step)
            # the two scales say the same: a turn of the crank is 1/R of the rim
            dial_angle = F(step["dial"]) / span / head.worm * way
            rim_angle = F(step["rim"]) / 360 * rim_way(head, request.words)
            if (1 / head.worm).numerator == 1:
                ensure((rim_angle - dial_angle) * head.worm % 1 == 0, words, "dial and rim differ", step)
        else:
            ensure(step["rim"] is None, words, "a rim that is not there", step)
        worst, at = max(worst, abs(angle - wanted)), units
    ensure(plan["exact"] == (worst == 0), words, "exact", worst)
    return len(steps)


def many_rows(rng, folder):
    rows = 0
    while rows < ROWS:
        asked = []
        for i in range(40):
            head = Head(rng, os.path.join(folder, f"head{i}.ini"))
            asked += [(head, Request(rng, head, 1200)) for _ in range(8)]
        lines = "".join(shlex.join(request.line(head)) + "\n" for head, request in asked)
        done = subprocess.run([CRANKCARD, "batch", "-"], input=lines.encode(), stdout=subprocess.PIPE, check=False)
        found = {}
        for text in done.stdout.decode().splitlines():
            record = json.loads(text)
            found.setdefault(record["line"], []).append(record)
        for number, (head, request) in enumerate(asked, 1):
            rows += check_records(head, request, found[number])
    return rows


# ---- hands with a printed card ----

ANGLE = r"(-?\d+°\d\d′\d\d(?:\.\d+)?″)"
LINE = r"(\d+°\d\d′(?:\d\d″)?|\d+)"
PART = r"(\d+ \d+/\d+|\d+/\d+|\d+|on)"
RIM = r"(\d+\.\d°|\d+°\d\d′(?:\d\d″)?)"


def seconds(text):
    """Seconds of an angle such as 3°25′ or 359.9°."""
    sign = -1 if text.startswith("-") else 1
    numbers = [F(n) for n in re.findall(r"[\d.]+", text)]
    return sign * sum(n * unit for n, unit in zip(numbers, (3600, 60, 1)))


def rows_of_card(card, head, request):
    """(number or "end", turns, line, part, rim, angle) of every row, as printed; what a row has on a second line with it."""
    part = PART + r"\s+" if head.vernier > 1 or request.by_eye > 1 else "()"
    rim = RIM + r"\s+" if head.rim else "()"
    rest = LINE + r"\s+" + part + rim + ANGLE
    steps = card.split("\nSteps\n")[1].split("\nClosing check\n")[0]
    start = re.findall(r"\[ \]\s+(0)()\s+" + rest, steps)         # nothing stands under turns
    others = re.findall(r"[\[(] [\])]\s+([1-9]\d*|end)\s+(-?\d+)\s+" + rest, steps)
    return start + sorted(others, key=lambda found: (found[0] == "end", int(found[0]) if found[0] != "end" else 0))


class Bench:
    """A crank with play, a dial on its shaft, a rim round the spindle; all in turns, the crank's way forward positive."""

    def __init__(self, rng, head, way, rim_way):
        self.head, self.way, self.rim_way = head, way, rim_way
        self.play = F(rng.randint(1, 45), 100)              # of the crank: half a turn back is beyond it
        self.rim_at = F(rng.randint(0, 359), 360)           # the spindle where the rim shows 0
        self.spindle = F(rng.randint(0, 359), 360)
        self.crank = self.spindle * head.worm + F(rng.randint(0, 100), 100) * self.play
        self.dial_at = F(rng.randint(0, 99), 100)

    def turn(self, turns):
        self.crank += turns
        self.spindle = max(self.spindle, (self.crank - self.play) / self.head.worm)
        self.spindle = min(self.spindle, self.crank / self.head.worm)

    def dial(self):
        return self.way * (self.crank - self.dial_at) % 1

    def to_dial(self, reading):
        """Forward, less than a turn, to where the dial shows so much of a turn."""
        self.turn(self.way * (reading - self.dial()) % 1)

    def rim(self):
        return self.rim_way * (self.spindle - self.rim_at) % 1

    def zero(self):
        """As the card says: forward until the play is up, on to 0, and the dial set to 0 there."""
        self.turn(1)
        if self.head.rim:       # on until the rim comes up to 0, where a dial that is fixed shows its 0 as well
            self.turn(-self.rim_way * self.rim() % 1 * self.head.worm)
        elif self.head.fixed:
            self.to_dial(F(0))
            return
        self.dial_at = self.crank


def reading_of(line, part, head, request):
    """What the eye is to see, as a part of a turn of the dial."""
    ensure(part != "on" or head.vernier == 1 and request.by_eye > 1, "on the line, where no part is by eye", part)
    if part == "on":
        part = ""
    lines = seconds(line) / (F(1296000) / head.worm / head.lines) if "°" in line else F(line)
    whole, _, eye = part.rpartition(" ")
    if "/" not in part:
        whole, eye = part, ""
    more = F(whole or 0) / head.vernier
    if eye:
        top, below = eye.split("/")
        ensure(int(below) == request.by_eye and 0 < int(top) < request.by_eye, "parts by eye", part)
        more += F(int(top), request.by_eye * head.vernier)
    ensure(lines.denominator == 1 and lines < head.lines and more < 1, "no such line", line, part)
    return (lines + more) / head.lines


def follow_card(rng, head, request, width):
    words = shlex.join(request.line(head)) + f" --width {width}"
    done = subprocess.run([CRANKCARD, *request.line(head), "--width", str(width), "--all-steps"], stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE, check=False)
    card = done.stdout.decode()
    ensure(done.returncode == 0, words, done.stderr.decode())
    carries = re.findall(r"(?<![\d.])60[′″]|(?<![\d])360\.0°|(?<!\d)360°00′(?!\d)", card.split("\nSteps\n")[1].split("\nClosing")[0])
    ensure(not carries, words, "a carry", carries)
    way, crank = forward_of(head, request.words)
    said = re.search(r"Forward is(?: the)? ([\w-]+)", re.sub(r"\s+", " ", card)).group(1).lower()
    ensure(said == {None: "way", "clockwise": "clockwise", "counter": "counter-clockwise"}[crank], words, "forward", said)
    ensure(("numbers FALL" in re.sub(r"\s+", " ", card)) == (way < 0), words, "rising or falling")
    bench = Bench(rng, head, way, rim_way(head, request.words))
    bench.zero()
    began, rows = bench.spindle, rows_of_card(card, head, request)
    first = 1 if request.is_list and request.positions[1] != 0 else 0       # a list that begins with 0 has one row for both
    wanted = request.positions[1:] if request.is_list else request.positions
    ensure(len(rows) == len(wanted), words, "rows", len(rows), len(wanted), card)
    half = F(1, 2) / (request.parts * head.worm)
    at_offset = not request.is_list and request.positions[0] != 0
    for i, ((number, turns, line, part, rim, angle), place) in enumerate(zip(rows, wanted)):
        ensure(number in ("end", str(i + (1 if request.is_list else 0))), words, "number", number, i)
        reading = reading_of(line, part, head, request)
        if i == 0 and at_offset:        # told in the set-up
            text = re.search(r"first position: crank (back )?(?:(\d+) turns?)?", re.sub(r"\s+", " ", card))
            turns = ("-" if text.group(1) else "") + (text.group(2) or "0")
        if turns.startswith("-"):
            bench.turn(int(turns))
            bench.turn(-(bench.way * (bench.dial() - reading) % 1) - F(3, 5))       # back past it, then up to it
            bench.to_dial(reading)
        elif turns:
            bench.turn(int(turns))
            bench.to_dial(reading)
        ensure(abs(bench.spindle - began - place) <= half, words, f"row {number}: {bench.spindle - began}, wanted {place}")
        ensure(abs(seconds(angle) - (bench.spindle - began) * 1296000) <= F(51, 100), words, f"row {number}: {angle}")
        if head.rim:
            fine = 360 if "." in rim else 1296000 / F(head.rim[0] * head.rim[1])     # tenths of a degree, or parts of its vernier
            off = abs(seconds(rim) / 1296000 - bench.rim()) * 1296000
            ensure(min(off, 1296000 - off) <= fine / 2 + F(51, 100), words, f"row {number}: rim {rim}, {float(bench.rim() * 360)}")
    return first


# ---- a pin with a detent ----

def follow_detent(rng, path):
    """From hole to hole as printed, the detent set to its number: each place within half a part of where the work wants it."""
    worm, holes, parts = rng.choice([40, 60, 90]), rng.randint(2, 70), rng.randint(2, 12)
    with open(path, "w", encoding="utf-8") as file:
        file.write(f"[head]\nworm = {worm}\n[plate A]\nside 1 = {holes}\ndetent = {parts}\n")
    scale = worm * holes * parts
    if rng.random() < 0.5:
        n, offset = rng.randint(2, min(100, scale)), rng.choice([F(0), F(rng.randint(-90, 90), 360)])
        wanted = [offset + F(i, n) for i in range(n + 1)]
        words = ["divide", str(n)] + ([f"--offset={offset}rev"] if offset else [])
    else:
        wanted = [F(0)] + [F(rng.randint(-100, 400), rng.choice([360, 77])) for _ in range(8)]
        words = ["angles"] + [f"{p}rev" for p in wanted[1:]]
    words += ["--head", path]
    card = subprocess.run([CRANKCARD, *words, "--all-steps"], stdout=subprocess.PIPE, check=False).stdout.decode()
    if "detent to 1/" not in card:
        return 0                # the holes alone serve
    steps = card.split("\nSteps\n")[1].split("\nClosing check\n")[0]
    rows = re.findall(r"[\[(] [\])]\s+(\d+|end)\s+(?:(-?\d+ \d+/\d+|-?\d+/\d+|-?\d+)\s+)?(\d+)\s+(\d+)\s+" + ANGLE, steps)
    rows.sort(key=lambda row: (row[0] == "end", int(row[0]) if row[0] != "end" else 0))
    listed = words[0] == "angles"
    first = 1 if listed else 0
    ensure(len(rows) == len(wanted) - first, words, "rows", len(rows), card)
    at = 0                      # the hole that the pin stands in, turns and all
    for (number, move, hole, detent, angle), place in zip(rows, wanted[first:]):
        if move:
            sign = -1 if move.startswith("-") else 1
            at += sign * sum(F(part) for part in move.lstrip("-").split()) * holes
        else:
            at = nearest(place * scale) // parts
        ensure(F(at).denominator == 1 and at % holes == int(hole) and int(detent) < parts, words, f"row {number}: hole {hole}, {at}")
        ensure(at * parts + int(detent) == nearest(place * scale), words, f"row {number}: {at} and {detent}")
        ensure(abs(seconds(angle) - F(at * parts + int(detent), scale) * 1296000) <= F(51, 100), words, f"row {number}: {angle}")
    return len(rows)


def main():
    rng = random.Random(SEED)
    with tempfile.TemporaryDirectory() as folder:
        rows = many_rows(rng, folder)
        for i in range(CARDS):
            head = Head(rng, os.path.join(folder, "head.ini"))
            request = Request(rng, head, 60)
            follow_card(rng, head, request, rng.choice([72, 40]))
        moved = sum(follow_detent(rng, os.path.join(folder, "head.ini")) for _ in range(CARDS // 2))
        ensure(moved > 4 * CARDS, "too few rows with a detent", moved)
    print(f"ok   {rows} rows by the dial, {CARDS} cards done by hands, {moved} rows with a detent (seed {SEED})")


main()
