#!/usr/bin/env python3
"""Every promise about speed, measured as ratios within this run.

usage: bench.py PROGRAM BENCH_FOLDER [--jsonl]

Text for people, or JSON Lines with what, value, unit, and target where there is one. docs/performance.md says what
each line means. Processor time of the program measured is taken where it can be (table, growth), so that other
work on the machine disturbs little.
"""
import json
import math
import os
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time

PROGRAM, FOLDER = os.path.abspath(sys.argv[1]), sys.argv[2]
JSONL = "--jsonl" in sys.argv[3:]
GEARED = "data/heads/small-tilting-geared.ini"
SEED = int(os.environ.get("CRANKCARD_SEED", "1"))


def say(what, value, unit, target=None, note=None):
    if JSONL:
        print(json.dumps({"what": what, "value": value, "unit": unit, "target": target, "note": note}), flush=True)
    else:
        goal = f"   (target: {target})" if target else ""
        print(f"{what:58} {value:>10} {unit}{goal}{'   ' + note if note else ''}", flush=True)


def skip(what, why):
    say(what, None if JSONL else "skipped:", why)


def processor_seconds(command, stdin=None):
    """Processor time of a command, the best of three."""
    best = math.inf
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, stdout=subprocess.DEVNULL, input=stdin, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        best = min(best, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return best


def start_up():
    for words, target in ((["57"], "3 or less"), (["57", "--no-steps"], "3 or less"),
                          (["127", "--no-steps"], None), (["127"], None),
                          (["383", "--head", GEARED, "--no-steps"], None), (["383", "--head", GEARED], None)):
        done = subprocess.run([f"{FOLDER}/bench_start", "500", f"{FOLDER}/empty", "--", PROGRAM] + words,
                              stdout=subprocess.PIPE, text=True, check=True)
        base, _, best, _ = map(float, done.stdout.split())
        name = " ".join(w for w in words if w not in ("--head", GEARED)) + (", change gears" if GEARED in words else "")
        say(f"start to end, {name}",
            round(best / base, 2), "times an empty C program", target, f"{best:.0f} us against {base:.0f}")


def table_and_python():
    counts = sorted(random.Random(SEED).sample(range(2, 10001), 60))

    def python(form, some):
        done = subprocess.run([sys.executable, "tests/bench/search.py"] + form + [GEARED] + [str(n) for n in some],
                              stdout=subprocess.PIPE, text=True, check=True)
        lines = done.stdout.split("\n")
        return lines, float(lines[len(some)]) / len(some)

    ours = processor_seconds([PROGRAM, "table", "2-10000", "--head", GEARED, "-f", "jsonl"]) / 9999
    say("table 2-10000, change gears, all methods, JSON Lines", round(ours * 1e6, 1), "us for each N")
    fractions, theirs = python([], counts[::6])
    say("  exact methods alone in Python, fractions", round(theirs / ours), "times slower", "100 or more",
        f"{theirs * 1e3:.1f} ms for each N")
    words, theirs = python(["--integers"], counts)
    say("  the same in Python, whole numbers", round(theirs / ours), "times slower", None,
        f"{theirs * 1e3:.1f} ms for each N")
    if fractions[:-2] != words[:-2:6]:
        sys.exit("bench: the two searches in Python differ")
    out = subprocess.run([PROGRAM, "table", "-", "--head", GEARED, "-f", "jsonl"],
                         input="\n".join(map(str, counts)), stdout=subprocess.PIPE, text=True, check=False).stdout
    for line, answer in zip(out.splitlines(), words):
        plan = json.loads(line)
        method = plan["method"] if plan["exact"] else "none"
        if answer.split()[:2] != [plan["divisions"], method]:
            sys.exit(f"bench: the search in Python says {answer}, crankcard {plan['divisions']} {method}")
    say("  the methods found are the same for", len(counts), "counts")


def gp():
    what = "plain divisions of 2-10000 in PARI/GP"
    if shutil.which("gp") is None:
        skip(what, "gp is not installed")
        return
    script = ("v=[15,16,17,18,19,20,21,23,27,29,31,33,37,39,41,43,47,49];"
              "for(n=2,10000,for(i=1,#v,if(denominator(v[i]*40/n)==1,break)))")
    theirs = processor_seconds(["gp", "-q"], stdin=script.encode())
    ours = processor_seconds([PROGRAM, "table", "2-10000", "--method", "plain", "-f", "jsonl"])
    say(what, round(theirs / ours, 2), "times our time, ours with its output")


def steps():
    if not os.path.exists(f"{FOLDER}/bench_steps"):
        skip("10^7 steps as CSV", "bench_steps is not built")
        return
    command = [PROGRAM, "divide", "10000000", "--head", "tests/bench/long-division.ini"]
    done = subprocess.run([f"{FOLDER}/bench_steps"] + command, stdout=subprocess.PIPE, text=True, check=False)
    found = re.search(r"crankcard ([0-9.]+) s, bare fprintf ([0-9.]+) s, speed ratio ([0-9.]+)", done.stdout)
    if found is None:
        sys.exit(f"bench: bench_steps says {done.stdout!r}")
    say("10^7 steps as CSV", float(found.group(3)), "times the speed of a bare fprintf loop", "0.6 or more",
        f"{found.group(1)} s against {found.group(2)} s")
    used = 0
    with subprocess.Popen(command + ["-f", "csv"], stdout=subprocess.DEVNULL) as ours:
        while ours.poll() is None:      # the high-water mark that the kernel keeps, as long as there is one
            with open(f"/proc/{ours.pid}/status", encoding="ascii") as f:
                found = re.search(r"VmHWM:\s+([0-9]+) kB", f.read())
            used = int(found.group(1)) if found else used
            time.sleep(0.05)
    say("  most memory", round(used / 1024, 1), "MiB", "16 or less")
    with tempfile.NamedTemporaryFile() as f:
        subprocess.run(command + ["-f", "csv"], stdout=f, check=True)
        start = time.perf_counter()
        with subprocess.Popen(["cat", f.name], stdout=subprocess.PIPE) as cat:
            while cat.stdout.read(1 << 16):
                pass
        theirs = time.perf_counter() - start
    start = time.perf_counter()
    with subprocess.Popen(command + ["-f", "csv"], stdout=subprocess.PIPE) as ours:
        while ours.stdout.read(1 << 16):
            pass
    say("10^7 steps as CSV through a pipe", round((time.perf_counter() - start) / theirs, 1),
        "times cat of the same bytes")


def trains():
    done = subprocess.run([f"{FOLDER}/bench_train"], stdout=subprocess.PIPE, text=True, check=True)
    for line in done.stdout.splitlines():
        words = line.split()
        if "DIFFER" in line:
            sys.exit(f"bench: {line}")
        say("best train, " + " ".join(words[:4]), int(words[8]), "times faster than nested loops", None,
            f"{words[6]} ms against {words[4]}")


def slope(points):
    """Of log time against log size, by least squares."""
    xs, ys = [math.log(x) for x, _ in points], [math.log(y) for _, y in points]
    mx, my = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - mx) * (y - my) for x, y in zip(xs, ys)) / sum((x - mx) ** 2 for x in xs)


