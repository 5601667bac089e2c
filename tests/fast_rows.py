"""Rows written in machine integers are, byte for byte, those written through exact fractions.

The first row that is shown always goes the exact way, the rest the fast way where the plan's numbers fit. So
a row asked for alone (--from I --to I) must be the row of the whole list. JSON Lines go through batch, which
answers thousands of such requests at once; for a part of them each row of CSV and TSV must be what docs/output.md makes of
the record. Both ways share the labels of --mark and --number: those are worked out here in fractions. Some radii are made so
that a length stands next to a half of its last decimal, where a double that is not the very one would be rounded the other way.

Rows of a table are written in machine integers too, its JSON Lines never: each cell must be what docs/output.md makes of
the record's field.
"""
import csv
import io
import json
import os
import random
import shlex
import subprocess
import sys
import tempfile
from fractions import Fraction

CRANKCARD = os.environ["CRANKCARD"]
MULT = int(os.environ.get("CRANKCARD_TEST_MULT", "1"))
SEED = int(os.environ.get("CRANKCARD_SEED", "20240611"))
PI = Fraction(314159265358979323846, 10**20)
RADII = ["25mm", "1in", "0.001", "12345", "1/3in", "3.14159265358979", "68719.476736", "0.0000001", "999999999.999", "1000000001"]
OFFSETS = ["22.5", "1/7rev", "3.75", "0d0m0.0005s", "0d0m0.0001s", "0d0m0.000001s", "359.999999999", "1234567/9999991rev",
           "999999999989/999999999999rev"]
HEADS = ["small-tilting", "small-tilting-geared", "five-to-one", "universal-two-sided", "rotary-table-90",
         "spin-fixture-36", "dial-table-90", "dial-table-72"]
PLATES = ["dividing-head-dial", "rotary-table-72", "slow-crank-4000", "examples/invented-bracket.ini"]
METHODS = ["nearest-hole", "nearest-compound", "nearly-exact", "differential", "compound", "plain"]
VALUES = ["0.001", "1/3", "-0.5", "2", "0.0000000001", "1.005", "-7/8", "100000000000", "0.33", "0.25", "12.500"]


def invent_list(rng):
    """Positions with labels of all kinds, now and then one that is quoted in a format."""
    words, labels = ["angles", "--head", rng.choice(HEADS + PLATES[:3])], ["", "", " slot", " 5", " =1+1", " é", " 5 mar", ' 1/2"', " a,b", " " + 60 * "x"]
    if rng.random() < 0.3:
        words += ["--radius", rng.choice(RADII)]
    if rng.random() < 0.3:
        words += ["--method", rng.choice(METHODS)]
    if rng.random() < 0.3:
        words += ["--offset", "-" + rng.choice(OFFSETS[:8])]
    kind = rng.choice(["{}d", "{}/7rev", "{}.25", "{}/9999991rev", "0d{}m7s"])
    usual = rng.choice(labels[:5])
    return words + [kind.format(rng.randint(0, 350)) + (usual if rng.random() < 0.95 else rng.choice(labels))
                    for _ in range(rng.randint(3, 20))]


def rows_of(words):
    return min(int(words[1]), 60) if words[0] == "divide" else 60


def invent(rng):
    if rng.random() < 0.15:
        return invent_list(rng)
    words = ["divide", str(rng.choice([rng.randint(1, 40), rng.randint(1, 400), rng.randint(1, 20000)])),
             "--head", rng.choice(HEADS)]
    if rng.random() < 0.3:
        words += ["--arc", rng.choice(["90", "33.3", "1/7rev", "12d30m", f"{rng.randint(1, 900)}rev"])]
    if rng.random() < 0.4:
        words += ["--offset", rng.choice(["-", ""]) + rng.choice(OFFSETS + [f"{rng.randint(1, 999)}/1000rev"])]
    if rng.random() < 0.4:
        words += ["--method", rng.choice(METHODS)]
    if rng.random() < 0.3:
        words += ["--radius", rng.choice(RADII + [f"{rng.randint(1, 10**9)}/{rng.randint(1, 10**6)}"])]
        if rng.random() < 0.5:
            words += ["--units", "in"]
    if rng.random() < 0.3:
        words += ["--mark", "10=long", "--mark", "5=mid", "--mark", "1=é"][:rng.choice([2, 4, 6])]
    if rng.random() < 0.3:
        words += ["--number", rng.choice(["1", "3", "10"])]
        if rng.random() < 0.8:
            words += ["--value", rng.choice(VALUES)]
    return words


