#!/usr/bin/env python3
"""The order of the house: what may use what, held against the sources and against nm of the objects made from them.

usage: layers.py BUILD      in the project's folder, after make; CC names the compiler

Each rule is a function that yields a message for every breach; the reason stands beside it. There are no exceptions but
those that a table below gives a reason for. tests/layers_red.py shows each rule red on a copy.
"""
import os
import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

# Each may use what stands in a line above its own, and itself; not its neighbour in the same line.
LAYERS = [
    ["src/core"],
    ["src/plan", "src/trade"],
    ["src/cli/base"],
    ["src/cli/ask"],
    ["src/cli/job"],
    ["src/cli/out"],
    ["src/cli/keep", "src/cli/subject"],
    ["src/cli/command"],
    ["src/cli"],
]
LIBRARY = ("src/core", "src/plan", "src/trade")
PUBLIC = "include/crankcard"

# What other people's functions a file of the library may call: memory it gives back, strings, sorting, text into a
# buffer, big numbers, and the profile's parser on text in memory. Nothing that prints, ends, opens, asks or remembers.
COMPUTES = set("""malloc calloc realloc free memcpy memmove memset memcmp memchr strlen strcmp strncmp strchr strrchr bcmp
    strstr strspn strcspn strpbrk strcpy strcat qsort bsearch snprintf vsnprintf ini_parse_stream""".split())
MATHS = set("""sin cos tan asin acos atan atan2 sincos sqrt cbrt pow hypot fmin fmax fmod fabs floor ceil round llround
    lround exp exp2 log ldexp frexp""".split())
# What any file of the program may do besides: write to a stream that it was handed, and say what went wrong with it.
WRITES = set("fprintf fputs fputc putc fwrite ferror fflush strerror strtoul __errno_location stdin stdout stderr".split())

# The operating system belongs in base; these files are about it too.
SYSTEM = {
    "src/cli/ask/find_head.c": "looks for profiles in folders",
    "src/cli/keep/journal.c": "writes so that a power cut loses nothing: fsync, ftruncate",
    "src/cli/keep/journal_store.c": "the same for whole files and their directory: openat, fsync, linkat",
    "src/cli/keep/follow_lines.c": "reads answers line by line, of any length: getline",
    "src/cli/out/text.c": "holds pages back until their number is known: open_memstream",
    "src/cli/out/html.c": "takes a picture up in memory before it goes into a page: open_memstream",
    "src/cli/out/record.c": "holds the cells of a row until their order is known: open_memstream",
    "src/cli/keep/follow_screen.c": "composes a screen in memory first: open_memstream",
    "src/cli/keep/kept_job.c": "goes to the folder that a request was typed in, and back: chdir",
    "src/cli/keep/read_aloud.c": "runs the program that reads aloud, and watches over it: fork, pipe, execvp, waitpid",
    "src/cli/keep/terminal.c": "is the terminal: termios, signals, select",
    "src/cli/command/cmd_batch.c": "runs children: fork, pipe, waitpid",
    "src/cli/command/batch_pack.c": "holds the pages back until the contents are known: open_memstream",
    "src/cli/command/batch_worker.c": "is such a child",
    "src/cli/main.c": "closes what was open",
}
ENVIRONMENT = "src/cli/base/environment.c"

# Doubles: src/trade, whose results are measurements, and in the program what carries and draws those.
DOUBLES = ("src/trade/", "src/cli/out/", "src/cli/subject/")
# Sines and roots in the program: pictures only. Comparing and rounding is no such thing.
ROUNDS = {"fmin", "fmax", "fabs", "floor", "ceil"}
PICTURES = re.compile(r"src/cli/(out/(draw\w*|svg|labels)|subject/\w+_draw)\.c")

# Exported although one file uses it, since a test holds it directly against a witness.
TESTED = {"cci_involute_inverse", "cc_lead_of_train"}

MOST_COMPLEX = 15
MOST_LINES = 80


# ---- reading the project ----

def bare(text):
    """C text with comments, strings and characters blanked; lines stay."""
    blank = lambda m: re.sub(r"[^\n]", " ", m.group()) if m.group()[0] == "/" else '""'
    return re.sub(r'/\*.*?\*/|//[^\n]*|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])+\'', blank, text, flags=re.S)


