#!/usr/bin/env python3
"""Instructions of a few fixed runs, counted by callgrind, against tests/bench/instructions.tsv.

usage: instructions.py PROGRAM [rewrite]

More than 5% above what is stored fails; as much below asks for a new file. Other compilers and C libraries count
differently: the file says with which it was made, and a different compiler is skipped in words.
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
FILE = "tests/bench/instructions.tsv"
TOLERANCE = 0.05
GEARED = "data/heads/small-tilting-geared.ini"
RUNS = {
    "57": ["57"],
    "127 jsonl": ["127", "-f", "jsonl"],
    "383 geared csv": ["383", "--head", GEARED, "-f", "csv"],
    "table geared": ["table", "2-300", "9000-9050", "--head", GEARED, "-f", "jsonl"],
    "methods 127": ["methods", "127"],
    "lead": ["lead", "20in", "--head", GEARED],
}


def system():
    with open(PROGRAM, "rb") as f:
        compiler = re.findall(rb"(?:GCC: |clang version )[ -~]+", f.read())
    library = subprocess.run(["ldd", "--version"], stdout=subprocess.PIPE, text=True, check=False).stdout
    return f"{compiler[-1].decode() if compiler else 'unknown'}; {library.splitlines()[0] if library else ''}"


def count(words):
    with tempfile.TemporaryDirectory() as home:
        env = {"LC_ALL": "C", "HOME": home, "PATH": os.environ["PATH"]}
        done = subprocess.run(["valgrind", "--tool=callgrind", f"--callgrind-out-file={home}/out", PROGRAM] + words,
                              env=env, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False)
    found = re.search(r"refs: +([0-9,]+)", done.stderr)
    if found is None:
        sys.exit(f"callgrind failed: {done.stderr[-400:]}")
    return int(found.group(1).replace(",", ""))


def main():
    if shutil.which("valgrind") is None:
        print("skip instructions: valgrind is not installed")
        return 0
    if sys.argv[2:] == ["rewrite"]:
        with open(FILE, "w", encoding="utf-8") as f:
            f.write(f"# instructions of fixed runs; {system()}\nrun\tinstructions\n")
            for name, words in RUNS.items():
                f.write(f"{name}\t{count(words)}\n")
        return 0
    with open(FILE, encoding="utf-8") as f:
        made = f.readline().split("; ", 1)[1].strip()
        stored = dict(line.rstrip("\n").split("\t") for line in list(f)[1:])
    if made != system():
        print(f"skip instructions: stored for {made}, this is {system()}")
        return 0
    failed = 0
    for name, words in RUNS.items():
        now, was = count(words), int(stored[name])
        change = now / was - 1
        word = "ok  "
        if change > TOLERANCE:
            word, failed = "FAIL", 1
        elif change < -TOLERANCE:
            word = "less"
        print(f"{word} instructions of {name}: {now} ({change:+.1%})")
    return failed


sys.exit(main())
