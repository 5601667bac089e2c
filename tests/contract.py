"""Hold the program's machine formats to the output contract (docs/output.md).

For every shipped head and a set of requests: the keys and their order, exact fractions, decimals
rounded once, and above all that the movements, put through the kinematics with Python's fractions,
give every angle, hole and error that the program prints. CSV, TSV and JSON Lines must say the same.
"""
import csv
import functools
import io
import json
import os
import random
import re
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction as F

CRANKCARD = os.environ["CRANKCARD"]
MULT = int(os.environ.get("CRANKCARD_TEST_MULT", "1"))

PLAN_KEYS = ["record", "schema", "command", "head", "divisions", "arc", "block", "worm", "method", "exact",
             "within_tolerance", "tolerance_arcsec", "movement", "gearing", "step", "worst_error_arcsec",
             "closing_error_arcsec", "steps", "offset", "worst_pitch_arcsec", "head_holds_arcsec",
             "exact_exists", "searched", "positions", "setting", "crank_turns", "forward", "grow"]
LAST_PLAN_KEYS = ["time_s", "effort_s"]
STEP_KEYS = ["record", "step", "division", "turns", "holes", "circle", "hole", "holes2", "circle2", "hole2",
             "crank", "angle", "nominal", "angle_deg", "error", "error_arcsec"]
READING_KEYS = ["dial", "rim"]      # the last
EXACT_COLUMNS = {"crank", "angle", "nominal", "error", "dial", "rim"}      # two in CSV
COLUMNS = ("method,exact,step,division,label,turns,holes,circle,hole,holes2,circle2,hole2,crank,angle,nominal,"
           "angle_deg,error,error_arcsec,error_mm,dial,rim").split(",")
EXACT_METHODS = {"direct", "plain", "compound", "differential", "dial"}

checked = 0


