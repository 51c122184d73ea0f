"""Characters that drive a terminal, and markup, in every free text of a year's records: none of them comes out
raw, whatever the command and the format. Reads the list of free-text attributes from the dictionary's source.

Environment: LW_SRCDIR, LW_BUILDDIR."""
import csv
import glob
import html.parser
import io
import json
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET

SRC, BUILD = os.environ["LW_SRCDIR"], os.environ["LW_BUILDDIR"]
PROGRAM = os.path.join(BUILD, "lotward")
# C1 CSI, next line, delete, overrides, isolates, marks, line separator, byte order mark.
DRIVERS = "\u009b31m\u0085\u007f\u202e\u2066\u200f\u2028\ufeff\u0090q\u009c"
EVIL = (DRIVERS + "<script>alert(1)</script><img src=x onerror=alert(2)>&amp;\"'`--></style>]]>"
        "\"},{\"ruleId\":\"planted\"}${x}{id}%n\\u001b\\")
FORMULA = "=cmd|'/C calc'!A0" + DRIVERS
DAY = "2026-12-31"
failed = 0
checked = 0


def fail(what):
    global failed
    failed += 1
    print("FAIL", what)


def text_attributes():
    """kind -> names of its free-text attributes."""
    of_array, kinds = {}, {}
    for path in glob.glob(os.path.join(SRC, "src/record/dict_*.h")):
        source = open(path, encoding="utf-8").read()
        for array, body in re.findall(r"struct dict_attr (\w+)_attrs\[\] = \{(.*?)\n\};", source, re.S):
            of_array[array] = re.findall(r'\{"([a-z0-9-]+)",\s*ATTR_TEXT', body)
    dictionary = open(os.path.join(SRC, "src/record/dictionary.c"), encoding="utf-8").read()
    for kind, array in re.findall(r'\{"([a-z-]+)",[^}]*?ATTRS\((\w+)_attrs\)\}', dictionary):
        kinds[kind] = of_array[array]
    return kinds


def spoil(kinds, folder):
    """The demo workroom with something evil in every free text; returns the files."""
    files, first = [], {}
    for path in sorted(glob.glob(os.path.join(SRC, "data/demo/*.xml"))):
        tree = ET.parse(path)
        for e in tree.getroot().iter():
            for name in kinds.get(e.tag, []):
                if name in e.attrib:
                    e.set(name, e.get(name) + " " + EVIL)
                elif first.setdefault((e.tag, name), 0) < 2:
                    e.set(name, FORMULA if first[(e.tag, name)] else EVIL)
                    first[(e.tag, name)] += 1
        out = os.path.join(folder, os.path.basename(path))
        tree.write(out, encoding="utf-8", xml_declaration=True)
        files.append(out)
    return files


def drives(c):
    o = ord(c)
    return (o < 0x20 and c != "\n") or 0x7F <= o <= 0x9F or o in (0x2028, 0x2029, 0xFEFF, 0x200E, 0x200F, 0x061C) \
        or 0x202A <= o <= 0x202E or 0x2066 <= o <= 0x2069


class Page(html.parser.HTMLParser):
    """Elements and attributes of a page; anything of the records that became markup shows here."""
    def __init__(self):
        super().__init__()
        self.bad = []

    def handle_starttag(self, tag, attrs):
        if tag in ("script", "img", "iframe", "object", "embed", "link", "base", "form"):
            self.bad.append(tag)
        for name, value in attrs:
            if name.startswith("on") or (name in ("src", "href") and not (value or "").startswith("#")):
                self.bad.append(f"{tag} {name}={value}")


def check_csv(what, text):
    for row in csv.reader(io.StringIO(text, newline="")):
        for cell in row:
            if cell[:1] in ("=", "+", "-", "@", "\t", "\r") and not re.fullmatch(r"[-+]?[\d.,]+( [\w%/]+)?( \([-+]?[\d.,]+ [\w%/]+\))?", cell):
                fail(f"{what}: a cell a spreadsheet would run: {cell[:40]!r}")
                return


