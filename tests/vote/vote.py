"""A vote of three: the program, the naive search of the tests (naive.h, naive.c) and first principles (witness.py).

Heads and requests are drawn (draw.py), the program is asked through `batch`, and its first plan must be what both
others say: which class of exact setting there is, whether any exists at all, how far off the plan is at the worst, from
neighbour to neighbour and where it closes, what it costs the hands, and that nothing which comes before it (order.py) was
passed over. One request in a hundred is compared row by row. The first that disagrees ends the run and is told so that it
can be asked again.

    COUNT=1000 SEED=1 CRANKCARD=build/crankcard NAIVE=build/tests/vote/naive python3 tests/vote/vote.py
"""
import json
import os
import random
import shlex
import shutil
import subprocess
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from decimal import Decimal
from fractions import Fraction as F
from math import lcm

import draw
import order
import witness

CRANKCARD = os.environ["CRANKCARD"]
NAIVE = os.environ["NAIVE"]
FOLDER = os.environ.get("FOLDER", "build/vote")
COUNT = int(os.environ.get("COUNT") or 1000)
SEED = os.environ.get("SEED") or "1"
REQUESTS = 20                   # of each head
HEADS = 15                      # in a chunk
SMALL = 300                     # divisions up to which every approximate setting is looked at,
SMALL_ENOUGH = 130              # and up to which the naive search tells the first plan of all
MOST_ROWS = 3000                # and up to which a plan is added up row by row


class Disagreement(Exception):
    """Words that say who says what."""


def agree(what, **answers):
    if len({str(answer) for answer in answers.values()}) > 1:
        raise Disagreement(what + ": " + ", ".join(f"{who} {answer}" for who, answer in answers.items()))


def ensure(condition, words):
    if not condition:
        raise Disagreement(words)


def told(rank):
    """A rank in words: beyond the tolerance, by how much; beyond what the head holds; not exact; class; effort; worst error."""
    return "/".join(str(int(x)) if isinstance(x, bool) else str(x) for x in rank)


def arcsec(turns):
    """Seconds of arc to three decimals, half away from zero, as a record has them."""
    n = abs(turns) * 1296000 * 1000
    whole = (2 * n.numerator + n.denominator) // (2 * n.denominator)
    return Decimal(whole if turns >= 0 else -whole) / 1000


# ---- the setting of a plan record ----

class Setting:
    """How a plan counts, read from its record and found on the head."""

    def __init__(self, plan, head):
        at, self.block = plan["setting"], int(plan["block"])
        self.dial = None
        self.is_direct = at["plate"] is None and plan["method"] != "dial"
        self.circle, self.circle2, ratio = at["circle"], at["circle2"], head.worm
        if self.is_direct:
            ensure(self.circle in head.direct, f"no direct circle {self.circle}")
            self.pins = head.direct[self.circle]
            self.unit, ratio = self.circle * self.pins, F(1)
        elif plan["method"] == "dial":
            ensure(head.dial and at["side"] is None and not self.circle2, "no dial there")
            self.unit, self.dial = self.circle, "dial" if self.circle == head.dial[0] else "dial parts"
        else:
            circles = head.plates[int(at["plate"][1:])][at["side"] - 1]
            ensure(self.circle in circles, f"no circle {self.circle} there")
            self.unit = self.circle
            if self.circle2:
                self.unit = lcm(self.circle, self.circle2)
                ensure((self.circle, self.circle2, self.unit) in head.couples, "the two pins do not reach these circles")
        if plan["gearing"]:
            ratio = head.worm - F(plan["gearing"]["ratio"])
            ensure(ratio in head.ratios, f"no gears of this head give e = {plan['gearing']['ratio']}")
            fault = head.train_fault(plan["gearing"])
            ensure(fault is None, f"{plan['gearing']}: {fault}")
        self.scale = self.unit * ratio
        side = None if at["plate"] is None else (int(at["plate"][1:]), at["side"] - 1)
        pair = (self.circle, self.circle2, self.unit) if self.circle2 and not self.is_direct else None
        train = (len(plan["gearing"]["drivers"]), plan["gearing"]["idlers"]) if plan["gearing"] else None
        self.move = None
        if plan["movement"]:
            move = self.turns(plan["movement"]) * self.unit
            ensure(move.denominator == 1, "the movement is no whole number of units")
            self.move = int(move)
        self.way = order.Way(self.scale, self.unit, self.block, self.move, pair, train, self.is_direct,
                             self.is_direct and self.pins > 1, side is None or side == head.mounted, dial=self.dial)

    @staticmethod
    def turns(m):
        """Crank turns (or turns of the direct plate) of a movement."""
        second = F(m["holes2"], m["circle2"]) if m["circle2"] else 0
        return m["turns"] + F(m["holes"], m["circle"]) + second


