#!/usr/bin/env python3
"""Change one token of the source at a time and see whether a test notices.

usage: mutants.py BUILD [--count N] [--seed S] [--since COMMIT] [--files "PATH ..."] [--again TSV] [--list]

BUILD was filled by "make mutants": objects, test programs and, in BUILD/reach, the same with gcov's counters. From
the latter comes which line is run by which test. COUNT changes are drawn with SEED among all places, in the files
named (else in all that compute), and, with COMMIT, in the lines changed since it. Each is compiled alone, linked
into a library of its own, and run against the unit tests that reach its line, then the golden runs, then the
contract, until one fails. A change that compiles to the same object is no change and is drawn again; so is one
that does not compile. Those listed in tests/mutants.equivalent are run like the others and counted apart.

The report: survivors with file, line and change; per folder how many were noticed by the unit tests, and by all,
with a 95 % interval (Wilson). Every outcome is in BUILD/mutants.tsv as soon as it is known. Exit status 0: this is a measurement, no gate.
"""
import argparse
import collections
import concurrent.futures
import glob
import json
import math
import os
import queue
import random
import re
import resource
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import time

# What computes. The rest of src/cli reads words and writes them.
COMPUTES = ["src/core/*.c", "src/plan/*.c", "src/trade/*.c", "src/cli/job/*.c", "src/cli/subject/*_job.c",
            "src/cli/subject/plate_making.c", "src/cli/out/fast_rows.c", "src/cli/out/plan_rows.c", "src/cli/keep/hands.c",
            "src/cli/ask/ranges.c"]
NAMED = re.compile(r"src/plan/(plan|planner|order|effort|figures|step|check|recover)\w*\.c|src/trade/")
EQUIVALENT = "tests/mutants.equivalent"
LIBRARY = "libmutant.so"

TOKEN = re.compile(r"""(?P<skip>/\*.*?\*/|//[^\n]*|\s+|^[ \t]*\#(?:[^\n\\]|\\.|\\\n)*)
                     |(?P<string>"(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*')
                     |(?P<number>0[xX][0-9a-fA-F]+[uUlL]*|(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?[uUlLfF]*)
                     |(?P<name>[A-Za-z_][A-Za-z0-9_]*)
                     |(?P<op><<=|>>=|\.\.\.|->|\+\+|--|<<|>>|<=|>=|==|!=|&&|\|\||[-+*/%&|^]=|.)""",
                   re.VERBOSE | re.DOTALL | re.MULTILINE)

BINARY = {"<": ["<=", ">="], "<=": ["<", ">"], ">": [">=", "<="], ">=": [">", "<"], "==": ["!="], "!=": ["=="],
          "+": ["-"], "-": ["+"], "*": ["/"], "/": ["*"], "%": ["*"], "&&": ["||"], "||": ["&&"], "<<": [">>"],
          ">>": ["<<"], "&": ["|"], "|": ["&"], "+=": ["-="], "-=": ["+="], "*=": ["/="], "/=": ["*="], "|=": ["&="]}
# Most arithmetic here is calls: their names are the operators.
NAMES = {"true": ["false"], "false": ["true"], "sin": ["cos"], "cos": ["sin"], "tan": ["sin"], "asin": ["acos"],
         "acos": ["asin"], "llabs": ["-"], "fabs": ["-"], "fmin": ["fmax"], "fmax": ["fmin"], "floor": ["ceil"],
         "ceil": ["floor"], "mpq_neg": ["mpq_set"], "mpq_abs": ["mpq_set"], "mpz_neg": ["mpz_set"], "mpz_abs": ["mpz_set"],
         "mpz_gcd": ["mpz_lcm"], "mpz_lcm": ["mpz_gcd"], "mpq_numref": ["mpq_denref"], "mpq_denref": ["mpq_numref"],
         "mpq_inv": ["mpq_set"], "driver": ["driven"], "driven": ["driver"], "drivers": ["driven"]}
for kind in ("mpq", "mpz"):
    for one, other in (("add", "sub"), ("mul", "div" if kind == "mpq" else "add")):
        NAMES[f"{kind}_{one}"], NAMES[f"{kind}_{other}"] = [f"{kind}_{other}"], [f"{kind}_{one}"]