def numeral(value, division):
    """division * value as typed: a fraction in lowest terms, or as many decimals, half away from zero."""
    exact = Fraction(value) * division
    if "/" in value:
        return str(exact)
    decimals = len(value.partition(".")[2])
    units = int(abs(exact) * 10**decimals + Fraction(1, 2))
    digits = str(units).rjust(decimals + 1, "0")
    sign = "-" if exact < 0 and units else ""
    return sign + (digits[:-decimals] + "." + digits[-decimals:] if decimals else digits)


def label(words, division):
    """What stands beside the line of this division."""
    option = {"--value": "1", "--number": "0"}
    option.update((a, b) for a, b in zip(words, words[1:]) if a.startswith("--"))
    classes = [words[i + 1].split("=") for i, word in enumerate(words) if word == "--mark"]
    name = max(((int(every), name) for every, name in classes if division % int(every) == 0), default=(0, ""))[1]
    number = int(option["--number"])
    value = numeral(option["--value"], division) if number and division % number == 0 else ""
    return " ".join(part for part in (name, value) if part) or None


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


COLUMNS = ("divisions method exact within_tolerance block setting.plate setting.side setting.circle movement.turns movement.holes "
           "setting.circle2 movement.holes2 gearing.drivers gearing.driven gearing.idlers worst_error_arcsec worst_pitch_arcsec "
           "closing_error_arcsec crank_turns steps gearing.idlers_in time_s effort_s gearing.idler_teeth gearing.fit "
           "gearing.fit_key gearing.room_mm").split()
STEP_COLUMNS = ("method exact step division label turns holes circle hole holes2 circle2 hole2 crank angle nominal angle_deg error "
                "error_arcsec error_mm dial rim").split()
EXACT = {"crank_turns", "crank", "angle", "nominal", "error", "dial", "rim"}
TEXTS = {"setting.plate", "label"}


def cells(record, columns, tabs):
    """The row that a record makes."""
    out = []
    for path in columns:
        value = record
        for name in path.split("."):
            value = value[name] if value is not None else None
        if path in EXACT and not tabs:
            num, _, den = (value or "").partition("/")
            kept = "'" if max(len(num.lstrip("-")), len(den)) > 15 else ""
            out += [kept + num, kept + (den or "1")] if value is not None else ["", ""]
        elif isinstance(value, list):
            out.append(("'" if value and not tabs else "") + " ".join(value))   # digits and blanks: text to a spreadsheet
        elif isinstance(value, bool):
            out.append("true" if value else "false")
        else:
            text = "" if value is None else value
            kept = not tabs and path in TEXTS and text.strip("0123456789/-:., ") == "" and text != ""
            out.append(("'" if kept or (not tabs and text.isdigit() and len(text) > 15) else "") + text)
    return out


