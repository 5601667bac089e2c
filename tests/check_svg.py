"""Hold the pictures to the steps they show. Called by make check-svg, with CRANKCARD set.

For every head of data/heads and every count up to 60, and a few pictures more:

- the file is well-formed (xmllint), has a title and a description, and refers to nothing outside itself;
- every hole stands at its exact angle, the landing holes are those that the movements of --format jsonl add up to,
  each has its number, and every mark on the work stands at the exact angle of its division;
- of the dial and its vernier every line stands where the reading puts it, and the one that is read is the one that meets;
- no text lies on another or leaves the page, by the metrics of the font file itself;
- the smallest text is 5 points or more where the page is printed at A6;
- it renders (rsvg-convert), at the size asked for.
"""
import configparser
import json
import math
import os
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from fractions import Fraction

PROGRAM = os.environ["CRANKCARD"]
SVG = "{http://www.w3.org/2000/svg}"
A6 = (105.0, 148.0)         # mm, ISO 216
LEAST_POINTS = 5.0          # on paper at A6
POINT = 25.4 / 72           # mm
HALF_STEP = 0.0008          # mm: coordinates are written with three decimals
failures = []


def fail(where, what):
    failures.append(f"{where}: {what}")


def run(arguments):
    done = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, encoding="utf-8")
    if done.returncode > 1:
        fail(" ".join(arguments), f"status {done.returncode}: {done.stderr.strip()}")
    return done


# ---- how wide text is: the hmtx table of DejaVu Sans, the widest of the typefaces that the pictures name ----

def font_widths(path):
    data = open(path, "rb").read()
    def u16(at):
        return struct.unpack(">H", data[at:at + 2])[0]
    tables = {}
    for i in range(u16(4)):
        at = 12 + 16 * i
        tables[data[at:at + 4]] = struct.unpack(">I", data[at + 8:at + 12])[0]
    em, metrics = u16(tables[b"head"] + 18), u16(tables[b"hhea"] + 34)
    widths = {}
    for i in range(u16(tables[b"cmap"] + 2)):
        at = tables[b"cmap"] + 4 + 8 * i
        sub = tables[b"cmap"] + struct.unpack(">I", data[at + 4:at + 8])[0]
        if (u16(at), u16(at + 2), u16(sub)) != (3, 1, 4):
            continue
        n = u16(sub + 6) // 2
        ends, starts = sub + 14, sub + 16 + 2 * n
        deltas, offsets = starts + 2 * n, starts + 4 * n
        for j in range(n):
            for c in range(u16(starts + 2 * j), u16(ends + 2 * j) + 1):
                offset = u16(offsets + 2 * j)
                glyph = c + u16(deltas + 2 * j)
                if offset:
                    glyph = u16(offsets + 2 * j + offset + 2 * (c - u16(starts + 2 * j)))
                    glyph += u16(deltas + 2 * j) if glyph else 0
                glyph = min(glyph & 0xFFFF, metrics - 1)
                widths[chr(c)] = u16(tables[b"hmtx"] + 4 * glyph) / em
    return widths


def find_fonts():
    found = {}
    if shutil.which("fc-list"):
        listed = subprocess.run(["fc-list", ":", "file"], capture_output=True, text=True).stdout
        for line in listed.splitlines():
            path = line.split(":")[0].strip()
            name = os.path.basename(path)
            if name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
                found[name] = font_widths(path)
    if len(found) < 2:
        print("skip  metrics of DejaVu Sans, which is not installed: 0.7 of the size a sign instead")
    return found.get("DejaVuSans.ttf", {}), found.get("DejaVuSans-Bold.ttf", {})


PLAIN, BOLD = find_fonts()


def text_box(element):
    size, text = float(element.get("font-size")), element.text or ""
    table = BOLD if element.get("font-weight") == "bold" else PLAIN
    width = size * sum(table.get(c, 0.7) for c in text)
    x, y = float(element.get("x")), float(element.get("y"))
    left = x - {None: 0.0, "middle": width / 2, "end": width}[element.get("text-anchor")]
    # DejaVu Sans: capitals and digits reach 0.729 of the size above the baseline; commas 0.12 below.
    return left, y - 0.729 * size, left + width, y + 0.02 * size