for a, b in (("mpz_add_ui", "mpz_sub_ui"), ("mpz_addmul", "mpz_submul"), ("mpz_addmul_ui", "mpz_submul_ui"),
             ("mpz_fdiv_q", "mpz_cdiv_q"), ("mpz_fdiv_r", "mpz_cdiv_r"), ("mpz_tdiv_q", "mpz_cdiv_q"),
             ("mpz_mul_ui", "mpz_add_ui"), ("mpz_mul_si", "mpz_mul_ui"), ("mpq_mul_2exp", "mpq_div_2exp"),
             ("mpz_mul_2exp", "mpz_fdiv_q_2exp")):
    NAMES.setdefault(a, [b])
    NAMES.setdefault(b, [a])
WORDS = {"if", "for", "while", "switch", "do", "else", "return", "case", "default", "goto", "break", "continue", "sizeof"}
TYPES = {"const", "static", "struct", "enum", "union", "unsigned", "signed", "int", "long", "char", "bool", "double", "void",
         "size_t", "typedef", "extern", "short", "float", "mpq_t", "mpz_t"}
# Dropping these leaks memory, which make check-san sees and these runs cannot.
LEAKS = re.compile(r"(free|\w*_clears?|json_decref|fclose|\w*_free)$")

# What only a failed allocation runs is the business of make check-faults.
MEMORY = re.compile(r"CC_ENOMEM|memory ran out|out of memory|no_memory")
ALLOCATES = re.compile(r"\b(malloc|calloc|realloc)\(")

Change = collections.namedtuple("Change", "path line at end new function before after kind")


