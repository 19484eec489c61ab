"""Watch a design in a headless browser that is not ours, and edit its file.

    python watch_check.py PROGRAM DESIGN FOLDER       last line "N passed, M failed"; exit 1 if any failed

PROGRAM is limberwood, DESIGN a file that is copied to FOLDER. An edit changes the page in place: no
reload, the same bend, opening, view and colours; a broken file shows its line over the page and leaves the
creature; what was shown before the checks is there after them; another origin reads nothing.
"""
import json
import re
import subprocess
import sys
import time
from pathlib import Path
from urllib.request import urlopen

from browser import Browser, find
from page_check import Tally, slide

PATIENCE = 120


def until(browser, script, patience=PATIENCE):
    """The value of an expression once it is true."""
    end = time.monotonic() + patience
    while time.monotonic() < end:
        value = browser.run(script)
        if value:
            return value
        time.sleep(0.02)
    return None


def edits(browser, path, text, tally):
    tally.want(until(browser, "limberwood.drawn && !document.querySelector('#findings .verdict').textContent"
                              ".includes('being')"), "checked at last")
    slide(browser, "up", 40, 30)
    browser.run("""(() => { globalThis.mark = {}; document.querySelectorAll('[name=colour]')[2].click();
      document.querySelector('[data-view=side]').click();
      document.querySelectorAll('[data-pick]')[1].click(); })()""")
    before = browser.run("[limberwood.state, limberwood.record.parts.at(-1).pose[0][3]]")
    lengths = [float(n) for n in re.findall(r"^    length: (\d+)$", text, re.M)]
    grown = text.replace(f"    length: {lengths[0]:.0f}\n", f"    length: {lengths[0] + 3:.0f}\n", 1)
    begin = time.monotonic()
    path.write_text(grown)
    moved = f"limberwood.record.parts.at(-1).pose[0][3] - {before[1]} > 2.9"
    tally.want(until(browser, moved), "the edit is on the page")
    print(f"   on the page after {time.monotonic() - begin:.2f} s")
    browser.settle()
    after = browser.run("[limberwood.state, 'mark' in globalThis]")
    tally.want(after == [before[0], True], f"bend, view and choices: {before[0]} {after}")
    sliders = browser.run("['how', 'bend', 'apart'].map(id => document.getElementById(id).value)")
    tally.want(sliders == ["up", "40", "30"], f"levers {sliders}")
    pressed = browser.run("[...document.querySelectorAll('[data-pick][aria-pressed=true]')].map(b => b.dataset.pick)")
    tally.want(pressed == ["1"], f"picked {pressed}")
    tally.want(until(browser, "!document.querySelector('[data-stale]') && "
                              "document.getElementById('state').hidden"), "checked after the edit")
    tally.want(browser.run("'mark' in globalThis"), "no reload")
    return grown


def faults(browser, path, good, tally):
    line = good[:good.index("length:")].count("\n") + 1
    path.write_text(good.replace("length: ", "length: x", 1))
    told = until(browser, "(document.getElementById('faults') || {}).textContent")
    tally.want(told and f"line {line}, column" in told, f"fault {told}")
    tally.want(told and "cannot be made" in told and "the last one that could" in told, f"heading of {told}")
    seen = browser.run("""(() => { const f = document.getElementById('faults').getBoundingClientRect();
      return f.width > 300 && f.height > 20 && f.top >= 0 && f.bottom < innerHeight; })()""")
    tally.want(seen, "the fault is seen")
    tally.want(browser.run("limberwood.drawn && limberwood.state.bend === 0.4"), "the last good creature stays")
    browser.run("document.getElementById('view').getBoundingClientRect()")
    path.unlink()
    tally.want(until(browser, "document.getElementById('faults').textContent.includes('no such file')"),
               "a deleted file is told")
    path.write_text(good)
    tally.want(until(browser, "!document.getElementById('faults')"), "the fault goes")
    tally.want(browser.run("'mark' in globalThis"), "no reload after faults")


def still(browser, address, tally):
    for event in browser.events:
        method, params = event.get("method"), event.get("params", {})
        bad = method == "Runtime.exceptionThrown"
        bad = bad or method == "Log.entryAdded" and params["entry"].get("level") == "error"
        if method == "Network.requestWillBeSent":
            bad = not params["request"]["url"].startswith((address, "data:"))
        tally.want(not bad, f"{json.dumps(params)[:400]}") if bad else None
    tally.want(True, "console and network")


def foreign(browser, address, tally):
    """A page of another origin neither reads nor frames it."""
    browser.go("data:text/html,<title>other</title>")
    read = browser.run(f"fetch('{address}next?after=x').then(r => r.text()).catch(() => 'refused')")
    tally.want(read == "refused", f"another origin reads {read[:80]}")
    framed = browser.run(f"""new Promise((done) => {{ const f = document.createElement('iframe');
      f.src = '{address}'; f.onload = () => setTimeout(() => done(f.contentDocument === null), 300);
      document.body.append(f); setTimeout(() => done(true), 3000); }})""")
    tally.want(framed, "another origin frames it")


def main(program, design, folder):
    tally, found = Tally(), find()
    if found is None:
        print("NOT TESTED: there is no Chromium (CHROMIUM names one)")
        return 2
    path = Path(folder) / "watched.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    text = Path(design).read_text()
    path.write_text(text)
    watch = subprocess.Popen([program, "watch", str(path), "--port", "0"], stdout=subprocess.PIPE,
                             stderr=subprocess.DEVNULL, text=True)
    browser = Browser(found)
    try:
        address = watch.stdout.readline().strip()
        browser.size(1280, 900)
        browser.dark(False)
        # Before the first build is done the page waits, and reloads when it is.
        end = time.monotonic() + PATIENCE
        while b'id="record"' not in urlopen(address).read() and time.monotonic() < end:
            time.sleep(0.05)
        browser.go(address)
        good = edits(browser, path, text, tally)
        faults(browser, path, good, tally)
        still(browser, address, tally)
        foreign(browser, address, tally)
    finally:
        browser.close()
        watch.terminate()
        watch.wait(30)
    print(f"{tally.passed} passed, {tally.failed} failed")
    return int(tally.failed > 0)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
