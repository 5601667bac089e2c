#!/usr/bin/env python3
"""Requests that take long: heads up to the limits of a profile, with large and awkward numbers, and one line of every command
but table, plates and layout, which may take as long as they are long.

Usage: fuzz_work.py PROGRAM FOLDER [--seed S] [--seconds T | --count N] [--budget B]

With seconds it climbs: the slowest found are kept, and what comes next is one of them with one thing drawn anew, or a fresh
draw. With a count that many are drawn, the same ones every time. The slowest are put into FOLDER, head and command line, and told;
status 1 where one took more than the budget of processor time, or ended in a way that no request may.
"""
import argparse
import bisect
import heapq
import os
import random
import resource
import shlex
import subprocess
import sys
import time

KEPT = 6                # of each command
MOST_SECONDS = 30       # of processor time, then it is ended
MOST_HOLES = 10000
WITHOUT_DIVISORS = [n for n in range(2, MOST_HOLES + 1) if all(n % p for p in range(2, int(n ** 0.5) + 1))]
WITH_DIVISORS = [n for n in range(12, MOST_HOLES + 1, 12) if all(n % p for p in (11, 13, 17, 19, 23, 29, 31))]
PRIMES = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 97, 101, 997, 9973, 999983, 999979]


# ---- heads: each aspect by itself, so that one can be drawn anew ----

def counts(rng, n, most, least=2):
    """n different numbers up to most: any, the largest, with many divisors, or primes and so without."""
    most, family = max(most, least + n), rng.randrange(4)
    if family == 0:
        return sorted(rng.sample(range(least, most + 1), n))
    if family == 1:
        return list(range(most - n + 1, most + 1))
    listed_counts = WITH_DIVISORS if family == 2 else WITHOUT_DIVISORS
    found = listed_counts[bisect.bisect_left(listed_counts, least):bisect.bisect_right(listed_counts, most)]
    return sorted(rng.sample(found, min(n, len(found)))) or [most]


def worm(rng):
    return rng.choice(["40", "60", "90", "5", "1", "77/2", "119/3", "999983/999979", "999979/999983", "1000000", "1/1000000",
                       f"{rng.randint(1, 10 ** 6)}/{rng.randint(1, 10 ** 6)}"])


def plates(rng):
    number, circles = rng.choice([(1, 1), (3, 6), (3, 11), (8, 40), (64, 1), (64, 20), (16, 200), (64, 200), (64, 200)])
    most, sides = rng.choice([60, 400, 3000, 10000, 10000]), rng.randint(1, 2)
    return [[counts(rng, circles, most) for _ in range(sides)] for _ in range(number)]


def gears(rng):
    n = rng.choice([0, 0, 3, 12, 30, 64])
    least, most = rng.choice([(20, 127), (5000, 10000), (9000, 10000), (5, 10000)])
    if n > 0 and rng.random() < 0.3:
        return [rng.randint(least, most) for _ in range(n)]
    return counts(rng, n, most, least) if n > 0 else []


def bracket(rng):
    if rng.random() < 0.6:
        return []
    keys = [f"module = {rng.choice(['1.25', '1', '0.1'])}", f"centres = {rng.choice(['118.5', '110 130', '60 2000'])}", "slot = worm",
            f"reach = {rng.choice(['38 150', '10 3000'])}", f"studs = {rng.choice([1, 2, 9])}", "collar = 24", "lead_centres = 100 2000"]
    return ["[bracket]"] + rng.sample(keys, rng.randint(1, len(keys)))


def dial(rng):
    if rng.random() < 0.6:
        return []
    return ["[dial]", f"lines = {rng.choice([100, 240, 9973, 10000])}", f"vernier = {rng.choice([1, 6, 97, 100])}", "numbered = lines"]


def direct(rng):
    if rng.random() < 0.6:
        return []
    holes = counts(rng, rng.choice([1, 3, 200]), rng.choice([60, 10000]))
    pins = ["vernier = " + listed([rng.choice([1, 10, 97, 100]) for _ in holes])] if rng.random() < 0.4 else []
    return ["[direct]", "holes = " + listed(holes)] + pins


