"""Options as --help lists them, of every command: their order never matters, none is swallowed, a letter has one meaning.

Usage: options.py PROGRAM, with CC in the environment. Every pair of a command's options is typed in both orders behind one cheap request; output,
error, status and files must be the same bytes. And each option must, alone or beside some other, change what comes out:
one that is taken and ignored never does. And a row that does not say where its value goes must not compile.
"""
import glob
import itertools
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
import threading
from concurrent.futures import ThreadPoolExecutor

ROW = re.compile(r"^  (?:-(\w), |    )--([a-z0-9-]+)(?: (\S+))?  ", re.M)

# One request of each command, asked with every pair of its options.
REQUESTS = {
    "divide": ["53"], "angles": ["1", "50", "121"], "methods": ["53"], "table": ["50-53"], "check": ["53", "6/18"],
    "gear": ["24", "--module", "2"], "heads": ["small-tilting"], "tilt": ["30"], "flats": ["6", "--across", "17", "--stock", "20"],
    "lead": ["210", "--screw", "5", "--head", "small-tilting-geared"], "layout": ["7", "--diameter", "80"],
    "assess": ["bench.csv", "--radius", "30", "--divisions", "53"], "plates": ["50-53"], "batch": ["requests"],
    "follow": ["53", "--ready"], "recover": ["53", "--hole", "3"],
}
# Others, asked with every option alone, for what the first says nothing about.
MORE = {
    "divide": ["53 --arc 90", "20 --number 5", "53 --format svg", "53 --head dial-table-90", "53 --format html"], "angles": ["1 --repeat 40", "1 50 121 --format svg"],
    "methods": ["53 --head dial-table-90", "53 --arc 90", "53 --head dial-table-90", "53 --tolerance 0.05mm --radius 3"], "table": ["53 --head dial-table-90", "2-60", "50-53 --head dial-table-90", "50-53 --tolerance 0.05mm --radius 3"], "heads": [""],
    "check": ["53 6/18 --head small-tilting-geared --drivers 32 --driven 28", "53 7/19+5/15 --head small-tilting-geared --drivers 32 --driven 28 --width 32 --block 3"],
    "tilt": ["--for bevel --teeth 20 --mate 40", "--for taper --teeth 20 --cutter 70 --cone 3", "--for square-clutch --teeth 6", "30 --measured 57.6 --scale-shows 30.2"],
    "flats": ["6 --stock 20", "6 --across 17", "4 --across 17 --stock 20 --over 1=18 --over 2=18.1", "7 --across 17 --stock 20 --format svg"],
    "gear": ["13 --module 2 -m nearly-exact", "24 --dp 10", "24 --module 2 --bevel --mate 30", "24 --module 2 --helix 15"],
    "lead": ["--helix 30 --diameter 25 --screw 5 --head small-tilting-geared", "210 --screw 5 --starts 6 --head small-tilting-geared",
             "210 --screw 5 --head small-tilting"],
    "assess": ["bench.csv", "bench.csv --radius 30 --divisions 53 --class 9 --module 1"],
    "plates": ["--make 28", "--make 127 --drill 0.05mm --diameter 120"],
    "recover": ["53 --reading 27", "53 --reading 27 --uncertainty 60", "53 --arc 90 --hole 3", "53 --hole 3 --tolerance 0.05mm --radius 3"],
    "follow": ["53", "53 --arc 90 --ready", "20 --number 5 --ready"],
}
# Values by option, or by what --help calls the value.
VALUES = {
    ("batch", "format"): "html",
    "head": "small-tilting-geared", "mounted": "B", "method": "nearest-hole", "circle": "17", "tolerance": "9s", "width": "50",
    "pages": "20", "units": "in", "output": "out", "format": "jsonl", "mark": "5=mid", "value": "0.5", "cutters": "15",
    "hand": "left", "name": "sun", "screw": "4", "dp": "12", "pressure-angle": "14.5", "file": "list", "for": "end",
    "most-gears": "2", "geared-to": "spindle", "gears": "24,28,32,40,44,48", "centre": "9,4", "class": "9", "write": "own.ini",
    "standard": "iso1995", "indexed": "direct", "drivers": "32", "driven": "28", "forget": "x", "salvage": "x", "job": "x",
    "record": "x", "pass": "roughing", "measure-after": "0", "check-every": "1", "read-aloud": "true",
    "want": "51,127", "make": "40", "diameter": "70", "slot": "60", "mate": "25", "profile-shift": "0.25", "dedendum": "1.1",
    "cutter": "60", "least": "16", "most": "40", "module": "3", "to": "3", "from": "2", "circles": "2",
    "tooth": "9", "hole": "4", "hole2": "2", "at": "3", "exaggerate": "900", "most-turns": "2", "repeat": "2", "block": "3",
    "resolution": "0.05", "reading": "60", "divisions": "20", "radius": "25", "lead": "600", "within": "0.001", "note": "hub", "by-eye": "5", "measured": "57.6", "turned": "57.8", "by": "bar", "scale-shows": "30.2",
    "across": "16", "stock": "22", "depth": "1.5", "shy": "0.1", "ring": "4 across 12", "holes": "3 at 30", "over": "flats=17.4",
    "dial": "3", "step": "9", "right": "4", "cuts": "10", "pin-circle": "47",
}
KINDS = {"PARTS": "4", "LENGTH": "3", "ANGLE": "7", "N": "5", "K": "6", "COUNT": "2", "H": "2"}
FILES = {
    "list": "20\n75\n", "requests": "divide 53 --no-steps\nnonsense\ndivide 9 --no-steps\n",
    "own.ini": open("data/heads/small-tilting.ini", encoding="utf-8").read(),
    "bench.csv": open(glob.glob("examples/*readings.csv")[0], encoding="utf-8").read(),
}
JOBS = "24 --module 1\n"    # what --file of gear reads
# What neither shows, and why that is as it should be.
IDLE = {("divide", "all-steps"): "for cards of more than 2000 steps", ("angles", "all-steps"): "the same", ("flats", "all-steps"): "the same",
        ("follow", "pages"): "a screen has none"}