class Source:
    """One file as tokens, and the changes that can be made to it."""

    def __init__(self, path):
        self.path = path
        with open(path, encoding="utf-8") as f:
            self.text = f.read()
        self.tokens = [(m.lastgroup, m.group(), m.start()) for m in TOKEN.finditer(self.text) if m.lastgroup != "skip"]
        self.starts = [0] + [i + 1 for i, c in enumerate(self.text) if c == "\n"]
        self.changes = []
        self.memory = self.memory_lines()
        self.close = self.pairs()
        self.opened = {b: a for a, b in self.close.items()}
        self.find()

    def memory_lines(self):
        """Lines that look at whether an allocation failed, and what they do then."""
        lines, found = self.text.split("\n"), set()
        for i, text in enumerate(lines):
            if MEMORY.search(text):
                found.add(i + 1)
            elif "== NULL" in text and ALLOCATES.search("\n".join(lines[max(0, i - 3):i + 1])):
                found.update((i + 1, i + 2))
        return found

    def pairs(self):
        """Index of the token that closes the bracket opened by token i."""
        close, open_at = {}, []
        for i, (_, text, _) in enumerate(self.tokens):
            if text in "([{" and len(text) == 1:
                open_at.append(i)
            elif text in ")]}" and len(text) == 1 and open_at:
                close[open_at.pop()] = i
        return close

    def word(self, i):
        return self.tokens[i][1] if 0 <= i < len(self.tokens) else ""

    def kind_of(self, i):
        return self.tokens[i][0] if 0 <= i < len(self.tokens) else ""

    def end(self, i):
        return self.tokens[i][2] + len(self.tokens[i][1])

    def declares(self, i):
        """Whether the statement of token i is a declaration."""
        while i > 0 and self.word(i - 1) not in (";", "{", "}"):
            i -= 1
        return self.word(i) in TYPES or self.kind_of(i + 1) == "name"

    def called(self, i):
        """The name before the bracket that stands open before token i."""
        while i > 0 and self.word(i) != "(":
            i -= 1
        return self.word(i - 1)

    def line_of(self, at):
        low, high = 0, len(self.starts)
        while high - low > 1:
            mid = (low + high) // 2
            low, high = (mid, high) if self.starts[mid] <= at else (low, mid)
        return low + 1

    def add(self, at, end, new, kind):
        line = self.line_of(at)
        if line in self.memory:
            return
        first = self.starts[line - 1]
        last = self.text.find("\n", at)
        before = self.text[first:last]
        tail = self.text[end:last] if end <= last else ""
        after = self.text[first:at] + new + tail
        self.changes.append(Change(self.path, line, at, end, new, self.function, " ".join(before.split()),
                                   " ".join(after.split()), kind))

    def replace(self, i, new, kind):
        self.add(self.tokens[i][2], self.end(i), new, kind)

    def is_binary(self, i):
        """House style: blanks on both sides of a binary operator, and none after a unary one."""
        at, end = self.tokens[i][2], self.end(i)
        return self.text[at - 1] in " \n" and self.text[end:end + 1] in (" ", "\n")

    def wrap(self, first, last, kind):
        """A condition that never, and one that always, holds."""
        at, end = self.tokens[first][2], self.end(last)
        inner = self.text[at:end]
        self.add(at, end, f"0 && ({inner})", kind)
        self.add(at, end, f"1 || ({inner})", kind)

    def ternary(self, i):
        """The first token of the condition before '?' at i."""
        depth = 0
        while i > 0:
            i -= 1
            word = self.word(i)
            if word in (")", "]"):
                depth += 1
            elif word in ("(", "[", "{"):
                if depth == 0:
                    return i + 1
                depth -= 1
            elif depth == 0 and word in (",", "=", "return", ";", "?", ":", "+=", "-=", "|=", "}"):
                return i + 1
        return i

    def number(self, i):
        text = self.word(i)
        if self.word(i - 1) == "[" and self.word(i + 1) == "]" and self.declares(i):
            return      # a declaration's room
        if self.word(i - 2) == "0" and self.called(i) == "mpq_set_ui":
            return      # GMP makes 0/1 of any 0/n
        if text in ("0", "1"):
            self.replace(i, "1" if text == "0" else "0", "constant")
        if text == "0":
            return
        suffix = "" if not re.search(r"[.eE]", text) or text[:2] in ("0x", "0X") else ".0"
        self.replace(i, f"({text} + 1{suffix})", "constant")

    def statement(self, i):
        """A statement begins at token i: drop it, or change what it returns."""
        word, following = self.word(i), self.word(i + 1)
        last = i
        while last < len(self.tokens) and self.word(last) not in (";", "}") and \
                (self.word(last) != "{" or self.word(last - 1) == ")"):
            last = self.close.get(last, last) + 1
        if self.word(last) != ";":
            return
        at, end = self.tokens[i][2], self.end(last)
        if word == "return":
            value = self.text[self.end(i):self.tokens[last][2]].strip()
            if value == "CC_OK":
                self.add(at, end, "return CC_ENOMEM;", "return")
            elif value not in ("", "0", "true", "false", "NULL"):
                self.add(at, end, "return 0;", "return")
            return
        if word in ("break", "continue"):
            self.add(at, end, ";", "statement")
            return
        if word in WORDS or word in TYPES or word == ";" or self.kind_of(i) not in ("name", "op"):
            return
        declares = self.kind_of(i + 1) == "name" or (following == "*" and not self.is_binary(i + 1))
        if self.kind_of(i) == "name" and (declares or (following == "(" and LEAKS.match(word))):
            return
        if following == ":":
            return
        self.add(at, end, ";", "statement")

    def find(self):
        depth = parens = 0
        self.function = ""
        for i, (kind, text, _) in enumerate(self.tokens):
            if kind == "name" and depth == 0 and self.word(i + 1) == "(":
                self.function = text
            if depth > 0 and parens == 0 and self.begins(i):
                self.statement(i)
            if kind == "number":
                self.number(i)
            elif kind == "name":
                called = self.word(i + 1) == "(" or text in ("true", "false") or text.startswith("driv")
                for new in NAMES.get(text, []) if called else []:
                    self.replace(i, new, "name")
                if text == "if":
                    self.wrap(i + 2, self.close[i + 1] - 1, "condition")
            elif kind == "op":
                self.operator(i, text)
            parens += text in ("(", "[")
            parens -= text in (")", "]")
            depth += text == "{"
            depth -= text == "}"
            if text == "}" and depth == 0:
                self.function = ""

    def begins(self, i):
        before = self.word(i - 1)
        if before in (";", "{", "}", "else", "do"):
            return True
        if before == ":":
            return self.kind_of(i - 2) == "name" and self.word(i - 3) in ("case", ";", "}", "{")
        if before == ")":
            return self.word(self.opened[i - 1] - 1) in ("if", "for", "while", "switch")
        return False

    def operator(self, i, text):
        if text in BINARY and self.is_binary(i):
            for new in BINARY[text]:
                self.replace(i, new, "comparison" if text in ("<", "<=", ">", ">=", "==", "!=") else "operator")
        elif text in ("!", "-") and not self.is_binary(i):
            self.replace(i, "", "operator")
        elif text in ("++", "--"):
            self.replace(i, "--" if text == "++" else "++", "operator")
        elif text == "?":
            self.wrap(self.ternary(i), i - 1, "condition")

    def changed(self, change):
        return self.text[:change.at] + change.new + self.text[change.end:]


# ---- which test runs which line ----

