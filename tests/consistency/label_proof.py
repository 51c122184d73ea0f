"""The proof page on paper: Chromium prints it, pdftoppm draws it, the sizes are measured in the drawing."""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

SRC, BUILD = os.environ["LW_SRCDIR"], os.environ["LW_BUILDDIR"]
LOTWARD = os.path.join(BUILD, "lotward")
DPI = 300
MM = DPI / 25.4
TOLERANCE_MM = 0.2
SIZES = ["3 mL", "5 mL", "10 mL", "30 mL"]

RECORDS = """<records>
<premises id="W" name="Quillet Lane Tinctures" country="FR" address="4 rue du Quillet, 06130 Grasse" contact="IH"/>
<person id="IH" name="I. Hale" phone="+33 4 93 00 00 00"/>
<receipt id="E1" date="2026-01-05" kind="solvent" material="ethanol" quantity="20 L" strength="95 %vol"
  alcohol-status="duty-paid"/>
<batch id="L1" product="{name}" product-kind="consumer-chemical" state="bottled" start="2026-03-01"
  strained="2026-04-01" bottled="2026-04-10" best-before="2029-03-01" composition="complete">
<charge receipt="E1" purpose="solvent" quantity="2 L"/>
</batch>
<label id="T1" batch="L1" market="FR" intended-use="consumer-chemical" ufi="GMTT-2SQN-6FDD-6TV1" languages="fr"/>
</records>
"""


def browser():
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if shutil.which(name):
            return name
    return None


def label(path, size, *more):
    p = subprocess.run([LOTWARD, "label", "L1", "--market", "FR", "--size", size, "--as-of", "2026-06-30", *more, path],
                       capture_output=True, text=True)
    if p.returncode not in (0, 1):
        sys.exit(f"lotward label: {p.stderr[:2000]}")
    return p.stdout


def pairs(report, table):
    t = next(t for t in report["tables"] if t["name"] == table)
    return json.dumps(t, ensure_ascii=False)


class Page:
    """A PPM drawing; rows of RGB bytes."""

    def __init__(self, path):
        with open(path, "rb") as f:
            data = f.read()
        m = re.match(rb"P6\s+(\d+)\s+(\d+)\s+(\d+)\s", data)
        self.width, self.height = int(m.group(1)), int(m.group(2))
        self.data = data[m.end():]

    def rgb(self, x, y):
        i = 3 * (y * self.width + x)
        return self.data[i], self.data[i + 1], self.data[i + 2]

    def row(self, y):
        return self.data[3 * y * self.width:3 * (y + 1) * self.width]


def red_boxes(page):
    """Bounding boxes of the red frames, by rows that touch: (x0, y0, x1, y1) in dots."""
    boxes = []
    for y in range(page.height):
        row = page.row(y)
        xs = [x for x in range(page.width) if row[3 * x] > 180 and row[3 * x + 1] < 90 and row[3 * x + 2] < 90] \
            if b"\xdd\x00\x00" in row else []
        for x in xs:
            for b in boxes:
                if b[0] - 3 <= x <= b[2] + 3 and y - b[3] <= 2:
                    b[0], b[2], b[3] = min(b[0], x), max(b[2], x), y
                    break
            else:
                boxes.append([x, y, x, y])
    merged = []
    for b in sorted(boxes):
        for m in merged:
            if b[0] <= m[2] + 3 and m[0] <= b[2] + 3 and b[1] <= m[3] + 3 and m[1] <= b[3] + 3:
                m[:] = [min(m[0], b[0]), min(m[1], b[1]), max(m[2], b[2]), max(m[3], b[3])]
                break
        else:
            merged.append(b)
    return [b for b in merged if b[2] - b[0] > 3 * MM]


def black(page, x, y):
    return all(v < 110 for v in page.rgb(x, y))


def ruler_mm(page):
    """Length of the ruler: of the long level runs of dark dots the one nearest to its 150 mm."""
    runs = [0]
    for y in range(int(90 * MM)):
        start = None
        row = page.row(y)
        if row.count(b"\x11\x11\x11") < 50 * MM:
            continue
        for x in range(page.width + 1):
            dark = x < page.width and black(page, x, y)
            if dark and start is None:
                start = x
            elif not dark and start is not None:
                runs.append(x - start)
                start = None
    return min(runs, key=lambda r: abs(r / MM - 150)) / MM