def growth():
    points = []
    for n in (100, 1000, 10000, 100000):
        seconds = processor_seconds([PROGRAM, "table", f"{n}-{n + 999}", "--head", GEARED, "-f", "jsonl"])
        points.append((n, seconds))
        say(f"table from {n}, change gears", round(seconds * 1e3, 1), "us for each N")
    say("  grows as N to the power", round(slope(points), 2), "")
    points = []
    with tempfile.TemporaryDirectory() as folder:
        for gears in (6, 12, 24, 48):
            path = f"{folder}/{gears}.ini"
            teeth = " ".join(str(20 + i) for i in range(gears // 2)), " ".join(str(20 + i) for i in range(gears // 2, gears))
            with open(path, "w", encoding="utf-8") as f:
                f.write(f"[head]\nworm = 40\n[plate A]\nside 1 = 15 16 17 18 19 20\n[gears]\nteeth = {teeth[0]}\n"
                        f"  {teeth[1]}\n")
            seconds = processor_seconds([PROGRAM, "9973", "--head", path, "--no-steps"])
            points.append((gears, seconds))
            say(f"9973 with {gears} different gears", round(seconds * 1e3, 1), "ms")
    say("  grows as gears to the power (from 12)", round(slope(points[1:]), 2), "")


def main():
    start_up()
    table_and_python()
    gp()
    steps()
    trains()
    growth()


main()