LOCAL = threading.local()


def rows(program, command):
    said = subprocess.run([program, command, "--help"], capture_output=True, text=True, check=True).stdout
    return [row for row in ROW.findall(said) if row[1] != "help"]


def typed(command, row):
    _, name, value = row
    if not value:
        return ["--" + name]
    return ["--" + name, VALUES.get((command, name), VALUES.get(name, KINDS.get(value)))]


def folder_of(folder):
    """This thread's own, with the files in it."""
    if not hasattr(LOCAL, "here"):
        LOCAL.here = tempfile.mkdtemp(dir=folder)
        LOCAL.env = {"PATH": os.environ["PATH"], "HOME": LOCAL.here, "CRANKCARD_HEAD": "built-in"}
        for name, text in FILES.items():
            put(name, text)
    return LOCAL.here


def put(name, text):
    with open(os.path.join(LOCAL.here, name), "w", encoding="utf-8") as out:
        out.write(text)


def run(program, folder, words):
    """Everything that comes out: status, streams, files."""
    here = folder_of(folder)
    if "--file" in words:
        put("list", JOBS if words[0] == "gear" else FILES["list"])
    ran = subprocess.run([program] + words, cwd=here, env=LOCAL.env, input=b"\n\nq\n", capture_output=True, timeout=60, check=False)
    out = [ran.returncode] + [text.replace(here.encode(), b"HERE") for text in (ran.stdout, ran.stderr)]
    if "--output" in words and os.path.exists(os.path.join(here, "out")):
        with open(os.path.join(here, "out"), "rb") as file:
            out.append(file.read().replace(here.encode(), b"HERE"))
        os.remove(os.path.join(here, "out"))
    if "--write" in words:
        with open(os.path.join(here, "own.ini"), "rb") as file:
            out.append(file.read())
        put("own.ini", FILES["own.ini"])
    shutil.rmtree(os.path.join(here, ".local"), ignore_errors=True)     # what follow keeps
    return out


def as_typed(answer, words, name):
    """A card and follow say the words of a request as they were typed, and a journal is named by them."""
    typed_now = shlex.join(words).encode()
    plain = [re.sub(rb"\s+", b" ", part) if isinstance(part, bytes) else part for part in answer]
    return [re.sub(rb"(divide|angles)-[-\w.]+", b"JOB", part.replace(typed_now, name)).replace(b"  ", b" ")
            if isinstance(part, bytes) else part for part in plain]


