#!/usr/bin/env python3
"""follow, when the world is unkind: its journal removed or replaced while it runs, damaged, of a later version, or of a
version that planned otherwise; its head renamed or gone; its directory not to be written.

usage: follow_unkind.py PROGRAM
"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import zlib
from fractions import Fraction

PROGRAM = os.path.abspath(sys.argv[1])
if os.geteuid() == 0:       # another user runs it too, who may not come to where it is built
    COPY = tempfile.TemporaryDirectory()
    os.chmod(COPY.name, 0o755)
    PROGRAM = shutil.copy(PROGRAM, COPY.name)
NOBODY = 65534
bad = 0


def expect(good, what):
    global bad
    if not good:
        bad += 1
        print("FAIL follow_unkind: " + what)


class Shop:
    """A home of its own, with the journals in it."""

    def __init__(self):
        self.home = tempfile.mkdtemp()
        self.state = os.path.join(self.home, "state", "crankcard")
        self.env = {"LC_ALL": "C", "HOME": self.home, "XDG_STATE_HOME": os.path.dirname(self.state),
                    "PATH": os.environ["PATH"]}

    def __enter__(self):
        return self

    def __exit__(self, *ignored):
        shutil.rmtree(self.home)

    def run(self, *words, keys="", **more):
        return subprocess.run([PROGRAM] + list(words), cwd=self.home, env=self.env, input=keys, encoding="utf-8",
                              stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=60, check=False, **more)

    def journals(self):
        return sorted(name for name in os.listdir(self.state) if name.endswith(".journal")) if os.path.isdir(self.state) else []

    def path(self, name=None):
        return os.path.join(self.state, name or self.journals()[0])

    def lines(self):
        """The only journal's lines without their checksums."""
        with open(self.path(), encoding="utf-8") as f:
            return [line[9:] for line in f.read().splitlines()]

    def put(self, lines):
        """That journal anew from such lines, every checksum as it must be."""
        total, out = 0, ""
        for line in lines:
            total = zlib.crc32((line + "\n").encode(), total)
            out += f"{total:08x} {line}\n"
        with open(self.path(), "w", encoding="utf-8") as f:
            f.write(out)