# ---- one picture ----

def numbers(element, *names):
    return [float(element.get(n)) for n in names]


def check_page(where, root):
    first = list(root)[:2]
    if [e.tag for e in first] != [SVG + "title", SVG + "desc"] or not all((e.text or "").strip() for e in first):
        fail(where, "no title and description at the beginning")
    if root.get("role") != "img" or root.get("aria-labelledby") != "title desc":
        fail(where, "the title and description are not named to screen readers")
    for element in root.iter():
        for name, value in element.attrib.items():
            if "href" in name or "url(" in value or "src" in name:
                fail(where, f"refers to {value}")
        if element.tag in (SVG + "image", SVG + "script", SVG + "style"):
            fail(where, f"has an element {element.tag}")
        for name in ("fill", "stroke"):
            if element.get(name, "none") not in ("none", "#000", "#fff", "#eee"):
                fail(where, f"{name} {element.get(name)} is a colour")


def check_texts(where, root):
    width, height = [float(v) for v in root.get("viewBox").split()[2:]]
    scale = min(A6[0] / width, A6[1] / height)
    texts = list(root.iter(SVG + "text"))
    boxes = [text_box(t) for t in texts]
    for text, (left, top, right, bottom) in zip(texts, boxes):
        if left < 2 or top < 2 or right > width - 2 or bottom > height - 2:
            fail(where, f"'{text.text}' leaves the page")
        points = float(text.get("font-size")) * scale / POINT
        if points < LEAST_POINTS:
            fail(where, f"'{text.text}' is {points:.2f} points at A6")
    for i, a in enumerate(boxes):
        for j in range(i):
            b = boxes[j]
            if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
                fail(where, f"'{texts[i].text}' lies on '{texts[j].text}'")


def off_angle(x, y, centre, turn):
    """How far (mm) a point lies from the ray at `turn` revolutions clockwise from the top."""
    angle = 2 * math.pi * float(turn)
    dx, dy = x - centre[0], y - centre[1]
    along = dx * math.sin(angle) - dy * math.cos(angle)
    return math.hypot(dx - along * math.sin(angle), dy + along * math.cos(angle)) if along > 0 else 1e9


def check_holes(where, plate, centre, way):
    """Every hole of every circle at its angle, all on one radius, all of one size."""
    sizes = set()
    for group in plate.iter(SVG + "g"):
        if group.get("class") != "circle" or len(group) == 0 or group[0].get("data-hole") is None:
            continue
        holes = int(group.get("data-circle"))
        if [int(c.get("data-hole")) for c in group] != list(range(holes)):
            fail(where, f"the {holes} circle has not its holes")
        radii = []
        for circle in group:
            x, y, r = numbers(circle, "cx", "cy", "r")
            radii.append(math.hypot(x - centre[0], y - centre[1]))
            sizes.add(r)
            if off_angle(x, y, centre, way * Fraction(int(circle.get("data-hole")), holes)) > HALF_STEP:
                fail(where, f"hole {circle.get('data-hole')} of {holes} stands off its angle")
        if max(radii) - min(radii) > 2 * HALF_STEP:
            fail(where, f"the {holes} circle is not round")
    if len(sizes) != 1:
        fail(where, f"holes of {len(sizes)} sizes")


def landings(plan, steps):
    """Holes of crank pin and second pin, and the first step of each, by adding the movements up."""
    circle, circle2 = steps[0]["circle"], steps[0]["circle2"]
    compound = plan["method"] in ("compound", "nearly-exact", "nearest-compound")
    pin = plate = 0
    first, second = {}, {}
    for s in steps:
        pin += s["turns"] * circle + s["holes"]
        first.setdefault(pin % circle, s["step"])
        if compound:
            plate += s["holes2"]
            second.setdefault(-plate % circle2, s["step"])
    return first, second


