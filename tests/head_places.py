#!/usr/bin/env python3
"""Whatever lies where a head is looked for is used, or refused and named: never passed over for another head.

usage: head_places.py PROGRAM

Every place a head is looked for, and in each a good profile, an empty file, a directory, a link to nothing, a link to
itself, a file and a link that may not be read, a named pipe, a device; and the folder of profiles itself as each of these. Behind it
lies what a program that passes over would take: the same name in a later place, and the built-in head.
"""
import json
import os
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
if os.geteuid() == 0:       # another user runs it too, who may not come to where it is built
    COPY = tempfile.TemporaryDirectory()
    os.chmod(COPY.name, 0o755)
    PROGRAM = shutil.copy(PROGRAM, COPY.name)
ROOT = os.geteuid() == 0
NOBODY = 65534
GOOD = "[head]\nworm = 60\nmounted = A 1\n\n[plate A]\nside 1 = 15 16 17 18 19 20\n"
OTHER = GOOD.replace("60", "90")
bad = runs = 0


def fail(what):
    global bad
    bad += 1
    print("FAIL head_places: " + what)


def put_good(path):
    with open(path, "w", encoding="ascii") as f:
        f.write(GOOD)


def put_empty(path):
    with open(path, "w", encoding="ascii"):
        pass


def put_directory(path):
    os.mkdir(path)


def put_dangling(path):
    os.symlink("nothing-at-all", path)


def put_loop(path):
    os.symlink(os.path.basename(path), path)


def put_closed(path):
    put_good(path)
    os.chmod(path, 0)


def put_fifo(path):
    os.mkfifo(path)


def put_device(path):
    os.symlink("/dev/null", path)


def put_link(path):
    put_good(path + ".real")
    os.symlink(os.path.basename(path) + ".real", path)


ENTRIES = {"good": put_good, "link": put_link, "empty": put_empty, "directory": put_directory, "dangling": put_dangling,
           "loop": put_loop, "closed": put_closed, "fifo": put_fifo, "device": put_device}


def folder_file(path):
    put_good(path)


def folder_closed(path):
    os.mkdir(path)
    put_good(os.path.join(path, "shop.ini"))
    os.chmod(path, 0)


FOLDERS = {"file": folder_file, "dangling": put_dangling, "loop": put_loop, "closed": folder_closed, "fifo": put_fifo}


class Home:
    def __enter__(self):
        self.path = tempfile.mkdtemp()
        os.chmod(self.path, 0o755)
        self.env = {"LC_ALL": "C", "HOME": self.path, "PATH": os.environ["PATH"], "XDG_DATA_DIRS": os.path.join(self.path, "system")}
        return self

    def __exit__(self, *ignored):
        for folder, names, _ in os.walk(self.path):
            for name in names:
                if not os.path.islink(os.path.join(folder, name)):
                    os.chmod(os.path.join(folder, name), 0o700)
        shutil.rmtree(self.path)

    def at(self, *parts):
        path = os.path.join(self.path, *parts)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        return path

    def run(self, *words):
        """As a user who may read only what its mode says, so not as root."""
        global runs
        runs += 1
        more = {"user": NOBODY, "group": NOBODY, "extra_groups": []} if ROOT else {}
        try:
            return subprocess.run([PROGRAM] + list(words), cwd=self.path, env=self.env, encoding="utf-8", stdin=subprocess.DEVNULL,
                                  stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=20, check=False, **more)
        except subprocess.TimeoutExpired:
            return None


# Where the entry lies, below the home; how it is asked for; where the same name is found by a program that passes over.
PLACES = [
    ("head.ini", ".config/crankcard/head.ini", {}, [], None),
    ("--head FILE", "shop.ini", {}, ["--head", "shop.ini"], None),
    ("CRANKCARD_HEAD, a file", "shop.ini", {"CRANKCARD_HEAD": "shop.ini"}, [], None),
    ("--head NAME, own", ".config/crankcard/heads/shop.ini", {}, ["--head", "shop"], ".local/share/crankcard/heads/shop.ini"),
    ("--head NAME, own data", ".local/share/crankcard/heads/shop.ini", {}, ["--head", "shop"], "system/crankcard/heads/shop.ini"),
    ("--head NAME, system", "system/crankcard/heads/shop.ini", {}, ["--head", "shop"], "system2/crankcard/heads/shop.ini"),
    ("CRANKCARD_HEAD, a name", ".config/crankcard/heads/shop.ini", {"CRANKCARD_HEAD": "shop"}, [], "system/crankcard/heads/shop.ini"),
]


