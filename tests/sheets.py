"""CSV, opened and saved by two spreadsheet programs, still says what TSV says. Called by make check-sheets.

Every writer of CSV has samples here. LibreOffice (told to look for dates and formulas, which it asks about when a file is
opened by hand) and Gnumeric save each file in a form that keeps what they took every cell for: numbers of up to 15 digits
must be equal, longer ones and texts must be texts, and nothing a date or a formula. A file without the marks comes first:
the programs must spoil that one.
"""
import csv
import gzip
import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml
from fractions import Fraction

CRANKCARD = os.path.abspath(sys.argv[1])
ROOT = os.getcwd()
GEARED = ["--head", ROOT + "/data/heads/small-tilting-geared.ini"]
NASTY = ["0 =1+1", "10 10/7", "20 -slot", "30 @SUM", "40 1-2", "50 1.5.20", "60 10:30", "70 +1", "80 12 000", "90 3,5",
         "100 a,\"b\"", "110 keyway", "120 6/18", "130 2024-10-07"]
SAMPLES = [
    ["28"], ["24"], ["57", "--radius", "10mm"], ["127", *GEARED, "--units", "in", "--radius", "1in"],
    ["9999991", "--head", ROOT + "/tests/bench/long-division.ini", "--radius", "50mm", "--from", "5000001", "--to", "5000020"],
    ["57", "--offset", "1/12345678901234567rev", "--method", "nearest-hole"],
    ["divide", "100", "--mark", "5=mid", "--number", "10", "--value", "1/4"], ["divide", "100", "--number", "5", "--value", "-0.5"],
    ["angles", *NASTY], ["angles", *NASTY, "--method", "nearest-hole"],
    ["methods", "127", "--all", *GEARED], ["methods", "57", "--all"], ["table", "2-130", *GEARED],
    ["check", "99", "6/18"], ["check", "99", "1 6/18"], ["check", "57", "7/19+5/15"], ["check", "1" + 30 * "7", "7/19"],
    ["recover", "57", "--hole", "7", "--hole2", "6", "--reading", "6"], ["recover", "7", "--hole", "35"],
    ["gear", "20-40", "127", "--module", "1"], ["gear", "24", "--helix", "15", "--dp", "10", "--screw", "4tpi", *GEARED],
    ["gear", "--file", "sheet.gears", *GEARED], ["lead", "427.121", "--screw", "5", "--gears", "24,28,32,40,48", "--starts", "31"],
    ["tilt", "30"], ["tilt", "--for", "bevel", "--teeth", "20", "--mate", "40"],
    ["flats", "6", "--across", "17", "--stock", "20"], ["flats", "7", "--across", "1", "--stock", "1.2", "--units", "in"],
    ["layout", "7", "--diameter", "80"], ["layout", "5", "--diameter", "3in", "--units", "in", "--corner"],
    ["assess", ROOT + "/examples/invented-readings.csv", "--radius", "30", "--divisions", "57", "--tolerance", "0.02mm"],
    ["plates", "2-130"], ["plates", "--make", "127"],
]
GEARS = "--module 1\n20 --name =1+1\n21 --name 10/7\n24 --name '+a b'\n"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?\Z")     # what we write, or a spreadsheet saves
faults = []


def fault(*words):
    faults.append(" ".join(str(word) for word in words))


def of_fods(path):
    """Rows of (kind, text) as LibreOffice keeps them."""
    names = dict(node for _, node in xml.iterparse(path, events=["start-ns"]))
    table, office, text = ("{%s}" % names[key] for key in ("table", "office", "text"))
    for row in xml.parse(path).iter(table + "table-row"):
        cells = []
        for cell in row.findall(table + "table-cell"):
            kind = cell.get(office + "value-type")
            words = "\n".join("".join(p.itertext()) for p in cell.findall(text + "p"))
            if cell.get(table + "formula") is not None:
                kind = "formula"
            value = (kind, cell.get(office + "value") if kind == "float" else words)
            cells += [value] * min(int(cell.get(table + "number-columns-repeated", "1")), 100)
        yield from [cells] * min(int(row.get(table + "number-rows-repeated", "1")), 100)


def of_gnumeric(path):
    """The same of Gnumeric."""
    kinds = {"60": "string", "40": "float", "30": "float", "20": "boolean", None: "formula"}
    rows = []
    with gzip.open(path) as file:
        for cell in xml.parse(file).iter("{http://www.gnumeric.org/v10.dtd}Cell"):
            row, column = int(cell.get("Row")), int(cell.get("Col"))
            rows += [[] for _ in range(row + 1 - len(rows))]
            rows[row] += [(None, "")] * (column + 1 - len(rows[row]))
            kind = kinds.get(cell.get("ValueType"), "other")
            if kind == "float" and cell.get("ValueFormat") is not None:
                kind = "formatted " + cell.get("ValueFormat")
            rows[row][column] = (kind, cell.text or "")
    return rows