def check_landings(where, plate, labels, plan, steps):
    expected = landings(plan, steps)
    for name, holes in zip(("landings", "second landings"), expected):
        drawn = [int(c.get("data-hole")) for g in plate.iter(SVG + "g") if g.get("class") == name for c in g]
        if sorted(drawn) != sorted(holes):
            fail(where, f"{name} {sorted(drawn)} are not {sorted(holes)}")
    wanted = sorted(list(expected[0].values()) + list(expected[1].values()))
    shown = sorted(int(re.match(r"\d+", t.text).group()) for t in labels.iter(SVG + "text"))
    if wanted != shown:
        fail(where, f"numbered {shown}, not {wanted}")


def check_work(where, work, plan, steps, exaggeration, way):
    centre = numbers(work.find(f"{SVG}g/{SVG}circle"), "cx", "cy")
    cuts = [line for g in work.iter(SVG + "g") if g.get("class") == "cuts" for line in g]
    if plan["positions"] is not None:
        rows = steps[1:]        # without the start
    else:
        rows = [s for s in steps if s["step"] == 0 or s["division"] != 0]     # without the closing row
    if len(cuts) != len(rows):
        fail(where, f"{len(cuts)} marks on the work, not {len(rows)}")
    for line, s in zip(cuts, rows):
        turn = Fraction(s["nominal"]) + exaggeration * Fraction(s["error"])
        for x, y in (numbers(line, "x1", "y1"), numbers(line, "x2", "y2")):
            if off_angle(x, y, centre, way * turn) > 2 * HALF_STEP:
                fail(where, f"division {s['division']} stands off its angle")


def picture(directory, arguments, name):
    path = os.path.join(directory, name + ".svg")
    done = run([*arguments, "--format", "svg", "--output", path])
    return path if done.returncode < 2 else None


def check_dial(where, drawn, plan, steps, head):
    """
    Each strip shows its row's reading. From the exact reading in lines of the dial, d = L + j/v: line m of the dial stands m - d
    spaces from the vernier's zero, line k of the vernier k (v - 1)/v of them. So of the vernier's lines the one that meets a
    line of the dial is j, and no other (j = 0: the last one too); and these two are the strong ones.
    """
    profile = configparser.ConfigParser(inline_comment_prefixes=(";", "#"))
    profile.read(head)
    lines, v = int(profile["dial"]["lines"]), int(profile["dial"].get("vernier", "1"))
    unit = 1 if profile["dial"]["numbered"] == "lines" else Fraction(360) / Fraction(profile["head"]["worm"]) / lines
    strips = [g for g in drawn.iter(SVG + "g") if g.get("class") == "reading"]
    if [int(g.get("data-step")) for g in strips] != [s["step"] for s in steps[:12]]:
        fail(where, "the strips are not the first rows")
    for strip, step in zip(strips, steps):
        told, reading = f"{where}: step {step['step']}", Fraction(step["dial"]) / unit
        marks = {int(e.get("data-line")): e for e in strip.iter(SVG + "line") if e.get("data-line")}
        vernier = {int(e.get("data-vernier")): e for e in strip.iter(SVG + "line") if e.get("data-vernier")}
        zero = float(re.match(r"M ?([-\d.]+)", next(strip.iter(SVG + "path")).get("d")).group(1))
        at = {m + turn: float(e.get("x1")) for m, e in marks.items() for turn in (-lines, 0, lines) if abs(m + turn - reading) < lines / 2}
        low, high = min(at), max(at)
        space = (at[high] - at[low]) / (high - low)
        if any(abs(x - zero - float(m - reading) * space) > 4 * HALF_STEP for m, x in at.items()) or list(at) != list(range(low, high + 1)):
            fail(told, "a line of the dial is off its place")
        if any(abs(float(e.get("x1")) - zero - float(k * Fraction(v - 1, v)) * space) > 4 * HALF_STEP for k, e in vernier.items()):
            fail(told, "a line of the vernier is off its place")
        if sorted(vernier) != (list(range(v + 1)) if v > 1 else []) or not low <= reading < high - (v - 1 if v > 1 else 0) * (1 - 1e-9):
            fail(told, "not all of the vernier stands against the dial")
        part = (reading - math.floor(reading)) * v
        meet = {k for k, e in vernier.items() if any(abs(float(e.get("x1")) - x) < 4 * HALF_STEP for x in at.values())}
        wanted = ({int(part)} | ({v} if part == 0 else set())) if part.denominator == 1 and v > 1 else set()
        if meet != wanted:
            fail(told, f"lines {sorted(meet)} of the vernier meet the dial's, not {sorted(wanted)}")
        strong = [(e.get("data-line"), e.get("data-vernier")) for e in strip.iter(SVG + "line") if e.get("stroke-width")]
        line = (math.floor(reading) + int(part)) % lines
        if strong != ([(str(line), None), (None, str(int(part)))] if wanted else []):
            fail(told, f"strong are {strong}")


