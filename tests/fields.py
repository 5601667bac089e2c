"""What the program writes for programs is what it declares, field by field. Called by run_documents.sh.

The declarations are what "crankcard help fields" prints (the tables of docs are made from the same: docs/generate.py). Of every
record in the samples below: its fields, in the declared order, none left out, each of the declared kind, which is put down here
once more as a pattern of JSON; every record that is declared comes, and every field with a value; columns of CSV and TSV are declared. A name
has one kind in all records, but for six.
"""
import json
import os
import re
import subprocess
import sys
import tempfile

CRANKCARD = os.environ["CRANKCARD"]
GEARED = ["--head", "small-tilting-geared"]
BRACKET = ["--head", "examples/invented-bracket.ini"]
READINGS = "examples/invented-readings.csv"
FOLDER = tempfile.TemporaryDirectory()
FAR, OWN = os.path.join(FOLDER.name, "far.csv"), os.path.join(FOLDER.name, "own.ini")
INPUT = {"angles": "30 a\n90 b\n", "batch": "57 --no-steps\nangles 30\ncheck 57 7/19+5/15\nfoo\n", "gear": "30 --module 2 --name sun\n"}

# Command lines, enough of them to bring every record and every field with a value; --format is added.
SAMPLES = {
    "divide": [["57"], ["7", "--head", "dial-table-90"], ["127", *GEARED], ["127", *BRACKET], ["97", "--radius", "10mm", "--units", "in"], ["8", "--radius", "10mm"],
               ["100", "--head", "spin-fixture-36"], ["57", "--head", OWN]],
    "methods": [["57"]],
    "table": [["57", "10000000"]],
    "check": [["57", "7/19+5/15"], ["58", "20/29"], ["60", "16/24"], ["99", "8/20", "--drivers", "32,40", "--driven", "28,56", *GEARED],
              ["127", "6/18", "--drivers", "56", "--driven", "24", "--idlers", "1", *BRACKET]],
    "tilt": [["30"], ["--for", "taper", "--teeth", "20", "--cutter", "70", "--cone", "3"], ["--for", "bevel", "--teeth", "20", "--mate", "40"],
             ["--for", "square-clutch", "--teeth", "5", "--bore", "20mm"], ["37.5", "--measured", "76.6", "--turned", "76.64", "--scale-shows", "37d32m"]],
    "flats": [["6", "--across", "17", "--stock", "20"], ["4", "--across", "10", "--stock", "15", "--holes", "3", "--over", "1=12.6", "--over", "2=12.7", "--over", "flats=10.1"]],
    "lead": [["200mm", "--screw", "5mm", "--starts", "6", "--length", "80", "--diameter", "30", "--within", "1mm", *GEARED],
             ["20mm", "--screw", "5mm", "--starts", "4", "--geared-to", "spindle", *GEARED],
             ["200mm", "--screw", "5mm", *BRACKET], ["3.6in", "--screw", "4tpi", "--drivers", "32,100", "--driven", "24,48", *GEARED]],
    "angles": [["0", "37d30m keyway", "120"], ["--file", "-", "--radius", "10mm"]],
    "batch": [["-"]],
    "recover": [["57", "--hole", "7", "--hole2", "6", "--reading", "6"], ["7", "--hole", "35"], ["20", "--number", "5", "--reading", "90"],
                ["57", "--hole", "8", "--hole2", "6", "--reading", "6", "--slips"]],
    "layout": [["7", "--diameter", "80", "--slot", "60", "--pin", "5"], ["7", "--diameter", "3in", "--units", "in"],
               ["--angles", "10 oil hole", "90", "--diameter", "80"]],
    "assess": [[READINGS, "--radius", "30", "--divisions", "97", "--tolerance", "0.02mm", "--both-ways"],
               [FAR, "--radius", "30", "--divisions", "57", "--write", OWN]],
    "plates": [["2-60"], ["50-60", "--head", "dial-table-90"], ["--make", "127"]],
    "follow": [["--record", "divide-9"]],
    "gear": [["20", "57", "--module", "1", "--mate", "30"], ["24", "--helix", "15", "--dp", "10", "--screw", "4tpi", *GEARED],
             ["24", "--bevel", "--mate", "30", "--module", "2"], ["127", "--module", "1", *GEARED], ["--file", "-"]],
}