def gcov_lines(build):
    """{path: {line: count}} of the counters below build."""
    found = sorted(glob.glob(f"{build}/src/**/*.gcda", recursive=True))
    lines = {}
    if not found:
        return lines
    done = subprocess.run(["gcov", "--json-format", "--stdout", *found], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                          check=True)
    for text in done.stdout.splitlines():
        for entry in json.loads(text)["files"]:
            here = lines.setdefault(os.path.normpath(entry["file"]), {})
            for at in entry["lines"]:
                here[at["line_number"]] = here.get(at["line_number"], 0) + at["count"]
    return lines


def forget_counts(build):
    for path in glob.glob(f"{build}/**/*.gcda", recursive=True):
        os.remove(path)


def reach(build, tests):
    """{test: {path: {line: count}}}, kept in BUILD/reach.json as long as nothing built is newer."""
    kept, cov = f"{build}/reach.json", f"{build}/reach"
    built = max(os.path.getmtime(p) for p in [f"{cov}/crankcard"] + [f"{cov}/tests/{t}" for t in tests])
    inputs = max(os.path.getmtime(p) for p in glob.glob("tests/**/*", recursive=True))
    if os.path.exists(kept) and os.path.getmtime(kept) > max(built, inputs):
        with open(kept, encoding="utf-8") as f:
            return json.load(f)
    result = {}
    for test in tests + ["golden", "contract"]:
        forget_counts(cov)
        for words, env in commands(test, cov):
            subprocess.run(words, env={**os.environ, **env}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
        result[test] = gcov_lines(cov)
    with open(kept, "w", encoding="utf-8") as f:
        json.dump(result, f)
    return result


def commands(test, folder):
    """The command lines of a test with what folder holds."""
    env = {"LC_ALL": "C", "MALLOC_PERTURB_": "165"}     # memory that was not set is nothing to rely on
    program = {"CRANKCARD": f"{folder}/crankcard", **env}
    if test == "golden":
        return [(["sh", "tests/run_golden.sh", "compare"], program)]
    if test == "contract":
        return [([sys.executable, "tests/contract.py"], program)]
    return [([f"{folder}/tests/{test}"], env)]


def end(child):
    """A test and what it has started; at first in a way that lets it clear up behind itself."""
    for number in (signal.SIGTERM, signal.SIGKILL):
        try:
            os.killpg(child.pid, number)
            child.wait(5)
        except (ProcessLookupError, subprocess.TimeoutExpired):
            pass
    child.wait()


# ---- one change: build it, run it ----

class Bench:
    """What all changes share: objects, the base library, test programs, how long they take."""

    def __init__(self, build):
        self.build = build
        self.objects = [f"{build}/{p[:-2]}.o" for p in sorted(glob.glob("src/**/*.c", recursive=True)) if p != "src/cli/main.c"]
        self.objects.append(f"{build}/default_profile.o")
        self.tests = sorted(os.path.basename(p)[:-2] for p in glob.glob("tests/test_*.c"))
        self.flags = shlex.split(os.environ["MUTANT_CFLAGS"])
        self.libs = os.environ["MUTANT_LIBS"].split()
        self.cc = os.environ.get("CC", "cc").split()
        self.folders = queue.Queue()
        if not os.path.exists(f"{build}/data"):     # the program looks for heads above its own folder
            os.symlink(os.path.abspath("data"), f"{build}/data")
        self.bare = {}      # what each unchanged source compiles to

    def link_library(self, out, swap=None):
        objects = [swap[1] if swap and p == swap[0] else p for p in self.objects]
        subprocess.run([*self.cc, "-shared", "-Wl,-Bsymbolic", "-o", out, *objects, *self.libs], check=True)

    def folder(self, path):
        """A place to run in: the program and the tests, linked to the library beside them."""
        shutil.rmtree(path, ignore_errors=True)
        os.makedirs(f"{path}/tests")
        self.link_library(f"{path}/{LIBRARY}")
        link = [f"{path}/{LIBRARY}", *self.libs]
        subprocess.run([*self.cc, "-o", f"{path}/crankcard", f"{self.build}/src/cli/main.o", "-Wl,-rpath,$ORIGIN", *link], check=True)
        for test in self.tests:     # one that needs flags of its own is not made, and is then left out
            subprocess.run([*self.cc, "-o", f"{path}/tests/{test}", f"{self.build}/tests/{test}.o", f"{self.build}/tests/support.o",
                            "-Wl,-rpath,$ORIGIN/..", *link], stderr=subprocess.DEVNULL, check=False)
        return path

    def measure(self, folder):
        """Processor seconds of each test on the unchanged library. One that fails there, or is not there, is left out."""
        self.seconds = {}
        for test in self.tests + ["golden", "contract"]:
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            made = test not in self.tests or os.path.exists(f"{folder}/tests/{test}")
            if not made or not self.passes(test, folder, 600):
                print(f"mutants: {test} fails on the unchanged source, and is left out")
                continue
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            self.seconds[test] = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

    def passes(self, test, folder, limit):
        """limit is in seconds of processor for one process; by the clock ten times as much, others may be at work."""
        def bound():
            os.setsid()
            resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 1))
            resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
            resource.setrlimit(resource.RLIMIT_FSIZE, (64 << 20, 64 << 20))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        for words, env in commands(test, folder):
            with tempfile.TemporaryDirectory(dir=folder) as tmp:
                child = subprocess.Popen(words, env={**os.environ, **env, "TMPDIR": tmp}, stdin=subprocess.DEVNULL,
                                         stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, preexec_fn=bound)
                try:
                    status = child.wait(10 * limit)
                except subprocess.TimeoutExpired:
                    status = -1
                finally:
                    end(child)
            if status != 0:
                return False
        return True

    def outcome(self, source, change, reached):
        """'same', 'unbuilt', 'survived', or the test that noticed."""
        folder = self.folders.get()
        try:
            return self.try_change(folder, source, change, reached)
        finally:
            self.folders.put(folder)

    def compile(self, source, text, out):
        given = f"{out[:-2]}.c"
        with open(given, "w", encoding="utf-8") as f:
            f.write(text)
        done = subprocess.run([*self.cc, *self.flags, "-w", f"-I{os.path.dirname(source.path)}", "-c", "-o", out, given],
                              stderr=subprocess.DEVNULL, check=False)
        return done.returncode == 0

    def try_change(self, folder, source, change, reached):
        out = f"{folder}/mutant.o"
        if change.path not in self.bare:
            self.compile(source, source.text, out)
            self.bare[change.path] = code(out)
        if not self.compile(source, source.changed(change), out):
            return "unbuilt"
        if code(out) == self.bare[change.path]:
            return "same"
        self.link_library(f"{folder}/{LIBRARY}", (f"{self.build}/{change.path[:-2]}.o", out))
        for test in reached:
            if not self.passes(test, folder, 3 + math.ceil(4 * self.seconds[test])):
                return test
        return "survived"


