"""Open pages of creatures from disk in a headless browser that is not ours, and use them.

    python page_check.py FOLDER       last line "N passed, M failed"; exit 1 if any failed

FOLDER holds designs NAME.yaml, and of each NAME.html of `limberwood page` and NAME.json of
`limberwood check --json`. Without a browser it says so and exits 2. Of each page: no address of anything
outside, no request, no error on the console; the picture is not blank and changes with the levers; parts
lie where a computation from the record puts them (page_motion.py); values and colours at points of the
picture are those of the record (page_values.py); pieces of stock and budgets are there; joints stop at
the swing that the checks say; names come out as text; every control has a name; nothing is wider than a
phone; without WebGL the picture stands in.
"""
import base64
import json
import re
import sys
from html.parser import HTMLParser
from pathlib import Path

from ruamel.yaml import YAML

from browser import Browser, find
from page_motion import kinematics, slide, swings
from page_values import left_is_checked, measures, ramp, walls

MOST_BYTES = 4_000_000

# Shares of the canvas: of its pixels that are not paper, and of all its tones that are many.
LOOK = """(async (png) => {
  const image = new Image();
  image.src = 'data:image/png;base64,' + png;
  await image.decode();
  const frame = document.getElementById('view').getBoundingClientRect();
  const flat = document.createElement('canvas');
  [flat.width, flat.height] = [Math.floor(frame.width), Math.floor(frame.height)];
  const to = flat.getContext('2d');
  to.drawImage(image, -Math.ceil(frame.left), -Math.ceil(frame.top));
  const data = to.getImageData(0, 0, flat.width, flat.height).data;
  const tones = new Set();
  let other = 0, sum = 0;
  for (let k = 0; k < data.length; k += 4) {
    const off = Math.abs(data[k] - data[0]) + Math.abs(data[k + 1] - data[1]) + Math.abs(data[k + 2] - data[2]);
    if (off > 60) other += 1;
    tones.add(data[k] >> 3 << 10 | data[k + 1] >> 3 << 5 | data[k + 2] >> 3);
    sum = (sum * 31 + data[k] + 7 * data[k + 1] + 13 * data[k + 2]) % 2147483647;
  }
  return { share: 4 * other / data.length, tones: tones.size, sum };
})"""


class Tally:
    def __init__(self):
        self.passed, self.failed = 0, 0

    def want(self, true, words):
        if true:
            self.passed += 1
        else:
            self.failed += 1
            print("FAILED", words)


def look(browser):
    png = base64.b64encode(browser.picture()).decode()
    return browser.run(f"{LOOK}('{png}')")


def still(browser, name, tally):
    """Console and network since the page was opened."""
    for event in browser.events:
        method, params = event.get("method"), event.get("params", {})
        bad = method == "Runtime.exceptionThrown"
        bad = bad or method == "Runtime.consoleAPICalled" and params["type"] in ("error", "warning")
        entry = params.get("entry", {})
        bad = bad or method == "Log.entryAdded" and entry.get("level") == "error"
        if method == "Network.requestWillBeSent":
            url = params["request"]["url"]
            bad = not url.startswith(("file:", "data:")) or url.startswith("file:") and name not in url
        if bad:
            tally.want(False, f"{name}: {json.dumps(params)[:400]}")
    tally.want(any(e.get("method") == "Network.requestWillBeSent" for e in browser.events),
               f"{name}: the network is looked at")