def check_plan(directory, arguments, name, exaggeration=1):
    where = " ".join(arguments)
    plain = [a for i, a in enumerate(arguments)
             if a != "--exaggerate" and (i == 0 or arguments[i - 1] != "--exaggerate")]
    records = [json.loads(line) for line in run([*plain, "--format", "jsonl"]).stdout.splitlines()]
    if not records:
        return None             # no plan at all: the count is beyond this head
    plan, steps = records[0], records[1:]
    path = picture(directory, arguments, name)
    root = ET.parse(path).getroot()
    parts = {g.get("id"): g for g in root.iter(SVG + "g") if g.get("id")}
    check_page(where, root)
    check_texts(where, root)
    way = -1 if plan["grow"] == "counter" else 1
    if plan["method"] == "dial":        # it has no plate
        check_dial(where, parts["dial"], plan, steps, arguments[arguments.index("--head") + 1])
        if len(steps) <= 360:
            check_work(where, parts["work"], plan, steps, exaggeration, way)
        return path
    centre = numbers(parts["plate"].find(f"{SVG}g/{SVG}circle"), "cx", "cy")
    # Angles grow clockwise in a picture unless the record says otherwise; the holes of a direct plate come to the
    # plunger from the side to which the spindle turns.
    direct = plan["setting"]["plate"] is None
    forward = 1 if (plan["forward"] == "counter") == direct else -1
    check_holes(where, parts["plate"], centre, forward)
    if len(steps) <= 61:
        check_landings(where, parts["plate"], parts["steps"], plan, steps)
    if len(steps) <= 360:       # beyond, not every division is drawn
        check_work(where, parts["work"], plan, steps, exaggeration, way)
    return path


def check_table(directory, head, counts, name):
    arguments = ["table", counts, "--head", head]
    where = " ".join(arguments)
    path = picture(directory, arguments, name)
    root = ET.parse(path).getroot()
    check_page(where, root)
    check_texts(where, root)
    drawn = {int(g.get("data-count")): g.get("class") for g in root.iter(SVG + "g") if g.get("data-count")}
    records = [json.loads(line) for line in run([*arguments, "--format", "jsonl"]).stdout.splitlines()]
    told = {int(r["divisions"]): r["method"].replace("-", " ") if r["record"] == "plan" else "no method" for r in records}
    if drawn != told:
        fail(where, "the field does not show the methods of --format jsonl")
    return path


def check_assess(directory):
    """Readings stand at their angles, as far off the mean circle as they are off the mean, all by one factor."""
    file = "examples/invented-readings.csv"
    arguments = ["assess", file, "--radius", "40", "--divisions", "24"]
    path = picture(directory, arguments, "assess")
    root = ET.parse(path).getroot()
    where = " ".join(arguments)
    check_page(where, root)
    check_texts(where, root)
    lines = [line.strip() for line in open(file, encoding="utf-8")]
    at = lines.index("angle_deg,indicator_um") + 1
    readings = [[float(v) for v in line.split(",")] for line in lines[at:lines.index("", at)]]
    groups = {g.get("class"): g for g in root.iter(SVG + "g")}
    dots = [numbers(c, "cx", "cy") for c in groups["readings"]]
    centre = numbers(groups["eccentricity"][0], "x1", "y1")
    if len(dots) != len(readings):
        fail(where, f"{len(dots)} readings drawn, not {len(readings)}")
    radii = []
    for (x, y), (angle, _) in zip(dots, readings):
        radii.append(math.hypot(x - centre[0], y - centre[1]))
        if off_angle(x, y, centre, (90 - angle) / 360) > 2 * HALF_STEP:
            fail(where, f"the reading at {angle} degrees stands off its angle")
    scale = (radii[0] - radii[8]) / (readings[0][1] - readings[8][1])
    for r, (angle, value) in zip(radii, readings):
        if abs(r - radii[0] - scale * (value - readings[0][1])) > 6 * HALF_STEP:
            fail(where, f"the reading at {angle} degrees stands at a wrong radius")
    return path


