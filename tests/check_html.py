#!/usr/bin/env python3
"""Pages of HTML say what the card says, are whole by themselves, and can be ticked.

Usage: check_html.py PROGRAM. For each request the page's words are those of the plain card in their order, its rows to
tick are as many as the card has boxes; it is XML, asks for nothing from elsewhere and runs nothing; each box has a name
of its own and labels that reach over its whole row; text from outside is escaped.
"""
import re
import shlex
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET

PROGRAM = sys.argv[1]
H, SVG = "{http://www.w3.org/1999/xhtml}", "{http://www.w3.org/2000/svg}"
GEARED = ["--head", "small-tilting-geared"]
REQUESTS = [
    ["6"], ["57", "--to", "8"], ["7", "--brief", "--working", "--no-steps", "--note", "a <b> & \"c\" 'd'"],
    ["127", *GEARED, "--to", "8"], ["53", "-m", "nearest-hole", "--radius", "40", "--to", "8"], ["97", "-t", "5s", "--to", "4"],
    ["7", "--arc", "90"], ["24", "--tally", "-m", "plain", "--circle", "18"], ["8", "--lead", "200"],
    ["angles", "0", "37.5 <slot>", "90 b&c"], ["angles", "10", "37.5", "--radius", "20", "--units", "in"],
    ["methods", "57"], ["methods", "127", "--all", *GEARED], ["table", "2-30", "127", *GEARED], ["table", "50-53", "-m", "direct"], ["table", "57", "--wall", *GEARED],
    ["flats", "6", "--across", "16", "--stock", "20"], ["divide", "7", "--head", "dial-table-90"], ["gear", "20", "--module", "1"], ["gear", "9", "57", "--module", "1"], ["gear", "12", "--module", "2", "--helix", "15", *GEARED],
    ["flats", "6", "--across", "17", "--stock", "20", "--over", "1=18.6", "--over", "2=18.7", "--over", "flats=17.4"],
    ["flats", "5", "--across", "17", "--stock", "20", "--ring", "2 across 12 at 10", "--holes", "1", "-m", "plain"],
    ["lead", "3.6in", "--screw", "4tpi", "--head", "examples/invented-bracket.ini"], ["lead", "20mm", "--screw", "5mm", "--starts", "4", "--geared-to", "spindle", *GEARED], ["check", "57", "7/19+5/15"],
    ["layout", "7", "--diameter", "50"], ["layout", "--angles", "0", "37d30m keyway", "180", "--diameter", "50", "--slot", "60"],
    ["assess", "examples/invented-readings.csv", "--radius", "30", "--divisions", "57", "--tolerance", "0.02mm"],
]
wrong = []