def check(what, data, form):
    global checked
    checked += 1
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as e:
        fail(f"{what}: not UTF-8: {e}")
        return
    if form == "color":
        text = re.sub("\x1b\\[[0-9;]*m", "", text)
    raw = sorted({c for c in text if drives(c) and not (form == "csv" and c == "\r")})
    if raw:
        at = min(text.index(c) for c in raw)
        fail(f"{what}: raw {[hex(ord(c)) for c in raw]} in {text[max(0, at - 60):at + 20]!r}")
    if form in ("json", "sarif"):
        try:
            doc = json.loads(text)
        except ValueError as e:
            fail(f"{what}: not JSON: {e}")
            return
        if form == "sarif" and any(r.get("ruleId") == "planted" for run in doc["runs"] for r in run["results"]):
            fail(f"{what}: a record planted a finding")
    if form == "page":
        page = Page()
        page.feed(text)
        if page.bad:
            fail(f"{what}: markup from a record: {page.bad[:3]}")
    if form == "svg":
        for e in ET.fromstring(text).iter():
            if e.tag.split("}")[-1] in ("script", "image", "foreignObject", "a", "use"):
                fail(f"{what}: <{e.tag}>")
    if form == "csv":
        check_csv(what, text)


def run(words, form, wanted=(0, 1), stdin=None):
    what = " ".join(w if len(w) < 40 else "..." + w[-20:] for w in words[:6])
    p = subprocess.run([PROGRAM] + words, capture_output=True, input=stdin, timeout=300,
                       env={"PATH": os.environ["PATH"], "TERM": "xterm", "TZ": "UTC"})
    check(what, p.stdout, form)
    check(what + " (messages)", p.stderr, "text")
    if wanted and p.returncode not in wanted:
        fail(f"{what}: exit {p.returncode}: {p.stderr.decode(errors='replace')[:300]}")
    return p


