#!/usr/bin/env python3
"""The rules of layers.py turn red: each gets a breach on a copy of the sources and their objects, and must name it.

usage: layers_red.py BUILD      in the project's folder, after make
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
import layers

FUNCTION = "\nint cci_one_more(int a);\nint cci_one_more(int a)\n{\n%s    return a;\n}\n"
WAYS = "    if (a > 1 && a < 9)\n        a++;\n" * 8

# rule, file, what to replace (a pattern; "$" is the end) and by what, words of the breach
BREACHES = [
    (layers.no_circle, "src/plan/candidate.c", r"\Z", "\nvoid cci_round(struct cci_search *s);\nvoid cci_round(struct cci_search *s)\n"
     "{\n    cci_find_plain(s);\n}\n", "src/plan/candidate.c: in a circle of"),
    (layers.one_way, "src/core/angle.c", r'(#include "crankcard/angle.h")', r'\1\n#include "plan/search.h"',
     "src/core/angle.c: includes src/plan/search.h"),
    (layers.one_way, "src/core/angle.c", r'(#include "crankcard/angle.h")', r'\1\n#include "crankcard/plan.h"',
     "src/core/angle.c: includes include/crankcard/plan.h"),
    (layers.one_way, "src/core/length.c", r"\Z", "\nvoid cc_plan_clear(void *plan);\nvoid cci_up(void);\nvoid cci_up(void)\n"
     "{\n    cc_plan_clear(0);\n}\n", "src/core/length.c: calls cc_plan_clear of src/plan/plan.c"),
    (layers.one_way, "src/cli/base/shell_words.c", r"\Z", "\nint write_card(void);\nvoid up(void);\nvoid up(void)\n{\n    write_card();\n}\n",
     "src/cli/base/shell_words.c: calls write_card of src/cli/out/card.c"),
    (layers.one_way, "src/trade/tooth.h", r'(#define \w+_H)\n', r'\1\n#include "plan/search.h"\n',
     "src/trade/tooth.h: includes src/plan/search.h"),
    (layers.front_door, "src/cli/out/csv.h", r'(#define \w+_H)\n', r'\1\n#include "core/scan.h"\n',
     "src/cli/out/csv.h: includes src/core/scan.h"),
    (layers.front_door, "src/cli/out/csv.c", r"\Z", "\nint cci_inverse(void);\nint inside(void);\nint inside(void)\n"
     "{\n    return cci_inverse();\n}\n", "src/cli/out/csv.c: calls cci_inverse"),
    (layers.library_computes, "src/plan/plain.c", r"\Z", '\n#include <stdio.h>\nvoid cci_say(int a);\nvoid cci_say(int a)\n'
     '{\n    printf("%d\\n", a);\n}\n', "src/plan/plain.c: calls printf"),
    (layers.library_computes, "src/trade/layout.c", r"\Z", "\nvoid cci_end(void);\nvoid cci_end(void)\n{\n    exit(2);\n}\n",
     "src/trade/layout.c: calls exit"),
    (layers.library_computes, "src/core/number.c", r"\Z", "\n#include <math.h>\ndouble cci_root(double a);\n"
     "double cci_root(double a)\n{\n    return cbrt(a);\n}\n", "src/core/number.c: calls cbrt"),
    (layers.exact, "src/plan/search.h", r"(struct cci_pair \{)", r"\1\n    double length;", "src/plan/search.h: uses double"),
    (layers.exact, "src/cli/out/csv.c", r"\Z", "\n#include <math.h>\ndouble root(double a);\ndouble root(double a)\n"
     "{\n    return cbrt(a);\n}\n", "src/cli/out/csv.c: calls cbrt"),
    (layers.system_in_base, "src/cli/out/csv.c", r"\Z", '\n#include <stdlib.h>\nvoid ask(void);\nvoid ask(void)\n'
     '{\n    if (getenv("HOME") == NULL)\n        system("true");\n}\n', "src/cli/out/csv.c: calls getenv"),
    (layers.system_in_base, "src/cli/out/csv.c", r"\Z", '\n#include <stdio.h>\nvoid take(void);\nvoid take(void)\n'
     '{\n    if (fopen("x", "r") == NULL)\n        take();\n}\n', "src/cli/out/csv.c: calls fopen"),
    (layers.stands_alone, "src/plan/search.h", r'#include "crankcard/plan.h"\n', "", "src/plan/search.h: does not compile alone"),
    (layers.exported_for_somebody, "src/plan/plain.c", r"\Z", FUNCTION % "", "src/plan/plain.c: cci_one_more is exported"),
    (layers.small, "src/plan/plain.c", r"\Z", FUNCTION % WAYS, "cci_one_more has a complexity of 17"),
    (layers.small, "src/plan/plain.c", r"\Z", FUNCTION % ("    a++;\n" * 80), "cci_one_more has 83 lines"),
]


def breaches(rule, build, root):
    return set(rule(layers.Project(build, root)))


def compile_into(root, build, path):
    cc = os.environ.get("CC", "cc").split()
    subprocess.run([*cc, "-std=c11", "-O1", "-w", "-D_GNU_SOURCE", '-DCRANKCARD_DATADIR="x"', "-Iinclude", "-Isrc", "-c",
                    "-o", f"{build}/{path[:-2]}.o", path], cwd=root, check=True)


def main():
    with tempfile.TemporaryDirectory() as root:
        for top in ("src", "include"):
            shutil.copytree(top, f"{root}/{top}")
        shutil.copytree(f"{sys.argv[1]}/src", f"{root}/build/src", ignore=shutil.ignore_patterns("*.d"))
        for rule, path, old, new, words in BREACHES:
            at, made = f"{root}/{path}", f"{root}/build/{path[:-2]}.o"
            text = open(at, encoding="utf-8").read()
            if path.endswith(".c"):
                shutil.copy(made, f"{root}/before.o")
            before = breaches(rule, "build", root)
            changed, count = re.subn(old, new if old != r"\Z" else new.replace("\\", "\\\\"), text, count=1)
            assert count == 1, f"{path}: nothing to change for {rule.__name__}"
            open(at, "w", encoding="utf-8").write(changed)
            if path.endswith(".c"):
                compile_into(root, "build", path)
            named = [m for m in breaches(rule, "build", root) - before if words in m]
            if not named:
                print(f"FAIL layers_red: {rule.__name__} does not see '{words}'")
                return 1
            open(at, "w", encoding="utf-8").write(text)
            if path.endswith(".c"):
                shutil.copy(f"{root}/before.o", made)
    print(f"ok   each rule is red when broken ({len(BREACHES)} breaches)")
    return 0


if __name__ == "__main__":
    sys.exit(main())
