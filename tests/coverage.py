#!/usr/bin/env python3
"""Lines that the tests never ran and branches that they took one way only, from gcov's counts below BUILD.

usage: coverage.py BUILD

The lists go to BUILD/uncovered.txt and BUILD/branches.txt: of a branch, the line and which of its ways were never taken
(in gcov's order, the first is 0). A line that never ran is in the first list alone. BUILD/files.txt has the shares of each file.
"""
import glob
import json
import os
import subprocess
import sys

BUILD = sys.argv[1]


def read_counts():
    """{path: ({line: count}, {line: [count of each way]})}"""
    files = {}
    for data in sorted(glob.glob(f"{BUILD}/src/**/*.gcda", recursive=True)):
        done = subprocess.run(["gcov", "-b", "--json-format", "--stdout", data], stdout=subprocess.PIPE, check=True)
        for text in done.stdout.splitlines():
            for entry in json.loads(text)["files"]:
                lines, ways = files.setdefault(entry["file"], ({}, {}))
                for at in entry["lines"]:
                    n = at["line_number"]
                    lines[n] = lines.get(n, 0) + at["count"]
                    if at["branches"]:
                        ways.setdefault(n, []).extend(b["count"] for b in at["branches"])
    return files


def share(good, of):
    return f"{good:6} of {of:6} {good / of if of else 1:6.1%}"


def main():
    files = {p: c for p, c in read_counts().items() if p.startswith("src/")}
    folders = {}
    with open(f"{BUILD}/uncovered.txt", "w", encoding="utf-8") as uncovered, \
            open(f"{BUILD}/branches.txt", "w", encoding="utf-8") as branches, \
            open(f"{BUILD}/files.txt", "w", encoding="utf-8") as each:
        for path in sorted(files):
            lines, ways = files[path]
            with open(path, encoding="utf-8") as f:
                text = f.read().splitlines()
            for n in sorted(n for n, count in lines.items() if count == 0):
                uncovered.write(f"{path}:{n}: {text[n - 1].strip()}\n")
            for n, counts in sorted(ways.items()):
                never = [str(i) for i, count in enumerate(counts) if count == 0]
                if never and lines[n] > 0:
                    branches.write(f"{path}:{n}: {text[n - 1].strip()}  [{','.join(never)} of {len(counts)}]\n")
            taken = [count for counts in ways.values() for count in counts]
            here = [sum(c > 0 for c in lines.values()), len(lines), sum(c > 0 for c in taken), len(taken)]
            each.write(f"{path:40} lines {share(*here[:2])}   branches {share(*here[2:])}\n")
            for folder in (os.path.dirname(path), "all"):
                folders[folder] = [a + b for a, b in zip(folders.get(folder, [0] * 4), here)]
    for folder, sums in sorted(folders.items(), key=lambda f: (f[0] == "all", f[0])):
        print(f"{folder:16} lines {share(*sums[:2])}   branches {share(*sums[2:])}")
    print(f"each file: {BUILD}/files.txt; what is left: {BUILD}/uncovered.txt, {BUILD}/branches.txt")


main()
