"""The ledger of wrong answers (docs/errata.md) is in order. Called by run_documents.sh.

Entries are numbered in turn, each says the same things, and the tests that hold the mended ones exist.
"""
import glob
import os
import re
import sys

LEDGER = "docs/errata.md"
KEYS = {"A": ["asked", "said", "right"], "D": ["where", "said", "right"], "C": ["where", "said", "right"]}
COMMON = ["wrong since", "mended", "held by"]
GONE = ["least_sum", "most_sum"]        # what documents said and must not say again


def said_again():
    """Words of GONE that a document says."""
    for path in sorted(glob.glob("docs/*.md") + ["README.md"]):
        if path != LEDGER:
            with open(path, encoding="utf-8") as file:
                text = file.read()
            yield from (f"{path} says {word} again" for word in GONE if word in text)


def held(text):
    """What is wrong with the tests named in text, each a file, perhaps with tests of it in backquotes."""
    files = re.findall(r"tests/[\w./-]+", text)
    if not files:
        yield "names no test"
    for file in files:
        if not os.path.exists(file):
            yield f"{file} does not exist"
    sources = "".join(open(file, encoding="utf-8").read() for file in files if os.path.isfile(file))
    for name in re.findall(r"`(\w+)`", text):
        if not re.search(rf"\b{name}\b", sources):
            yield f"no test {name} in {' '.join(files)}"


def faults(entry, body):
    items = re.findall(r"^- ([a-z ]+):(.*(?:\n  .*)*)", body, re.M)
    said = dict(items)
    if [key for key, _ in items] != KEYS[entry[0]] + COMMON:
        yield f"has {', '.join(key for key, _ in items)}"
        return
    for key in KEYS[entry[0]] + ["wrong since", "mended"]:
        if not said[key].strip():
            yield f"{key} is empty"
    if said["mended"].strip() != "not yet":
        yield from held(said["held by"])


def main():
    with open(LEDGER, encoding="utf-8") as file:
        parts = re.split(r"^### (\w+)\. .*$", file.read(), flags=re.M)
    entries = list(zip(parts[1::2], parts[2::2]))
    wrong, count = [], {}
    for entry, body in entries:
        kind = entry[0]
        count[kind] = count.get(kind, 0) + 1
        if kind not in KEYS or entry[1:] != str(count[kind]):
            wrong.append(f"{entry}: expected {kind}{count[kind]}")
            continue
        wrong += [f"{entry}: {fault}" for fault in faults(entry, body.split("\n## ")[0])]
    wrong += said_again()
    for line in wrong:
        print(f"FAIL {LEDGER}:", line)
    if not wrong:
        print(f"ok   {len(entries)} errata, {sum('not yet' in body for _, body in entries)} of them not mended")
    return 1 if wrong or not entries else 0


sys.exit(main())