class Talk:
    """A follow that runs, answering one line at a time."""

    def __init__(self, shop, *words):
        self.process = subprocess.Popen([PROGRAM, "follow", "--ready"] + list(words), cwd=shop.home, env=shop.env, encoding="utf-8",
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        self.said = self.picture()

    def picture(self):
        """Up to the empty line that ends what is shown for a key."""
        said = ""
        for line in self.process.stdout:
            if line == "\n":
                break
            said += line
        return said

    def key(self, key):
        self.process.stdin.write(key + "\n")
        self.process.stdin.flush()
        return self.picture()

    def end(self):
        out, err = self.process.communicate("q\n", timeout=60)
        return self.process.returncode, out + err


def remove_file(shop):
    os.unlink(shop.path())


def remove_directory(shop):
    shutil.rmtree(shop.state)


def replace_file(shop):
    shutil.copyfile(shop.path(), shop.path() + ".old")
    os.chmod(shop.path() + ".old", 0o600)
    os.rename(shop.path() + ".old", shop.path())


def cut_in_place(shop):
    with open(shop.path(), "r+b") as f:
        f.truncate(100)


def make_a_link(shop):
    path = shop.path()
    os.rename(path, path + ".moved")
    os.symlink(path + ".moved", path)


def adrift(name, change, same_name):
    with Shop() as shop:
        talk = Talk(shop, "57")
        expect("made 0" in talk.key(""), f"{name}: the first step is not made")
        change(shop)
        there = {}
        for file in shop.journals():
            with open(shop.path(file), "rb") as f:
                there[file] = f.read()
        for _ in range(2):
            said = talk.key("")
            expect("NOT SAVED" in said and "removed or replaced" in said and "STEP 1 of 57" in said,
                   f"{name}: a step was taken as made, or it is not said: {said[:200]}")
        expect("made 1" not in talk.key("b"), f"{name}: back was taken")
        said = talk.key("s")
        expect("saved as job" in said and "step 1 comes next" in said, f"{name}: s does not save it: {said[:200]}")
        expect("made 1" in talk.key(""), f"{name}: the step cannot be made after saving")
        status, said = talk.end()
        expect(status == 0, f"{name}: ends with {status}: {said}")
        kept = re.search(r"follow --resume (\S+)", said).group(1)
        expect(same_name == ("beside" not in kept), f"{name}: saved as {kept}")
        for file, data in there.items():
            with open(shop.path(file), "rb") as f:
                expect(f.read() == data, f"{name}: what lay at the name was changed")
        expect("step 2 of 57" in shop.run("follow", "--resume", kept).stdout, f"{name}: {kept} is not gone on with at step 2")


def adrift_left():
    """Left without saving: trouble, and no step is taken for made."""
    with Shop() as shop:
        talk = Talk(shop, "57")
        talk.key("")
        remove_file(shop)
        talk.key("")
        status, said = talk.end()
        expect(status == 2 and "was not saved" in said, f"left adrift: status {status}: {said}")


def other_first_choice():
    """The journal holds another plan than is chosen first today: that plan goes on."""
    others = 0
    for request, other in (("95", ["--circle", "38"]), ("57", ["--method", "nearest-hole"]), ("24", ["--method", "plain"]),
                           ("51", ["--method", "nearly-exact"])):
        head = ["--head", "built-in"]
        with Shop() as shop:
            shop.run("follow", "--ready", request, *head, *other, keys="\n\n\nq\n")
            if not shop.journals():
                # no such plan on this head: any other circle that serves
                shop.run("follow", "--ready", request, *head, "--circle", "19", keys="\n\n\nq\n")
            lines = shop.lines()
            begun = [i for i, line in enumerate(lines) if line.startswith("word ")]
            was = shop.run("divide", *[line[5:] for line in lines if line.startswith("word ")][1:], "-f", "tsv", "--from", "3",
                           "--to", "3").stdout.splitlines()[-1]
            # The request as it would have been typed, without what forced the plan.
            words = ["word divide", "word " + request] + ["word " + w for w in head]
            shop.put([line for i, line in enumerate(lines) if i < begun[0]] + words + lines[begun[-1] + 1:])
            done = shop.run("follow", "--resume", keys="\n")
            expect(done.returncode == 0 and "step 3 of " in done.stdout, f"{request} {other}: {done.stdout[-300:]}{done.stderr}")
            others += "The first choice for this would now be" in done.stdout
            landing = re.search(r"LANDS in hole ([0-9]+)", done.stdout)
            expect(landing is not None and landing.group(1) == was.split("\t")[8],
                   f"{request} {other}: {landing and landing.group(0)}, and the plan of the journal lands in {was.split(chr(9))[8]}")
            places = shop.run("recover", "--job", "divide", "--hole", was.split("\t")[8])
            expect(places.returncode == 0 and ("as it was begun" in " ".join(places.stdout.split())) == ("first choice" in done.stdout),
                   f"{request}: recover does not go by the journal's plan: {places.stdout[:300]}{places.stderr}")
    expect(others >= 3, f"only {others} of the plans are others than the first choice")


def digest(*texts):
    """FNV-1a of texts, each with a byte 255 behind it."""
    total = 0xCBF29CE484222325
    for text in texts:
        for byte in text.encode() + b"\xff":
            total = (total ^ byte) * 0x100000001B3 % 2**64
    return f"{total:016x}"


def other_order_of_gears(profile):
    """A train with its drivers, or its driven gears, the other way about is the same train, and shown as the journal has it."""
    with Shop() as shop:
        shutil.copy(profile, os.path.join(shop.home, "geared.ini"))
        shop.run("follow", "--ready", "383", "--head", "geared.ini", keys="\n\nq\n")
        lines = shop.lines()
        plan = json.loads(shop.run("divide", "383", "--head", "geared.ini", "-f", "jsonl", "--no-steps").stdout)
        gears, move = plan["gearing"], plan["movement"]
        expect(len(gears["drivers"]) == 2 and move["turns"] == 0, "383 has no longer a train of two pairs here")
        ratio = 40 - Fraction(gears["ratio"])
        idlers = gears["idlers"]

        def line(drivers, driven):
            rows = f"{plan['block']} {move['circle']} 1 {move['holes']} 0 {plan['steps']}"
            pairs = [f"{a} {b} {idlers}" for a, b in zip(drivers, driven)]
            return lines[at].rsplit(" ", 1)[0] + " " + digest("383", "1", "0", str(ratio), rows, *pairs)

        at = next(i for i, text in enumerate(lines) if text.startswith("plan "))
        expect(line(gears["drivers"], gears["driven"]) == lines[at], f"the digest is not as described: {lines[at]}")
        for drivers in (gears["drivers"], gears["drivers"][::-1]):
            for driven in (gears["driven"], gears["driven"][::-1]):
                shop.put(lines[:at] + [line(drivers, driven)] + lines[at + 1:])
                done = shop.run("follow", "--resume")
                expect(done.returncode == 0 and "first choice" not in done.stdout, f"gears {drivers} {driven}: {done.stdout}{done.stderr}")
        shop.put(lines[:at] + [line([gears["drivers"][0], 999], gears["driven"])] + lines[at + 1:])
        expect(shop.run("follow", "--resume").returncode == 2, "gears that no plan has, and it goes on")


def heads_that_moved(profile):
    with Shop() as shop:
        own = os.path.join(shop.home, "shop.ini")
        shutil.copy(profile, own)
        shop.run("follow", "--ready", "57", "--head", "shop.ini", keys="\n\nq\n")
        with open(own, encoding="utf-8") as f:
            text = f.read()
        with open(own, "w", encoding="utf-8") as f:
            f.write("; a new remark\n" + re.sub(r"(?m)^title *=.*$", "title = Another name for it", text))
        done = shop.run("follow", "--resume")
        expect(done.returncode == 0, f"another title, and it is another head: {done.stdout}{done.stderr}")
        with open(own, "w", encoding="utf-8") as f:
            f.write(re.sub(r"(?m)^worm *=.*$", "worm = 60", text))
        done = shop.run("follow", "--resume")
        expect(done.returncode == 2 and "the head is not the one" in done.stderr, "another worm, and it goes on")
        os.unlink(own)
        done = shop.run("follow", "--resume")
        expect(done.returncode == 0 and "it goes on with the one that the journal holds" in done.stdout,
               f"the profile is gone: {done.stdout[:300]}{done.stderr}")


def damaged_and_unnamed():
    """--resume without a name: the only job that may be unfinished is named, whatever is the matter with it."""
    for what, said in (("later", "was written by a later version of crankcard (journal 9"), ("damaged", "good to line"),
                       ("foreign", "is not a journal of crankcard"), ("directory", "")):
        with Shop() as shop:
            shop.run("follow", "--ready", "7", keys="\n\n\nq\n")
            lines = shop.lines()
            if what == "later":
                shop.put(["crankcard journal 9"] + lines[1:])
            elif what == "damaged":
                shop.put(lines[:-2] + ["made 9 after 0 s at never"] + lines[-1:])
            elif what == "foreign":
                with open(shop.path(), "w", encoding="utf-8") as f:
                    f.write("notes\n")
            else:
                path = shop.path()
                os.unlink(path)
                os.mkdir(path)
            for words in (["follow", "--resume"], ["recover", "--job", "divide-7", "--hole", "0"]):
                done = shop.run(*words)
                if what == "damaged" and words[0] == "recover":
                    expect(done.returncode in (0, 1) and "is damaged behind line" in done.stdout, f"recover of a damaged one: {done.stderr}")
                    continue
                expect(done.returncode == 2 and said in done.stderr and "divide-7" in done.stderr,
                       f"{what}: {words[0]} says {done.stderr or done.stdout[:200]}")
                expect(len(done.stderr) < 420 and done.stderr.count("\n") == 1, f"{what}: {len(done.stderr)} bytes")


def unwritable():
    """The call that failed, and its own reason. Root may write anywhere, so it becomes another user first."""
    if os.geteuid() != 0:
        print("     follow_unkind: skipped: a home that may not be written needs root to become another user")
        return
    with Shop() as shop:
        os.chmod(shop.home, 0o755)
        done = shop.run("follow", "--ready", "7", user=NOBODY, group=NOBODY, extra_groups=[])
        expect(done.returncode == 2 and "cannot make the directory" in done.stderr and "Permission denied" in done.stderr,
               f"a home not to be written: {done.stderr}")


def pace_of_others():
    """Before a job has times of its own: the median of cuts in other jobs on this head; no trial round's, no other head's."""
    with Shop() as shop:
        shop.run("follow", "--ready", "12", "--check-every", "0", keys="\n" * 5 + "q\n")
        lines, made = shop.lines(), [1, 16, 17, 18, 999]
        for i, line in enumerate(lines):
            if line.startswith("made "):
                lines[i] = re.sub("after 0 s", f"after {made.pop(0)} s", line)
        shop.put(lines)
        shop.run("follow", "--ready", "57", "--head", "dial-table-90", keys="q\n")
        for keys, wanted in (("a\n\nq\n", False), ("\np\nq\n", True)):     # in its trial round, and cutting
            said = " ".join(shop.run("follow", "30", keys=keys).stdout.split())
            expect(("your pace on this head: 17 s a movement, about 8 min 30 s to go" in said) == wanted, f"pace: {said[-400:]}")
        said = shop.run("follow", "--ready", "40", "--head", "dial-table-90", keys="q\n").stdout
        expect("your pace" not in said, f"the pace of another head: {said}")


def wait_for(condition, seconds):
    end = time.monotonic() + seconds
    while not condition() and time.monotonic() < end:
        time.sleep(0.05)
    return condition()


def read_aloud():
    """The program gets each movement as a line, as one word of its own words; a bad one is told of once and stops nothing."""
    with Shop() as shop:
        said = os.path.join(shop.home, "said; touch bad")

        def heard():
            return open(said, encoding="utf-8").read().splitlines() if os.path.exists(said) else []

        talk = Talk(shop, "7", "--read-aloud", "tee -a 'said; touch bad'")
        wanted = ["Start", "Step 1: crank 5 turns and 35 holes of 49. Lands in hole 35 of the 49 circle",
                  "Step 2: crank 5 turns and 35 holes of 49. Lands in hole 21 of the 49 circle"]
        for n, line in enumerate(wanted):
            expect(wait_for(lambda: heard() == wanted[:n + 1], 20), f"read aloud: {heard()}, and not {line}")
            talk.key("")
        talk.end()
        expect(os.listdir(shop.home) == ["state", "said; touch bad"] or not os.path.exists(os.path.join(shop.home, "bad")),
               "the command went through a shell")
    for command in ("false", "no-such-program-here"):
        with Shop() as shop:
            talk, told = Talk(shop, "7", "--read-aloud", command), ""
            for _ in range(4):
                time.sleep(0.3)
                told += talk.key("")
            status, last = talk.end()
            expect(told.count("failed; the job goes on without it") == 1 and status == 0 and "place kept at step 4" in last,
                   f"{command}: {told}{last}")


class Endless:
    """A program that reads aloud for ever, and what it has started: stopped after ten seconds. Begun early, for its time."""

    def __init__(self):
        self.shop = Shop()
        with open(os.path.join(self.shop.home, "for-ever"), "w", encoding="utf-8") as f:
            f.write("#!/bin/sh\ntrap '' ALRM TERM\nsleep 1000 &\necho $! $$ > pids\nsleep 1001\n")
        os.chmod(os.path.join(self.shop.home, "for-ever"), 0o755)
        self.talk = Talk(self.shop, "7", "--read-aloud", "./for-ever")

    def alive(self):
        def runs(pid):
            try:
                with open(f"/proc/{pid}/stat", encoding="ascii") as f:
                    return f.read().rsplit(")", 1)[1].split()[0] != "Z"
            except OSError:
                return False
        with open(os.path.join(self.shop.home, "pids"), encoding="ascii") as f:
            return [pid for pid in f.read().split() if runs(pid)]

    def end(self):
        expect(wait_for(lambda: os.path.exists(os.path.join(self.shop.home, "pids")), 20), "the program is not run")
        expect(wait_for(lambda: not self.alive(), 30), f"read aloud for ever: {self.alive()}")
        expect("made 0" in self.talk.key(""), "the job does not go on")
        self.talk.end()
        shutil.rmtree(self.shop.home)


DATA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "data", "heads")
endless = Endless()
adrift("removed", remove_file, True)
adrift("its directory removed", remove_directory, True)
adrift("replaced", replace_file, False)
adrift("cut in place", cut_in_place, False)
adrift("made a link", make_a_link, False)
adrift_left()
other_first_choice()
other_order_of_gears(os.path.join(DATA, "small-tilting-geared.ini"))
heads_that_moved(os.path.join(DATA, "small-tilting.ini"))
damaged_and_unnamed()
pace_of_others()
read_aloud()
unwritable()
endless.end()
if bad == 0:
    print("ok   follow_unkind: adrift, other plans, moved heads, damaged journals")
sys.exit(1 if bad else 0)
