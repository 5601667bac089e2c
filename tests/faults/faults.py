#!/usr/bin/env python3
"""Make calls of the program fail, and look at how it ends.

usage: faults.py PROGRAM SHIM [MOST]

For each command line below and each kind of call that shim.c knows, the first call fails, then the second, and so
on until there is none left; after MOST of a kind (default 60) only every tenth, then every hundredth. Each once alone, and
once with all calls of its kind after it. Where a file is written (--output, a journal, a profile) a second call fails too
while the first failure is being handled: the next of each kind, and the few after it. Promised:

  - the program ends by itself, with status 2 and one line that begins "crankcard: " and has the reason of the call that failed,
    or as if nothing had happened (a failed close of a file that was read changes nothing);
  - a file named by --output is then as it was, or whole, and nothing else is left beside it (unless it was the removal of
    the temporary file that failed);
  - a journal of crankcard follow is good, or not there; a failure while following is said, and the place that is kept
    is the place that was shown last;
  - crankcard heads, which lists what there is, says of a head that cannot be read that it cannot be used;
  - a batch may answer a line of each worker with a record that says that memory ran out, and go on.
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

PROGRAM, SHIM = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
MOST = int(sys.argv[3]) if len(sys.argv) > 3 else 60
KINDS = ["memory", "open", "write", "read", "fsync", "rename", "close", "chmod"]
# What each failure is called (shim.c): the line has to give that reason, and no other call's.
REASONS = {"memory": "emory", "open": "Too many open files", "write": "No space left on device", "read": "Input/output error",
           "fsync": "Input/output error", "rename": "Permission denied", "close": "Input/output error",
           "chmod": "Operation not permitted", "unlink": ""}
SECOND = KINDS + ["unlink"]
WRITING = {"replace", "many steps", "follow", "assess write"}      # where a second call fails
AFTER = 3                                                           # so many of each kind after the first failure
GEARED = os.path.abspath("data/heads/small-tilting-geared.ini")
READINGS = os.path.abspath("examples/invented-readings.csv")
BATCH = b"57\nangles 1 2 3\n# none\ntable 2-4\n0\nlead 20in --head nowhere\n" * 4
OLD = b"as it was\n"
with open("data/heads/small-tilting.ini", "rb") as f:
    PROFILE = f.read()

# name, words, standard input, what out.txt holds before (None: it is not there)
LINES = [
    ("card", ["57"], b"", None),
    ("replace", ["57", "--output", "out.txt"], b"", OLD),
    ("new file", ["127", "-f", "jsonl", "-o", "out.txt"], b"", None),
    ("gears", ["383", "--head", GEARED, "-f", "csv", "--to", "20"], b"", None),
    ("nearest", ["97", "--method", "nearest-hole", "-o", "out.txt"], b"", OLD),
    ("table", ["table", "2-12", "127", "--head", GEARED, "-f", "jsonl", "-o", "out.txt"], b"", OLD),
    ("table from input", ["table", "-"], b"57, 2-9\n", None),
    ("methods", ["methods", "127", "--all"], b"", None),
    ("check", ["check", "99", "2 14/21", "--drivers", "32,28", "--driven", "40,56"], b"", None),
    ("heads", ["heads"], b"", None),
    ("head", ["heads", GEARED, "--print"], b"", None),
    ("no head", ["57", "--head", "small-tilting-gearde"], b"", None),
    ("lead", ["lead", "20in", "--head", GEARED], b"", None),
    ("tilt", ["tilt", "30"], b"", None),
    ("gear", ["gear", "20", "127", "--module", "1", "-f", "csv"], b"", None),
    ("gear train", ["gear", "22", "--module", "1.5", "--helix", "15", "--screw", "5mm", "--head", GEARED,
                    "-f", "jsonl", "-o", "out.txt"], b"", OLD),
    ("gear file", ["gear", "--file", "-"], b"--module 1\n20\n24 --helix 15\n", None),
    ("layout", ["layout", "5", "--diameter", "60", "-f", "svg", "-o", "out.txt"], b"", None),
    ("plates", ["plates", "2-30", "-f", "jsonl"], b"", None),
    ("assess", ["assess", READINGS, "-f", "jsonl"], b"", None),
    ("angles", ["angles", "37d30m keyway", "1/7rev", "--sort"], b"", None),
    ("angles from input", ["angles", "-", "-f", "jsonl", "-o", "out.txt"], b"10\n37d30m\tkeyway\n120\n", OLD),
    ("many steps", ["divide", "997", "-f", "csv", "-o", "out.txt"], b"", OLD),
    ("marks", ["divide", "100", "--mark", "5=mid", "--mark", "10=long"], b"", None),
    ("batch", ["batch", "-", "-o", "out.txt"], BATCH, OLD),
    ("recover", ["recover", "57", "--hole", "8", "--at", "30"], b"", None),
    ("follow", ["follow", "--ready", "--check-every", "0", "7"], b"\n\n\nq\n", None),
    ("assess write", ["assess", READINGS, "--write", "out.txt", "-o", "card.txt"], b"", PROFILE),
]


class Run:
    def __init__(self, name, words, given, old, kind=None, n=0, more=None):
        """more: what else the shim is told"""
        self.folder = tempfile.mkdtemp()
        try:
            self.run(name, words, given, old, kind, n, more or {})
        finally:
            shutil.rmtree(self.folder)

    def run(self, name, words, given, old, kind, n, more):
        home = os.path.join(self.folder, "home")
        work = os.path.join(self.folder, "work")
        mark = os.path.join(self.folder, "mark")
        os.mkdir(home)
        os.mkdir(work)
        if old:
            with open(os.path.join(work, "out.txt"), "wb") as f:
                f.write(old)
        env = {"LC_ALL": "C", "HOME": home, "PATH": os.environ["PATH"]}
        if kind is not None:
            env.update(LD_PRELOAD=SHIM, FAULT_CALL=kind, FAULT_N=str(n), FAULT_MARK=mark, **more)
        done = subprocess.run([PROGRAM] + words, input=given, cwd=work, env=env, timeout=20,
                              stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        self.status, self.out, self.err = done.returncode, done.stdout, done.stderr
        self.given, self.both = os.path.exists(mark), os.path.exists(mark + "2")
        self.jobs = b""
        if name == "follow":
            env.pop("LD_PRELOAD", None)
            self.jobs = subprocess.run([PROGRAM, "follow", "--list"], cwd=work, env=env, timeout=20,
                                       stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False).stdout
        self.files = {}
        for name in os.listdir(work):
            with open(os.path.join(work, name), "rb") as f:
                self.files[name] = f.read()

    def result(self):
        return self.status, self.out, self.err, self.files


def complaint(name, run, good, old, kinds, may_stay=False):
    """What is wrong with how the run ended, or None; kinds: of the calls that failed; may_stay: the temporary file could not be removed."""
    if run.jobs != b"" and not re.search(rb"comes next|nothing cut", run.jobs) and run.jobs != b"no jobs are kept\n":
        return f"the journal is left as {run.jobs!r}"
    if run.result() == good.result():
        return None
    if name == "heads" and run.status == 0 and b"cannot be used" in run.out:
        return None
    if name == "follow" and run.status == 0:
        kept, listed = (re.search(rb"step ([0-9]+) of", text) for text in (run.out[run.out.rfind(b"place kept"):], run.jobs))
        if kept and listed and kept.group(1) == listed.group(1):
            return None
    answers = run.out + run.files.get("out.txt", b"")
    if name.startswith("batch") and run.status == 2 and run.err == b"" and b"memory" in answers:
        return None
    if run.status != 2:
        return f"status {run.status}"
    lines = run.err.decode(errors="replace").splitlines()
    if len(lines) != 1 or not lines[0].startswith("crankcard: ") or len(lines[0]) < 20:
        return f"{len(lines)} lines on standard error: {lines[:3]}"
    # follow says the reason when it happens, on standard output; a worker of a batch ends without a word where it cannot write
    said = lines[0] + (run.out.decode(errors="replace") if name == "follow" else "")
    unsaid = "write" in kinds and (name.startswith("batch") or name == "follow")
    if not any(REASONS[kind] in said for kind in kinds) and not unsaid:
        return f"not the reason that was given: {lines[0]}"
    before = {"out.txt": old} if old else {}
    for name in set(run.files) | set(before):
        if may_stay and name not in good.files and name not in before:
            continue
        if run.files.get(name) not in (before.get(name), good.files.get(name)):
            return f"files left: {sorted(run.files)}"
    return None


def numbers():
    n = 1
    while True:
        yield n
        n += 1 if n < MOST else 10 if n < 10 * MOST else 100


class Tally:
    def __init__(self):
        self.runs = self.bad = self.both = 0

    def look(self, line, good, kind, n, more):
        """Run a line with a failure; the run, or None where that could not be judged further."""
        name, old = line[0], line[3]
        told = f"{name}: {kind} {n} {' '.join(more.values())}".rstrip()
        try:
            run = Run(*line, kind, n, more)
        except subprocess.TimeoutExpired:
            print(f"FAIL {told}: did not end")
            self.bad += 1
            return None
        if run.status == 77:
            print("skip faults: no seccomp filter can be set here")
            sys.exit(0)
        self.runs += 1
        self.both += run.both
        what = complaint(name, run, good, old, [kind] + [more[k] for k in more if k == "FAULT_THEN"], more.get("FAULT_THEN") == "unlink")
        if not run.given and run.result() != good.result():
            what = f"with the shim and no fault the run differs: {run.err!r}"
        if what is not None:
            self.bad += 1
            print(f"FAIL {told}: {what}")
        return run

    def seconds(self, line, good, kind, n):
        """Another call fails after the n-th of a kind has."""
        for then in SECOND:
            for m in range(1, AFTER + 1):
                run = self.look(line, good, kind, n, {"FAULT_THEN": then, "FAULT_THEN_N": str(m)})
                if run is None or not run.both:
                    break

    def line(self, line):
        good = Run(*line)
        for kind in KINDS:
            for n in numbers():
                run = self.look(line, good, kind, n, {})
                if run is None or not run.given:
                    break
                self.look(line, good, kind, n, {"FAULT_EVER": "for ever"})
                if line[0] in WRITING and (kind != "memory" or n % 10 == 0):
                    self.seconds(line, good, kind, n)


def main():
    tally = Tally()
    for line in LINES:
        tally.line(line)
    print(f"{'FAIL' if tally.bad else 'ok  '} faults: {tally.runs} runs, {tally.both} of them with a second failure, {tally.bad} bad")
    return 1 if tally.bad else 0


sys.exit(main())
