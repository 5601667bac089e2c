#!/usr/bin/env python3
"""Every promise about speed, measured as ratios within this run.

usage: bench.py PROGRAM BENCH_FOLDER [--jsonl]

Text for people, or JSON Lines with what, value, unit, and target where there is one. docs/performance.md says what
each line means. Processor time of the program measured is taken where it can be (table, rows, growth), so that other
work on the machine disturbs little.
"""
import glob
import hashlib
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
RIVAL_COLUMNS = 24      # those of crankcard that the rival has: all but how the gears go on a bracket
SEED = int(os.environ.get("CRANKCARD_SEED", "1"))


def say(what, value, unit, target=None, note=None):
    if JSONL:
        print(json.dumps({"what": what, "value": value, "unit": unit, "target": target, "note": note}), flush=True)
    else:
        goal = f"   (target: {target})" if target else ""
        print(f"{what:58} {value:>10} {unit}{goal}{'   ' + note if note else ''}", flush=True)


def skip(what, why):
    say(what, None if JSONL else "skipped:", why)


def processor_seconds(command, stdin=None, least=0.1):
    """Processor time of a command: the mean of so many runs that together they take least seconds, the best of three."""
    best = math.inf
    for _ in range(3):
        before, runs, used = resource.getrusage(resource.RUSAGE_CHILDREN), 0, 0.0
        while used < least:
            subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, input=stdin, check=False)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            runs += 1
        best = min(best, used / runs)
    return best


def most_memory(command):
    """KiB: the high-water mark that the kernel keeps, as long as there is one."""
    used = 0
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as ours:
        while ours.poll() is None:
            with open(f"/proc/{ours.pid}/status", encoding="ascii") as f:
                found = re.search(r"VmHWM:\s+([0-9]+) kB", f.read())
            used = int(found.group(1)) if found else used
            time.sleep(0.02)
    return used


def batch():
    lines = "".join(f"divide {2 + i % 500} --no-steps\n" for i in range(50000)).encode()
    say("batch, divide N --no-steps", round(50000 / processor_seconds([PROGRAM, "batch", "-"], stdin=lines)), "lines a second of processor time",
        "50000 or more")
    say("table 2-200000, most memory", round(most_memory([PROGRAM, "table", "2-200000", "-f", "csv"]) / 1024, 1), "MiB", "4 or less")


def start_up():
    for words, target in ((["57"], "2 or less"), (["57", "--no-steps"], "2 or less"),
                          (["127", "--no-steps"], "2.5 or less"), (["127"], "2.5 or less"),
                          (["383", "--head", GEARED, "--no-steps"], "3 or less"), (["383", "--head", GEARED], "3 or less")):
        done = subprocess.run([f"{FOLDER}/bench_start", "500", f"{FOLDER}/empty", "--", PROGRAM] + words,
                              stdout=subprocess.PIPE, text=True, check=True)
        base, _, best, _ = map(float, done.stdout.split())
        name = " ".join(w for w in words if w not in ("--head", GEARED)) + (", change gears" if GEARED in words else "")
        say(f"start to end, {name}",
            round(best / base, 2), "times an empty C program", target, f"{best:.0f} us against {base:.0f}")
    done = subprocess.run([f"{FOLDER}/bench_start", "500", f"{FOLDER}/empty", "--", f"{FOLDER}/static", "57"],
                          stdout=subprocess.PIPE, text=True, check=True)
    base, _, best, _ = map(float, done.stdout.split())
    say("start to end, 57, linked statically", round(best / base, 2), "times the same empty C program", "1.5 or less",
        f"{best:.0f} us against {base:.0f}")


def rival():
    """
    Each head's table against the same search in plain C, which must print the same. The note says what a count costs once
    the program has started and listed its trains: the difference to a table that ends at 100.
    """
    for path in sorted(glob.glob("data/heads/*.ini")):
        def ours(last):
            return [PROGRAM, "table", f"2-{last}", "--head", path, "-f", "csv"]

        def theirs(last):
            return [f"{FOLDER}/rival", path, "2", str(last)]

        rows = [subprocess.run(command(10000), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=False).stdout.decode().splitlines()
                for command in (ours, theirs)]
        if [",".join(row.split(",")[:RIVAL_COLUMNS]) for row in rows[0]] != rows[1]:
            sys.exit(f"bench: crankcard and the rival differ on {path}")
        long, short = ([processor_seconds(command(last)) for command in (ours, theirs)] for last in (10000, 100))
        each = [(a - b) / 9900 * 1e6 for a, b in zip(long, short)]
        say(f"table 2-10000, {os.path.basename(path)[:-4]}", round(long[0] / long[1], 2), "times the C rival's time", "1 or less",
            f"{long[0] / 9999 * 1e6:.2f} us for each N against {long[1] / 9999 * 1e6:.2f}; behind the start {each[0]:.3f} against {each[1]:.3f}")