HEAD = {
    "worm": worm, "plates": plates, "gears": gears, "bracket": bracket, "dial": dial, "direct": direct,
    "pin": lambda rng: rng.choice(["same", "same", "other", "none"]),
    "detent": lambda rng: rng.choice([0, 0, 0, 10, 97, 100]),
    "sums": lambda rng: rng.choice([[], [], ["least-sum = 80"], ["most-sum = 15000"]]),
    "holds": lambda rng: rng.choice([[], [], ["[accuracy]", "worm = 1'"], ["[accuracy]", "worm = 0.0001s"]]),
}


def listed(numbers):
    return "\n  ".join(" ".join(map(str, numbers[i:i + 20])) for i in range(0, len(numbers), 20))


def profile(head):
    lines = ["[head]", "title = Drawn for work", f"worm = {head['worm']}", f"plate_pin = {head['pin']}", "tilt = -10 90"]
    for i, sides in enumerate(head["plates"]):
        lines.append(f"[plate P{i}]")
        lines += [f"side {s + 1} = {listed(circles)}" for s, circles in enumerate(sides)]
        lines += [f"detent = {head['detent']}"] if head["detent"] else []
    lines += head["direct"] + head["dial"]
    if head["gears"]:
        lines += ["[gears]", "teeth = " + listed(head["gears"])] + head["sums"]
    return "\n".join(lines + head["bracket"] + head["holds"]) + "\n"


# ---- requests ----

def divisions(rng):
    return rng.choice([rng.randint(2, 400), rng.randint(400, 60000), 10007, 57, 127, 720720, 99999989, 10 ** 8, 10 ** 12, 2 ** 61 - 1,
                       rng.randint(2, 10 ** rng.randint(2, 18)), rng.choice(PRIMES) * rng.choice(PRIMES) * rng.choice(PRIMES)])


def angle(rng):
    return rng.choice(["1/7rev", "90", "0.123456789", "1/999983rev", "359.999999", "12.5", "1s", f"{rng.randint(1, 10 ** 9)}/{10 ** 9 + 7}rev",
                       f"{rng.randint(1, 999)}/1000rev"])


def maybe(chance, option, value):
    """An option with a value, at times."""
    return lambda rng: [option, str(value(rng))] if rng.random() < chance else []


OPTIONS = {
    "offset": maybe(0.5, "--offset", angle), "arc": maybe(0.2, "--arc", angle),
    "block": maybe(0.2, "--block", lambda rng: rng.choice([2, 3, 7, 97, 9973, rng.randint(2, 10 ** 6)])),
    "turns": maybe(0.2, "--most-turns", lambda rng: rng.choice(["1", "2.5", "1000", "0.001"])),
    "tolerance": maybe(0.4, "--tolerance", lambda rng: rng.choice(["0", "1s", "0.001s", "10", "0.0000000000000000000000123", "1/3s"])),
    "circle": maybe(0.1, "--circle", lambda rng: rng.choice([10000, 9973, 49, 60])),
    "method": maybe(0.2, "--method", lambda rng: rng.choice(["plain", "compound", "differential", "nearly-exact", "nearest-hole",
                                                            "nearest-compound", "dial"])),
    "eye": maybe(0.03, "--by-eye", lambda rng: rng.choice([2, 10, 97, 100])),
    "format": maybe(0.3, "--format", lambda rng: rng.choice(["jsonl", "csv", "html"])),
}
OF_A_LIST = ("offset", "tolerance", "circle", "method", "eye", "format")


def positions(rng):
    n, below = rng.choice([2, 30, 1000, 20000]), rng.choice([360, 1001, 999983, 10 ** 9 + 7, 2 ** 50 - 27])
    return "".join(f"{rng.randint(0, below - 1)}/{below}rev\n" for _ in range(n))


def seen(rng):
    """What is known of a place that is lost."""
    words = ["--hole", str(rng.choice([0, 1, 7, rng.randint(0, 9999)]))] if rng.random() < 0.8 else []
    words += ["--hole2", str(rng.choice([0, 1, 12]))] if rng.random() < 0.3 else []
    words += ["--reading", angle(rng)] if rng.random() < 0.6 else []
    words += ["--uncertainty", rng.choice(["0.01", "1", "5", "90"])] if rng.random() < 0.4 else []
    words += ["--dial", str(rng.randint(0, 99))] if rng.random() < 0.1 else []
    words += [rng.choice(["--step", "--tooth", "--right"]), str(rng.randint(1, 10 ** rng.randint(1, 8)))] if rng.random() < 0.6 else []
    words += ["--cuts", str(rng.randint(1, 10 ** rng.randint(1, 8)))] if rng.random() < 0.2 else []
    return words + (["--slips"] if rng.random() < 0.6 else []) + (["--re-zero"] if rng.random() < 0.2 else [])