def run(words):
    done = subprocess.run([PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
    return done.stdout.decode("utf-8"), done.returncode


def expect(good, words, what):
    if not good:
        wrong.append(f"crankcard {' '.join(words)}: {what}")


def card_words(text):
    """Words of a plain card as a page has them: no boxes, no numbers of lists, no gaps."""
    out = []
    for line in text.splitlines():
        line = re.sub(r"\[ \]|^\( \)|(?<=  )\( \)", " ", line)
        out += re.sub(r"^ ?\d+\. ", " ", line).split() if re.match(r" ?\d+\. ", line) else line.split()
    return out


def page_words(element):
    """Words that the page shows, pictures left out."""
    if element.tag == SVG + "svg":
        return ""
    inner = (element.text or "") + "".join(page_words(e) + (e.tail or "") for e in element)
    return inner if element.tag in (H + "b", H + "span", H + "strong") else f" {inner} "


def of_gears(words):
    """A gear's page has the steps too, which its card has not: leave them out."""
    text = " ".join(words)
    return re.sub(r"Steps of \d+ teeth .*? end \d+(\|\d+)? 360°00′00″ ", "", text + " ").split()


def look(words):
    card, status = run(words + ["--width", "200"])
    page, also = run(words + ["--format", "html"])
    expect(status == also, words, f"status {status} as a card, {also} as a page")
    try:
        root = ET.fromstring(page.split("\n", 1)[1])
    except ET.ParseError as e:
        expect(False, words, f"not well-formed: {e}")
        return
    body = root.find(H + "body")
    expect(page.startswith("<!DOCTYPE html>\n"), words, "no document type")
    whole(words, page, root)
    boxes(words, card, body)
    expect(len(root.findall(f".//{H}h1")) == 1, words, "not one main heading")
    said = [w for w in page_words(body.find(f".//{H}tbody")).split()]
    wanted = card_words(card)
    if words[0] == "gear":
        said = of_gears(said)
    gone = {"html", "--format", "--width", "200"} | ({"mark"} if words[0] == "layout" else set())
    drop = lambda list_: [w for w in list_ if w not in gone]
    if drop(said) != drop(wanted):
        i = next((i for i, (a, b) in enumerate(zip(drop(said), drop(wanted))) if a != b), min(len(said), len(wanted)))
        expect(False, words, f"the page says '{' '.join(drop(said)[i:i + 8])}', the card '{' '.join(drop(wanted)[i:i + 8])}'")


def whole(words, page, root):
    """Nothing from elsewhere, nothing that runs."""
    bare = page.replace("http://www.w3.org/1999/xhtml", "").replace("http://www.w3.org/2000/svg", "")
    expect("http" not in bare and "url(" not in bare and "@import" not in bare, words, "names something elsewhere")
    for e in root.iter():
        name = e.tag.split("}")[1]
        expect(name not in ("script", "link", "img", "iframe", "object", "embed", "use", "image"), words, f"<{name}>")
        for key in e.attrib:
            expect(not key.startswith("on") and key != "src" and (key != "href" or e.get(key)[0] == "#"), words, f"attribute {key}")
    head = root.find(f".//{H}thead")
    expect("".join(head.itertext()).strip() == root.find(f".//{H}title").text, words, "title and head of the pages differ")


PACK = """# invented
57 --to 8
divide 0
gear 20 --module 1
tilt 30                  # writes records, no page

layout 7 --diameter 50 --format card
angles 10 '20 <slot>'
table 5000000
"""


def pack():
    """Each job of a pack is its page, what is refused is named, and the contents lead to each."""
    told = ["batch", "-", "--format", "html"]
    with tempfile.NamedTemporaryFile("w", suffix=".jobs") as f:
        f.write(PACK)
        f.flush()
        page, status = run(["batch", f.name, "--format", "html"])
    expect(status == 2, told, f"status {status}")
    root = ET.fromstring(page.split("\n", 1)[1])
    whole(told, page, root)
    names = [e.get("id") for e in root.iter() if e.get("id")]
    expect(len(set(names)) == len(names), told, "a name twice")
    jobs = {e.get("id"): e for e in root.find(H + "body") if e.tag == H + "table"}
    links = [e.get("href")[1:] for e in root.iter(H + "a")]
    expect(links == [j for j in jobs if j != "j0"], told, f"the contents lead to {links}")
    wanted = {2: "57 --to 8", 4: "gear 20 --module 1", 8: "angles 10 '20 <slot>'", 9: "table 5000000"}
    expect(set(links) == {f"j{line}" for line in wanted}, told, f"pages {links}")
    for line, request in wanted.items():
        alone = ET.fromstring(run(shlex.split(request) + ["--format", "html"])[0].split("\n", 1)[1]).find(f"{H}body/{H}table")
        same = [page_words(e.find(H + "tbody")).replace(" --format html", "").replace(" -f html", "").split() for e in (alone, jobs[f"j{line}"])]
        expect(same[0] == same[1], told, f"line {line} is not the page of crankcard {request}")
    items = {int(e.get("value")): "".join(e.itertext()) for e in root.find(f".//{H}ol")}
    for line, what in {3: "'0' is not", 5: "tilt writes no page", 7: "leave --format out"}.items():
        expect("NO PAGE" in items[line] and what in items[line], told, f"line {line}: {items[line]}")


def boxes(words, card, body):
    inputs = list(body.iter(H + "input"))
    names = [e.get("id") for e in inputs]
    expect(len(set(names)) == len(names) and None not in names, words, "boxes without a name of their own")
    labels = {}
    for e in body.iter(H + "label"):
        labels.setdefault(e.get("for"), []).append(e)
    expect(set(labels) == set(names), words, "labels and boxes do not belong together")
    for row in body.iter(H + "tr"):
        own = {e.get("for") for e in row.iter(H + "label")}
        if row.find(f".//{H}input") is not None and row.find(f".//{H}table") is None and row.find(f".//{H}ul") is None:
            cells = row.findall(H + "td")
            expect(len(own) == 1 and all(c.find(H + "label") is not None for c in cells), words, "a row that is not all label")
    if words[0] not in ("gear",):
        count = len(re.findall(r"\[ \]|(?m:^|(?<=  ))\( \) ", card))
        expect(len(inputs) == count, words, f"{len(inputs)} boxes, the card has {count}")


def main():
    for words in REQUESTS:
        look(words)
    pack()
    for line in wrong:
        print("FAIL", line)
    if wrong:
        return 1
    print(f"ok   {len(REQUESTS)} pages of HTML say what their cards say, and a pack has them")
    return 0


if __name__ == "__main__":
    sys.exit(main())