def table_and_python():
    counts = sorted(random.Random(SEED).sample(range(2, 10001), 60))

    def python(form, some):
        done = subprocess.run([sys.executable, "tests/bench/search.py"] + form + [GEARED] + [str(n) for n in some],
                              stdout=subprocess.PIPE, text=True, check=True)
        lines = done.stdout.split("\n")
        return lines, float(lines[len(some)]) / len(some)

    ours = processor_seconds([PROGRAM, "table", "2-10000", "--head", GEARED, "-f", "csv"]) / 9999
    say("table 2-10000, change gears, all methods", round(ours * 1e6, 1), "us for each N")
    fractions, theirs = python([], counts[::6])
    say("  exact methods alone in Python, fractions", round(theirs / ours), "times slower", "100 or more",
        f"{theirs * 1e3:.1f} ms for each N")
    words, theirs = python(["--integers"], counts)
    say("  the same in Python, whole numbers, products merged", round(theirs / ours), "times slower", "10 or more",
        f"{theirs * 1e3:.1f} ms for each N")
    if [line.split()[:2] for line in fractions[:-2]] != [line.split()[:2] for line in words[:-2:6]]:
        sys.exit("bench: the two searches in Python differ")
    out = subprocess.run([PROGRAM, "table", "-", "--head", GEARED, "-f", "jsonl"],
                         input="\n".join(map(str, counts)), stdout=subprocess.PIPE, text=True, check=False).stdout
    for line, answer in zip(out.splitlines(), words):
        plan = json.loads(line)
        method = plan["method"] if plan["exact"] else "none"
        if answer.split()[:2] != [plan["divisions"], method]:
            sys.exit(f"bench: the search in Python says {answer}, crankcard {plan['divisions']} {method}")
    say("  the methods found are the same for", len(counts), "counts")


# The exact methods of the default head, and where none serves the errors of rounding; no blocks, no choice, no output.
GP = """
sides=[[15,16,17,18,19,20],[21,23,27,29,31,33],[37,39,41,43,47,49]];
c=concat(sides);l=List();for(s=1,3,for(i=1,5,for(j=i+1,6,listput(l,lcm(sides[s][i],sides[s][j])))));l=Set(Vec(l));
exact(n)={if(denominator(24/n)==1,return(1));for(i=1,#c,if(denominator(c[i]*40/n)==1,return(1)));
for(i=1,#l,if(denominator(l[i]*40/n)==1,return(1)));0};
worst(u,n)={my(b=denominator(u*40/n));(b\\2)/(b*40*u)};
nearest(n)={my(w=1);for(i=1,#c,if(c[i]*40>=n,w=min(w,worst(c[i],n))));for(i=1,#l,w=min(w,worst(l[i],n)));w};
found=0;for(n=2,10000,if(exact(n),found++,nearest(n)));print(found)
"""