def check_layout(directory, unit, bar):
    """A template at true scale: holes on their circle, and a bar of the length that is named."""
    arguments = ["layout", "7", "--diameter", "60mm", "--units", unit]
    path = picture(directory, arguments, f"layout-{unit}")
    root = ET.parse(path).getroot()
    where = " ".join(arguments)
    check_page(where, root)
    width, height = [float(v) for v in root.get("viewBox").split()[2:]]
    if root.get("width") != f"{width:g}mm" or root.get("height") != f"{height:g}mm":
        fail(where, "a unit of the drawing is not a millimetre of the paper")
    for circle in root.iter(SVG + "circle"):
        if circle.get("data-position"):
            x, y = numbers(circle, "cx", "cy")
            turn = Fraction(1, 4) - Fraction(int(circle.get("data-position")) - 1, 7)
            if (abs(math.hypot(x - width / 2, y - width / 2) - 30) > HALF_STEP or
                    off_angle(x, y, (width / 2, width / 2), turn) > HALF_STEP):
                fail(where, f"position {circle.get('data-position')} is off its place")
    line = next(g for g in root.iter(SVG + "g") if g.get("class") == "bar")[0]
    if abs(float(line.get("x2")) - float(line.get("x1")) - bar) > HALF_STEP:
        fail(where, f"the bar is not {bar} mm long")
    return path


def check_flats(directory, arguments, rings):
    """The section at its scale: every flat at its distance and angle from the axis, and ending where the round or its neighbour does."""
    path = picture(directory, ["flats", *arguments], "flats-" + "-".join(arguments[:1]))
    root = ET.parse(path).getroot()
    where = " ".join(["flats", *arguments])
    check_page(where, root)
    scale = [t.text for t in root.iter(SVG + "text") if t.text.startswith("scale ")][0].split(";")[0].split()
    scale = float(scale[1]) / float(scale[3])
    outlines = [p.get("d") for p in root.iter(SVG + "path")]
    stock = next(root.iter(SVG + "circle"))
    middle = numbers(stock, "cx", "cy")
    if len(outlines) != len(rings):
        fail(where, f"{len(outlines)} outlines")
    for outline, (n, across, stock, at) in zip(outlines, rings):
        steps = re.findall(r"([MLA])([^MLAZ]*)", outline)
        ends = [tuple(float(v) for v in data.replace(",", " ").split()[-2:]) for _, data in steps]
        start, k = ends[0], 0
        for (kind, _), end in zip(steps[1:], ends[1:]):
            if kind == "L":
                x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
                if (abs(math.hypot(x - middle[0], y - middle[1]) - scale * across / 2) > 4 * HALF_STEP or
                        off_angle(x, y, middle, Fraction(k, n) + at) > 4 * HALF_STEP):
                    fail(where, f"flat {k + 1} of {n} is off its place")
                reach = min(stock, across / math.cos(math.pi / n)) if n > 2 else stock
                if abs(math.hypot(end[0] - middle[0], end[1] - middle[1]) - scale * reach / 2) > 4 * HALF_STEP:
                    fail(where, f"flat {k + 1} of {n} ends elsewhere")
                k += 1
            start = end
        if k != n:
            fail(where, f"{k} flats of {n} are drawn")
    return path


def handed_head(directory):
    """A head that says which way its spindle turns."""
    path = os.path.join(directory, "handed.ini")
    text = open("data/heads/small-tilting.ini", encoding="utf-8").read()
    open(path, "w", encoding="utf-8").write(text.replace("worm ", "spindle = with\nworm ", 1))
    return path


def check_escapes(path):
    """A label comes out as it went in, signs that XML reserves included."""
    texts = [t.text for t in ET.parse(path).getroot().iter(SVG + "text")]
    if '4 <&> "q"' not in texts:
        fail(path, f"the label <&> \"q\" is not among {texts}")