def run(*arguments):
    done = subprocess.run([CRANKCARD, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                          stdin=subprocess.DEVNULL, check=False)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def rounded(value, decimals):
    """value to so many decimals, half away from zero, as a Decimal."""
    scale = 10 ** decimals
    n = abs(value) * scale
    whole = (2 * n.numerator + n.denominator) // (2 * n.denominator)
    return Decimal(whole if value >= 0 else -whole) / scale


def ensure(condition, *words):
    global checked
    checked += 1
    if not condition:
        print("FAIL", *words)
        sys.exit(1)


def is_reduced(text):
    f = F(text)
    return text == (str(f.numerator) if f.denominator == 1 else f"{f.numerator}/{f.denominator}")


def check_plan(plan, words):
    keys = list(plan)
    ensure(keys[:len(PLAN_KEYS)] == PLAN_KEYS, words, "plan keys", keys)
    ensure(keys[-2:] == LAST_PLAN_KEYS, words, "last plan keys", keys)
    for key in ("divisions", "arc", "block", "worm", "step", "offset"):
        ensure(plan[key] is None or is_reduced(plan[key]), words, key, plan[key])
    if plan["exact"]:
        ensure(plan["method"] in EXACT_METHODS, words, plan["method"])
        ensure(plan["worst_error_arcsec"] == 0 and plan["exact_exists"] is True, words, plan)
    ensure(set(plan["searched"]) == {"circles", "pairs", "trains", "unfit", "unfit_by"}, words, plan["searched"])
    if plan["movement"]:
        ensure(list(plan["movement"]) == ["plate", "side", "circle", "turns", "holes", "circle2", "holes2"],
               words, plan["movement"])


# Seconds of hands and risk for a movement, and for setting up: docs/method.md, "Effort".
MOVEMENTS = {"direct": (7, 3), "direct varies": (14, 12), "pins": (12, 8), "plain": (10, 4), "nearest hole": (14, 12),
             "list": (22, 20), "differential": (12, 6), "differential list": (24, 22), "compound": (25, 25),
             "compound back": (32, 30), "nearest compound": (32, 40), "compound list": (42, 60),
             "dial": (12, 10), "dial parts": (16, 10)}
GEARS = {(1, 1): 900, (1, 2): 1200, (2, 0): 1500, (2, 1): 1800}


def movement_of(plan, steps):
    listed, varies = plan["positions"] is not None, plan["movement"] is None
    if plan["head"] == "Head with a fine detent" and plan["setting"]["circle"] in (180, 200, 490):
        return "list"       # parts of a hole space: holes are counted and the detent set anew for every row
    if plan["method"] == "dial":
        return "dial" if plan["setting"]["circle"] == scales_of(plan)["lines"] else "dial parts"
    if plan["setting"]["plate"] is None:
        return "pins" if plan["setting"]["circle2"] else "direct varies" if listed or varies else "direct"
    if plan["setting"]["circle2"]:
        back = any(s["turns"] < 0 or s["holes"] < 0 or s["holes2"] < 0 for s in steps[1:])
        return "compound list" if listed else "nearest compound" if varies else "compound back" if back else "compound"
    if plan["gearing"]:
        return "differential list" if listed else "differential"
    return "list" if listed else "nearest hole" if varies else "plain"


def whole_turns(steps):
    cranks = [F(step["crank"]) for step in steps]
    return sum(int(abs(b - a)) for a, b in zip(cranks, cranks[1:]))


def scales_of(plan):
    return scales_of_title(plan["head"])


@functools.lru_cache
def scales_of_title(title):
    """What the shipped profile of this title says of its dial and rim."""
    for name in os.listdir("data/heads"):
        with open("data/heads/" + name, encoding="utf-8") as file:
            text = re.sub(r" *;.*", "", file.read())
        if re.search(r"^title *= *(.*)$", text, re.M).group(1) != title:
            continue
        keys = {}
        for section in ("dial", "rim"):
            part = re.search(rf"^\[{section}\]$(.*?)(?=^\[|\Z)", text, re.M | re.S)
            for key, value in re.findall(r"^(\w+) *= *(\S+)", part.group(1) if part else "", re.M):
                keys[key if section == "dial" else "rim " + key] = int(value) if value.isdigit() else value
        return keys
    return {}


def check_reading(plan, step, words):
    """The dial counts the crank's turns and starts anew each time, the rim the spindle's; both up, or both down."""
    if plan["method"] != "dial":
        ensure(step["dial"] is None and step["rim"] is None, words, "a reading without a dial", step)
        return
    scales, crank = scales_of(plan), F(step["crank"])
    span = F(scales["lines"]) if scales["numbered"] == "lines" else F(360) / F(plan["worm"])
    way = {"clockwise": 1, "counter": -1}[plan["forward"]] if plan["forward"] else 1
    rises = {"clockwise": 1, "counter": -1, None: way}
    dial = crank * way * rises[scales.get("rises")] % 1 * span
    ensure(F(step["dial"]) == dial and is_reduced(step["dial"]), words, "dial", step, dial)
    parts = dial / span * step["circle"]
    ensure(parts.denominator == 1, words, "no part of the dial", step)
    if "rim lines" not in scales:
        ensure(step["rim"] is None, words, "rim", step)
        return
    rim_way = way * rises[scales.get("rim rises", scales.get("rises"))]
    ensure(F(step["rim"]) == F(step["angle"]) * rim_way * 360 % 360 and is_reduced(step["rim"]), words, "rim", step)


def check_effort(plan, steps, words, mounted):
    """Time and effort from what the rows ask of the hands. mounted: the plate and side that are on, or None."""
    hands, risk = MOVEMENTS[movement_of(plan, steps)]
    at = plan["setting"]
    if int(plan["block"]) > 1:
        hands, risk = hands + 5, risk + 10
    if plan["method"] == "dial":
        set_up, turns = 0, whole_turns(steps)
    elif at["plate"] is None:
        set_up, turns = 60 + 150 if plan["worm"] else 0, 0
    else:
        set_up = 75 + (0 if mounted == (at["plate"], at["side"]) else 300) + (180 if at["circle2"] else 0)
        if plan["gearing"]:
            set_up += GEARS[len(plan["gearing"]["drivers"]), plan["gearing"]["idlers"]] + 600
        turns = whole_turns(steps)
    time = set_up + plan["steps"] * (2 * hands + 3) + 4 * turns
    effort = time + plan["steps"] * risk + 2 * turns
    ensure((plan["time_s"], plan["effort_s"]) == (time, effort), words, "time and effort", plan, time, effort)


def check_steps(plan, steps, words, positions=()):
    """Movements through the kinematics of docs/method.md, with fractions, row by row."""
    worm = F(plan["worm"]) if plan["worm"] else F(0)
    plate_turns = F(plan["gearing"]["ratio"]) if plan["gearing"] else F(0)
    if plan["gearing"]:
        g = plan["gearing"]
        ratio = F(1)
        for a, b in zip(g["drivers"], g["driven"]):
            ratio *= F(a, b)
        sign = 1 if g["idlers"] == (1 if len(g["drivers"]) == 1 else 0) else -1
        ensure(plate_turns == sign * ratio, words, "sign of e", g)
    direct = plan["setting"]["plate"] is None and plan["method"] != "dial"
    total, hole, hole2 = F(0), 0, 0
    listed = plan["positions"] is not None
    if listed:
        ensure(plan["divisions"] is None and plan["arc"] is None and plan["step"] is None, words, plan)
        ensure(plan["positions"] == len(positions) == plan["steps"], words, "positions", plan["positions"])
    else:
        count, block, arc = int(plan["divisions"]), int(plan["block"]), F(plan["arc"])
    worst, units = F(0), None
    for row, step in enumerate(steps):
        ensure(list(step)[:len(STEP_KEYS)] == STEP_KEYS, words, "step keys", list(step))
        ensure(list(step)[-2:] == READING_KEYS, words, "last step keys", list(step))
        check_reading(plan, step, words)
        ensure(step["step"] == row, words, "step", step)
        move = step["turns"] + F(step["holes"], step["circle"])
        if step["circle2"]:
            move += F(step["holes2"], step["circle2"])
        total += move
        hole += step["turns"] * step["circle"] + step["holes"]
        angle = total if direct else total / (worm - plate_turns)
        ensure(F(step["angle"]) == angle and is_reduced(step["angle"]), words, "angle", step, angle)
        if listed:
            nominal = positions[row - 1][0] if row > 0 else F(0)
            ensure(step["label"] == (positions[row - 1][1] if row > 0 else None), words, "label", step)
        else:
            nominal = F(plan["offset"]) + (F(row * block, count) if arc == 1 else arc * row / count)
        ensure(F(step["nominal"]) == nominal, words, "nominal", step, nominal)
        ensure(F(step["error"]) == angle - nominal, words, "error", step)
        ensure(step["crank"] is None if direct else F(step["crank"]) == total, words, "crank", step)
        ensure(step["hole"] == hole % step["circle"], words, "hole", step)
        if step["circle2"]:
            hole2 += step["holes2"]
            modulus = step["circle2"] // step["circle"] if direct else step["circle2"]
            ensure(step["hole2"] == hole2 % modulus, words, "hole2", step)
        ensure(step["angle_deg"] == rounded(angle * 360, 9), words, "angle_deg", step)
        ensure(step["error_arcsec"] == rounded((angle - nominal) * 1296000, 3), words, "error_arcsec", step)
        division = None if listed else row * block % count if arc == 1 else row
        ensure(step["division"] == division, words, "division", step)
        if plan["movement"] and row > 0:
            m = plan["movement"]
            ensure((m["turns"], m["holes"], m["circle"], m["circle2"], m["holes2"]) ==
                   (step["turns"], step["holes"], step["circle"], step["circle2"], step["holes2"]),
                   words, "movement", m, step)
        worst = max(worst, abs(angle - nominal))
        if plan["exact"]:
            ensure(angle == nominal, words, "exact plan with an error", step)
    ensure(len(steps) == plan["steps"] + 1, words, "rows", len(steps))
    ensure(plan["worst_error_arcsec"] == rounded(worst * 1296000, 3), words, "worst", plan, worst)
    if not listed and arc == 1:
        ensure(plan["closing_error_arcsec"] == rounded(F(steps[-1]["error"]) * 1296000, 3), words, "closing")
    else:
        ensure(plan["closing_error_arcsec"] is None, words, "closing where nothing closes")


def field(value):
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def cells(key, value, delimiter):
    """What stands under a column's name in CSV or TSV: {name: cell}."""
    if delimiter == "\t":
        return {key: field(value)}
    if key in EXACT_COLUMNS:
        pair = ["", ""] if value is None else [str(F(value).numerator), str(F(value).denominator)]
        mark = "'" if max(len(cell.lstrip("-")) for cell in pair) > 15 else ""
        return {key + "_num": mark + pair[0], key + "_den": mark + pair[1]}
    spoilt = isinstance(value, str) and re.match(r"[=+@\t\r-]|[-0-9/:., ]+\Z", value)
    return {key: ("'" if spoilt else "") + field(value)}


def check_rows(text, plan, steps, delimiter, words):
    if delimiter == ",":
        ensure("\r\n" in text and "\n" not in text.replace("\r\n", ""), words, "line ends")
        rows = list(csv.reader(io.StringIO(text, newline="")))
    else:
        ensure("\r" not in text, words, "line ends")
        rows = [line.split("\t") for line in text.splitlines()]
    columns = [name for key in COLUMNS for name in cells(key, None, delimiter)]
    ensure(rows[0] == columns, words, "columns", rows[0])
    ensure(len(rows) == len(steps) + 1, words, "rows", len(rows))
    for row, step in zip(rows[1:], steps):
        got = dict(zip(columns, row))
        ensure(got["method"] == plan["method"] and got["exact"] == field(plan["exact"]), words, got)
        for key in STEP_KEYS[1:] + ["label"] + READING_KEYS:
            for name, cell in cells(key, step[key], delimiter).items():
                if isinstance(step[key], (Decimal, int)) and not isinstance(step[key], bool):
                    ensure(Decimal(got[name]) == Decimal(cell), words, name, got, step)
                else:
                    ensure(got[name] == cell, words, name, got, step)


def check_request(*arguments, positions=()):
    words = " ".join(arguments)
    status, out, err = run(*arguments, "--format", "jsonl")
    if status == 1 and not out:
        ensure(err.startswith("crankcard: ") and err.count("\n") == 1, words, err)
        return None
    ensure(status == 0 and err == "", words, status, err)
    records = [json.loads(line, parse_float=Decimal) for line in out.splitlines()]
    plan, steps = records[0], records[1:]
    check_plan(plan, words)
    check_steps(plan, steps, words, positions)
    check_effort(plan, steps, words, ("A", 1))      # what every shipped profile says is on
    status, out, err = run(*arguments, "--format", "csv")
    check_rows(out, plan, steps, ",", words)
    status, out, err = run(*arguments, "--format", "tsv")
    check_rows(out, plan, steps, "\t", words)
    status, card, err = run(*arguments)
    ensure(status == 0 and err == "" and "Closing check" in card, words, "card", err)
    for width in ("40", "72"):
        lines = run(*arguments, "--width", width, "--all-steps")[1].splitlines()
        ensure(all(len(line) <= int(width) for line in lines), words, "wider than", width,
               [line for line in lines if len(line) > int(width)][:3])
    ascii_card = run(*arguments, "--ascii")[1]
    ensure(ascii_card.isascii(), words, "not 7-bit")
    return plan


def check_angles(rng, head):
    """A list of angles in several spellings, some with a label."""
    words, positions = [], []
    for i in range(rng.randrange(1, 9)):
        label = rng.choice([None, "keyway", "slot 2", "=1+1", "@7"])
        d, m, s = rng.randrange(360), rng.randrange(60), rng.randrange(60)
        value, text = rng.choice([
            (F(d, 360), str(d)),
            (F(d, 360) + F(m, 21600), f"{d}d{m}m"),
            (F(d, 360) + F(m, 21600) + F(s, 1296000), f"{d}:{m:02}:{s:02}"),
            (F(2 * d + 1, 720), f"{d} 1/2"),
            (F(d, 361), f"{d}/361rev"),
        ])
        words.append(text if label is None else f"{text} {label}")
        positions.append((value, label))
    check_request("angles", *words, "--head", head, positions=positions)


def main():
    seed = int(os.environ.get("CRANKCARD_SEED", "20261"))
    rng = random.Random(seed)
    heads = sorted("data/heads/" + name for name in os.listdir("data/heads") if name.endswith(".ini")) + ["tests/cases/detent.ini"]
    served = 0
    for head in heads:
        counts = [24, 57, 127, 2, 1, 360, 10007] + [rng.randrange(2, 500) for _ in range(4 * MULT)]
        for n in counts:
            served += check_request(str(n), "--head", head) is not None
        check_request("30", "--arc", "77 1/2", "--head", head)
        check_request("12", "--offset", "3d20m", "--head", head)
        check_request("11", "--block", "4", "--head", head)
        check_request("11", "--offset", "1/12345678901234567rev", "--method", "nearest-hole", "--head", head)
        for _ in range(3 * MULT):
            check_angles(rng, head)
        for method in ("nearest-hole", "nearest-compound", "nearly-exact", "compound", "dial"):
            check_request("37", "--method", method, "--head", head)
    ensure(served > 4 * len(heads), "too few requests were served", served)
    print(f"ok   output contract: {checked} checks, {len(heads)} heads (seed {seed})")


main()
