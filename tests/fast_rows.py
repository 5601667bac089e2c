"""Rows written in machine integers are, byte for byte, those written through exact fractions.

The first row that is shown always goes the exact way, the rest the fast way where the plan's numbers fit. So
a row asked for alone (--from I --to I) must be the row of the whole list. JSON Lines go through batch, which
answers thousands of such requests at once; CSV and TSV are compared for a part of them.
"""
import json
import os
import random
import subprocess
import sys
import tempfile

CRANKCARD = os.environ["CRANKCARD"]
MULT = int(os.environ.get("CRANKCARD_TEST_MULT", "1"))
SEED = int(os.environ.get("CRANKCARD_SEED", "20240611"))
HEADS = ["small-tilting", "small-tilting-geared", "five-to-one", "universal-two-sided", "rotary-table-90",
         "spin-fixture-36"]
METHODS = ["nearest-hole", "nearest-compound", "nearly-exact", "differential", "compound", "plain"]


def invent(rng):
    words = ["divide", str(rng.choice([rng.randint(1, 40), rng.randint(1, 400), rng.randint(1, 20000)])),
             "--head", rng.choice(HEADS)]
    if rng.random() < 0.3:
        words += ["--arc", rng.choice(["90", "33.3", "1/7rev", "12d30m", f"{rng.randint(1, 900)}rev"])]
    if rng.random() < 0.4:
        words += ["--offset", rng.choice(["-", ""]) + rng.choice(["22.5", "1/7rev", "3.75", "0d0m0.0005s", "0d0m0.0001s", f"{rng.randint(1, 999)}/1000rev"])]
    if rng.random() < 0.4:
        words += ["--method", rng.choice(METHODS)]
    if rng.random() < 0.3:
        words += ["--radius", rng.choice(["25mm", "1in", "0.001", "12345"])]
        if rng.random() < 0.5:
            words += ["--units", "in"]
    return words


def batch(lines):
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as file:
        file.write("\n".join(lines) + "\n")
        file.flush()
        done = subprocess.run([CRANKCARD, "batch", file.name], stdout=subprocess.PIPE, check=False)
    answers = {}
    for text in done.stdout.decode().splitlines():
        record = text[: text.rindex(',"line":')]
        answers.setdefault(json.loads(text)["line"], []).append(record)
    return answers


def table(words, *more):
    done = subprocess.run([CRANKCARD, *words, *more], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=False)
    return done.stdout.decode().split("\n")[1:-1]


def fail(words, row):
    print("FAIL rows, seed", SEED, " ".join(words), "row", row)
    sys.exit(1)


def main():
    rng = random.Random(SEED)
    wanted = [invent(rng) for _ in range(1500 * MULT)]
    wholes = batch([" ".join(words) + f" --to {min(int(words[1]), 60)}" for words in wanted])
    singles, lines, methods, rows = [], [], set(), 0
    for number, words in enumerate(wanted, 1):
        records = wholes[number]
        if not records[0].startswith('{"record":"plan"'):
            continue            # no plan by that method
        methods.add(json.loads(records[0] + "}")["method"])
        for row in rng.sample(range(1, len(records) - 1), min(4, len(records) - 2)):
            lines.append(" ".join(words) + f" --from {row} --to {row}")
            singles.append((words, row, records[1 + row]))
    answers = batch(lines)
    for number, (words, row, record) in enumerate(singles, 1):
        rows += 1
        if answers[number][1:] != [record]:
            fail(words, row)
    for words, row, _ in rng.sample(singles, 40):
        for form in ("csv", "tsv"):
            whole = table(words, "--format", form, "--to", str(row))
            if table(words, "--format", form, "--from", str(row), "--to", str(row)) != [whole[row]]:
                fail(words, row)
    if len(methods) < 6 or rows < 2000:
        print("FAIL rows: only", methods, rows)
        sys.exit(1)
    print(f"ok   {rows} rows written both ways, {len(methods)} methods (seed {SEED})")


main()
