"""Open shop sheets from disk in a headless browser that is not ours, and print them.

    python sheet_check.py FOLDER...       last line "N passed, M failed"; exit 1 if any failed

A folder is the output of `limberwood blank`; one whose creature has HTML in its name must be among
them. Without a browser it says so and exits 2. Of each sheet: nothing is asked for but the file, no
error on the console, no script and no element that a sheet has none of; names come out as text; printed
on A4 and on Letter it has one page for what there is to do, one for each kind of piece and set-up, and
the pages of gluing, which begin anew; nothing is wider than the paper between its margins.
"""
import base64
import json
import re
import sys
from pathlib import Path

from browser import Browser, find
from page_check import Tally, still

# Width and height of paper, mm (ISO 216; ANSI/ASME Y14.1 size A), and CSS pixels to the mm.
PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
PIXELS = 96 / 25.4
# What the sheet asks for on every side, mm: its own @page rule.
MARGIN = re.compile(r"@page \{ margin: (\d+)mm \}")
SET_UPS = 2
# The drawings' own elements aside.
PLAIN = {"html", "head", "meta", "title", "style", "body", "section", "h1", "h2", "p", "table", "thead",
         "tbody", "tr", "th", "td", "ul", "li", "div"}

# Boxes that reach over the edge of the body, or whose own content does not fit in, in whole pixels.
CUT_OFF = """[...document.querySelectorAll('body, body *:not(svg *)')].filter((e) => {
  const box = e.getBoundingClientRect(), page = document.body.getBoundingClientRect();
  return box.left < page.left - 0.5 || box.right > page.right + 0.5 || e.tagName !== 'svg'
    && (e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== 'inline');
}).map((e) => `${e.tagName} ${e.textContent.slice(0, 60)}`)"""


def printed(browser, paper):
    """The PDF, and how many pages it says it has: by its page objects, and by the root of their tree."""
    width, height = (side / 25.4 for side in PAPER[paper])
    answer = browser.call("Page.printToPDF", paperWidth=width, paperHeight=height, printBackground=True)
    data = base64.b64decode(answer["data"])
    objects = len(re.findall(rb"/Type\s*/Page\b(?!s)", data))
    counts = [int(n) for n in re.findall(rb"/Type\s*/Pages\b[^>]*?/Count\s+(\d+)", data)]
    boxes = {tuple(float(n) for n in box.split()) for box in re.findall(rb"/MediaBox\s*\[([^\]]*)\]", data)}
    return objects, max(counts, default=0), boxes


def alone(browser, paper):
    """Pages of each section, printed without the others."""
    sections = browser.run("document.querySelectorAll('section').length")
    for own in range(sections):
        browser.run(f"document.querySelectorAll('section').forEach((s, k) => {{ s.hidden = k !== {own}; }})")
        yield printed(browser, paper)[0]
    browser.run("document.querySelectorAll('section').forEach((s) => { s.hidden = false; })")


def on_paper(browser, name, wanted, text, tally):
    margin = MARGIN.search(text)
    tally.want(margin, f"{name}: no margin of the paper")
    if not margin:
        return
    for paper, (width, height) in PAPER.items():
        objects, count, boxes = printed(browser, paper)
        *single, gluing = alone(browser, paper)
        tally.want(single == [1] * (wanted - 1), f"{name}: {paper}: pages of sections {single}")
        total = wanted - 1 + gluing
        tally.want(objects == count == total, f"{name}: {paper}: {objects} pages ({count}), wanted {total}")
        # Points of 1/72 in, which the browser rounds.
        size = [side / 25.4 * 72 for side in (width, height)]
        right = boxes and all(abs(box[2] - size[0]) < 1 and abs(box[3] - size[1]) < 1 for box in boxes)
        tally.want(right, f"{name}: {paper}: pages of {boxes}")
        inner = [int((side - 2 * float(margin[1])) * PIXELS) for side in (width, height)]
        browser.size(*inner)
        browser.call("Emulation.setEmulatedMedia", media="print")
        browser.settle()
        wide = browser.run("[document.documentElement.scrollWidth, innerWidth]")
        tally.want(wide[0] <= wide[1], f"{name}: {paper}: {wide[0]} wide on {wide[1]}")
        cut = browser.run(CUT_OFF)
        tally.want(not cut, f"{name}: {paper}: cut off: {cut[:3]}")
        tables = browser.run("document.querySelectorAll('table').length")
        tally.want(tables >= 3, f"{name}: {tables} tables")
        browser.call("Emulation.setEmulatedMedia", media="")


def endings(folder):
    """Heads of the last pages: of gluing, or of trying, where the numbers of a coupon lie beside the folder."""
    numbers = folder.with_name(folder.name.removesuffix("-blanks") + ".json")
    return ["to try and to measure", "what was found"] if numbers.exists() else ["gluing"]


def words(browser, name, record, manifest_names, last, tally):
    heads = browser.run("[...document.querySelectorAll('section > h1')].map((h) => h.textContent)")
    creature = record["creature"]
    ends = [f"{creature}: {words}" for words in last]
    tally.want(heads[0] == f"{creature}: shop sheet" and heads[-len(ends):] == ends, f"{name}: {heads}")
    tally.want(browser.run("document.title") == f"{creature}: shop sheet", f"{name}: title")
    for own in manifest_names:
        pages = [head for head in heads if head.startswith(f"{own}: set-up ")]
        tally.want(len(pages) == SET_UPS, f"{name}: {own} on the pages {pages}")
    known = "[...document.querySelectorAll('*:not(svg *):not(svg)')].map((e) => e.localName)"
    odd = set(browser.run(known)) - PLAIN
    tally.want(not odd, f"{name}: elements {odd}")
    told = "[...document.querySelectorAll('*')].filter((e) => [...e.attributes].some((a) => " \
        "/^on/.test(a.name) || /^(src|href|xlink:href)$/.test(a.name))).map((e) => e.outerHTML.slice(0, 80))"
    tally.want(not browser.run(told), f"{name}: {browser.run(told)}")


def sheet(browser, folder, tally):
    """Tests a sheet, and says whether its creature's name has HTML in it."""
    path, record = folder / "shop-sheet.html", json.loads((folder / "blanks.json").read_text("utf-8"))
    name, text = folder.name, path.read_text("utf-8")
    kinds = [kind for stock in record["stocks"] for kind in stock["kinds"]]
    drawn = sorted(own.stem.removesuffix("-inside-up") for own in folder.glob("*-inside-up.svg"))
    tally.want(kinds and len(kinds) == len(drawn), f"{name}: {len(kinds)} kinds of pieces, drawings of {drawn}")
    browser.size(1280, 900)
    browser.dark(False)
    browser.open(path)
    last = endings(folder)
    words(browser, name, record, drawn, last, tally)
    on_paper(browser, name, 1 + SET_UPS * len(kinds) + len(last), text, tally)
    still(browser, path.name, tally)
    return "<img" in record["creature"]


def main(folders):
    tally, found = Tally(), find()
    if found is None:
        print("NOT TESTED: there is no Chromium (CHROMIUM names one)")
        return 2
    browser = Browser(found)
    try:
        strange = [sheet(browser, Path(folder), tally) for folder in folders]
    finally:
        browser.close()
    tally.want(any(strange), "no creature has HTML in its name")
    print(f"{tally.passed} passed, {tally.failed} failed")
    return int(tally.failed > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
