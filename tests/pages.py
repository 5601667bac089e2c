#!/usr/bin/env python3
"""Pages of HTML in a real browser: printed on three kinds of paper, and 320 px wide as on a small telephone.

Usage: pages.py PROGRAM [FOLDER [KIND...]], where the PDF files and pictures stay (default build/pages). Needs chromium, pdfinfo, pdftotext,
pdftocairo and tidy. On paper: the size asked for, "page x of y" and the job's name on every page, every row to tick whole on one
line of one page and there once, boxes of 4 mm. On the telephone: no sideways scroll, rows of 44 px and more, and wherever a
row is touched its box is ticked. And no request leaves the browser, which a page with a picture from elsewhere proves
to be seen.
"""
import html
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import xml.etree.ElementTree as ET
from http.server import BaseHTTPRequestHandler, HTTPServer

PROGRAM, FOLDER = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2] if len(sys.argv) > 2 else "build/pages")
GEARED = ["--head", "small-tilting-geared"]
KINDS = {
    "divide": ["57"], "differential": ["127", *GEARED], "rounded": ["53", "-m", "nearest-hole", "--radius", "40"],
    "angles": ["angles", "0", "37.5 slot", "90", "123d4m a long mark that says where this is on the work", "--radius", "20"],
    "methods": ["methods", "127", *GEARED], "table": ["table", "2-130", *GEARED],
    "gear": ["gear", "20", "57", "127", "--module", "1", *GEARED], "layout": ["layout", "36", "--diameter", "80", "--slot", "90"],
    "flats": ["flats", "6", "--across", "16", "--stock", "20"], "dial": ["7", "--head", "dial-table-90"],
    "hundred": ["100"], "wall": ["table", "2-100", "--wall", *GEARED], "pack": ["batch", "-"], "assess": ["assess", "examples/invented-readings.csv", "--radius", "30", "--divisions", "57", "--tolerance", "0.02mm"],
}
PACK = "57\ngear 20 127 --module 1 --head small-tilting-geared\ndivide 0\nlayout 12 --diameter 50\nangles 0 '37.5 slot'\n"
PAPERS = {"a4": (595.3, 841.9), "a5": (419.5, 595.3), "letter": (612, 792)}     # points: ISO 216, ANSI Y14.1
SHEETS = {"divide": 2, "hundred": 2, "differential": 3}                         # of A4, most
NOTE = "Ticks last while this page is open."                           # on a screen, and on no paper
POINTS_OF_4_MM, MARGIN = 4 * 72 / 25.4, 12 * 72 / 25.4
LEAST, NARROW = 44, 320                                                         # px
H = "{http://www.w3.org/1999/xhtml}"
# What tidy of Debian 12 does not know of SVG 2 inside HTML; each is in the standard.
TIDY_KNOWS_NOT = re.compile(r'<svg> (attribute "(width|height)" has invalid value "[\d.]+mm"|proprietary attribute "font-family")'
                            r'|<\w+> proprietary attribute "data-')
wrong = []


def fail(name, what):
    wrong.append(f"{name}: {what}")


# ---- the browser, and the only way out that it is given ----

class Way(BaseHTTPRequestHandler):
    asked = []

    def any(self):
        Way.asked.append(self.path)
        self.send_error(404)

    do_GET = do_POST = do_CONNECT = do_HEAD = any

    def log_message(self, *_):
        pass


class Server(HTTPServer):
    def handle_error(self, *_):     # the browser may be gone before it is answered
        pass


def browse(*words):
    with tempfile.TemporaryDirectory() as profile:
        done = subprocess.run(
            ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-quic", "--no-first-run", "--disable-sync",
             "--disable-background-networking", "--disable-component-update", "--disable-default-apps", "--disable-extensions",
             "--disable-features=OptimizationHints,MediaRouter,Translate", "--hide-scrollbars", "--force-device-scale-factor=1",
             f"--user-data-dir={profile}", f"--proxy-server=127.0.0.1:{WAY.server_port}", "--proxy-bypass-list=<-loopback>", *words],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, timeout=120, check=False, env=os.environ | {"XDG_CONFIG_HOME": profile})
    if done.returncode != 0:
        raise SystemExit(f"pages.py: chromium: {done.stderr.decode()[-300:]}")
    return done.stdout.decode("utf-8")


