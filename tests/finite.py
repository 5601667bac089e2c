"""Numbers beyond all sense: every option of every command that takes a number, with numbers of five thousand digits.

Usage: finite.py PROGRAM. The answer is a refusal in one line, or figures that are numbers: never inf or nan. The options come
from --help, so a new one is tried too.
"""
import re
import subprocess
import sys

DIGITS = 5000
HUGE = "9" * DIGITS
TINY = "0." + "0" * DIGITS + "1"
VALUES = [HUGE, TINY, "1/" + HUGE, HUGE + "/7", "-" + HUGE, HUGE + "mm", HUGE + "in", TINY + "mm", HUGE + "d"]
NOT_A_NUMBER = re.compile(r"(?<![A-Za-z_])[-+]?(?:inf|nan)(?![A-Za-z_])")
NUMBERED = re.compile(r"^\s+(?:-\w, )?(--[a-z-]+)[ =](LENGTH|ANGLE|N|K|COUNT|PITCH|RATIO|MODULE|FACTOR|TURNS|HOLES|[A-Z]+)\b", re.M)
GEARED = ["--head", "data/heads/small-tilting-geared.ini"]
COMMANDS = [
    ["divide", "127", "--to", "3"], ["divide", "12", "--radius", "40", "--to", "3"], ["angles", "37.5", "120"],
    ["check", "127", "6/18"] + GEARED, ["methods", "53"], ["table", "53"], ["tilt", "30"], ["tilt", "60", "--measured", "57.7", "--scale-shows", "60"],
    ["tilt", "--for", "bevel", "--teeth", "20"], ["lead", "200", "--screw", "5"] + GEARED,
    ["gear", "24", "--module", "2"], ["gear", "24", "--module", "2", "--helix", "15", "--screw", "5"] + GEARED,
    ["layout", "7", "--diameter", "80"], ["assess", "examples/invented-readings.csv", "--radius", "30", "--divisions", "12"],
    ["plates", "--make", "127"], ["plates", "--make", "127", "--drill", "0.05", "--diameter", "120"],
    ["flats", "6", "--across", "17", "--stock", "20"], ["flats", "4", "--across", "17", "--stock", "20", "--over", "1=18", "--over", "2=18"],
    ["plates", "2-40"], ["recover", "57", "--hole", "3"],
]
OPERANDS = {"divide", "angles", "check", "methods", "table", "tilt", "lead", "layout", "flats"}


def options(program, command):
    said = subprocess.run([program, command, "--help"], capture_output=True, text=True, check=True).stdout
    skip = {"--format", "--head", "--mounted", "--output", "--method", "--width", "--pages", "--file", "--write"}
    return sorted({match[0] for match in NUMBERED.findall(said)} - skip)


def look(program, words, wrong):
    ran = subprocess.run([program] + words, capture_output=True, text=True, timeout=60, stdin=subprocess.DEVNULL)
    shown = " ".join(word if len(word) < 40 else word[:12] + "..." + word[-4:] for word in words)
    found = NOT_A_NUMBER.search(ran.stdout)
    if found:
        wrong.append(f"{shown}: prints {found.group()}")
    if ran.returncode not in (0, 1, 2):
        wrong.append(f"{shown}: status {ran.returncode}")
    if ran.returncode == 2 and len(ran.stderr.splitlines()) != 1:
        wrong.append(f"{shown}: trouble in {len(ran.stderr.splitlines())} lines")


def main():
    program, wrong, runs = sys.argv[1], [], 0
    for base in COMMANDS:
        asked = [base + [option, value] for option in options(program, base[0]) for value in VALUES]
        if base[0] in OPERANDS:
            asked += [[base[0], value] + base[2:] for value in VALUES]
        for i, words in enumerate(asked):
            look(program, words + (["--format", "jsonl"] if i % 2 else []), wrong)
            runs += 1
    for line in wrong[:40]:
        print("FAIL", line)
    if not wrong:
        print(f"ok   {runs} requests with numbers beyond all sense: refused, or answered in numbers")
    return 1 if wrong or runs < 500 else 0


sys.exit(main())