def opened(folder, names):
    """{program: {name: rows}}"""
    files = [name + ".csv" for name in names]
    quiet = {"cwd": folder, "check": True, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    subprocess.run(["soffice", "--headless", f"-env:UserInstallation=file://{folder}/office",
                    "--infilter=CSV:44,34,76,1,,1033,false,true,,,,,true", "--convert-to", "fods", *files], **quiet)
    for name in names:
        subprocess.run(["ssconvert", name + ".csv", name + ".gnumeric"], **quiet)
    return {"LibreOffice": {name: list(of_fods(f"{folder}/{name}.fods")) for name in names},
            "Gnumeric": {name: list(of_gnumeric(f"{folder}/{name}.gnumeric")) for name in names}}


def same_cell(cell, ours):
    """Whether a spreadsheet's cell holds what we wrote."""
    kind, text = cell
    if ours == "":
        return kind is None or text == ""
    if ours in ("true", "false"):
        return kind in ("boolean", "string") and text.lower() == ours
    if NUMBER.match(ours):
        return kind == "float" and float(text) == float(ours)
    return kind == "string" and text in (ours, ours[1:] if ours[0] == "'" else ours)


def says_the_same(words, cells, header, wanted):
    """A row of the sheet against a row of TSV: exact values put together again."""
    cells = dict(zip(header, (text[1:] if text.startswith("'") else text for _, text in cells)))
    for name, want in wanted.items():
        if name in cells:
            got = cells[name]
            same = float(got) == float(want) if NUMBER.match(want) and NUMBER.match(got) else got.lower() == want.lower()
        else:
            got = [cells.get(name + "_num", ""), cells.get(name + "_den", "")]
            same = got == ["", ""] if want == "" else "" not in got and Fraction(int(got[0]), int(got[1])) == Fraction(want) and int(got[1]) > 0
        if not same:
            fault(words, "column", name, "opened:", got, "in TSV:", want)


def run(folder, arguments, form):
    done = subprocess.run([CRANKCARD, *arguments, "--format", form], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
    if done.returncode not in (0, 1) or not done.stdout:
        fault(" ".join(arguments), "gave", done.returncode, done.stderr)
    return done.stdout


def check(folder):
    told = {f"s{i}": run(folder, arguments, "csv") for i, arguments in enumerate(SAMPLES)}
    told["bare"] = b"a,b\r\n10/7,=1+1\r\n"
    for name, content in told.items():
        if not content.isascii():       # as all that is asked for here is
            fault(name, "is not ASCII")
        with open(f"{folder}/{name}.csv", "wb") as file:
            file.write(content)
    cells = 0
    for program, sheets in opened(folder, list(told)).items():
        date, formula = sheets.pop("bare")[1][:2]
        if date[0] in ("string", "float") or formula == ("string", "=1+1"):
            fault(program, "is meant to spoil 10/7 and =1+1:", date, formula)
        for name, sheet in sheets.items():
            words = f"{program}: crankcard {' '.join(SAMPLES[int(name[1:])])}:"
            rows = list(csv.reader(io.StringIO(told[name].decode("utf-8"), newline="")))
            lines = run(folder, SAMPLES[int(name[1:])], "tsv").decode("utf-8").split("\n")[:-1]
            if not rows or len(rows) != len(lines) or len(sheet) < len(rows):
                fault(words, "rows", len(rows), len(lines), len(sheet))
                continue
            columns = lines[0].split("\t")
            for row, line, opened_row in zip(rows, lines, sheet):
                opened_row = opened_row + [(None, "")] * (len(row) - len(opened_row))
                for cell, ours in zip(opened_row, row):
                    cells += 1
                    if not same_cell(cell, ours):
                        fault(words, "written", repr(ours), "opened as", cell)
                if row is not rows[0]:
                    says_the_same(words, opened_row[:len(row)], rows[0], dict(zip(columns, line.split("\t"))))
    return cells


def main():
    lacking = [program for program in ("soffice", "ssconvert") if shutil.which(program) is None]
    if lacking:
        sys.exit(f"check-sheets needs {' and '.join(lacking)}: packages libreoffice-calc-nogui and gnumeric")
    with tempfile.TemporaryDirectory() as folder:
        os.environ.update(HOME=folder, LC_ALL="C.UTF-8")
        for name in [name for name in os.environ if name.startswith("XDG_") or name == "CRANKCARD_HEAD"]:
            del os.environ[name]
        with open(folder + "/sheet.gears", "w", encoding="utf-8") as file:
            file.write(GEARS)
        cells = check(folder)
    for words in list(dict.fromkeys(faults))[:20]:
        print("FAIL", words)
    if faults:
        sys.exit(1)
    print(f"ok   {cells} cells of {len(SAMPLES)} files, opened and saved by LibreOffice and Gnumeric")


main()