def asked_by_page():
    """Requests so far that are not the browser's own."""
    return [a for a in Way.asked if not re.search(r"google|gstatic|chrome", a)]


# ---- on paper ----

def words_of(pdf):
    """Of each page, its lines from the top: what stands on one height, from the left."""
    text = subprocess.run(["pdftotext", "-bbox", pdf, "-"], stdout=subprocess.PIPE, check=True).stdout.decode("utf-8")
    pages = []
    for page in re.findall(r"<page .*?</page>", text, re.S):
        found = [(round(float(y)), float(x), html.unescape(w), float(end)) for x, y, end, w in
                 re.findall(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)"[^>]*>(.*?)</word>', page)]
        pages.append(found)
    return pages


def rows_of(page):
    """What stands on each line of a page: words by their height, a point up or down."""
    lines = {}
    for y, x, w, _ in page:
        lines.setdefault(y, []).append((x, w))
    return [[w for _, w in sorted(lines.get(y, []) + lines.get(y + 1, []))] for y in sorted(lines)]


def holds(line, cells):
    """Whether the cells stand one behind the other on the line."""
    n = len(cells)
    return any(line[i:i + n] == cells for i in range(len(line) - n + 1))


def look_at_paper(name, page, paper, root):
    path, pdf = os.path.join(FOLDER, f"{name}-{paper}.html"), os.path.join(FOLDER, f"{name}-{paper}.pdf")
    write(path, page)
    browse("--no-pdf-header-footer", f"--print-to-pdf={pdf}", "file://" + path)
    told = subprocess.run(["pdfinfo", pdf], stdout=subprocess.PIPE, check=True).stdout.decode()
    width, height = map(float, re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", told).groups())
    if abs(width - PAPERS[paper][0]) > 1 or abs(height - PAPERS[paper][1]) > 1:
        fail(f"{name} on {paper}", f"the page is {width} x {height} points")
    pages = words_of(pdf)
    for i, found in enumerate(pages):
        said = " ".join(w for _, _, w, _ in found)
        heads = ["".join(e.itertext()).strip() for e in root.iter(H + "thead") if e.find(f"{H}tr/{H}td/{H}div") is not None]
        if not any(squeeze(said).startswith(squeeze(head)) for head in heads):
            fail(f"{name} on {paper}", f"page {i + 1} does not begin with the job's name: {said[:60]}")
        if NOTE in said:
            fail(f"{name} on {paper}", f"page {i + 1} speaks of the screen")
        if f"page {i + 1} of {len(pages)}" not in said:
            fail(f"{name} on {paper}", f"page {i + 1} does not say so")
        for _, x, w, end in found:
            if x < MARGIN - 1 or end > width - MARGIN + 1:
                fail(f"{name} on {paper}", f"page {i + 1}: '{w}' reaches into the margin")
    whole_rows(f"{name} on {paper}", pages, root)
    measure_boxes(f"{name} on {paper}", pdf, root)
    if paper == "a4" and len(pages) > SHEETS.get(name, len(pages)):
        fail(name, f"{len(pages)} sheets of A4, {SHEETS[name]} would do")
    return len(pages)


def squeeze(text):
    return re.sub(r"\s+", "", text)


def whole_rows(told, pages, root):
    lines = [line for page in pages for line in rows_of(page)]
    for row in root.iter(H + "tr"):
        cells = [("".join(e.itertext())).split() for e in row.findall(f"{H}td")]
        if row.find(f".//{H}input") is None or row.find(f".//{H}table") is not None:
            continue
        flat = [w for cell in cells for w in cell]
        short = flat if sum(map(len, flat)) < 60 else flat[:3]      # a long mark is broken into lines
        if not any(holds(line, short) for line in lines):
            fail(told, f"the row '{' '.join(flat)}' stands on no line whole")


def measure_boxes(told, pdf, root):
    """Every box of the page is drawn as 4 mm, but for the 1/96 in that a browser rounds its corners to: its outline in the PDF."""
    svg = pdf[:-3] + "svg"
    wanted, seen = len(list(root.iter(H + "input"))), 0
    count = int(re.search(r"Pages:\s+(\d+)", subprocess.run(["pdfinfo", pdf], stdout=subprocess.PIPE, check=True).stdout.decode()).group(1))
    for i in range(count):
        subprocess.run(["pdftocairo", "-svg", "-f", str(i + 1), "-l", str(i + 1), pdf, svg], check=True)
        for path in ET.parse(svg).iter("{http://www.w3.org/2000/svg}path"):
            numbers = [float(v) for v in re.findall(r"-?\d+\.?\d*", path.get("d", ""))]
            scale = re.match(r"matrix\(([\d.]+),", path.get("transform", "") or "matrix(1,")
            factor = float(scale.group(1)) if scale else 1.0
            xs, ys = numbers[0::2], numbers[1::2]
            line = re.search(r"stroke-width:([\d.]+)", path.get("style", ""))      # a round box is drawn as its line
            line = float(line.group(1)) if line and "stroke:none" not in path.get("style") else 0
            seen += bool(xs and ys) and all(abs((max(v) - min(v) + line) * factor - POINTS_OF_4_MM) < 72 / 96 for v in (xs, ys))
    os.remove(svg)
    if seen < wanted:
        fail(told, f"{seen} boxes of 4 mm are drawn, {wanted} wanted")


# ---- on a telephone ----

MEASURE = """
addEventListener('load', () => {
  const frame = document.querySelector('iframe'), d = frame.contentDocument, said = [];
  frame.style.height = d.documentElement.scrollHeight + 'px';
  const say = (e, what) => said.push(what + ': ' + e.textContent.trim().slice(0, 60));
  if (d.documentElement.scrollWidth > WIDTH) said.push('scrolls sideways: ' + d.documentElement.scrollWidth + ' px');
  for (const e of d.querySelectorAll('p,dd,li,h1,h2,td,label'))
    if (e.getBoundingClientRect().right > WIDTH + 0.5) say(e, 'reaches over the edge');
  let boxes = 0;
  for (const box of d.querySelectorAll('input')) {
    const row = box.closest('tr') && !box.closest('tr').querySelector('table') ? box.closest('tr') : box.closest('label');
    const r = row.getBoundingClientRect(), b = box.getBoundingClientRect();
    boxes++;
    if (r.height < LEAST) say(row, 'only ' + r.height + ' px high');
    if (b.width < 24 || b.height < 24) say(row, 'a box of ' + b.width + ' px');
    for (const cell of row.querySelectorAll('label').length ? row.querySelectorAll('label') : [row]) {
      const c = cell.getBoundingClientRect();
      for (const [x, y] of [[c.left + 1, c.top + 2], [(c.left + c.right) / 2, (c.top + c.bottom) / 2], [c.right - 1, c.bottom - 2]]) {
        const at = d.elementFromPoint(x, y), label = at && at.closest('label');
        if (!label || label.control !== box) say(row, 'touched at ' + Math.round(x) + ' ' + Math.round(y) + ', its box is not ticked');
      }
    }
    box.click();
    if (!box.checked || frame.contentWindow.getComputedStyle(box, '::before').content === 'none') say(row, 'ticked, it does not show');
  }
  for (const job of d.querySelectorAll('.job')) {
    const note = frame.contentWindow.getComputedStyle(job.tBodies[0].rows[0].cells[0], '::before').content;
    if (job.querySelector('input') ? note !== '"NOTE"' : note !== 'none') say(job.tHead, 'what is said of ticks: ' + note);
  }
  const out = document.createElement('pre');
  out.textContent = JSON.stringify({boxes: boxes, said: said.slice(0, 8), height: d.documentElement.scrollHeight});
  document.body.append(out);
});
""".replace("WIDTH", str(NARROW)).replace("LEAST", str(LEAST)).replace("NOTE", NOTE)


def look_at_telephone(name, page, root):
    path = os.path.join(FOLDER, f"{name}-telephone.html")
    frame = f'<iframe style="border:0;width:{NARROW}px;height:900px" srcdoc="{html.escape(page)}"></iframe>'
    write(path, f'<!DOCTYPE html><meta charset="utf-8"><body style="margin:0">{frame}<script>{MEASURE}</script>')
    dom = browse("--dump-dom", "--window-size=500,900", "--virtual-time-budget=20000", "file://" + path)
    told = json.loads(html.unescape(re.findall(r"<pre>(.*?)</pre>", dom, re.S)[-1]))
    if told["boxes"] != len(list(root.iter(H + "input"))):
        fail(f"{name} on a telephone", f"{told['boxes']} boxes")
    for said in told["said"]:
        fail(f"{name} on a telephone", said)
    write(path, f'<!DOCTYPE html><meta charset="utf-8"><body style="margin:0">{frame}')
    browse(f"--screenshot={path[:-5]}.png", f"--window-size=500,{min(3000, told['height'])}", "file://" + path)
    os.remove(path)


# ---- all ----

def write(path, text):
    with open(path, "w", encoding="utf-8") as f:
        f.write(text)


def validate(name, page):
    done = subprocess.run(["tidy", "-q", "-e", "--show-warnings", "yes"], input=page.encode(), stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE, check=False)
    for line in done.stderr.decode().splitlines():
        if not TIDY_KNOWS_NOT.search(line):
            fail(name, f"tidy: {line}")


def write_page(words, paper):
    """The page on that paper; of a pack, as a printer's own choice of it would be."""
    pack = words[0] == "batch"
    done = subprocess.run([PROGRAM, *words, "--format", "html", *([] if pack else ["--pages", paper])], input=PACK.encode(),
                          stdout=subprocess.PIPE, check=False)
    page = done.stdout.decode("utf-8")
    return page.replace("</style>", f"@page{{size:{paper}}}</style>") if pack else page


def look(name, words):
    counts = []
    for paper in PAPERS:
        page = write_page(words, paper)
        root = ET.fromstring(page.split("\n", 1)[1])
        counts.append(f"{look_at_paper(name, page, paper, root)} {paper}")
    validate(name, page)
    look_at_telephone(name, page, root)
    print(f"     {name}: pages {', '.join(counts)}")


def prove_way():
    """A picture from elsewhere is asked for, and that is seen."""
    path = os.path.join(FOLDER, "elsewhere.html")
    write(path, '<!DOCTYPE html><img src="http://elsewhere.invalid/x.png">')
    browse("--dump-dom", "file://" + path)
    os.remove(path)
    if not any("elsewhere.invalid" in a for a in Way.asked):
        fail("elsewhere", "a request of a page is not seen by this test")
    Way.asked.clear()


def main():
    missing = [t for t in ("chromium", "pdfinfo", "pdftotext", "pdftocairo", "tidy") if shutil.which(t) is None]
    if missing:
        print(f"skip pages: {', '.join(missing)} not installed")
        return 0
    os.makedirs(FOLDER, exist_ok=True)
    prove_way()
    for name in sys.argv[3:] or KINDS:
        look(name, KINDS[name])
    if os.environ.get("PAGES_ASKED"):
        print("\n".join(Way.asked))
    if asked_by_page():
        fail("requests", " ".join(asked_by_page()[:5]))
    for line in wrong:
        print("FAIL", line)
    if wrong:
        return 1
    print(f"ok   {len(sys.argv[3:] or KINDS)} pages of HTML on {len(PAPERS)} papers and a telephone")
    return 0


if __name__ == "__main__":
    WAY = Server(("127.0.0.1", 0), Way)
    threading.Thread(target=WAY.serve_forever, daemon=True).start()
    sys.exit(main())