def changes(words, without, answer):
    """Whether an option did something, beside being named; what concerns lines and pages alone is seen as it is."""
    if words[0] in ("--width", "--pages"):
        return answer != without
    return as_typed(answer, words, b"") != as_typed(without, words, b"")


def check_command(program, pool, folder, command):
    """Faults of the command's options, and how many runs that took."""
    options = [(row[1], typed(command, row)) for row in rows(program, command)]
    request = [command] + REQUESTS[command]
    more = [[command] + words.split() for words in MORE.get(command, [])]
    asked = [base + words for base in [request] + more for words in [[]] + [words for _, words in options]]
    asked += [request + a + b for (_, a), (_, b) in itertools.permutations(options, 2)]
    found = pool.map(lambda words: run(program, folder, words), asked)
    answers = {tuple(words): answer for words, answer in zip(asked, found)}
    faults, effect = [], set()
    for (a, words_a), (b, words_b) in itertools.combinations(options, 2):
        one, other = (answers[tuple(request + words)] for words in (words_a + words_b, words_b + words_a))
        if one != other and as_typed(one, words_a + words_b, b"WORDS") != as_typed(other, words_b + words_a, b"WORDS"):
            faults.append(f"{command}: {' '.join(words_a)} and {' '.join(words_b)} in the other order differ")
        effect |= {a} if changes(words_a, answers[tuple(request + words_b)], one) else set()
        effect |= {b} if changes(words_b, answers[tuple(request + words_a)], one) else set()
    for base in [request] + more:
        effect |= {name for name, words in options if changes(words, answers[tuple(base)], answers[tuple(base + words)])}
    faults += [f"{command}: {' '.join(words)} changes nothing, whatever stands beside it" for name, words in options
               if name not in effect and (command, name) not in IDLE]
    return faults, len(asked)


def letters(program):
    meaning, faults = {}, []
    names = {}
    for command in REQUESTS:
        for letter, name, _ in rows(program, command):
            if letter and meaning.setdefault(letter, name) != name:
                faults.append(f"-{letter} is --{meaning[letter]}, and in {command} --{name}")
            if names.setdefault(name, letter) != letter:
                faults.append(f"--{name} is -{names[name]} elsewhere, and -{letter} in {command}")
    return faults


PLACES = """#include "cli/ask/args.h"
struct saw { mpq_t kerf; bool wet; };
const struct option_row rows[] = { { %s 'k', "kerf", "LENGTH", "width of the cut" }, OPTIONS_END };
"""


def compiles(place):
    done = subprocess.run(os.environ.get("CC", "cc").split() + "-std=c11 -Iinclude -Isrc -fsyntax-only -xc -".split(), check=False,
                          input=(PLACES % place).encode(), stderr=subprocess.DEVNULL)
    return done.returncode == 0


def places():
    """A row needs a place, of the right kind."""
    faults = [] if compiles("TO_LENGTH(struct saw, kerf, ABOVE_ZERO),") else ["a row with a place does not compile"]
    for bad in ("", "TO_LENGTH(struct saw, wet, ABOVE_ZERO),", "TO_SWITCH(struct saw, kerf),", "TO_TEXT(struct saw, kerf),",
                "TO_COUNT(struct saw, kerf, FROM(1, 9)),", "TO_LENGTH(struct saw, width, ABOVE_ZERO),"):
        if compiles(bad):
            faults.append(f"a row with the place '{bad}' compiles")
    return faults


def main():
    program = os.path.abspath(sys.argv[1])
    faults, runs = letters(program) + places(), 0
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(os.cpu_count()) as pool:
        for command in REQUESTS:
            found, count = check_command(program, pool, folder, command)
            faults += found
            runs += count
    for fault in faults[:40]:
        print("FAIL", fault)
    if not faults and runs > 5000:
        print(f"ok   {runs} requests: options in either order give the same bytes, and none is swallowed")
    return 1 if faults or runs <= 5000 else 0


sys.exit(main())