# The same work: all methods of that head within the tolerance, blocks too, and which comes first. l has of each pair the units in a
# turn, what the circles have without their common factor, and the seconds to set up; docs/method.md, "Effort", has the others.
GP_ALL = """
sides=[[15,16,17,18,19,20],[21,23,27,29,31,33],[37,39,41,43,47,49]];tol=1/43200;c=concat(sides);l=List();
for(s=1,3,for(i=1,5,for(j=i+1,6,my(a=sides[s][j],b=sides[s][i],g=gcd(a,b));if(a%b,listput(l,[a*b/g,a/g,b/g,255+300*(s>1)])))));l=Vec(l);
worst(u,n)={my(b=denominator(u*40/n));if(40*u<n,1,(b\\2)/(b*40*u))};
turns(u,n)={my(m=40*u\\n,more=40*u-n*m);(n-more)*(m\\u)+more*((m+1)\\u)};
blocks(p,n,least)={my(u=40*p[1],g=gcd(u,n),k,m,e);for(i=1,min(floor(tol*u),(u-1)\\(n-1))\\g,foreach([i,-i],r,
k=lift(Mod(r,n/g)/(u/g));while(k<n&&gcd(k,n)>1,k+=n/g);if(k==0||k>=n,next);m=(k*u-r*g)/n;
e=p[4]+n*(if(m<p[1]&&lift(Mod(m,p[3])/p[2])*p[2]>m,97,78)+if(k>1,20)+6*(m\\p[1]));least=min(least,e)));least};
method(n)={if(denominator(24/n)==1,return("direct"));for(i=1,#c,if(denominator(c[i]*40/n)==1,return("plain")));
for(i=1,#l,if(denominator(l[i][1]*40/n)==1,return("compound")));my(hole=oo,two=oo,near=oo);
for(i=1,#c,if(worst(c[i],n)<=tol,hole=min(hole,75+300*(i>6)+43*n+6*turns(c[i],n))));
for(i=1,#l,if(worst(l[i][1],n)<=tol,two=min(two,l[i][4]+107*n+6*turns(l[i][1],n))));for(i=1,#l,near=blocks(l[i],n,near));
if(hole<=two&&hole<=near,"nearest-hole",two<=near,"nearest-compound","nearly-exact")};
for(n=2,10000,print(n","method(n)))
"""


def gp():
    what = "table 2-10000 in PARI/GP, exact fractions"
    if shutil.which("gp") is None:
        skip(what, "gp is not installed")
        return
    command = [PROGRAM, "table", "2-10000", "-f", "csv", "--head", "data/heads/small-tilting.ini"]
    ours = processor_seconds(command)
    rows = [row.split(",") for row in subprocess.run(command, stdout=subprocess.PIPE, text=True, check=False).stdout.splitlines()[1:]]
    for name, program, right, target, note in (
            (what, GP, str(sum(row[2] == "true" for row in rows)), "10 or more", "exact methods and roundings, no output"),
            ("  the same with blocks and the choice of the method", GP_ALL, "\n".join(",".join(row[:2]) for row in rows), None,
             "the methods found are the same")):
        if subprocess.run(["gp", "-q"], input=program, stdout=subprocess.PIPE, text=True, check=True).stdout.strip() != right:
            sys.exit(f"bench: {what}: PARI finds something else")
        theirs = processor_seconds(["gp", "-q"], stdin=program.encode())
        say(name, round(theirs / ours, 1), "times slower", target, f"{theirs / 9999 * 1e6:.0f} us for each N: {note}")


# What is asked, and how rival_rows.c is told the same: circle, P and Q of the offset, radius, marks.
ROWS = (("10^7 rows as CSV", 10000000, [], "10000 0 1 0 0"),
        ("10^6, --mark and --number", 1000000, ["--mark", "5=mid", "--mark", "10=long", "--number", "10"], "10000 0 1 0 1"),
        ("10^6, --offset", 1000000, ["--offset", "1/7rev"], "10000 1 7 0 0"),
        ("10^6, --radius", 1000000, ["--radius", "100"], "10000 0 1 100 0"),
        ("999 983, a prime, --offset and --radius", 999983, ["--offset", "1/7rev", "--radius", "100"], "10000 1 7 100 0"))


def digest_of(command):
    whole = hashlib.blake2b()
    with subprocess.Popen(command, stdout=subprocess.PIPE) as run:
        while block := run.stdout.read(1 << 20):
            whole.update(block)
    return whole.digest()


def rows():
    """Rows against a loop that works out and prints the same, and against one that only prints."""
    for what, count, words, told in ROWS:
        ours = [PROGRAM, "divide", str(count), "--head", "tests/bench/long-division.ini", *words, "-f", "csv"]
        theirs = [[f"{FOLDER}/rival_rows", how, str(count), *told.split()] for how in ("compute", "print")]
        if digest_of(ours) != digest_of(theirs[0]):
            sys.exit(f"bench: crankcard and the loop print different rows: {what}")
        ours, computes, prints = map(processor_seconds, [ours] + theirs)
        say(what, round(computes / ours, 1), "times the speed of a loop that computes and fprintfs the same bytes", "3 or more",
            f"{ours:.3f} s against {computes:.3f}; {prints / ours:.1f} times that of a loop that only prints, {prints:.3f} s")
    command = [PROGRAM, "divide", "10000000", "--head", "tests/bench/long-division.ini"]
    used = most_memory(command + ["-f", "csv"])
    say("  most memory", round(used / 1024, 1), "MiB", "4 or less")
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
    say("10^7 rows as CSV through a pipe", round(theirs / (time.perf_counter() - start), 2),
        "of the speed of cat of the same bytes", "0.35 or more")