def code(path):
    """The bytes of an object without its symbols' notes, to compare."""
    bare = f"{path}.bare"
    subprocess.run(["strip", "--strip-unneeded", "-o", bare, path], check=True)
    with open(bare, "rb") as f:
        return f.read()


# ---- the draw and the report ----

def changed_lines(commit):
    """{path: set of lines} added or changed since commit."""
    done = subprocess.run(["git", "diff", "-U0", commit, "--", "src"], stdout=subprocess.PIPE, check=True, text=True)
    lines, path = {}, None
    for text in done.stdout.splitlines():
        if text.startswith("+++ "):
            path = text[6:]
        elif text.startswith("@@"):
            first, count = re.match(r"@@ \S+ \+(\d+)(?:,(\d+))?", text).groups()
            lines.setdefault(path, set()).update(range(int(first), int(first) + int(count or 1)))
    return lines


def equivalents():
    """{(path, function, before, after): reason} of those listed."""
    listed = {}
    with open(EQUIVALENT, encoding="utf-8") as f:
        for text in f:
            if text.strip() and not text.startswith("#"):
                *key, reason = text.rstrip("\n").split("\t")
                listed[tuple(key)] = reason
    return listed


def key(change):
    return change.path, change.function, change.before, change.after


def wilson(good, of):
    """95 % interval of good in of."""
    if of == 0:
        return 0.0, 1.0
    z, p = 1.959964, good / of
    mid, half = p + z * z / (2 * of), z * math.sqrt(p * (1 - p) / of + z * z / (4 * of * of))
    return (mid - half) / (1 + z * z / of), (mid + half) / (1 + z * z / of)


def reaching(reached, order, change):
    """Tests that run the change's line; where gcov counts no such line (a table), those that run the file. The golden runs
    always: a child that ends by _exit, as a worker of batch does, leaves no counts."""
    counted = any(str(change.line) in reached[t].get(change.path, {}) for t in order)
    for test in order:
        here = reached[test].get(change.path, {})
        if test == "golden" or (here.get(str(change.line), 0) > 0 if counted else any(here.values())):
            yield test


