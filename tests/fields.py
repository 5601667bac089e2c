"""Every record and field that the program writes is described, and of one kind. Called by run_documents.sh.

A field counts as described when it stands in backquotes in the part of docs/output.md that is headed by the
record's name or by Values, or in docs/COMMAND.md (a length in inches may stand there as one in mm). Every command of --help has a sample here or writes no records.
"""
import json
import os
import re
import subprocess
import sys
import tempfile

CRANKCARD = os.environ["CRANKCARD"]
GEARED = ["--head", "small-tilting-geared"]
WITHOUT_RECORDS = {"heads", "follow"}
DOCUMENTS = {"recover": "follow"}       # where it is not docs/COMMAND.md
INPUT = {"angles": "30 a\n90 b\n", "batch": "57 --no-steps\nangles 30\ncheck 57 7/19+5/15\nfoo\n"}

# Command lines, enough of them to bring every record; --format is added.
SAMPLES = {
    "divide": [["57"], ["127", *GEARED], ["97", "--radius", "10mm", "--units", "in"], ["8", "--radius", "10mm"]],
    "methods": [["57"]],
    "table": [["57", "10000000"]],
    "check": [["57", "7/19+5/15"], ["99", "8/20", "--drivers", "32,40", "--driven", "28,56", *GEARED]],
    "tilt": [["30"], ["--for", "end", "--teeth", "20", "--cutter", "70"]],
    "lead": [["200mm", "--screw", "5mm", *GEARED]],
    "angles": [["0", "37d30m keyway", "120"], ["--file", "-", "--radius", "10mm"]],
    "batch": [["-"]],
    "recover": [["57", "--hole", "7", "--hole2", "6", "--reading", "6"], ["7", "--hole", "35"]],
    "layout": [["7", "--diameter", "80"], ["7", "--diameter", "3in", "--units", "in"]],
    "assess": [["examples/invented-readings.csv", "--radius", "30", "--divisions", "57", "--tolerance", "0.02mm"]],
    "plates": [["2-60"], ["--make", "127"]],
    "gear": [["20", "127", "--module", "1"], ["24", "--helix", "15", "--dp", "10", "--screw", "4tpi", *GEARED]],
}


def run(command, arguments, form):
    form = ["--format", form] if form else []
    done = subprocess.run([CRANKCARD, command, *arguments, *form], input=INPUT.get(command, "").encode(),
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
    return done.stdout.decode("utf-8")


def names(value):
    """Every key in a JSON value."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from names(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from names(inner)


def read(path):
    try:
        with open(path, encoding="utf-8") as file:
            return file.read()
    except FileNotFoundError:
        return ""


def described(record, command):
    """The words in backquotes where a record is described."""
    parts = re.findall(rf"^## (?:Values|{record})$(.*?)(?=^## |\Z)", read("docs/output.md"), re.M | re.S)
    text = "".join(parts) + read(f"docs/{DOCUMENTS.get(command, command)}.md")
    prose = re.sub(r"^```.*?^```$", "", text, flags=re.M | re.S)
    return {word for quoted in re.findall(r"`([^`]+)`", prose) for word in re.split(r'[ ,"]+', quoted)}


def commands():
    text = subprocess.run([CRANKCARD, "--help"], stdout=subprocess.PIPE, check=True).stdout.decode("utf-8")
    part = text.split("\ncommands:\n", 1)[1].split("\n\n", 1)[0]
    return [line.split()[0] for line in part.splitlines()]


# Names that hold two kinds of thing, told apart by the record they stand in: docs/output.md, Values. No more of them.
TWO_KINDS = {
    "circles": {"number", "list"}, "forward": {"str", "dict"}, "movement": {"dict", "str"}, "plate": {"str", "number"},
    "positions": {"number", "dict"}, "step": {"str", "number"},
}


def kinds(value):
    """(key, kind) of every member in a JSON value; null is of any kind."""
    for key, inner in value.items() if isinstance(value, dict) else ((None, inner) for inner in value if isinstance(value, list)):
        if isinstance(inner, (dict, list)):
            yield from kinds(inner)
        if key is not None and inner is not None:
            yield key, "number" if type(inner) in (int, float) else type(inner).__name__


def missing_fields():
    seen = {}
    for command in commands():
        if command in WITHOUT_RECORDS:
            continue
        if command not in SAMPLES:
            yield f"tests/fields.py has no sample of the command {command}"
            continue
        for arguments in SAMPLES[command]:
            form = None if command == "batch" else "jsonl"
            records = [json.loads(line) for line in run(command, arguments, form).splitlines()]
            if not records:
                yield f"{command} {arguments}: no record"
            for record in records:
                for key, kind in kinds(record):
                    seen.setdefault(key, {}).setdefault(kind, f"{command} {arguments}")
                known = described(record["record"], command)
                for key in dict.fromkeys(names(record)):
                    if key not in known and re.sub("_in$", "_mm", key) not in known:
                        yield f"{command} {arguments}: field {key} of the record {record['record']} is not described"
    for key, found in seen.items():
        if len(found) > 1 and set(found) != TWO_KINDS.get(key):
            yield f"field {key} is of more than one kind: {found}"


def main():
    os.environ["HOME"] = tempfile.gettempdir()
    for name in list(os.environ):
        if name.startswith("XDG_") or name == "CRANKCARD_HEAD":
            del os.environ[name]
    faults = list(dict.fromkeys(missing_fields()))
    for fault in faults:
        print("FAIL", fault)
    if not faults:
        print("ok   every field is described")
    return 1 if faults else 0


sys.exit(main())
