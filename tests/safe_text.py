#!/usr/bin/env python3
"""Nothing that does something to a terminal, or turns the text around it, comes out of the program raw.

usage: safe_text.py PROGRAM [ROUNDS]

Texts are made of control characters of both rows, escape sequences, directional formatting characters, separators,
broken UTF-8 and ordinary letters, and put in at every place the program takes text: operands, options, lists, profiles,
the names of files, jobs and heads, measurements, batch lines, remarks and journals. Whatever comes out, as card, in 7 bits,
as table, JSON, picture or message, must be UTF-8 without any such character (by Python's Unicode database), the line
ends, tabs and form feeds of its own format apart; JSON and pictures must parse.
"""
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import unicodedata
import xml.dom.minidom
import zlib

PROGRAM = os.path.abspath(sys.argv[1])
ROUNDS = int(sys.argv[2]) if len(sys.argv) > 2 else 6
SEED = int(os.environ.get("CRANKCARD_SEED", "20250601"))
DATA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
TURNING = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
random.seed(SEED)
bad = runs = shown = 0


def fail(what):
    global bad
    bad += 1
    if bad <= 20:
        print(f"FAIL safe_text (seed {SEED}): {what}")


def hidden(char):
    return unicodedata.category(char) in ("Cc", "Zl", "Zp") or unicodedata.bidirectional(char) in TURNING


HIDDEN = [chr(c) for c in range(1, 0x110000) if not 0xD800 <= c <= 0xDFFF and hidden(chr(c))]
PIECES = [b"\x1b[31m", b"\x1b]0;title\x07", b"\x1b[2J", b"\xc2\x9b31m", "\u202e".encode(), "\u2066".encode(), b"\x7f", b"\r", b"\xff",
          b"\xc3", b"\xe2\x80", b"\xf4\x90\x80\x80", b"\xed\xa0\x80", b"keyway", b"7", b" ", "\u00f8".encode(), "\u05d0".encode(), b"<&\"'>"]


def nasty(path=False):
    """Some text; for the name of a file without what such a name cannot have."""
    parts = [random.choice(PIECES) if random.random() < 0.6 else random.choice(HIDDEN).encode() for _ in range(random.randint(1, 6))]
    if not any(p in PIECES[:10] for p in parts):
        parts.append(random.choice(PIECES[:9]))
    text = b"".join(parts).replace(b"\0", b"").replace(b"\n", b"\v")
    return text.replace(b"/", b"|")[:80] if path else text


def check(told, out, own):
    """own: the control characters of the format's own."""
    global shown
    try:
        text = out.decode("utf-8")
    except UnicodeDecodeError as e:
        fail(f"{told}: not UTF-8 at {e.start}: {out[max(0, e.start - 30):e.end + 10]!r}")
        return
    found = [c for c in text if c not in own and hidden(c)]
    shown += "?" in text or "\\u" in text
    if found:
        at = text.index(found[0])
        fail(f"{told}: U+{ord(found[0]):04X} in {text[max(0, at - 40):at + 20]!r}")


class Bench:
    def __init__(self, folder):
        self.folder = folder
        self.env = {b"LC_ALL": b"C", b"HOME": folder.encode(), b"PATH": os.environb[b"PATH"], b"XDG_DATA_DIRS": b"/nonexistent"}

    def run(self, words, given=b"", more=None):
        global runs
        runs += 1
        done = subprocess.run([PROGRAM.encode()] + [w if isinstance(w, bytes) else w.encode() for w in words], cwd=self.folder,
                              env={**self.env, **(more or {})}, input=given, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                              timeout=60, check=False)
        told = " ".join(repr(w) for w in words)
        words = [w if isinstance(w, bytes) else w.encode() for w in words]
        kind = words[words.index(b"-f") + 1] if b"-f" in words else b"card"
        check(told, done.stdout, "\n" + {b"csv": "\r", b"tsv": "\t", b"card": "\f"}.get(kind, ""))
        check(told + ", standard error", done.stderr, "\n")
        if kind == b"jsonl":
            for line in done.stdout.splitlines():
                try:
                    json.loads(line)
                except ValueError:
                    fail(f"{told}: no JSON: {line[:80]!r}")
        if kind in (b"svg", b"html") and done.stdout:
            try:
                xml.dom.minidom.parseString(done.stdout)
            except Exception as e:      # whatever the parser says
                fail(f"{told}: no XML: {e}")
        return done

    def write(self, name, data):
        path = os.path.join(self.folder.encode(), name if isinstance(name, bytes) else name.encode())
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "wb") as f:
            f.write(data)