def draw(bench, sources, places, count, reached, log):
    """[(change, outcome)] of count changes that make a difference to the compiler, each written to log when it is known."""
    order = sorted((t for t in bench.tests if t in bench.seconds), key=lambda t: bench.seconds[t])
    order += [t for t in ("golden", "contract") if t in bench.seconds]
    results, at = [], 0
    jobs = int(os.environ.get("JOBS", min(8, len(os.sched_getaffinity(0)))))
    for i in range(jobs):
        bench.folders.put(bench.folder(f"{bench.build}/work{i}"))
    with concurrent.futures.ThreadPoolExecutor(jobs) as pool:
        while len(results) < count and at < len(places):
            some = places[at:at + count - len(results)]
            at += len(some)
            runs = [pool.submit(bench.outcome, sources[c.path], c, list(reaching(reached, order, c))) for c in some]
            for change, run in zip(some, runs):
                what = run.result()
                if what in ("unbuilt", "same"):
                    continue
                results.append((change, what))
                print(change.path, change.line, change.function, change.before, change.after, what, sep="\t", file=log, flush=True)
    return results


def report(results, listed):
    tally = collections.OrderedDict()
    for change, what in results:
        rows = [os.path.dirname(change.path) if not change.path.startswith("src/cli") else "src/cli", "all"]
        rows += ["named files"] if NAMED.match(change.path) else []
        for row in rows:
            here = tally.setdefault(row, collections.Counter())
            here["of"] += 1
            if what == "survived" and key(change) in listed:
                here["equivalent"] += 1
            elif what != "survived":
                here["all"] += 1
                here["unit"] += what.startswith("test_")
    for change, what in results:
        if what == "survived" and key(change) not in listed:
            print(f"{change.path}:{change.line}: {change.function}: {change.before}\n    now: {change.after}")
    print(f"\n{'folder':12} {'changes':>7} {'equivalent':>10} {'by units':>9} {'noticed':>8}   95 % interval")
    for row in sorted(tally, key=lambda r: (not r.startswith("src"), r)):
        here = tally[row]
        of = here["of"] - here["equivalent"]
        low, high = wilson(here["all"], of)
        share = [here[k] / of if of else 1 for k in ("unit", "all")]
        print(f"{row:12} {here['of']:7} {here['equivalent']:10} {share[0]:9.1%} {share[1]:8.1%}   {low:.1%} to {high:.1%}")


def main():
    p = argparse.ArgumentParser()
    p.add_argument("build")
    p.add_argument("--count", type=int, default=100)
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--since")
    p.add_argument("--files")
    p.add_argument("--again", help="only those that survived in this file, made by an earlier run")
    p.add_argument("--list", action="store_true", help="list the places, run nothing")
    ask = p.parse_args()
    patterns = ask.files.split() if ask.files else COMPUTES
    sources = {path: Source(path) for path in sorted(set(sum((glob.glob(g) for g in patterns), [])))}
    places = [c for s in sources.values() for c in s.changes]
    listed = equivalents()
    stale = set(listed) - {key(c) for c in places} if not ask.files else ()
    for path, function, before, _ in sorted(stale):
        print(f"{EQUIVALENT}: no such place now: {path}: {function}: {before}")
    if ask.since:
        lines = changed_lines(ask.since)
        places = [c for c in places if c.line in lines.get(c.path, ())]
    if ask.again:
        with open(ask.again, encoding="utf-8") as f:
            rows = [row.rstrip("\n").split("\t") for row in f]
        alive = {(row[0], row[2], row[3], row[4]) for row in rows if row[5] == "survived"}
        places = [c for c in places if key(c) in alive]
    if ask.list:
        for c in places:
            print(f"{c.path}:{c.line}\t{c.function}\t{c.before}\t{c.after}")
        return
    total = len(places)
    random.Random(ask.seed).shuffle(places)
    bench = Bench(os.path.abspath(ask.build))
    bench.measure(bench.folder(f"{bench.build}/base"))
    start = time.monotonic()
    reached = reach(bench.build, bench.tests)
    with open(f"{bench.build}/mutants.tsv", "w", encoding="utf-8") as log:
        results = draw(bench, sources, places, ask.count, reached, log)
    report(results, listed)
    print(f"seed {ask.seed}, {len(results)} of {total} places, {time.monotonic() - start:.0f} s")


if __name__ == "__main__":
    main()
