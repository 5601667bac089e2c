#!/usr/bin/env python3
"""Lines that the tests never ran, from gcov's counts below BUILD; the list goes to BUILD/uncovered.txt.

usage: coverage.py BUILD
"""
import glob
import json
import os
import subprocess
import sys

BUILD = sys.argv[1]


def main():
    counts = {}
    for data in sorted(glob.glob(f"{BUILD}/src/**/*.gcda", recursive=True)):
        done = subprocess.run(["gcov", "--json-format", "--stdout", data], stdout=subprocess.PIPE, check=True)
        for line in done.stdout.splitlines():
            for entry in json.loads(line)["files"]:
                lines = counts.setdefault(entry["file"], {})
                for at in entry["lines"]:
                    lines[at["line_number"]] = lines.get(at["line_number"], 0) + at["count"]
    total = run = 0
    folders = {}
    with open(f"{BUILD}/uncovered.txt", "w", encoding="utf-8") as out:
        for path in sorted(p for p in counts if p.startswith("src/")):
            with open(path, encoding="utf-8") as f:
                text = f.read().splitlines()
            missed = sorted(n for n, count in counts[path].items() if count == 0)
            total += len(counts[path])
            run += len(counts[path]) - len(missed)
            here = folders.setdefault(os.path.dirname(path), [0, 0])
            here[0] += len(counts[path]) - len(missed)
            here[1] += len(counts[path])
            for n in missed:
                out.write(f"{path}:{n}: {text[n - 1].strip()}\n")
    for folder, (good, of) in sorted(folders.items()):
        print(f"{folder:12} {good:6} of {of:6} lines {good / of:6.1%}")
    print(f"{'all':12} {run:6} of {total:6} lines {run / total:6.1%}; the others: {BUILD}/uncovered.txt")


main()