def check_tools(paths):
    if shutil.which("xmllint"):
        done = subprocess.run(["xmllint", "--noout", "--nonet", *paths], capture_output=True, text=True)
        if done.returncode != 0:
            fail("xmllint", done.stderr[:400])
    else:
        print("skip  xmllint is not installed")
    if not shutil.which("rsvg-convert"):
        print("skip  rendering: rsvg-convert is not installed")
        return
    for path in paths[::60]:
        png = subprocess.run(["rsvg-convert", "-w", "413", path], capture_output=True)
        if png.returncode != 0 or png.stderr or struct.unpack(">II", png.stdout[16:24]) != (413, 585):
            fail(path, f"does not render as 413 x 585: {png.stderr.decode()[:200]}")


def main():
    heads = sorted(f[:-4] for f in os.listdir("data/heads") if f.endswith(".ini"))
    with tempfile.TemporaryDirectory() as directory:
        paths = []
        for head in heads:
            file = f"data/heads/{head}.ini"
            for n in range(1, 61):
                paths.append(check_plan(directory, ["divide", str(n), "--head", file], f"{head}-{n}"))
            paths.append(check_table(directory, file, "1-200", f"{head}-table"))
        default = "data/heads/small-tilting.ini"
        handed = handed_head(directory)
        two_sided = "data/heads/universal-two-sided.ini"
        for n, (arguments, exaggeration) in enumerate([
                (["divide", "127", "--head", default], 1),
                (["divide", "97", "--head", default, "--method", "nearest-hole", "--exaggerate", "100"], 100),
                (["divide", "59", "--head", two_sided, "--method", "nearest-compound", "--exaggerate", "1000"], 1000),
                (["divide", "58", "--head", two_sided, "--method", "compound"], 1),
                (["divide", "30", "--arc", "90", "--offset", "5", "--head", default], 1),
                (["angles", "0", "37d30m keyway", "120", "240 <&> \"q\"", "--head", default], 1),
                (["angles", "10", "11", "12", "13", "14", "15", "200", "--method", "nearest-hole", "--head", default,
                  "--exaggerate", "50"], 50),
                (["divide", "7", "--counter", "--head", handed], 1),
                (["divide", "49", "--clockwise", "--head", handed], 1),
                (["divide", "12", "--clockwise", "--method", "direct", "--head", default], 1),
                (["divide", "100", "--mark", "5=mid", "--mark", "10=long", "--number", "10", "--head", default], 1),
                (["divide", "400", "--head", default], 1),
                (["divide", "97", "--head", "data/heads/dial-table-90.ini", "--by-eye", "2"], 1),
                (["divide", "97", "--counter", "--method", "dial", "--head", "data/heads/dividing-head-dial.ini"], 1),
                (["divide", "97", "--head", "data/heads/dial-table-72.ini", "--by-eye", "4"], 1),
                (["angles", "0", "359d59m50s", "--head", "data/heads/dial-table-90.ini"], 1)]):
            path = check_plan(directory, arguments, f"more-{n}", exaggeration)
            paths.append(path)
            if any("<&>" in a for a in arguments):
                check_escapes(path)
        paths += [check_assess(directory), check_layout(directory, "mm", 50), check_layout(directory, "in", 50.8)]
        paths.append(check_flats(directory, ["6", "--across", "17", "--stock", "20"], [(6, 17, 20, 0)]))
        paths.append(check_flats(directory, ["2", "--across", "0.6", "--stock", "0.7", "--units", "in", "--ring", "5 across 0.55 at 30",
                                             "--holes", "3 at 15"],
                                 [(2, 15.24, 17.78, 0), (5, 13.97, 17.78, Fraction(1, 12))]))
        paths.append(check_flats(directory, ["1", "--depth", "30", "--stock", "200"], [(1, 140, 200, 0)]))
        paths = [p for p in paths if p]
        check_tools(paths)
    for line in failures[:40]:
        print("FAIL", line)
    print(f"{'FAIL' if failures else 'ok  '} {len(paths)} pictures, {len(failures)} faults")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