class Project:
    """Sources by path; what each includes; what each object defines and what it asks for."""

    def __init__(self, build, root="."):
        self.root = root
        paths = [os.path.relpath(os.path.join(d, f), root) for top in ("src", "include")
                 for d, _, files in os.walk(os.path.join(root, top)) for f in files if f.endswith((".c", ".h"))]
        self.text = {p: open(os.path.join(root, p), encoding="utf-8").read() for p in sorted(paths)}
        self.bare = {p: bare(t) for p, t in self.text.items()}
        self.includes = {p: self.included(p) for p in self.text}
        self.defines, self.asks = {}, {}
        objects = {f"{build}/{p[:-2]}.o": p for p in self.text if p.endswith(".c")}
        listing = subprocess.run(["nm", "-P", "-A", *objects], stdout=subprocess.PIPE, check=True, cwd=root).stdout
        for p in objects.values():
            self.defines[p], self.asks[p] = set(), set()
        for line in listing.decode().splitlines():
            where, name, kind = line.split()[:3]
            p = objects[where.rstrip(":")]
            if kind == "U":     # memcpy stands as __memcpy_chk, open as __open_2 in a hardened build
                self.asks[p].add(re.sub(r"^__(\w+?)(_chk|_2)$", r"\1", name))
            elif kind in "TDBRVWC":
                self.defines[p].add(name)
        self.owner = {name: p for p, names in self.defines.items() for name in names}
        self.calls = {p: {n: self.owner[n] for n in names if n in self.owner and self.owner[n] != p}
                      for p, names in self.asks.items()}
        self.foreign = {p: {n for n in names if n not in self.owner and not n.startswith(("__gmp", "__stack_chk"))
                            and not re.fullmatch(r"__u?(div|mod|divmod)ti[34]", n) and n not in ("cc_default_profile", "_GLOBAL_OFFSET_TABLE_")}
                        for p, names in self.asks.items()}

    def included(self, path):
        found = []
        for name in re.findall(r'^#\s*include "([^"]+)"', self.text[path], re.M):
            for folder in ("include", "src", os.path.dirname(path)):
                if os.path.join(folder, name) in self.text:
                    found.append(os.path.join(folder, name))
                    break
        return found

    def home(self, path):
        """The folder a file belongs to: a public header belongs where the functions that it declares are."""
        if not path.startswith(PUBLIC):
            return os.path.dirname(path)
        declared = re.findall(r"\b(cc_\w+)\(", self.bare[path])
        homes = [os.path.dirname(self.owner[n]) for n in declared if n in self.owner]
        return max(homes, key=level, default="src/core")

    def functions(self, path):
        """(name, lines, text) of each function: by the house's style its braces stand alone in the first column."""
        for m in re.finditer(r"^(\w[^;{}]*?\b(\w+)\([^;{}]*\))\n\{\n(.*?)^\}", self.bare[path], re.M | re.S):
            yield m.group(2), m.group(3).count("\n") + 2, m.group(3)


def level(folder):
    for i, layer in enumerate(LAYERS):
        if folder in layer:
            return i
    raise SystemExit(f"layers.py: {folder} is in no layer: add it to LAYERS")


def circles(arrows):
    """The sets of nodes that can reach each other (Tarjan)."""
    index, low, stack, found = {}, {}, [], []

    def visit(v):
        index[v] = low[v] = len(index)
        stack.append(v)
        for w in sorted(arrows.get(v, ())):
            if w not in index:
                visit(w)
            if w in stack:
                low[v] = min(low[v], low[w])
        if low[v] == index[v]:
            at = stack.index(v)
            if len(stack) - at > 1:
                found.append(sorted(stack[at:]))
            del stack[at:]

    for v in sorted(arrows):
        if v not in index:
            visit(v)
    return found


# ---- the rules ----

def no_circle(project):
    """Files that call each other round can only be understood, tested and changed together."""
    for arrows in ({p: set(c.values()) for p, c in project.calls.items()}, project.includes):
        for circle in circles(arrows):
            for p in circle:
                round_by = ", ".join(sorted(set(arrows[p]) & set(circle)))
                yield f"{p}: in a circle of {len(circle)} files, by {round_by}"


def one_way(project):
    """A layer that knows nothing of those above it can be read, tested and used without them."""
    for kind, arrows in (("calls", project.calls), ("includes", {p: {i: i for i in inc}
                                                                 for p, inc in project.includes.items()})):
        for p, targets in arrows.items():
            if p.startswith(PUBLIC):
                continue        # public headers may name each other; circles are looked for above
            for name, target in sorted(targets.items()):
                here, there = os.path.dirname(p), project.home(target)
                if here != there and level(there) >= level(here):
                    yield f"{p}: {kind} {name}{' of ' + target if kind == 'calls' else ''}, which is not below it"


