#!/usr/bin/env python3
"""Every journal and profile that an earlier version wrote (tests/kept) is resumed and read by this one.

usage: kept.py PROGRAM

Each journal must be gone on with at the step that came next then, and the row that stands and the movement to the next
one must be those of that version's own rows (expected.tsv): read from recover --job, which plans the job anew from its
journal. Each profile must read, and print as a profile that reads back to the same text.
"""
import csv
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
KEPT = os.path.dirname(os.path.abspath(__file__))
bad = 0


def fail(what):
    global bad
    bad += 1
    print("FAIL kept: " + what)


def run(words, work, given=""):
    env = {"LC_ALL": "C", "HOME": work, "XDG_STATE_HOME": os.path.join(work, "state"), "PATH": os.environ["PATH"]}
    return subprocess.run([PROGRAM] + words, cwd=work, env=env, input=given, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                          encoding="utf-8", timeout=60, check=False)


def check_movement(job, rows, work):
    """The row that stands, and the movement to the next one, as the version that wrote the journal had them."""
    here, after = rows[0], rows[-1]
    words = ["recover", "--job", job, "--hole", here["hole"], "--most", "1000", "-f", "jsonl"]
    if here["hole2"]:
        words += ["--hole2", here["hole2"]]
    done = run(words, work)
    found = [c for c in map(json.loads, done.stdout.splitlines()) if c["step"] == int(here["step"])]
    if len(found) != 1:
        fail(f"{job}: step {here['step']} is not found from its holes: {done.stdout[:200]}{done.stderr}")
        return
    wanted = [("circle", here["circle"]), ("circle2", here["circle2"])]
    if after is not here:
        wanted += [("next_step", after["step"]), ("turns", after["turns"]), ("holes", after["holes"]),
                   ("holes2", after["holes2"]), ("next_hole", after["hole"]), ("next_hole2", after["hole2"])]
    for key, text in wanted:
        if found[0][key] != (int(text) if text else None):
            fail(f"{job}: {key} is {found[0][key]}, and was {text or 'null'}")


def check_journals(work):
    state = os.path.join(work, "state", "crankcard")
    os.makedirs(state, 0o700)
    shutil.copy(os.path.join(KEPT, "list.txt"), work)
    with open(os.path.join(KEPT, "expected.tsv"), encoding="ascii") as f:
        rows = list(csv.DictReader(f, delimiter="\t"))
    jobs = sorted(name[:-len(".journal")] for name in os.listdir(os.path.join(KEPT, "journals")))
    if jobs != sorted({row["job"] for row in rows}):
        fail("expected.tsv and the journals are not the same jobs")
    for job in jobs:
        shutil.copyfile(os.path.join(KEPT, "journals", job + ".journal"), os.path.join(state, job + ".journal"))
        os.chmod(os.path.join(state, job + ".journal"), 0o600)
        own = [row for row in rows if row["job"] == job]
        check_movement(job, own[:1] if own[0]["step"] == own[-1]["step"] else own, work)
        done = run(["follow", "--resume", job], work)
        place = re.search(r"^place kept at step ([0-9]+) of ([0-9]+)", done.stdout, re.M)
        finished = int(own[0]["next"]) > int(own[0]["steps"])
        if done.returncode != 0 or (place is None) != finished:
            fail(f"{job} is not gone on with: status {done.returncode}, {done.stdout[-200:]}{done.stderr}")
        elif not finished and place.groups() != (own[0]["next"], own[0]["steps"]):
            fail(f"{job}: step {place.group(1)} of {place.group(2)}, and was {own[0]['next']} of {own[0]['steps']}")
        check_more(job, own[0], os.path.join(state, job + ".journal"), work)
    return len(jobs)


def check_more(job, own, path, work):
    """Events that its format has not: the journal is written anew in the latest, and nothing of what was made is lost."""
    def state():
        with open(path, encoding="utf-8") as f:
            lines = [line[9:] for line in f.read().rpartition("\n")[0].splitlines()]     # one may be torn
        record = json.loads(run(["follow", "--record", job, "-f", "jsonl"], work).stdout.splitlines()[0])
        return lines, [record[key] for key in ("words", "plan_line", "steps", "piece", "confirmed", "of")]

    before = state()
    behind = int(own["next"]) > int(own["steps"])
    done = run(["follow", "--resume", job], work, "\n" * behind + "\np second depth\np 1\nq\n")
    after = state()
    if after[0][0] != "crankcard journal 2" or [line for line in before[0][1:] if line not in after[0]]:
        fail(f"{job}: not all lines of the journal are in the one written anew: {done.stdout[-300:]}{done.stderr}")
    if before[1] != after[1] and not behind:
        fail(f"{job}: {before[1]} became {after[1]}")


def check_journals2(work):
    """Those of format 2 stand where they stood: by the record of each as it was then, whose fields may only become more."""
    state, folder = os.path.join(work, "state", "crankcard"), os.path.join(KEPT, "journals2")
    with open(os.path.join(KEPT, "expected2.jsonl"), encoding="utf-8") as f:
        wanted = [json.loads(line) for line in f]
    if sorted(os.listdir(folder)) != sorted(was["job"] + ".journal" for was in wanted):
        fail("expected2.jsonl and the journals are not the same jobs")
    for was in wanted:
        path = os.path.join(state, was["job"] + ".journal")
        shutil.copyfile(os.path.join(folder, was["job"] + ".journal"), path)
        os.chmod(path, 0o600)
        done = run(["follow", "--resume", was["job"]], work, "\n")        # gone on with, and left
        now = json.loads(run(["follow", "--record", was["job"], "-f", "jsonl"], work).stdout.splitlines()[0])
        finished = was["done"]
        for key, value in was.items():
            if now.get(key) != value and key not in ("pauses", "pause_s") and not finished:
                fail(f"{was['job']}: {key} is {now.get(key)}, and was {value}")
        if done.returncode != 0 or now["pauses"] != was["pauses"] + (not finished) or now["piece"] != was["piece"] + finished:
            fail(f"{was['job']} is not gone on with: {done.stdout[-300:]}{done.stderr}")
    return len(wanted)


def check_heads(work):
    folder = os.path.join(KEPT, "heads")
    names = sorted(name for name in os.listdir(folder) if name.endswith(".ini"))
    for name in names:
        path = os.path.join(folder, name)
        shutil.copyfile(path[:-4] + ".printed", os.path.join(work, "again.ini"))
        printed = [run(["heads", file, "--print"], work) for file in (path, "again.ini")]
        # In format 1 "plate_pin = same" was what a profile without the line meant, and was not printed.
        same = [p.stdout.replace("plate_pin = same\n", "") for p in printed]
        if any(p.returncode != 0 for p in printed) or same[0] != same[1] or not same[0]:
            fail(f"{name} and what it was printed as then are not the same head now: {printed[0].stderr}{printed[1].stderr}")
    return len(names)


with tempfile.TemporaryDirectory() as folder:
    journals, heads = check_journals(folder), check_heads(folder)
    journals += check_journals2(folder)
if bad == 0:
    print(f"ok   kept: {journals} journals resumed, {heads} profiles read")
sys.exit(1 if bad else 0)