def judge(told, done, path, good):
    """One line that names it, or the head that lies there."""
    if done is None:
        fail(f"{told}: waits for ever")
    elif good:
        if done.returncode != 0 or json.loads(done.stdout)["worm"] != "60":
            fail(f"{told}: not used: {done.stdout[:200]}{done.stderr}")
    elif done.returncode != 2 or done.stdout or done.stderr.count("\n") != 1 or path not in done.stderr:
        fail(f"{told}: passed over, or not named: status {done.returncode}, {done.stdout[:80]}{done.stderr}")


def entries():
    for place, path, more, words, later in PLACES:
        for kind, put in ENTRIES.items():
            with Home() as home:
                home.env.update(more)
                if "system2" in (later or ""):
                    home.env["XDG_DATA_DIRS"] += ":" + os.path.join(home.path, "system2")
                put(home.at(path))
                if later is not None:
                    with open(home.at(later), "w", encoding="ascii") as f:
                        f.write(OTHER)
                done = home.run("divide", "60", "-f", "jsonl", "--no-steps", *words)
                judge(f"{place}, {kind}", done, os.path.basename(path), kind in ("good", "link"))
                if "heads/" in path and done is not None:
                    listed = home.run("heads")
                    line = [x for x in (listed.stdout if listed else "").split("\n  ") if x.startswith("shop ")]
                    if len(line) != 1 or (kind not in ("good", "link")) != ("cannot be used" in line[0]):
                        fail(f"{place}, {kind}: listed as {line}")


def folders():
    """The folder of profiles, and the program's own folder above it, are not what they should be."""
    for upto in ("crankcard/heads", "crankcard"):
        for base in (".config", ".local/share", "system"):
            for kind, put in FOLDERS.items():
                with Home() as home:
                    home.env["XDG_DATA_DIRS"] += ":" + os.path.join(home.path, "system2")
                    put(home.at(base, upto))
                    with open(home.at("system2/crankcard/heads/shop.ini"), "w", encoding="ascii") as f:
                        f.write(OTHER)
                    named = os.path.join(base, upto)
                    judge(f"{named}, {kind}, by name", home.run("divide", "60", "-f", "jsonl", "--head", "shop"), named, False)
                    listed = home.run("heads")
                    if listed is None or listed.returncode != 2 or named not in listed.stderr or "\n  shop " not in listed.stdout:
                        fail(f"{named}, {kind}: the list says {listed and listed.stderr}")
                    if base == ".config" and upto == "crankcard":
                        judge(f"{named}, {kind}, own head.ini", home.run("divide", "60", "-f", "jsonl"), named, False)


def nothing_there():
    """What is not there is no error."""
    with Home() as home:
        done = home.run("divide", "60", "-f", "jsonl", "--no-steps")
        if done.returncode != 0 or json.loads(done.stdout)["worm"] != "40":
            fail(f"an empty home: {done.stderr}")
        home.env["HOME"] = os.path.join(home.path, "not there")
        if home.run("divide", "60").returncode != 0:
            fail("a home that is not there")
        home.env["HOME"] = "/dev/null"
        if home.run("divide", "60").returncode != 0:
            fail("a home that is no directory")


def writer_that_waits():
    """A pipe that somebody writes to is read, as with <(...) of a shell."""
    with Home() as home:
        done = subprocess.run(["sh", "-c", '(sleep 0.2; cat good) | "$0" divide 60 -f jsonl --no-steps --head /dev/stdin', PROGRAM],
                              cwd=home.path, env=home.env, encoding="utf-8", stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                              timeout=20, check=False) if not put_good(home.at("good")) else None
        judge("a pipe with a writer", done, "", True)


if not ROOT:
    print("     head_places: as this user; root would run it as another")
entries()
folders()
nothing_there()
writer_that_waits()
if bad == 0:
    print(f"ok   head_places: {runs} runs, {len(PLACES)} places, {len(ENTRIES)} kinds of entry, {len(FOLDERS)} of folder")
sys.exit(1 if bad else 0)