def main():
    kinds = text_attributes()
    if len(kinds) < 25 or "note" not in kinds["receipt"]:
        fail("the dictionary's source is not understood")
        return
    with tempfile.TemporaryDirectory(prefix="lw-escapes.") as tmp:
        files = spoil(kinds, tmp)
        day = ["--as-of", DAY]
        reports = [["audit"], ["check"], ["inventory"], ["sale", "S-26-001"], ["lot", "26-001"],
                   ["label", "26-001"], ["ethanol"], ["trace", "26-001"]]
        for words in reports:
            on = [] if words[0] == "trace" else day
            for form in ("text", "color", "json", "page", "csv", "sarif"):
                flags = ["--color", "always"] if form == "color" else ["--format", form]
                run(words + on + flags + files, form, None)
        run(["trace", "26-001", "--svg"] + files, "svg", None)
        run(["ethanol", "--csv"] + day + files, "csv", None)
        run(["label", "26-001", "--record"] + day + files, "xml", None)
        book = os.path.join(tmp, "book")
        run(["file", "--try", "--book", book] + files, "text")
        run(["file", "--book", book] + files, "text")
        run(["book", "verify", "--book", book], "text")
        run(["book", "history", "--book", book], "text")
        run(["book", "history", "--full", "--book", book], "text")
        run(["book", "history", "batch", "26-001", "--full", "--book", book], "text")
        exported = run(["book", "export", "--book", book], "xml")
        again = os.path.join(tmp, "again.xml")
        open(again, "wb").write(exported.stdout)
        p = run(["file", "--book", book, again], "text")
        if b"0 records filed" not in p.stdout and b" 0 " not in b" " + p.stdout:
            fail(f"the export is not what the book holds: {p.stdout!r}")
        run(["audit", "--book", book] + day, "text")
        # An earlier report that somebody wrote: its words are printed as gone.
        earlier = json.loads(run(["audit", "--format", "json", "--book", book] + day, "json").stdout)
        for f in earlier["findings"]:
            f["key"] = "x" + f["key"]
            f["message"] = f["rule"] = f["subject"]["id"] = EVIL
        since = os.path.join(tmp, "since.json")
        json.dump(earlier, open(since, "w", encoding="utf-8"), ensure_ascii=False)
        for form in ("text", "json", "page", "csv", "sarif"):
            run(["audit", "--since", since, "--format", form, "--book", book] + day, form)
        earlier["title"] = EVIL
        json.dump(earlier, open(since, "w", encoding="utf-8"), ensure_ascii=False)
        run(["audit", "--since", since, "--book", book] + day, "text", (2,))
        for bad_json in ("", "[" * 100000, '{"findings": ' + "[" * 5000, '{"format": "lotward-report"}', "\x1b[31m"):
            open(since, "w").write(bad_json)
            run(["audit", "--since", since, "--book", book] + day, "text", (2, 3))
        # Messages about what is refused, and about the command line itself.
        refused = os.path.join(tmp, "refused.xml")
        bad = html.escape(EVIL, quote=True)
        with open(refused, "w", encoding="utf-8") as f:
            f.write("<records>")
            for kind in kinds:
                if kind not in ("records", "charge", "step", "reading", "yield", "check", "component", "line", "part"):
                    f.write(f'<{kind} id="{bad}" date="{bad}" quantity="{bad}" kind="{bad}" place="{bad}" n\u202eo="{bad}"/>')
            f.write(f'<receipt id="R" date="2026-01-01" material="{bad}" quantity="{bad}"/><x\u202e/></records>')
        run(["audit"] + day + [refused], "text", (2, 3))
        run(["file", "--book", book, refused], "text", (2,))
        kept = os.path.join(tmp, "kept.txt")
        run(["file", "--book", book, "--keep-good", kept, refused], "text", None)
        raw = "\x1b[31m\x1b]0;title\x07\x08\x9b\u202e\n"
        for words in (["audit", raw + ".xml"], [raw], ["audit", "--" + raw], ["explain", raw], ["card", raw],
                      ["lot", raw] + files, ["trace", raw] + files, ["label", raw] + files, ["sale", raw] + files,
                      ["help", raw], ["work", raw], ["work", "strength", "--have", raw], ["new", raw], ["form", raw],
                      ["rules", raw], ["audit", "--as-of", raw], ["audit", "--code-sets", raw] + files[:1],
                      ["audit", "--format", raw], ["audit", "--data", raw], ["book", "verify", "--book", raw],
                      ["book", raw, "--book", book], ["book", "history", raw, "--book", book], ["completion", raw],
                      ["audit", "--lot", raw] + files, ["audit", "--rule", raw] + files, ["waive", "--book", book, raw],
                      ["check", "--lot", raw] + files, ["label", "26-001", "--market", raw] + files,
                      ["book", "verify", "--expect", raw, "--book", book]):
            run(words, "text", None)
        # Control characters in a table: RFC 4180 does not forbid them.
        table = os.path.join(tmp, "place.csv")
        open(table, "w", encoding="utf-8").write('id,kind,note\np1,room,"' + raw + '"\n"p\x1b2",room,x\n')
        run(["audit"] + day + [table], "text", None)
        run(["file", "--book", book, table], "text", None)
        run(["book", "history", "--full", "--book", book], "text")
        # File names: with a new line, a tab, escapes; and one that is no UTF-8.
        for name in ("a\nb.xml", "a\x1b[31mb.xml", "a\tb.xml", "=a.xml", "a\udc9bb.xml", "<b>&\".xml", "-x.xml"):
            path = os.path.join(tmp, name)
            with open(os.fsencode(os.path.join(tmp, name)), "w", encoding="utf-8") as f:
                f.write('<records><place id="p" kind="room"/><place id="q" kind="' + bad + '"/></records>')
            for form in ("text", "json", "sarif", "csv", "page"):
                run(["audit", "--format", form] + day + ["--", path], form, None)
            with open(os.fsencode(path), "w", encoding="utf-8") as f:
                f.write('<records><receipt id="R-file" date="2026-05-04" material="ethanol" quantity="1 L"/></records>')
            for form in ("text", "json", "sarif", "csv", "page"):
                run(["audit", "--format", form] + day + ["--", path], form, None)
            own = os.path.join(tmp, "own-book")
            run(["file", "--book", own, "--", path], "text", None)
            run(["book", "history", "--full", "--book", own], "text", None)
    print(f"{checked} outputs looked at, {failed} failed")


main()
sys.exit(1 if failed or checked < 100 else 0)