OUTPUTS = [[], ["--ascii"], ["-w", "40"], ["-f", "csv"], ["-f", "tsv"], ["-f", "jsonl"], ["-f", "html"], ["-f", "svg"]]


def operands(bench, text):
    """Words of command lines: mostly refused, with the word in the message."""
    t = text
    lines = [[t], [b"57" + t], ["divide", t], ["divide", "57", b"--" + t], ["57", "--head", t], ["57", "--head", t + b".ini"],
             ["57", "--method", t], ["57", "--circle", t], ["57", "--tolerance", t], ["57", "--mounted", t], ["57", "-f", t],
             ["57", "-r", t], ["angles", t], ["angles", b"30 " + t], ["angles", "--file", t], ["table", t], ["table", b"2-" + t],
             ["check", "57", t], ["check", t, "22/33"], ["gear", t], ["gear", "20", "--module", t], ["lead", t], ["tilt", t], ["flats", t],
             ["flats", "6", "--across", "17", "--stock", "20", "--ring", b"4 across " + t], ["flats", "6", "--across", "17", "--stock", "20", "--over", t],
             ["layout", t], ["layout", "5", "--diameter", t], ["plates", t], ["assess", t], ["batch", t], ["heads", t],
             ["follow", t], ["follow", "--resume", t], ["follow", "--forget", t], ["follow", "--salvage", t], ["recover", "57", "--hole", t],
             ["recover", "--job", t], ["help", t], ["60", "--mark", b"10=" + t], ["60", "--mark", b"10=" + t, "-f", "svg"],
             ["57", "-o", b"none/" + t], ["methods", t], ["60", "--number", "10", "--value", t]]
    for words in lines:
        bench.run(words)
    bench.run(["57"], more={b"CRANKCARD_HEAD": t})
    bench.run(["heads", "--where"], more={b"CRANKCARD_HEAD": t, b"XDG_CONFIG_HOME": b"/" + t, b"XDG_DATA_DIRS": b"/" + t})


def labels(bench, text):
    one = text.replace(b"\v", b" ")
    bench.write("list.txt", b"0 start\n30\t" + one + b"\n75 " + one + b"\n")
    for output in OUTPUTS:
        bench.run(["angles", b"30 " + text, "75", *output])
        bench.run(["angles", "--file", "list.txt", *output])
        bench.run(["60", "--mark", "10=\u00f8" + "x", "--mark", b"5=" + text, *output])


def profiles(bench, text):
    with open(os.path.join(DATA, "data", "heads", "small-tilting.ini"), "rb") as f:
        profile = f.read()
    key = text.replace(b"\r", b" ")
    for line in (b"title = ", b"nose = ", b"taper = ", b"; ", b"mounted = ", b"unknown = ", b""):
        bench.write("shop.ini", profile.replace(b"[head]\n", b"[head]\n" + line + key + b"\n").replace(
            b"title     = Small tilting head, three plates\n", b"" if line == b"title = " else b"title = Shop\n"))
        bench.run(["heads", "shop.ini"])
        bench.run(["heads", "shop.ini", "--print"])
        bench.run(["heads", "shop.ini", "--prove"])
        for output in OUTPUTS:
            bench.run(["57", "--head", "shop.ini", "--to", "3", *output])
    bench.write("shop.ini", profile.replace(b"[plate A]", b"[plate " + key + b"]"))
    bench.run(["57", "--head", "shop.ini"])


def names(bench, text):
    name = text.replace(b"/", b"|")[:60]
    if name.strip(b".") == b"":
        return
    bench.write(b".config/crankcard/heads/" + name + b".ini", b"[head]\nworm = 0\n")
    bench.run(["heads"])
    bench.run(["57", "--head", "shopp"])
    bench.run(["57", "--head", name])
    shutil.rmtree(os.path.join(bench.folder, ".config"))
    bench.write(b"d" + name, b"30 one\n")
    bench.run(["angles", "--file", b"d" + name])
    bench.run(["57", "-o", b"o" + name])


