"""Command lines that a card prints, typed as they stand, give what the card says.

Usage: commands.py PROGRAM, from the top of the source. The cards are those of the golden runs, of what documents show, and of
requests asked here on several heads. A command line ends where a word follows that is none: see command_lines.
"""
import glob
import json
import os
import re
import subprocess
import sys
import tempfile

ANGLE = r"(?:(\d+)°)?(?:(\d+)′)?(\d+(?:\.\d+)?)″"
KEEPERS = {"follow", "recover", "batch"}        # these need a kept job; tests/follow_*.sh and the golden runs type them
COMMANDS = "divide|angles|methods|table|check|tilt|flats|lead|gear|layout|assess|plates|heads|follow|recover|batch"
WORD = re.compile(r"'[^']*'|[^\s']+")
ASKED = [["plates", "--make", str(n)] + head for n in (53, 57, 97, 127, 131, 139, 251)
         for head in ([], ["--head", "data/heads/five-to-one.ini"], ["--head", "data/heads/rotary-table-90.ini", "--mounted", "B"],
                      ["--head", "data/heads/small-tilting-geared.ini"])]
ASKED += [["gear", str(n), "--module", "2"] + more + head for n in (53, 127, 251, 2003)
          for more in ([], ["--tolerance", "30s"], ["--tolerance", "5m"])
          for head in ([], ["--head", "data/heads/rotary-table-90.ini"], ["--head", "data/heads/five-to-one.ini", "--mounted", "A"])]
ASKED += [["gear", str(n), "--module", "2", "--bevel", "--mate", str(m)] for n in (18, 20, 31) for m in (18, 36, 50)]


def command_lines(text):
    """Every "crankcard COMMAND ..." of text, whatever the line breaks; what stands before and behind in its paragraph."""
    for paragraph in re.split(r"\n\s*\n", text):
        flat = re.sub(r"\s+", " ", paragraph)
        flat = re.sub(r"(\d+)d(\d+)m([\d.]+)s\b", r"\1°\2′\3″", flat)      # --ascii
        for found in re.finditer(rf"(?<![\w/-])crankcard (?=(?:{COMMANDS})\b)", flat):
            words, rest = ["crankcard"], flat[found.end():]
            for word in WORD.findall(rest):
                bare = word.rstrip(".,;:)")
                wanted = len(words) == 1 or re.match(r"-|>|'|.*[\d./=-]", bare) or words[-1].startswith("-") or words[-1] == ">"
                if not bare or not wanted:
                    break
                words.append(bare)
                if bare != word:
                    break
            yield words, flat


def seconds(match):
    degrees, minutes, rest = match
    return 3600 * int(degrees or 0) + 60 * int(minutes or 0) + float(rest)


def agrees(stated, true):
    """Whether a rounded angle of a card is that number of seconds."""
    places = len(stated[2].split(".")[1]) if "." in stated[2] else 0
    return abs(seconds(stated) - abs(true)) <= 0.5 * 10.0 ** -places + 1e-6


def check_divide(words, card, run):
    """The figures that the paragraph states of its plan, against the plan of the command."""
    done = run(words + ["--no-steps", "--format", "jsonl"])
    plan = json.loads(done.stdout.splitlines()[0]) if done.stdout else {}
    if plan.get("record") != "plan":
        return f"no plan: {done.stderr.strip()}"
    stated = re.search(rf"{ANGLE} (?:off|at worst), (?:up to )?{ANGLE}", card)
    silent = " set up " in card        # a gear's sheet has no line of errors where there are none
    if not stated and not silent and "Exact by arithmetic" not in card:
        return "the card states no error"
    if not stated and not plan["exact"]:
        return "the card states no error, and the command has one"
    if stated and not (agrees(stated.groups()[:3], plan["worst_error_arcsec"]) and
                       agrees(stated.groups()[3:], plan["worst_pitch_arcsec"])):
        return f"the card says {stated.group()}, the command {plan['worst_error_arcsec']} and {plan['worst_pitch_arcsec']}"
    setting = plan["setting"] if plan["setting"] else plan["movement"]
    if plan["method"] == "direct" or not setting.get("plate") and plan["method"] == "nearest-hole":
        return "" if f"direct plate, {setting['circle']} holes" in card else "the card does not name the direct plate"
    if plan["method"] == "dial":
        read = re.search(r"dial of (\d+) lines(?:, vernier to 1/(\d+))?", re.sub(r"\s+", " ", card))
        return "" if read and int(read[1]) * int(read[2] or 1) == setting["circle"] else "the card does not name the dial"
    for key in ("circle", "circle2"):
        if setting[key] and not re.search(rf"circles? (?:\d+ and )?{setting[key]}\b|second (?:pin )?in (?:circle )?{setting[key]}\b", card):
            return f"the card does not name the {setting[key]} circle"
    return "" if plan["method"] in card else f"the card does not name {plan['method']}"


