"""A large batch: every good line answered, every bad line named, order kept; the same bytes shared out as docs/batch.md says.

The requests are invented. A sample of the lines is run once more through a real shell, one by one, and must
give the same records.
"""
import json
import os
import random
import re
import subprocess
import sys
import tempfile
import time

CRANKCARD = os.environ["CRANKCARD"]
SEED = int(os.environ.get("CRANKCARD_SEED", "20240607"))
HEADS = ["small-tilting", "small-tilting-geared", "rotary-table-90", "rotary-table-72", "universal-two-sided"]
BAD = ["divide 0", "divide 12x", "angles", 'angles "1.5', "divide 5 --bogus", "nonsense 12", "divide 7 --circle 1",
       "divide 9 --head nowhere.ini", "angles 22 1/2", "divide $N", "divide 5 | cat", "angles -", "divide 5 --format csv",
       "batch x", "angles 37d30'"]
GOOD = [
    lambda n, i, head: f"angles {n / 4} '{n}d30m slot {i}' --no-steps --head {head}",
    lambda n, i, head: f"divide {n} --no-steps --head {head}",
    lambda n, i, head: f"{n} --tolerance 30s --no-steps",
    lambda n, i, head: f'divide {2 + n % 12} --head "{head}"',
    lambda n, i, head: f"divide {n} --arc {n / 2} --no-steps   # an arc",
    lambda n, i, head: f"di\\vide {n} --no-steps --mark 5=mid",
    lambda n, i, head: f"table {n}-{n + 2}",
    lambda n, i, head: f"check {n} 5/18",
]


def fail(*words):
    print("FAIL batch, seed", SEED, *words)
    sys.exit(1)


def requests(count, rng):
    lines, bad, silent = [], set(), set()
    for number in range(1, count + 1):
        if number % 100 == 37:
            lines.append(BAD[number // 100 % len(BAD)])
            bad.add(number)
        elif number % 50 == 3:
            lines.append(rng.choice(["", "   ", "# a comment", "\t# another"]))
            silent.add(number)
        else:
            lines.append(rng.choice(GOOD)(rng.randint(2, 400), number, rng.choice(HEADS)))
    return lines, bad, silent


def run(path):
    start = time.monotonic()
    done = subprocess.run([CRANKCARD, "batch", path], stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
    if done.stderr:
        fail("standard error:", done.stderr[:200])
    return done.returncode, done.stdout, time.monotonic() - start


def shared_out(folder):
    """The commands of docs/batch.md, on requests.txt in the folder."""
    with open("docs/batch.md", encoding="utf-8") as file:
        commands = re.search(r"^```sh\n(.*?)^```$", file.read(), re.M | re.S).group(1)
    path = os.path.dirname(CRANKCARD) + ":" + os.environ["PATH"]
    subprocess.run(["sh", "-c", commands], cwd=folder, env={**os.environ, "PATH": path}, check=True)
    with open(os.path.join(folder, "answers.jsonl"), "rb") as file:
        return file.read()


def check_lines(output, count, bad, silent):
    """Line numbers never go down; each that is not silent appears; the bad ones are errors of status 2."""
    last, seen, errors, answers = 0, set(), set(), {}
    for text in output.decode().splitlines():
        record = json.loads(text)
        line = record["line"]
        if line < last:
            fail("line", line, "stands behind line", last)
        last = line
        seen.add(line)
        answers.setdefault(line, []).append(text)
        if record["record"] == "error" and record["status"] == 2:
            errors.add(line)
            if not record["message"]:
                fail("line", line, "has an empty message")
    if seen != set(range(1, count + 1)) - silent:
        fail("lines not answered:", sorted(set(range(1, count + 1)) - silent - seen)[:10])
    if errors != bad:
        fail("bad lines:", sorted(errors ^ bad)[:10])
    return answers


def check_sample(lines, answers, rng, bad, silent):
    """Each line alone, read by a real shell."""
    good = [n for n in answers if n not in bad and n not in silent]
    for number in rng.sample(good, min(60, len(good))):
        done = subprocess.run(["sh", "-c", '"$CRANKCARD" ' + lines[number - 1].split("#")[0] + " --format jsonl"],
                              stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
        alone = [json.loads(text) for text in done.stdout.decode().splitlines()]
        if not alone:           # a "no" without output has its words on standard error
            words = done.stderr.decode().strip()[len("crankcard: "):]
            alone = [{"record": "error", "line": number, "status": done.returncode, "message": words}]
        batch = [json.loads(text) for text in answers[number]]
        for record in alone + batch:
            record.pop("line", None)
        if alone != batch:
            fail("line", number, repr(lines[number - 1]), "is answered differently alone:", alone[0], batch[0])


def main():
    count = int(sys.argv[1])
    rng = random.Random(SEED)
    lines, bad, silent = requests(count, rng)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "requests.txt")
        with open(path, "w", encoding="utf-8") as file:
            file.write("\n".join(lines))        # the last line has no end
        status, one, took = run(path)
        if shared_out(folder) != one:
            fail("shared out as in docs/batch.md the answers differ")
    if status != 2:
        fail("exit status", status, "where the worst line's is 2")
    answers = check_lines(one, count, bad, silent)
    check_sample(lines, answers, rng, bad, silent)
    print(f"ok   batch of {count} lines, {len(bad)} bad ({took:.1f} s)")


main()