def pictures(browser, name, tally):
    slide(browser, "sideways", 0, 0)
    rest = look(browser)
    tally.want(0.01 < rest["share"] < 0.9 and rest["tones"] > 100, f"{name}: picture {rest}")
    seen = {rest["sum"]}
    for how, bend, apart in (("sideways", 100, 0), ("up", 60, 0), ("sideways", 0, 70)):
        slide(browser, how, bend, apart)
        seen.add(look(browser)["sum"])
    slide(browser, "sideways", 0, 0)
    tally.want(look(browser)["sum"] == rest["sum"], f"{name}: the same levers, the same picture")
    for way in (1, 2, 3, 4):
        browser.run(f"document.querySelectorAll('[name=colour]')[{way}].click()")
        browser.settle()
        seen.add(look(browser)["sum"])
    browser.run("document.querySelectorAll('[name=colour]')[0].click(); document.getElementById('view').focus()")
    for kind in ("rawKeyDown", "keyUp"):
        browser.call("Input.dispatchKeyEvent", type=kind, key="ArrowLeft", code="ArrowLeft", windowsVirtualKeyCode=37)
    browser.settle()
    seen.add(look(browser)["sum"])
    wanted = 9 if browser.run("limberwood.record.joints.length") else 7
    tally.want(len(seen) == wanted, f"{name}: {len(seen)} different pictures of {wanted}")
    browser.run("document.getElementById('all').click(); document.activeElement.blur()")


def machine(browser, name, record, findings, tally):
    """Every part lies on a piece, in both set-ups, and budgets are those of the check."""
    seen = browser.run("""[...document.querySelectorAll('#machine .piece')].map(p =>
      [p.querySelectorAll('svg').length, p.querySelectorAll('details li').length])""")
    tally.want(seen and all(own[0] == 2 and own[1] > 5 for own in seen), f"{name}: pieces {seen}")
    text = browser.run("[...document.querySelectorAll('.piece > .note')].map(p => p.textContent).join(', ')")
    missing = [p["name"] for p in record["parts"] if p["name"] not in text]
    # Equal sections carry the name of the first of them.
    firsts = {p["mesh"]: p["name"] for p in reversed(record["parts"])}
    lost = [own for own in firsts.values() if own in missing]
    tally.want(not lost, f"{name}: parts on no piece: {lost}")
    tables = browser.run("""[...document.querySelectorAll('#fits tbody')].map(t =>
      [...t.querySelectorAll('tr')].map(r => [...r.cells].map(c => c.textContent)))""")
    budgets = [f for f in findings if f["check"] == "budget" and f.get("rows")]
    known = {tuple(row["name"] for row in f["rows"]) for f in budgets}
    shown = {tuple(row[0] for row in table) for table in tables}
    tally.want(known == shown, f"{name}: budgets {shown}")


def parts(browser, name, tally):
    """Picks with a click into the picture, hides, and flies to a place."""
    frame = browser.run("""(() => { const f = document.getElementById('view').getBoundingClientRect();
      return [f.left + f.width / 2, f.top + f.height / 2]; })()""")
    pressed = "document.querySelectorAll('[data-pick][aria-pressed=true]').length"
    browser.run("document.querySelector('[data-view=side]').click()")
    browser.settle()
    found = False
    # The middle may be a gap between two sections.
    for dx in (0, 25, -25):
        for kind in ("mousePressed", "mouseReleased"):
            browser.call("Input.dispatchMouseEvent", type=kind, x=frame[0] + dx, y=frame[1],
                         button="left", buttons=1, clickCount=1)
        browser.settle()
        found = found or browser.run(pressed) == 1
        if found:
            break
    tally.want(found, f"{name}: a click into the picture picks a part")
    before = look(browser)["share"]
    browser.run("document.getElementById('hide').click()")
    browser.settle()
    hidden = browser.run("[...document.querySelectorAll('[data-shown]')].filter(b => !b.checked).length")
    tally.want(hidden == 1 and look(browser)["share"] != before, f"{name}: {hidden} parts hidden")
    browser.run("document.getElementById('all').click()")
    places = browser.run("limberwood.record.places.map(p => p.measured)")
    buttons = browser.run("document.querySelectorAll('[data-place]').length")
    tally.want(buttons == len(places), f"{name}: {buttons} buttons for {len(places)} places")
    if places:
        browser.run("document.querySelectorAll('details').forEach(d => { d.open = true; });"
                    "document.querySelector('[data-place=\"0\"]').click()")
        browser.settle()
        flag = browser.run("""(() => { const f = document.getElementById('flag');
          return [f.hidden, f.textContent, parseFloat(f.style.left), parseFloat(f.style.top)]; })()""")
        middle = not flag[0] and abs(flag[2] - 50) < 1 and abs(flag[3] - 50) < 1
        tally.want(middle and flag[1] == places[0], f"{name}: flag {flag}, wanted {places[0]}")
        browser.run("document.querySelectorAll('[name=colour]')[2].click()")
        spot = browser.run("""(() => { const f = document.getElementById('view').getBoundingClientRect();
          return [f.left + f.width / 2, f.top + f.height / 2]; })()""")
        browser.call("Input.dispatchMouseEvent", type="mouseMoved", x=spot[0] + 2, y=spot[1] + 2)
        browser.settle()
        said = browser.run("document.getElementById('caption').textContent")
        tally.want(said.startswith(places[0]), f"{name}: under the pointer {said!r}, the check says {places[0]!r}")
        browser.run("document.querySelectorAll('[name=colour]')[0].click()")
    browser.run("document.getElementById('all').click()")