def tables(rng):
    """Rows of tables against their records, numbers as they are written there."""
    rows = 0
    for _ in range(12 * MULT):
        first = rng.choice([2, rng.randint(2, 400), rng.randint(400, 20000), 10**9 - 20])
        words = ["table", f"{first}-{first + 40}", "--head", rng.choice(HEADS + PLATES)]
        if rng.random() < 0.4:
            words += rng.choice([["--tolerance", "0d0m5s"], ["--tolerance", "1/7"], ["--method", "nearest-hole"], ["--circle", "49"]])
        units = rng.choice(["mm", "in"])
        words += ["--units", units]
        columns = COLUMNS[:-1] + [COLUMNS[-1].replace("mm", units)]
        done = subprocess.run([CRANKCARD, *words, "-f", "jsonl"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=False)
        records = [json.loads(line, parse_int=str, parse_float=str) for line in done.stdout.decode().splitlines()]
        wanted = [record for record in records if record["record"] == "plan"]
        for form in ("csv", "tsv"):
            done = subprocess.run([CRANKCARD, *words, "-f", form], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=False)
            text = io.StringIO(done.stdout.decode(), newline="")
            got = list(csv.reader(text)) if form == "csv" else [line.rstrip("\n").split("\t") for line in text]
            names = [path.rpartition(".")[2] for path in columns]
            if form == "csv":
                names = [one for name in names for one in ([name + "_num", name + "_den"] if name in EXACT else [name])]
            if got[0] != names:
                fail(words, "of names: " + " ".join(got[0]))
            for row, record in zip(got[1:], wanted):
                if row != cells(record, columns, form == "tsv"):
                    print("row", row, "of", cells(record, columns, form == "tsv"))
                    fail(words, record["divisions"])
            if len(got) != len(wanted) + 1:
                fail(words, len(got))
            rows += len(wanted)
    return rows


def near_halves(rng, wanted, wholes):
    """Lengths next to a half, written as one of two rows and alone."""
    pairs, singles, cases = [], [], []
    for number, words in enumerate(wanted, 1):
        records = [json.loads(record + "}") for record in wholes[number]]
        wrong = [r["step"] for r in records[2:] if r["record"] == "step" and r["error"] != "0"]
        if "--radius" in words or not wrong:
            continue
        row = rng.choice(wrong)
        turn = abs(2 * PI * Fraction(records[row + 1]["error"]))
        half = Fraction(rng.choice([1, rng.randint(0, 10**6), rng.randint(0, 10**9)]) * 2 + 1, 2 * 10**6)
        radius = half / turn * (1 + Fraction(rng.randint(-3, 3), 10**rng.randint(9, 18)))
        asked = shlex.join(words) + f" --radius {float(radius):.17f}".rstrip("0")
        if 0 < radius < 10**9:
            cases.append((words, row))
            pairs.append(f"{asked} --from {row - 1} --to {row}")
            singles.append(f"{asked} --from {row} --to {row}")
    answers, alone = batch(pairs), batch(singles)
    for number, (words, row) in enumerate(cases, 1):
        if answers[number][2:] != alone[number][1:]:
            print(pairs[number - 1])
            fail(words, row)
    return len(cases)


def main():
    rng = random.Random(SEED)
    with_tables = tables(rng)
    wanted = [invent(rng) for _ in range(1500 * MULT)]
    wholes = batch([shlex.join(words) + f" --to {rows_of(words)}" for words in wanted])
    singles, lines, methods, rows, labels = [], [], set(), 0, 0
    for number, words in enumerate(wanted, 1):
        records = wholes[number]
        if not records[0].startswith('{"record":"plan"'):
            continue            # no plan by that method
        plan = json.loads(records[0] + "}")
        methods.add(plan["method"])
        if "--mark" in words or "--number" in words:
            for record in records[1:]:
                step = json.loads(record + "}")
                closing = step["division"] == 0 and step["step"] == plan["steps"]
                want = None if closing else label(words, step["division"])
                labels += 1
                if step["label"] != want:
                    print("label", step["label"], "not", want)
                    fail(words, step["step"])
        for row in rng.sample(range(1, len(records) - 1), min(4, len(records) - 2)):
            lines.append(shlex.join(words) + f" --from {row} --to {row}")
            singles.append((words, row, records[1 + row]))
    answers = batch(lines)
    for number, (words, row, record) in enumerate(singles, 1):
        rows += 1
        if answers[number][1:] != [record]:
            fail(words, row)
    halves = near_halves(rng, wanted, wholes)
    for number in rng.sample(sorted({wanted.index(words) for words, _, _ in singles}), 100):
        words = wanted[number]
        plan, *steps = (json.loads(record + "}", parse_int=str, parse_float=str) for record in wholes[number + 1])
        for step in steps:
            step.update(method=plan["method"], exact=plan["exact"], error_mm=step.get("error_mm", step.get("error_in")))
        for form in ("csv", "tsv"):
            text = io.StringIO("\n".join(table(words, "--format", form, "--to", str(rows_of(words)))), newline="")
            got = list(csv.reader(text)) if form == "csv" else [line.rstrip("\n").split("\t") for line in text]
            for row, step in zip(got, steps):
                if row != cells(step, STEP_COLUMNS, form == "tsv"):
                    print("row", row, "of", cells(step, STEP_COLUMNS, form == "tsv"))
                    fail(words, step["step"])
            if len(got) != len(steps):
                fail(words, len(got))
    if len(methods) < 6 or rows < 2000 or labels < 5000 or with_tables < 400 or halves < 100:
        print("FAIL rows: only", methods, rows, labels, with_tables, halves)
        sys.exit(1)
    print(f"ok   {rows} rows written both ways, {len(methods)} methods, {halves} next to a half, {labels} labels, {with_tables} of tables (seed {SEED})")


main()