# ---- one draw ----

class Draw:
    def __init__(self, head, path, rng):
        self.head, self.path = head, path
        self.request, self.words = draw.request(rng, head)
        self.wants_rows = rng.randrange(100) == 0 and self.request.rows() <= MOST_ROWS
        self.wants_first = self.request.is_circle() and self.request.offset == 0 and rng.random() < 0.4 and \
            self.request.rows() <= SMALL_ENOUGH
        self.first = 0 if rng.random() < 0.4 else rng.randrange(self.request.rows())    # of the two rows always looked at
        self.records = []

    def line(self):
        tail = [] if self.wants_rows else ["--from", str(self.first), "--to", str(self.first + 1)]
        return shlex.join(self.words + ["--head", self.path] + tail)

    def plan(self):
        """The plan record, or None where the answer is that there is none."""
        first = self.records[0] if self.records else {"record": "nothing"}
        ensure(first["record"] == "plan" or (first["record"] == "error" and first["status"] == 1), f"the answer is {first}")
        return first if first["record"] == "plan" else None

    # -- the naive search --

    def question(self):
        """The line that asks naive.c, the program's own setting with it."""
        r, plan = self.request, self.plan()
        names = draw.METHODS
        mask = sum(1 << i for i, name in enumerate(names) if r.allows(name))
        setting = ["-", "1", "-"]
        if plan and r.rows() <= MOST_ROWS:
            s = Setting(plan, self.head)
            setting = [s.scale, s.block, "-" if s.move is None else s.move]
        least = int(self.wants_least())
        positions = r.positions or []
        return " ".join(map(str, ["ask", r.divisions, r.arc, r.offset, r.block, mask, r.circle, r.by_eye,
                                  "-" if r.tolerance is None else r.tolerance, least, int(self.wants_first), *setting,
                                  int(self.wants_rows), *positions]))

    def wants_least(self):
        plan = self.plan()
        return self.request.rows() <= SMALL and not (plan and plan["exact"])

    # -- who says what --

    def check(self, said, rows):
        """said: the words of naive.c; rows: its rows."""
        head, request, plan = self.head, self.request, self.plan()
        whole = witness.Request(request.divisions, request.arc, request.offset, positions=request.positions, by_eye=request.by_eye)
        exact = list(order.exact_ways(head, request))
        best = min((order.class_name(way, request) for way in exact), key=order.CLASSES.index, default="none")
        exists = any(True for _ in order.exact_ways(head, whole))
        agree("class of exact setting", naive=said[0], principles=NAMES_OF_NAIVE.get(best, best))
        agree("whether an exact setting exists", naive=said[1] == "1", principles=exists)
        if plan is None:
            ensure(not exact, f"no plan, where {best} is exact")
            if request.rows() <= SMALL:
                ensure(not list(order.approximate_ways(head, request)),
                       "no plan, where an approximate setting keeps positions apart")
            return ["no plan"]
        self.check_proof(plan, exists)
        time, effort = order.effort(Setting(plan, head).way, head, request)
        agree("seconds by hand", program=plan["time_s"], principles=time)
        agree("effort", program=plan["effort_s"], principles=effort)
        if request.rows() <= MOST_ROWS:
            self.check_choice(plan, exact, self.check_figures(plan, said), said)
        if self.wants_rows:
            self.check_rows(plan, rows)
        elif request.rows() <= MOST_ROWS:
            self.check_two_rows(plan)
        return self.kinds(plan, exists)

    def kinds(self, plan, exists):
        """What this draw was about, for the count at the end."""
        name = order.class_name(Setting(plan, self.head).way, self.request)
        kinds = [name if plan["exact"] else "approximate " + plan["method"]]
        kinds += ["first by all three"] if self.wants_first else []
        kinds += ["proof of absence"] if plan["exact_exists"] is False else []
        kinds += ["row by row"] if self.wants_rows else []
        kinds += ["offset"] if self.request.offset else []
        kinds += ["list"] if self.request.positions is not None else ["arc"] if self.request.arc != 1 else []
        kinds += ["blocks"] if int(plan["block"]) > 1 else []
        return kinds + (["not within"] if not plan["within_tolerance"] else [])

    def check_proof(self, plan, exists):
        claim = plan["exact_exists"]
        if self.request.is_narrowed(self.head):
            ensure(claim is not False, "a proof of absence though options left something out")
            ensure(claim is None or exists, "an exact setting is said to exist")
            ensure(claim is True or not plan["exact"], "an exact plan, and no claim that one exists")
        else:
            agree("proof", program=claim, principles=exists)

    def check_figures(self, plan, said):
        """Worst, pitch and closing error by all three; the worst is handed back."""
        s = Setting(plan, self.head)
        worst, pitch, closing = witness.figures(s.scale, self.request, s.block, s.move)
        agree("worst error", naive=said[4], principles=worst)
        agree("pitch error", naive=said[5], principles=pitch)
        agree("closing error", naive=said[6], principles="-" if closing is None else closing)
        agree("worst error in seconds", program=plan["worst_error_arcsec"] + Decimal(0), principles=arcsec(worst) + 0)
        agree("pitch error in seconds", program=plan["worst_pitch_arcsec"] + Decimal(0), principles=arcsec(pitch) + 0)
        if closing is None:
            ensure(plan["closing_error_arcsec"] is None, "a closing error where nothing closes")
        else:
            agree("closing error in seconds", program=plan["closing_error_arcsec"] + Decimal(0),
                  principles=arcsec(closing) + 0)
        agree("steps", program=plan["steps"], principles=self.request.rows())
        agree("exact", program=plan["exact"], principles=worst == 0 and plan["method"] not in APPROXIMATE[:3])
        agree("within", program=plan["within_tolerance"], principles=worst <= self.head.tolerance(self.request))
        agree("tolerance", program=plan["tolerance_arcsec"] + Decimal(0),
              principles=arcsec(self.head.tolerance(self.request)) + 0)
        return worst

    def check_choice(self, plan, exact, worst, said):
        """Nothing that comes before the first plan was passed over."""
        head, request = self.head, self.request
        key = order.rank(Setting(plan, head).way, head, request, worst)
        ranks = [order.rank(way, head, request, F(0)) for way in exact]
        ensure(not ranks or key <= min(ranks), f"the first plan ranks {told(key)}, an exact one {told(min(ranks, default=()))}")
        if request.rows() > SMALL or (plan["exact"] and head.holds(request, order.index_of(Setting(plan, head).way))
                                      and not self.wants_first):
            return
        ways = list(order.approximate_ways(head, request))
        ranks += [order.rank(way, head, request, w if way.bound is None else way.bound) for way, w in ways]
        ensure(ranks, "a plan, where no setting is exact or keeps positions apart")
        first = min(ranks)
        ensure(key <= first, f"the first plan ranks {told(key)}, another {told(first)}")
        if self.wants_least():
            rounded = [w for way, w in ways if way.move is None]
            agree("least worst error by rounding", naive=said[2], principles=min(rounded, default="-"))
        if self.wants_first:
            preference = first[4] + 1 if not first[3] else 0
            agree("class, effort and worst error of the first plan", naive=said[3],
                  principles=f"{preference}/{first[5]}/{first[6]}")
            agree("rank of the first plan", program=told(key), principles=told(first))

    def check_rows(self, plan, rows):
        """Every row: angle and error by all three, holes and pins from the movements."""
        s, steps = Setting(plan, self.head), self.records[1:]
        expected = list(witness.rows_of(s.scale, self.request, s.block, s.move))
        agree("rows", program=len(steps), naive=len(rows), principles=len(expected))
        total, pin, second = F(0), 0, 0
        for i, (step, row, (units, angle, nominal)) in enumerate(zip(steps, rows, expected)):
            agree(f"angle of row {i}", program=step["angle"], naive=row[0], principles=angle)
            agree(f"error of row {i}", program=step["error"], naive=row[1], principles=angle - nominal)
            agree(f"nominal of row {i}", program=step["nominal"], principles=nominal)
            total += Setting.turns(step)
            agree(f"movements up to row {i}", program=total, principles=F(units, s.unit))
            pin += step["turns"] * step["circle"] + step["holes"]
            agree(f"hole of row {i}", program=step["hole"], principles=pin % s.circle)
            if step["circle2"]:
                second += step["holes2"]
                agree(f"second hole of row {i}", program=step["hole2"],
                      principles=second % (s.pins if s.is_direct else s.circle2))


    def check_two_rows(self, plan):
        """Of two rows that follow each other angle and nominal, and the movement between them."""
        s, steps = Setting(plan, self.head), self.records[1:]
        expected = list(witness.rows_of(s.scale, self.request, s.block, s.move))[self.first:self.first + 2]
        agree("rows", program=len(steps), principles=2)
        for step, (units, angle, nominal) in zip(steps, expected):
            agree(f"angle of row {step['step']}", program=step["angle"], principles=angle)
            agree(f"nominal of row {step['step']}", program=step["nominal"], principles=nominal)
        moved = expected[1][0] - expected[0][0]
        agree(f"movement to row {self.first + 1}", program=Setting.turns(steps[1]), principles=F(moved, s.unit))


