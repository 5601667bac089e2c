"""A head that is tilted wrong, set right by what tilt says. Usage: tilt_hands.py PROGRAM.

The head stands off by some minutes, its bar leans off the spindle's axis, and its scale has a zero of its own. What an indicator shows is
worked out from the bar in the plane of the tilt, to a micrometre. The program is told that, and must find the tilt, the bar's lean and the
scale's zero; then the far end is moved by what it says, and what is read again must be what it said. At last the zero goes into a profile, and
the scale must be told right from it.
"""
import json
import math
import os
import random
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
SECOND = math.radians(1 / 3600)
wrong = []


def tilt(folder, *words):
    done = subprocess.run([PROGRAM, "tilt", *words], capture_output=True, text=True, check=False, cwd=folder, env={"HOME": folder})
    if done.returncode != 0:
        wrong.append(f"tilt {' '.join(words)}: status {done.returncode}: {done.stderr.strip()}")
    return done.stdout


def read(angle, by, length, upright):
    """What is shown over a length by a bar at that angle."""
    angle = math.pi / 2 - angle if upright else angle
    return round(length * (math.tan(angle) if by == "travel" else math.sin(angle)), 3)


def misread(angle, by, length, upright):
    """Seconds that half a micrometre stands for."""
    angle = math.pi / 2 - angle if upright else angle
    slope = 1 / math.cos(angle) ** 2 if by == "travel" else math.cos(angle)
    return 0.0005 / (length * slope) / SECOND


def check(draw, folder):
    wanted = draw.choice([0, 90, draw.randrange(0, 9001) / 100])
    by, length = draw.choice(["travel", "bar", "sine"]), draw.choice([63.5, 100, 127, 200])
    upright = wanted > 45
    off, lean, zero = draw.uniform(-900, 900), draw.uniform(-120, 120), draw.randrange(-3600, 3600)
    true = math.radians(wanted) + off * SECOND
    first, second = (read(true + side * lean * SECOND, by, length, upright) for side in (1, -1))
    shows = f"{math.degrees(true) + zero / 3600:.6f}"
    words = [f"{wanted}", "--by", by, f"--{by}", f"{length}", f"--measured={first}", f"--turned={second}", f"--scale-shows={shows}"]
    said = json.loads(tilt(folder, *words, "--format", "jsonl"))
    near = misread(true, by, length, upright) + 0.02
    here = " ".join(words)
    if abs(said["found_deg"] * 3600 - math.degrees(true) * 3600) > near:
        wrong.append(f"{here}: stands at {math.degrees(true):.6f}, found {said['found_deg']:.6f}")
    if abs(abs(said["runout_arcsec"]) - abs(lean)) > near:
        wrong.append(f"{here}: the bar leans {lean:.2f}, found {said['runout_arcsec']}")
    if abs(said["scale_deg"] * 3600 - wanted * 3600 - zero) > near + 0.51:
        wrong.append(f"{here}: the scale must show {wanted + zero / 3600:.5f}, is told {said['scale_deg']:.5f}")
    move = re.search(r"move (?:nothing|(raise|lower) .*?(\d+\.\d+) mm (?:over|(?:less|more) across))", " ".join(tilt(folder, *words).split()))
    if not move:
        wrong.append(f"{here}: no word of what to do")
    elif move.group(1):
        slope = (1 / math.cos(math.pi / 2 - true if upright else true) ** 2 if by == "travel"
                 else math.cos(math.pi / 2 - true if upright else true))
        moved = true + (1 if move.group(1) == "raise" else -1) * float(move.group(2)) / (length * slope)
        # The way is told to a micrometre, and straight ahead; over a quarter of a degree the tangent bends by this much.
        if abs(moved - math.radians(wanted)) / SECOND > 2 * near + off * off * SECOND * abs(math.tan(2 * true) if abs(wanted - 45) > 1 else 60) + 6:
            wrong.append(f"{here}: moved as told it stands at {math.degrees(moved):.5f}")
    return words, zero


def main():
    draw = random.Random(45)
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(60):
            words, zero = check(draw, folder)
        text = "; mine\n[head]\nworm = 40 ; counted\ntilt = -5 95\n\n[plate A]\nside 1 = 20 ; by hand\n"
        with open(os.path.join(folder, "own.ini"), "w", encoding="utf-8") as out:
            out.write(text)
        tilt(folder, *words, "--head", "own.ini", "--write", "own.ini")
        with open(os.path.join(folder, "own.ini"), encoding="utf-8") as kept:
            lines = kept.read().splitlines()
        if [line for line in lines if not line.startswith("tilt_zero")] != text.splitlines() or len(lines) != len(text.splitlines()) + 1:
            wrong.append(f"the profile is now {lines}")
        after = json.loads(tilt(folder, "20", "--head", "own.ini", "--format", "jsonl"))
        if abs(after["scale_deg"] * 3600 - 72000 - zero) > 8:
            wrong.append(f"with a zero of {zero} seconds in the profile, 20 degrees are told as {after['scale_deg']}")
    for line in wrong[:20]:
        print("FAIL", line)
    if not wrong:
        print("ok   60 heads tilted wrong, found and set right")
    return 1 if wrong else 0


sys.exit(main())