def choices(text):
    """Each other choice of a card: the worst error that it states, and the command that is to give it."""
    for paragraph in re.split(r"\n\s*\n", text):
        flat = re.sub(r"\s+", " ", paragraph)
        for found in re.finditer(rf"(exact|worst {ANGLE})[^;:]*; by (crankcard \d[^;]*? -m [\w-]+ -c \d+)", flat):
            yield found.group(1), found.groups()[1:4], found.group(5).split(" ")


def check_choice(stated, angle, words, run):
    done = run(words + ["--no-steps", "--format", "jsonl"])
    plan = json.loads(done.stdout.splitlines()[0]) if done.stdout else {}
    if plan.get("record") != "plan":
        return f"no plan: {done.stderr.strip()}"
    right = plan["exact"] if stated == "exact" else agrees(angle, plan["worst_error_arcsec"])
    return "" if right else f"the card says {stated}, the command {plan['worst_error_arcsec']}"


def check_tilt(words, card, run):
    done = run(words)
    stated = re.search(rf"tilt {ANGLE}", card)
    shown = re.search(ANGLE, done.stdout)
    if not stated or not shown:
        return "no angle to compare"
    return "" if abs(seconds(stated.groups()) - seconds(shown.groups())) <= 1 else f"{stated.group()} and {shown.group()}"


def cards(run):
    for path in sorted(glob.glob("tests/cli/*.stdout")):
        if not re.search(r"/(help|.*refus)", path):
            yield path, open(path, encoding="utf-8", newline="").read()
    for path in ["README.md"] + sorted(glob.glob("docs/*.md")):
        for block in re.findall(r"^```\n\$ (?:.*\n)((?:.*\n)*?)```", open(path, encoding="utf-8").read(), re.M):
            yield path, "\n".join(line for line in block.split("\n") if not line.startswith("$ "))
    for words in ASKED:
        yield " ".join(words), run(["crankcard"] + words).stdout


def main():
    program, top = os.path.abspath(sys.argv[1]), os.getcwd()
    wrong, seen = [], {}
    with tempfile.TemporaryDirectory() as work:
        os.symlink(program, os.path.join(work, "crankcard"))
        for name in ("data", "examples"):
            os.symlink(os.path.join(top, name), os.path.join(work, name))
        env = {"PATH": work + ":" + os.environ["PATH"], "HOME": work, "LC_ALL": "C",
               "XDG_DATA_DIRS": os.path.join(work, "share")}
        os.makedirs(os.path.join(work, "share/crankcard"))
        os.symlink(os.path.join(top, "data/heads"), os.path.join(work, "share/crankcard/heads"))

        def run(words):
            line = " ".join(words)      # as a shell reads it, redirection and quotes and all
            return subprocess.run(["sh", "-c", line], cwd=work, env=env, capture_output=True, encoding="utf-8", timeout=60,
                                  stdin=subprocess.DEVNULL, check=False)

        for where, text in cards(run):
            for stated, angle, words in choices(text):
                if "TMPDIR" in " ".join(words) or "my-head.ini" in words or "half-turns.ini" in words:
                    continue        # a head of that run's or page's own
                seen["choice"] = seen.get("choice", 0) + 1
                fault = check_choice(stated, angle, words, run)
                if fault:
                    wrong.append(f"{where}: {' '.join(words)}: {fault}")
            for words, card in command_lines(text):
                if len(words) < 2 or words[1] in KEEPERS or "TMPDIR" in " ".join(words) or card.strip() == " ".join(words):
                    continue
                kind = words[1]
                seen[kind] = seen.get(kind, 0) + 1
                check = {"divide": check_divide, "tilt": check_tilt}.get(kind)
                done = run(words)
                fault = check(words, card, run) if check else ""
                if done.returncode == 2 or fault:
                    wrong.append(f"{where}: {' '.join(words)}: {fault or done.stderr.strip()}")
    for line in wrong[:30]:
        print("FAIL", line)
    if not wrong:
        print("ok   command lines that cards print:", ", ".join(f"{n} {kind}" for kind, n in sorted(seen.items())))
    return 1 if wrong or seen.get("divide", 0) < 30 or seen.get("tilt", 0) < 9 else 0


sys.exit(main())