def trains():
    done = subprocess.run([f"{FOLDER}/bench_train"], stdout=subprocess.PIPE, text=True, check=True)
    for line in done.stdout.splitlines():
        words = line.split()
        if "DIFFER" in line:
            sys.exit(f"bench: {line}")
        say("best train, " + " ".join(words[:4]), int(words[8]), "times faster than nested loops", "100 or more",
            f"{words[6]} ms against {words[4]}")
        say("  against sort and two pointers", round(float(words[6]) / float(words[10]), 2), "times their time", "1.5 or less",
            f"{words[6]} ms against {words[10]}")


def slope(points):
    """Of log time against log size, by least squares."""
    xs, ys = [math.log(x) for x, _ in points], [math.log(y) for _, y in points]
    mx, my = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - mx) * (y - my) for x, y in zip(xs, ys)) / sum((x - mx) ** 2 for x in xs)


def growth():
    for head in ("small-tilting", "small-tilting-geared", "universal-two-sided"):
        points = []
        for n in (100, 1000, 10000, 100000, 1000000):
            seconds = processor_seconds([PROGRAM, "table", f"{n}-{n + 999}", "--head", f"data/heads/{head}.ini", "-f", "csv"])
            points.append((n, seconds))
        say(f"table from 100 to 1000000, {head}: grows as N to the power", round(slope(points), 2), "", "0.1 or less",
            ", ".join(f"{seconds * 1e3:.1f}" for _, seconds in points) + " us for each N")
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


# The slowest lines found on heads up to the limits of a profile: the head of slow_heads() and the request.
SLOWEST = [("plates", "10007 --offset 1/7rev --no-steps"), ("plates", "methods 10007"), ("plates", "10007 --most-turns 2 --no-steps"),
           ("plates", "angles --file LIST --no-steps"), ("plates", "angles 0 90 181 --repeat 200000 --no-steps"),
           ("plates", "recover 100000000 --hole 3 --reading 151 --slips"), ("plates", "recover 5000 --cuts 2500 --slips"),
           ("gears", "57 --no-steps"), ("gears", "57 --no-steps --offset 1/7rev"), ("gears", "methods 57 --all")]


def slow_heads(folder):
    """64 plates of two sides with 200 circles each; 64 gears of thousands of teeth on a worm near 1; and a list of angles."""
    rng, plates = random.Random(1), ["[head]", "worm = 40"]
    for plate in range(64):
        plates.append(f"[plate P{plate}]")
        for side in (1, 2):
            circles = sorted(rng.sample(range(2, 10001), 200))
            plates.append(f"side {side} = " + "\n  ".join(" ".join(map(str, circles[i:i + 20])) for i in range(0, 200, 20)))
    gears = "\n  ".join(" ".join(map(str, range(5003 + 61 * 8 * i, 5003 + 61 * 8 * (i + 1), 61))) for i in range(8))
    texts = {"plates": "\n".join(plates) + "\n",
             "gears": f"[head]\nworm = 999983/999979\n[plate A]\nside 1 = 9973 9967 9949\n[gears]\nteeth = {gears}\n",
             "LIST": "".join(f"{rng.randint(0, 999982)}/999983rev\n" for _ in range(20000))}
    for name, text in texts.items():
        with open(os.path.join(folder, name), "w", encoding="ascii") as f:
            f.write(text)


def slowest():
    with tempfile.TemporaryDirectory() as folder:
        slow_heads(folder)
        for head, line in SLOWEST:
            words = line.replace("LIST", os.path.join(folder, "LIST")).split() + ["--head", os.path.join(folder, head)]
            say(f"one line, slowest found: {line}, {head}", round(processor_seconds([PROGRAM] + words), 2), "s of processor time",
                "5 or less")


def main():
    start_up()
    rival()
    batch()
    table_and_python()
    gp()
    rows()
    trains()
    growth()
    slowest()


main()