def run(command, arguments, form):
    form = ["--format", form] if form else []
    done = subprocess.run([CRANKCARD, command, *arguments, *form], input=INPUT.get(command, "").encode(),
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
    return done.stdout.decode("utf-8")


# JSON of each kind, as a pattern of its text.
FRACTION = r'"(0|-?[1-9]\d*(/([2-9]|[1-9]\d+))?)"'
WHOLE = r"(0|-?[1-9]\d*)"


def decimal(places):
    return rf"-?(0|[1-9]\d*)(\.\d{{0,{places - 1}}}[1-9])?"


PATTERNS = {
    "text": r'".*"', "digits": r'"(0|[1-9]\d*)"', "number": WHOLE, "count": rf'{WHOLE}|"[1-9]\d{{15,}}"', "seconds": WHOLE,
    "boolean": "true|false", "exact": FRACTION, "exact, revolutions": FRACTION, "exact, crank turns": FRACTION, "exact, mm": FRACTION,
    "degrees": decimal(9), "degrees, 3 decimals": decimal(3), "arcsec": decimal(3), "mm": decimal(6), "decimal": decimal(9),
    "counts": rf"\[({WHOLE}(, {WHOLE})*)?\]", "list of numbers": rf"\[({WHOLE}(, {WHOLE})*)?\]", "list of texts": r'\[(".*"(, ".*")*)?\]',
    "object": r"\{.*\}", "list of objects": r"\[(\{.*\})?\]",
}
# Names that hold two kinds of thing, told apart by the record they stand in: docs/output.md, Values. No more of them.
TWO_KINDS = {
    "circles": {"number", "list"}, "forward": {"text", "object"}, "movement": {"object", "text"}, "plate": {"text", "number"},
    "positions": {"number", "object"}, "step": {"text", "number"},
}
SHAPES = {"digits": "text", "count": "number", "seconds": "number", "counts": "list", "degrees": "number", "degrees, 3 decimals": "number",
          "arcsec": "number", "mm": "number", "decimal": "number"}


class Field:
    def __init__(self, path, kind, meaning):
        self.path, self.kind = path, kind
        self.name = path.replace("[]", "").rsplit(".", 1)[-1]
        found = re.search(r" \[(jsonl|csv, tsv|where asked for)\]$", meaning)
        self.where = found.group(1) if found else ""
        found = re.search(r"; members as of (\w+)", meaning)
        self.like = found.group(1) if found else None

    def shape(self):
        """What a reader meets: text, number, boolean, list or object."""
        return SHAPES.get(self.kind, "text" if self.kind.startswith("exact") else self.kind.split()[0])


def declared():
    """{record: {path: Field}}, in the order of "help fields"."""
    records = {}
    for part in run("help", ["fields"], None).split("\n\n")[2:]:
        head, *lines = part.strip("\n").split("\n")
        rows = records[head.split(":")[0]] = []
        for line in lines:
            row = Field(*re.split(r" {2,}", line.strip(), maxsplit=2))
            # Its members may be those of a row above.
            rows += [row] + [Field(row.path + above.path[len(row.like):], above.kind, "") for above in rows
                             if row.like and above.path.startswith(row.like + ".")]
    return records


class Number(str):
    """A number as it was written."""


def text_of(value):
    """JSON of a value, numbers as they were written."""
    if isinstance(value, Number):
        return value
    if isinstance(value, list):
        return f"[{', '.join(map(text_of, value))}]"
    return "{...}" if isinstance(value, dict) else json.dumps(value, ensure_ascii=False)


def members(record, value, front):
    """The rows of an object's own members, without those that csv and tsv alone have."""
    return [f for f in record if f.where != "csv, tsv" and f.path.startswith(front) and re.fullmatch(r"\w+(\[\])?", f.path[len(front):])]


def faults_of(record, value, front, seen):
    """What of an object is not as it was declared; seen: the paths that came with a value."""
    rows = iter(members(record, value, front))
    for key, inner in value.items():
        name = re.sub("_in$", "_mm", key)
        row = next((f for f in rows if f.name in (key, name) or f.where != "where asked for"), None)
        if row is None or (row.name != key and not (row.kind == "mm" and row.name == name)):
            yield f"{front}{key} stands where {row.path if row else 'nothing'} is declared"
            return
        if inner is None:
            continue
        seen.add(row.path.replace("[]", ""))
        if not re.fullmatch(PATTERNS[row.kind], text_of(inner)):
            yield f"{row.path} is no {row.kind}: {inner}"
        for part in inner if row.kind == "list of objects" else [inner] if row.kind == "object" else []:
            yield from faults_of(record, part, row.path + ".", seen)
    for row in rows:
        if row.where != "where asked for":
            yield f"{row.path} is left out"


def column_faults(records, forms, text, separator):
    """Columns that no record of the command has."""
    known = {f.name for name in forms for f in records[name] if f.where != "jsonl"}
    for column in text.split("\n")[0].strip("\r").split(separator):
        stem = re.sub("_(num|den)$", "", column) if separator == "," else column
        if not {stem, column, re.sub("_in$", "_mm", column)} & known:
            yield f"the column {column} is not declared"


def writers():
    """{command: records that it may write}."""
    found = {}
    for line in re.findall(r"^(\w+: .*)$", run("help", ["fields"], None), re.M):
        name, names = line.split(": ")
        for command in names.split(", "):
            found.setdefault(command, []).append(name)
    return found


def commands():
    text = subprocess.run([CRANKCARD, "--help"], stdout=subprocess.PIPE, check=True).stdout.decode("utf-8")
    part = text.split("\ncommands:\n", 1)[1].split("\n\n", 1)[0]
    return [line.split()[0] for line in part.splitlines()]


def all_faults():
    records, forms, seen = declared(), writers(), {}
    for command in commands():
        if (command in SAMPLES) == (command not in forms):
            yield f"{command}: tests/fields.py needs samples of every command that declares records, and of no other"
        for arguments in SAMPLES.get(command, []):
            said = f"{command} {' '.join(arguments)}"
            for line in run(command, arguments, None if command == "batch" else "jsonl").splitlines():
                record = json.loads(line, parse_int=Number, parse_float=Number)
                name = record["record"]
                if command == "batch" and name != "error":
                    record.pop("line")
                elif name not in forms[command]:
                    yield f"{said}: the record {name} is not among those of {command}"
                for fault in faults_of(records[name], record, "", seen.setdefault(name, set())):
                    yield f"{said}: {name}: {fault}"
            for form, separator in (("csv", ","), ("tsv", "\t")) if command != "batch" else ():
                for fault in column_faults(records, forms[command], run(command, arguments, form), separator):
                    yield f"{said}: {fault}"
    shapes = {}
    for name, rows in records.items():
        for f in rows:
            if f.where == "csv, tsv":
                continue
            shapes.setdefault(f.name, set()).add(f.shape())
            if f.path.replace("[]", "") not in seen.get(name, ()):
                yield f"{name}: no sample has a value of {f.path}"
    for key, found in shapes.items():
        if len(found) > 1 and found != TWO_KINDS.get(key):
            yield f"field {key} is of more than one kind: {sorted(found)}"


def main():
    os.environ["HOME"] = FOLDER.name
    for name in list(os.environ):
        if name.startswith("XDG_") or name == "CRANKCARD_HEAD":
            del os.environ[name]
    with open(READINGS, encoding="utf-8") as file, open(FAR, "w", encoding="utf-8") as far:
        far.write(file.read().replace("\n22.5,13\n", "\n22.5,130\n").replace("\n0,+,1,0\n", "\n0,+,1,900\n"))
    with open(OWN, "w", encoding="utf-8") as own:
        own.write(run("heads", ["small-tilting", "--print"], None) + "[accuracy]\nworm = 90\n")
    keys = "\na\nt\n\nn\np\n\n\nm burr\nb\ng 5\nc\n\n\n\ng 9\nl\nq\n"
    for given in (["9", "--check-every", "2", "--pieces", "2", "--pass", "roughing"], ["--resume"]):
        subprocess.run([CRANKCARD, "follow", *given], input=keys.encode(), stdout=subprocess.DEVNULL, check=True)
    faults = list(dict.fromkeys(all_faults()))
    for fault in faults:
        print("FAIL", fault)
    if not faults:
        print("ok   every record is what it declares")
    return 1 if faults else 0


sys.exit(main())