def movement(rng):
    circle = rng.choice([20, 49, 9973, 10000])
    return rng.choice([f"{rng.randint(0, 40)} {rng.randint(1, circle - 1)}/{circle}", f"{rng.randint(1, 18)}/19+{rng.randint(1, 9990)}/9991"])


def readings(rng):
    n = rng.choice([8, 360, 20000])
    return "angle_deg,indicator_um\n" + "".join(f"{360 * i / n:.6f},{rng.randint(-20, 20)}\n" for i in range(n))


def train(rng):
    words = ["--screw", rng.choice(["5mm", "4tpi", "6.35mm"]), "--most-gears", rng.choice(["4", "6"])]
    return words + rng.choice([[], ["--list", "1000"], ["--geared-to", "spindle"], ["--within", "0.000001mm"], ["--length", "300", "--diameter", "40"]])


ANY = {**OPTIONS, "n": divisions, "list": positions, "seen": seen, "movement": movement, "readings": readings, "train": train,
       "all": maybe(0.4, "--all", lambda rng: ""), "lead": lambda rng: rng.choice(["200", "0.001", "99999", "3.61in", "123.456789"]),
       "steps": lambda rng: rng.choice([["--no-steps"], ["--to", "9"], ["--to", "9", "--working"], ["--to", "9", "--mark", "7=long", "--number", "10"]])}


def options(request, names=tuple(OPTIONS)):
    return [word for name in names for word in request[name]]


# Each command: its words, and what stands on its standard input. HEAD is put behind.
COMMANDS = {
    "divide": lambda r: (["divide", str(r["n"])] + options(r) + r["steps"], ""),
    "angles": lambda r: (["angles", "-"] + options(r, OF_A_LIST) + r["steps"][:2], r["list"]),
    "methods": lambda r: (["methods", str(r["n"])] + options(r) + r["all"][:1], ""),
    "check": lambda r: (["check", str(r["n"]), r["movement"]] + options(r, ("tolerance",)), ""),
    "gear": lambda r: (["gear", str(r["n"] % 99990 + 6), "--module", "1"] + options(r, ("method", "circle", "block", "turns")), ""),
    "lead": lambda r: (["lead", r["lead"]] + r["train"], ""),
    "flats": lambda r: (["flats", str(r["n"] % 360 + 1), "--across", "17", "--stock", "20"] + options(r, ("tolerance", "method", "circle")) + r["steps"][:2], ""),
    "tilt": lambda r: (["tilt", "37.5"], ""),
    "assess": lambda r: (["assess", "-", "--radius", "30", "--divisions", str(r["n"] % 10 ** 9 + 2), "--harmonics", "3"], r["readings"]),
    "recover": lambda r: (["recover", str(r["n"])] + options(r) + r["seen"], ""),
    "recover a list": lambda r: (["recover", "angles", "-"] + options(r, OF_A_LIST) + r["seen"], r["list"]),
    "follow": lambda r: (["follow", str(r["n"]), "--ready"] + options(r)[:-2], "\n\nb\ng 1000\n\nr\nq\n"),
    "heads": lambda r: (["heads"] + (["--prove"] if r["all"] else []), ""),
    "batch": lambda r: (["batch", "-"], shlex.join(["methods", str(r["n"])] + options(r, ("offset", "turns", "tolerance")))),
}


def words_of(case, path):
    words, given = COMMANDS[case["command"]](case["request"])
    if case["command"] == "batch":
        return words, given + f" --head {path}\n"
    return words + ([path] if words[0] == "heads" else ["--head", path]), given


# ---- running ----

