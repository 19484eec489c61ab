"""Look at pages of creatures in a headless browser: wide, on a phone, dark and in print.

    python looks_check.py REFERENCES PAGE.html...    last line "N passed, M failed"; exit 1 if any failed

Each page is drawn in four forms, made small, and held against the picture NAME-FORM.png in REFERENCES,
loosely: letters of another font may stand a little elsewhere, a creature, a table or a ground in another
tone may not. LIMBERWOOD_WRITE_PICTURES=1 writes the pictures instead, to be looked at and kept. Without a
browser it says so and exits 2.
"""
import base64
import os
import sys
from pathlib import Path

from browser import Browser, find

# Width and height of the window, dark, print, and phone; print is a sheet of A4 at 96 dots an inch.
FORMS = {
    "wide": (1280, 900, False, False, False),
    "phone": (390, 844, False, False, True),
    "dark": (1280, 900, True, False, False),
    "print": (794, 1123, False, True, False),
}
# Width of the small pictures.
SMALL = 200
# Allowed: mean difference of all tones, of 255, and the share of pixels that differ by more than FAR in
# some tone. Measured: pages in letters of one width, the worst of other fonts, differ by 4.4 and 3.0 % at
# most, pages without their creature by 3.6 % at least.
MEAN, FAR, SHARE = 6.0, 60, 0.033

SMALLER = """(async (png, wide) => {
  const image = new Image();
  image.src = 'data:image/png;base64,' + png;
  await image.decode();
  const flat = document.createElement('canvas');
  [flat.width, flat.height] = [wide, Math.round(image.height * wide / image.width)];
  const to = flat.getContext('2d');
  to.imageSmoothingQuality = 'high';
  to.drawImage(image, 0, 0, flat.width, flat.height);
  return flat.toDataURL('image/png').split(',')[1];
})"""

APART = """(async (ours, theirs, far) => {
  const tones = [];
  for (const png of [ours, theirs]) {
    const image = new Image();
    image.src = 'data:image/png;base64,' + png;
    await image.decode();
    const flat = document.createElement('canvas');
    [flat.width, flat.height] = [image.width, image.height];
    const to = flat.getContext('2d');
    to.drawImage(image, 0, 0);
    tones.push([flat.width, flat.height, to.getImageData(0, 0, flat.width, flat.height).data]);
  }
  const [[w, h, a], [v, i, b]] = tones;
  if (w !== v || h !== i) return null;
  let sum = 0, many = 0;
  for (let k = 0; k < a.length; k += 4) {
    const off = [0, 1, 2].map((c) => Math.abs(a[k + c] - b[k + c]));
    sum += off[0] + off[1] + off[2];
    if (Math.max(...off) > far) many += 1;
  }
  return [sum / (3 * w * h), many / (w * h)];
})"""


def drawn(browser, path, form, script="0"):
    """Small PNG of a page in a form, after a script."""
    width, height, dark, printed, phone = FORMS[form]
    browser.size(width, height, phone=phone)
    browser.dark(dark)
    browser.open(path)
    if printed:
        browser.printed()
    browser.run(script)
    browser.settle()
    png = base64.b64encode(browser.picture()).decode()
    return browser.run(f"{SMALLER}('{png}', {SMALL})")


def alike(browser, ours, theirs):
    """Whether two pictures are alike, and by how much they differ."""
    apart = browser.run(f"{APART}('{ours}', '{theirs}', {FAR})")
    return apart is not None and apart[0] < MEAN and apart[1] < SHARE, apart


# What a look must see: each is done to a drawn page.
DAMAGE = {
    "no creature": "document.getElementById('view').style.visibility = 'hidden'",
    "a ground in another tone": "document.body.style.background = '#888'",
    "all in one column of the left half": "document.body.style.width = '50%'",
}


def damage(browser, references, path, want):
    """The look sees damage in every form."""
    for form in FORMS:
        kept = base64.b64encode((Path(references) / f"{path.stem}-{form}.png").read_bytes()).decode()
        for what, script in DAMAGE.items():
            same, apart = alike(browser, drawn(browser, path, form, script), kept)
            want(not same, f"{path.stem}, {form}: {what} is not seen: {apart}")


def main(references, pages):
    found, write = find(), os.environ.get("LIMBERWOOD_WRITE_PICTURES") == "1"
    if found is None:
        print("NOT TESTED: there is no Chromium (CHROMIUM names one)")
        return 2
    count = [0, 0]

    def want(true, words):
        count[0 if true else 1] += 1
        if not true:
            print("FAILED", words)

    browser = Browser(found)
    try:
        for path in map(Path, pages):
            for form in FORMS:
                kept = Path(references) / f"{path.stem}-{form}.png"
                ours = drawn(browser, path, form)
                if write:
                    kept.write_bytes(base64.b64decode(ours))
                    continue
                if not kept.exists():
                    want(False, f"{kept} is missing; LIMBERWOOD_WRITE_PICTURES=1 writes it")
                    continue
                theirs = base64.b64encode(kept.read_bytes()).decode()
                same, apart = alike(browser, ours, theirs)
                want(same, f"{path.stem}, {form}: mean difference and share of far pixels {apart}, "
                           f"allowed {MEAN} and {SHARE}")
            if not write and path == Path(pages[0]):
                damage(browser, references, path, want)
    finally:
        browser.close()
    print(f"{count[0]} passed, {count[1]} failed")
    return int(count[1] > 0 or write)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