# ---- a chunk: some heads, many requests ----

def run(command, text):
    done = subprocess.run(command, input=text.encode(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
    if done.returncode not in (0, 1):
        raise SystemExit(f"{shlex.join(command)} ended with {done.returncode}: {done.stderr.decode()}")
    return done.stdout.decode().splitlines()


def draws_of_chunk(chunk, count, folder):
    rng = random.Random(f"{SEED} {chunk}")
    draws = []
    while len(draws) < count:
        head = draw.head(rng)
        path = f"{folder}/head-{len(draws) // REQUESTS}.ini"
        with open(path, "w", encoding="utf-8") as file:
            file.write(draw.profile(head))
        draws += [Draw(head, path, rng) for _ in range(min(REQUESTS, count - len(draws)))]
    return draws


def ask_program(draws):
    for line in run([CRANKCARD, "batch", "-"], "".join(d.line() + "\n" for d in draws)):
        record = json.loads(line, parse_float=Decimal)
        draws[record["line"] - 1].records.append(record)


def ask_naive(draws):
    """The lines of naive.c for each draw."""
    questions, last = [], None
    for d in draws:
        if d.path != last:
            questions.append(f"head {d.path}")
        last = d.path
        questions.append(d.question())
    lines = iter(run([NAIVE], "\n".join(questions) + "\n"))
    for d in draws:
        said = next(lines).split()
        rows = d.request.rows() + 1 if d.wants_rows and d.plan() else 0
        yield said, [next(lines).split() for _ in range(rows)]


def chunk_votes(chunk):
    """(what the draws were about, words of a disagreement or None)."""
    number, count = chunk
    folder, seen = f"{FOLDER}/{number}", Counter()
    os.makedirs(folder, exist_ok=True)
    draws = draws_of_chunk(number, count, folder)
    ask_program(draws)
    at = draws[0]
    try:
        for at in draws:        # what cannot be asked further is told first
            at.question()
        for at, (said, rows) in zip(draws, ask_naive(draws)):
            seen.update(at.check(said, rows))
    except Disagreement as words:
        with open(at.path, encoding="utf-8") as file:
            profile = file.read()
        return seen, (f"FAIL seed {SEED}, chunk {number}: {words}\n{profile}\n"
                      f"{CRANKCARD} {at.line()} --format jsonl\n{json.dumps(at.records[:1], default=str)}")
    shutil.rmtree(folder)
    return seen, None


# What naive.h does not tell apart.
NAMES_OF_NAIVE = {"plain by blocks": "plain", "compound by blocks": "compound", "differential by blocks": "differential-by-blocks"}
APPROXIMATE = ["nearly-exact", "nearest-hole", "nearest-compound", "differential", "dial"]

# Each must have come up in a run of this many draws or more, or the vote was about less than it says.
ALL_AFTER = 4000
WANTED = order.CLASSES + ["approximate " + name for name in APPROXIMATE] + \
         ["first by all three", "proof of absence", "row by row", "no plan", "list", "arc", "offset", "blocks", "not within"]


def main():
    size = REQUESTS * HEADS
    chunks = [(i, min(size, COUNT - i * size)) for i in range((COUNT + size - 1) // size)]
    seen = Counter()
    with ProcessPoolExecutor(max_workers=int(os.environ.get("JOBS") or os.cpu_count())) as pool:
        for found, words in pool.map(chunk_votes, chunks):
            seen += found
            if words is not None:
                print(words, flush=True)
                pool.shutdown(wait=False, cancel_futures=True)
                return 1
    missing = [kind for kind in WANTED if seen[kind] == 0]
    print(f"     {', '.join(f'{seen[kind]} {kind}' for kind in WANTED)}")
    if COUNT >= ALL_AFTER and missing:
        print("FAIL never came up:", ", ".join(missing))
        return 1
    print(f"ok   {COUNT} requests, three of one mind (seed {SEED})")
    return 0


if __name__ == "__main__":
    sys.exit(main())