def front_door(project):
    """The program lives on the public headers alone: what it cannot reach there, no other user can either."""
    for p in project.text:
        if not p.startswith("src/cli"):
            continue
        for header in project.includes[p]:
            if os.path.dirname(header) in LIBRARY:
                yield f"{p}: includes {header}, which is not public"
        for name, target in sorted(project.calls.get(p, {}).items()):
            if os.path.dirname(target) in LIBRARY and not name.startswith("cc_"):
                yield f"{p}: calls {name}, which is not public"


def library_computes(project):
    """The library prints nothing, ends nothing, opens nothing, asks no environment: it can live in any program."""
    for p, names in project.foreign.items():
        allowed = COMPUTES | MATHS if p.startswith("src/trade/") else COMPUTES
        if os.path.dirname(p) in LIBRARY:
            for name in sorted(names - allowed):
                yield f"{p}: calls {name}"


def exact(project):
    """No rounded number on the way to a hole count: doubles in their rooms, sines in pictures and measurements."""
    for p, text in project.bare.items():
        if p.startswith("src/") and not p.startswith(DOUBLES) and re.search(r"\b(double|float)\b", text):
            yield f"{p}: uses double"
    for p, names in project.foreign.items():
        if p.startswith("src/cli") and not PICTURES.fullmatch(p):
            for name in sorted(names & MATHS - ROUNDS):
                yield f"{p}: calls {name}"


def system_in_base(project):
    """What depends on the operating system is in few files, so that it can be ported, faked and reviewed."""
    for p, names in project.foreign.items():
        here = os.path.dirname(p)
        if here in LIBRARY:
            continue
        if "getenv" in names and p != ENVIRONMENT:
            yield f"{p}: calls getenv"
        if here != "src/cli/base" and p not in SYSTEM:
            for name in sorted(names - COMPUTES - MATHS - WRITES - {"getenv"}):
                yield f"{p}: calls {name}"


def stands_alone(project):
    """A header that needs another before it makes the order of includes matter."""
    def compile_alone(p):
        done = subprocess.run([*os.environ.get("CC", "cc").split(), "-std=c11", "-Wall", "-Wextra", "-Wpedantic", "-Werror",
                               "-Iinclude", "-Isrc", "-fsyntax-only", "-x", "c", "-"],
                              input=f'#include "{os.path.relpath(p, "src" if p.startswith("src") else "include")}"\n',
                              text=True, stderr=subprocess.PIPE, cwd=project.root, check=False)
        return p, done.returncode, done.stderr

    with ThreadPoolExecutor(os.cpu_count()) as pool:
        for p, bad, words in pool.map(compile_alone, [p for p in project.text if p.endswith(".h")]):
            if bad:
                yield f"{p}: does not compile alone: {words.splitlines()[0]}"


def exported_for_somebody(project):
    """What one file alone uses is static: then the compiler says when nobody does, and a reader need not look."""
    asked = {n for names in project.asks.values() for n in names} | TESTED | {"main"}
    for p, names in project.defines.items():
        for name in sorted(names - asked):
            yield f"{p}: {name} is exported, and no other file uses it"


def small(project):
    """A function that fits a screen and has few ways through it can be checked by eye.

    Complexity: 1 and one more for each if, for, while, case, &&, || and ?:.
    """
    for p in project.text:
        for name, lines, text in project.functions(p):
            ways = 1 + len(re.findall(r"\b(?:if|for|while|case)\b|&&|\|\||\?", text))
            if ways > MOST_COMPLEX:
                yield f"{p}: {name} has a complexity of {ways}: at most {MOST_COMPLEX}"
            if lines > MOST_LINES:
                yield f"{p}: {name} has {lines} lines: at most {MOST_LINES}"


RULES = [no_circle, one_way, front_door, library_computes, exact, system_in_base, stands_alone, exported_for_somebody,
         small]


def main():
    project = Project(sys.argv[1])
    good = True
    for rule in RULES:
        breaches = list(rule(project))
        if breaches:
            print("\n".join(breaches))
            print(f"FAIL {rule.__name__}: {rule.__doc__.splitlines()[0]}")
            good = False
        else:
            print(f"ok   {rule.__name__}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
