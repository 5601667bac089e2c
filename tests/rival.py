#!/usr/bin/env python3
"""Tables of every shipped head against tests/bench/rival.c, a search in plain C that shares nothing with the program.

usage: rival.py PROGRAM RIVAL

Every column but those of how gears go on the bracket, which the rival does not have.
"""
import glob
import os
import subprocess
import sys

PROGRAM, RIVAL = sys.argv[1:]
COLUMNS = 24
RANGES = [(2, 700), (997, 1103), (4990, 5020), (9990, 10020)]


def lines(command):
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=False)
    return done.stdout.decode().splitlines()


def main():
    rows, heads = 0, sorted(glob.glob("data/heads/*.ini"))
    for path in heads:
        for first, last in RANGES:
            ours = lines([PROGRAM, "table", f"{first}-{last}", "--head", path, "--format", "csv"])
            theirs = lines([RIVAL, path, str(first), str(last)])
            ours = [",".join(line.split(",")[:COLUMNS]) for line in ours]
            for a, b in zip(ours, theirs):
                if a != b:
                    sys.exit(f"FAIL {os.path.basename(path)}\n  crankcard {a}\n  rival     {b}")
            if len(ours) != len(theirs):
                sys.exit(f"FAIL {os.path.basename(path)}: {len(ours)} rows and {len(theirs)}")
            rows += len(ours) - 1
    if rows < 7000:
        sys.exit(f"FAIL rival: only {rows} rows")
    print(f"ok   {rows} rows of {len(heads)} heads as a search in plain C has them")


main()