def edges_mm(page):
    """Sizes of the label outlines (thin grey, #999): runs of grey along a row, and down from their left end."""
    def grey(x, y):
        r, g, b = page.rgb(x, y)
        return abs(r - g) < 12 and abs(g - b) < 12 and 120 < r < 235

    found = []
    for y in range(page.height):
        row = page.row(y)
        if row.count(b"\x99\x99\x99") < 10 * MM / 2:
            continue
        x = 0
        while x < page.width:
            start = x
            while x < page.width and grey(x, y):
                x += 1
            if x - start > 15 * MM and not any(abs(start - f[0]) < 6 and y - f[1] < f[3] + 6 for f in found):
                down = y
                while down < page.height and any(grey(start + d, down) for d in (0, 1, 2)):
                    down += 1
                found.append((start, y, x - start, down - y))
            x = max(x, start + 1)
    return [(w / MM, h / MM) for _, _, w, h in found]


def main():
    chrome = browser()
    if chrome is None or shutil.which("pdftoppm") is None:
        print("no Chromium or no pdftoppm: skipped")
        sys.exit(77)
    failed = 0
    with tempfile.TemporaryDirectory() as tmp:
        path = os.path.join(tmp, "lot.xml")
        with open(path, "w", encoding="utf-8") as f:
            f.write(RECORDS.format(name="Vetiver tincture"))
        for size in SIZES:
            report = json.loads(label(path, size, "--format", "json"))
            html = label(path, size, "--format", "page", "--copies", "2")
            said = [(float(w), float(h)) for w, h in
                    re.findall(r'<svg class="label [a-z]+" width="([0-9.]+)mm" height="([0-9.]+)mm"', html)]
            symbols = sorted({round(float(w), 2) for w in re.findall(r'class="symbol"[^>]* width="([0-9.]+)"', html)})
            assert len(said) >= 2, "no proof on the page"
            page_file = os.path.join(tmp, "proof.html")
            with open(page_file, "w", encoding="utf-8") as f:
                f.write(html)
            pdf, drawn = os.path.join(tmp, "proof.pdf"), os.path.join(tmp, "drawn")
            subprocess.run([chrome, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
                            f"--user-data-dir={tmp}/profile", f"--print-to-pdf={pdf}", "file://" + page_file],
                           check=True, capture_output=True, timeout=120)
            subprocess.run(["pdftoppm", "-r", str(DPI), "-f", "1", "-l", "1", pdf, drawn], check=True)
            name = next(n for n in sorted(os.listdir(tmp)) if n.startswith("drawn"))
            page = Page(os.path.join(tmp, name))
            os.remove(os.path.join(tmp, name))
            ruler = ruler_mm(page)
            edges = edges_mm(page)
            reds = [((b[2] - b[0] + 1) / MM, (b[3] - b[1] + 1) / MM) for b in red_boxes(page)]
            ok = abs(ruler - 150) <= TOLERANCE_MM
            first_page = [s for s in said]
            for w, h in edges:
                ok &= any(abs(w - a) <= TOLERANCE_MM and abs(h - b) <= TOLERANCE_MM for a, b in first_page)
            ok &= any(abs(w - said[0][0]) <= TOLERANCE_MM and abs(h - said[0][1]) <= TOLERANCE_MM for w, h in edges)
            for w, h in reds:
                ok &= any(abs(w - a) <= TOLERANCE_MM and abs(h - a) <= TOLERANCE_MM for a in symbols)
            ok &= (len(reds) > 0) == (len(symbols) > 0) and len(edges) >= 2
            fit = "fits" if "All of it fits" in pairs(report, "fit") else "does not fit, said so"
            print(f"{size}: ruler {ruler:.2f} of 150 mm; labels " +
                  ", ".join(f"{w:.2f} x {h:.2f}" for w, h in edges) + f" mm of {said[:2]}; symbols " +
                  ", ".join(f"{w:.2f}" for w, _ in reds) + f" of {symbols} mm; {fit}")
            if not ok:
                failed += 1
                print(f"FAILED: {size}")
        failed += languages(tmp, path)
    sys.exit(failed > 0)


def languages(tmp, path):
    """Long names and other scripts fit, or are said not to."""
    failed = 0
    names = ["Vétiver, teinture d’Haïti à 95 %", "Тинктура ветивера", "ベチバーチンキ剤", "صبغة نجيل الهند",
             "Tincture of aged orris rhizome, of tonka, of ambrette seed and of Haitian vetiver, reserve of the cellar"]
    for name in names:
        with open(path, "w", encoding="utf-8") as f:
            f.write(RECORDS.format(name=name))
        for size in SIZES:
            text = pairs(json.loads(label(path, size, "--format", "json")), "fit")
            told = "All of it fits" in text or "does not fit" in text
            joins = "join or run the other way" in text
            if not told or joins != name.startswith("ص"):
                failed += 1
                print(f"FAILED: {name}, {size}: {text[:300]}")
    print(f"{len(names)} names in {len(SIZES)} sizes: each said to fit or not")
    return failed


main()