def others(bench, text):
    line = text.replace(b"\r", b" ")
    bench.write("readings.csv", b"position,reading\n0," + line + b"\n")
    with open(os.path.join(DATA, "examples", "invented-readings.csv"), "rb") as f:
        readings = f.read()
    bench.run(["assess", "readings.csv"])
    bench.write("readings.csv", readings + line + b"\n")
    for output in OUTPUTS:
        bench.run(["assess", "readings.csv", *output])
    bench.run(["batch", "-"], b"57 --no-steps\n" + line + b"\nangles '30 " + line + b"'\n57 --head '" + line + b"'\n")
    bench.run(["table", "-"], b"57 " + line + b"\n")
    bench.run(["gear", "--file", "-"], b"--module 1\n20 " + line + b"\n")
    for said in (line, b"units = " + line, line + b" = 60", b"paper = " + line):
        bench.write(".config/crankcard/defaults.ini", said + b"\n")
        bench.run(["57"])
        bench.run(["heads", "--where"])
    shutil.rmtree(os.path.join(bench.folder, ".config"))


def jobs(bench, text):
    """Remarks, words and journals: what was typed, and what another program wrote into the file."""
    line = text.replace(b"\r", b" ").replace(b"\v", b" ")
    state = os.path.join(bench.folder, ".local", "state", "crankcard")
    bench.write("list.txt", b"30 one\n")
    bench.run(["follow", "--ready", "57"], b"\nm " + line + b"\nx" + line + b"\ng " + line + b"\nq\n")
    bench.run(["follow", "--ready", "57"], b"\nq\n")
    bench.run(["follow", "--ready", "angles", b"30 " + line, "75"], b"\nq\n")
    os.makedirs(os.path.join(bench.folder.encode(), b"in" + line.replace(b"/", b"|")[:60]), exist_ok=True)
    bench.run(["follow", "--list"])
    path = [os.path.join(state, name) for name in sorted(os.listdir(state)) if name.startswith("divide-57")]
    if len(path) != 1:
        fail(f"no journal of the job is there: {path}")
        return
    with open(path[0], "rb") as f:
        kept = f.read()
    check("the journal itself", kept, "\n")
    texts = [part[9:] for part in kept.split(b"\n")[:-1]]

    def seal(parts):
        total, out = 0, b""
        for part in parts:
            total = zlib.crc32(part + b"\n", total)
            out += b"%08x " % total + part + b"\n"
        return out

    at = next(i for i, part in enumerate(texts) if part.startswith(b"word 57"))
    for changed in ([b"note 1 " + line if part.startswith(b"note") else part for part in texts],
                    texts[:at + 1] + [b"word " + line] + texts[at + 1:],
                    [b"plan " + line if part.startswith(b"plan") else part for part in texts],
                    [b"head title = " + line if part.startswith(b"head title") else part for part in texts],
                    texts + [line], [b"crankcard journal " + line] + texts[1:]):
        bench.write(path[0], seal(changed))
        os.chmod(path[0], 0o600)
        for words in (["follow", "--list"], ["follow", "--resume", "divide-57"], ["recover", "--job", "divide-57", "--hole", "0"],
                      ["recover", "--job", "divide-57", "--hole", "0", "-f", "jsonl"]):
            bench.run(words, b"\nq\n")
    bench.write(path[0], kept + line)
    bench.run(["follow", "--resume", "divide-57"], b"q\n")
    shutil.rmtree(state)


for round_ in range(ROUNDS):
    with tempfile.TemporaryDirectory() as place:
        for part in (operands, labels, profiles, names, others, jobs):
            part(Bench(place), nasty(part is names))
if shown < runs // 4:
    fail(f"only in {shown} of {runs} runs anything was replaced: the texts do not get there")
if bad == 0:
    print(f"ok   safe_text: {runs} runs, in {shown} of them something was replaced")
sys.exit(1 if bad else 0)