def fingers(browser, name, tally):
    """One finger turns, two come nearer."""
    frame = browser.run("""(() => { const f = document.getElementById('view').getBoundingClientRect();
      return [f.left + f.width / 2, f.top + f.height / 2]; })()""")
    browser.call("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=2)
    shares = [look(browser)]
    for before, after in (([[0, 0]], [[60, 20]]), ([[-40, 0], [40, 0]], [[-110, 0], [110, 0]])):
        for kind, places in (("touchStart", before), ("touchMove", after), ("touchEnd", [])):
            points = [{"x": frame[0] + x, "y": frame[1] + y, "id": k} for k, (x, y) in enumerate(places)]
            browser.call("Input.dispatchTouchEvent", type=kind, touchPoints=points)
        browser.settle()
        shares.append(look(browser))
    browser.call("Emulation.setTouchEmulationEnabled", enabled=False)
    rest, turned, near = shares
    tally.want(turned["sum"] != rest["sum"], f"{name}: a finger turns")
    tally.want(near["share"] > 1.5 * turned["share"], f"{name}: two fingers come nearer {turned} {near}")
    browser.run("document.getElementById('all').click()")
    browser.settle()


def words(browser, name, design, tally):
    """Names as text, a name for every control, no sideways scrolling on a phone."""
    title = browser.run("document.querySelector('h1').textContent")
    tally.want(title == design["creature"], f"{name}: title {title!r}")
    shown = browser.run("[...document.querySelectorAll('[data-pick]')].map(b => b.textContent)")
    names = [p["name"] for p in design["record"]["parts"]]
    tally.want(shown == names, f"{name}: parts {shown}")
    strange = browser.run("[document.scripts.length, document.images.length, "
                          "document.querySelectorAll('iframe,object,embed,link,b[onclick]').length]")
    tally.want(strange == [2, 1, 0], f"{name}: scripts, images, others {strange}")
    controls = 0
    for node in browser.call("Accessibility.getFullAXTree")["nodes"]:
        props = {p["name"]: p["value"].get("value") for p in node.get("properties", [])}
        role = node.get("role", {}).get("value")
        if props.get("focusable") and not node.get("ignored") and role != "RootWebArea":
            controls += 1
            named = node.get("name", {}).get("value", "").strip()
            tally.want(named, f"{name}: a {role} without a name") if not named else None
    tally.want(controls > 15, f"{name}: {controls} controls")
    for width in (360, 390):
        browser.size(width, 780, phone=True)
        browser.settle()
        wide = browser.run("document.documentElement.scrollWidth")
        tally.want(wide <= width, f"{name}: {wide} wide on {width}")
    browser.size(1280, 900)
    browser.settle()


def policy(browser, name, tally):
    """A script that somebody puts in does not run."""
    ran = browser.run("""(() => { const s = document.createElement('script');
      s.textContent = 'globalThis.strange = 1'; document.body.append(s);
      return globalThis.strange === 1; })()""")
    tally.want(ran is False, f"{name}: a strange script runs")


def without_webgl(browser, path, tally):
    script = "HTMLCanvasElement.prototype.getContext = () => null"
    added = browser.call("Page.addScriptToEvaluateOnNewDocument", source=script)["identifier"]
    browser.open(path)
    seen = browser.run("""(() => { const i = document.getElementById('stand-in');
      return [i.complete && i.naturalWidth > 100 && i.getClientRects().length > 0,
        document.getElementById('missing').getClientRects().length > 0,
        document.getElementById('view').getClientRects().length === 0]; })()""")
    tally.want(seen == [True] * 3, f"{path.stem}: stand-in {seen}")
    still(browser, path.stem, tally)
    browser.call("Page.removeScriptToEvaluateOnNewDocument", identifier=added)


class Addresses(HTMLParser):
    """Whatever an element would load, go to or run; its style and script as text."""

    def __init__(self):
        super().__init__()
        self.found, self.code, self.inside = [], "", False

    def handle_starttag(self, tag, attrs):
        self.inside = tag == "style" or tag == "script" and ("type", "application/json") not in attrs
        for key, value in attrs:
            loads = key in ("src", "srcset", "href", "xlink:href", "action", "data", "poster", "background")
            if loads and not (value or "").startswith("data:") or key.startswith("on"):
                self.found.append(f"{tag} {key}={value}")

    def handle_endtag(self, tag):
        self.inside = False

    def handle_data(self, data):
        self.code += data if self.inside else ""


def outside(text):
    reader = Addresses()
    reader.feed(text)
    words = re.findall(r"(?:https?:|wss?:|url\(|@import|\bimport\b|\bfetch\(|XMLHttp).{0,40}", reader.code)
    return reader.found + words + ([] if len(reader.code) > 10_000 else ["no script"])


def page(browser, path, tally):
    name, text = path.stem, path.read_text(encoding="utf-8")
    report = json.loads(path.with_suffix(".json").read_text())["designs"][0]
    record = json.loads(re.search(r'id="record">(.*?)</script>', text, re.S)[1])
    tally.want(path.stat().st_size < MOST_BYTES, f"{name}: {path.stat().st_size} bytes")
    found = outside(text)
    tally.want(not found, f"{name}: addresses {found[:5]}")
    browser.size(1280, 900)
    browser.dark(False)
    browser.open(path)
    tally.want(browser.run("limberwood.drawn") is True, f"{name}: draws in space")
    browser.run("document.getElementById('view').scrollIntoView({block: 'start', behavior: 'instant'})")
    browser.settle()
    creature = YAML(typ="safe").load(path.with_suffix(".yaml"))["name"]
    words(browser, name, {"creature": creature, "record": record}, tally)
    browser.run("document.getElementById('view').scrollIntoView({block: 'start', behavior: 'instant'})")
    kinematics(browser, name, record, tally)
    swings(name, record, report["findings"], tally)
    pictures(browser, name, tally)
    ramp(browser, name, tally)
    walls(name, record, tally)
    measures(browser, name, record, tally)
    left_is_checked(name, record, report["findings"], tally)
    machine(browser, name, record, report["findings"], tally)
    parts(browser, name, tally)
    fingers(browser, name, tally)
    still(browser, name, tally)
    policy(browser, name, tally)
    without_webgl(browser, path, tally)


def main(folder):
    tally, found = Tally(), find()
    if found is None:
        print("NOT TESTED: there is no Chromium (CHROMIUM names one)")
        return 2
    pages = sorted(Path(folder).glob("*.html"))
    tally.want(pages, f"{folder}: no page")
    browser = Browser(found)
    try:
        for path in pages:
            page(browser, path, tally)
    finally:
        browser.close()
    print(f"{tally.passed} passed, {tally.failed} failed")
    return int(tally.failed > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