def run(case, program, folder):
    """Seconds of processor time, and whether it ended as a request may."""
    path = os.path.join(folder, "head.ini")
    with open(path, "w", encoding="utf-8") as f:
        f.write(profile(case["head"]))
    words, given = words_of(case, path)
    state = os.path.join(folder, "state")
    subprocess.run(["rm", "-rf", state], check=True)
    limit = (MOST_SECONDS, MOST_SECONDS)
    with open(os.path.join(folder, "given"), "w+", encoding="utf-8") as stdin:
        stdin.write(given)
        stdin.seek(0)
        ran = subprocess.Popen([program] + words, stdin=stdin, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
                               env={**os.environ, "XDG_STATE_HOME": state},
                               preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, limit))
        said = ran.stderr.read().decode(errors="replace")
        _, status, used = os.wait4(ran.pid, 0)
        ran.returncode = os.waitstatus_to_exitcode(status)
    return used.ru_utime + used.ru_stime, ran.returncode in (0, 1, 2) and used.ru_maxrss < 4 << 20, said


def draw(rng, command):
    return {"command": command, "head": {key: make(rng) for key, make in HEAD.items()},
            "request": {key: make(rng) for key, make in ANY.items()}}


def altered(rng, case):
    """The same with one or two things drawn anew."""
    new = {"command": case["command"], "head": dict(case["head"]), "request": dict(case["request"])}
    for _ in range(rng.randint(1, 2)):
        part, makers = rng.choice([("head", HEAD), ("request", ANY)])
        key = rng.choice(list(makers))
        new[part][key] = makers[key](rng)
    return new


def keep(case, seconds, number, folder):
    """The head and the line, to be run again."""
    path = os.path.join(folder, f"slow-{number}.ini")
    with open(path, "w", encoding="utf-8") as f:
        f.write(profile(case["head"]))
    words, given = words_of(case, path)
    if given:
        with open(path[:-4] + ".given", "w", encoding="utf-8") as f:
            f.write(given)
    line = "crankcard " + shlex.join(words) + (f" < {path[:-4]}.given" if given else "")
    with open(path[:-4] + ".sh", "w", encoding="utf-8") as f:
        f.write(line + "\n")
    return f"{seconds:7.2f} s  {line}"


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("program")
    ask.add_argument("folder")
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--seconds", type=float, default=0)
    ask.add_argument("--count", type=int, default=0)
    ask.add_argument("--budget", type=float, default=5)
    ask.add_argument("--only", default="")
    asked = ask.parse_args()
    os.makedirs(asked.folder, exist_ok=True)
    program, rng = os.path.abspath(asked.program), random.Random(asked.seed)
    names = [name for name in COMMANDS if name.startswith(asked.only)]
    slowest, end, runs, wrong, answered = {name: [] for name in names}, time.monotonic() + asked.seconds, 0, [], 0
    while runs < asked.count if asked.count else time.monotonic() < end:
        name = names[runs % len(names)] if asked.count or runs < 4 * len(names) else rng.choice(names)
        kept = slowest[name]
        climbs = not asked.count and kept and rng.random() < 0.6
        case = altered(rng, rng.choice(kept)[2]) if climbs else draw(rng, name)
        seconds, good, said = run(case, program, asked.folder)
        runs += 1
        answered += not said
        if seconds > asked.budget and (not kept or seconds > max(kept)[0]):
            print("so far", keep(case, seconds, f"{name.replace(' ', '-')}-now", asked.folder), flush=True)
        if not good:
            wrong.append(keep(case, seconds, f"ended-{len(wrong)}", asked.folder) + "   " + said.strip()[:100])
        heapq.heappush(kept, (seconds, runs, case))
        if len(kept) > KEPT:
            heapq.heappop(kept)
    print(f"{runs} requests, {answered} without a word of refusal, seed {asked.seed}; the slowest of each command:")
    over = 0
    for name in names:
        for place, (seconds, _, case) in enumerate(sorted(slowest[name], key=lambda one: -one[0])[:1 if asked.count else 3]):
            print(keep(case, seconds, f"{name.replace(' ', '-')}-{place}", asked.folder)[:240])
            over += seconds > asked.budget
    for line in wrong:
        print("FAIL ended otherwise:", line)
    return 1 if over or wrong else 0


if __name__ == "__main__":
    sys.exit(main())
