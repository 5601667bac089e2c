#!/usr/bin/env python3
"""The chart for the wall: its rows are right, none is missing, and text, HTML and drawing have the same ones.

Usage: wall.py PROGRAM. Expectations are arithmetic on the profile (a circle C serves N where C R / N is whole, and by the direct
plate where C / N is) and, for what takes more than a circle, the records of the same table.
"""
import configparser
import json
import subprocess
import sys
import xml.etree.ElementTree as ET
from fractions import Fraction

PROGRAM = sys.argv[1]
H, SVG = "{http://www.w3.org/1999/xhtml}", "{http://www.w3.org/2000/svg}"
wrong = []


def fail(told, what):
    wrong.append(f"{told}: {what}")


def run(words):
    return subprocess.run([PROGRAM, *words], stdout=subprocess.PIPE, check=False).stdout.decode("utf-8")


def tables(words):
    """Of the page: per table its headings and its rows."""
    root = ET.fromstring(run([*words, "--wall", "--format", "html"]).split("\n", 1)[1])
    found = []
    for table in root.iter(H + "table"):
        if table.get("class", "").startswith("rows"):
            heads = ["".join(e.itertext()).strip() for e in table.find(f"{H}thead/{H}tr")]
            rows = [["".join(e.itertext()).strip() for e in row] for row in table.find(H + "tbody")]
            found.append([dict(zip(heads, row)) for row in rows])
    return found if len(found) == 2 else found + [[]]


def circles_of(head):
    """Ratio, circles of the plates as (name, circle), circles of the direct plate."""
    profile = configparser.ConfigParser(inline_comment_prefixes=(";", "#"))
    profile.read(f"data/heads/{head}.ini")
    plates = []
    for section in profile.sections():
        if section.startswith("plate "):
            sides = [s for s in ("side 1", "side 2") if s in profile[section]]
            for side in sides:
                name = section[6:] + (f" {side[-1]}" if len(sides) > 1 else "")
                plates += [(name, int(c)) for c in profile[section][side].split()]
    direct = profile["direct"]["holes"].split() if "direct" in profile else []
    return Fraction(profile["head"]["worm"]), plates, [int(c) for c in direct]


def check_plain(told, rows, n, worm, plates, direct):
    """All that serve, and of each the movement: turns and holes of it are R/N turns of the crank."""
    mine = [r for r in rows if r["N"] == str(n)]
    wanted = set()
    for circle in direct:
        if circle % n == 0:
            wanted.add(("direct", str(circle), "", str(circle // n)))
    turns = worm / n
    if turns.denominator == 1:
        wanted.add(("any", "any", str(turns), "0"))
    else:
        for plate, circle in plates:
            if (turns * circle).denominator == 1:
                wanted.add((plate, str(circle), str(int(turns)), str(turns * circle - int(turns) * circle)))
    got = {(r["plate"], r["circle"], r["turns"], r["holes"]) for r in mine}
    if wanted and got != wanted:
        fail(told, f"{n}: {sorted(got - wanted)} too many, {sorted(wanted - got)} missing")
    if not wanted and [r["plate"] for r in mine] != ["below"]:
        fail(told, f"{n}: {mine}")
    return not wanted


def check_other(told, rows, record):
    """The setting of the record, or one that equals it; gears where they stand."""
    n = record["divisions"]
    mine = [r for r in rows if r["N"] == n]
    movement, gearing = record["movement"], record["gearing"]
    if not mine:
        fail(told, f"{n}: no row")
    for row in mine:
        if movement is None:
            if row["holes"] != "varies":
                fail(told, f"{n}: {row}")
        elif movement["circle2"] is not None:
            if (row["circle"], row["holes"]) != (f"{movement['circle']}+{movement['circle2']}", f"{movement['holes']}{movement['holes2']:+d}"):
                fail(told, f"{n}: {row}")
        else:
            if (Fraction(int(row["holes"]), int(row["circle"])) + int(row["turns"]) !=
                    Fraction(movement["holes"], movement["circle"]) + movement["turns"]):
                fail(told, f"{n}: {row} is not {movement}")
        if gearing:
            a, b = gearing["drivers"], gearing["driven"]
            places = (str(a[0]), str(b[0]) if len(a) == 2 else "", str(a[1]) if len(a) == 2 else "", str(b[-1]))
            if (row["spindle"], row.get("in", ""), row.get("out", ""), row["worm"]) != places or not row["idlers"].startswith(str(gearing["idlers"])):
                fail(told, f"{n}: {row} has not {gearing}")
        if (row.get("note", "") == "") != (record["exact"] and record["block"] == "1"):
            fail(told, f"{n}: note {row.get('note')}")


def check_forms(told, words, parts):
    """The same rows, in their order down each column, in text of three widths, in pages and in a drawing."""
    wanted = [" ".join(v for v in row.values() if v) for part in parts for row in part]
    for more in (["-w", "60"], ["-w", "200"], ["--pages", "a4"]):
        text = run([*words, "--wall", *more])
        lines = [f" {' '.join(line.split())} " for line in text.splitlines()]
        for row in wanted:
            if not any(f" {row} " in line for line in lines):
                fail(f"{told} {' '.join(more)}", f"no row '{row}'")
                break
    root = ET.fromstring(run([*words, "--wall", "--format", "svg"]))
    drawn = [" ".join(t.text for t in g.findall(SVG + "text")) for g in root.iter(SVG + "g") if g.get("class") == "row"]
    if drawn != wanted:
        fail(told, "the drawing has other rows")
    width, height = (float(v) for v in root.get("viewBox").split()[2:])
    if any(float(t.get("y")) > height - 8 or float(t.get("x")) > width - 8 for t in root.iter(SVG + "text")):
        fail(told, "the drawing leaves its sheet")


def main():
    count = 0
    for head in ("small-tilting", "small-tilting-geared", "universal-two-sided"):
        words = ["table", "2-180", "--head", head]
        worm, plates, direct = circles_of(head)
        parts = tables(words)
        records = {r["divisions"]: r for r in map(json.loads, run([*words, "--format", "jsonl"]).splitlines())}
        for n in range(2, 181):
            if check_plain(head, parts[0], n, worm, plates, direct):
                check_other(head, parts[1], records[str(n)])
        check_forms(head, words, parts)
        count += sum(map(len, parts))
    for line in wrong[:20]:
        print("FAIL", line)
    if wrong:
        return 1
    print(f"ok   {count} rows of charts for the wall")
    return 0


if __name__ == "__main__":
    sys.exit(main())
