"""Tests of the label rules over whole runs of the program: elements, property, classes, words."""
import csv
import json
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from xml.sax.saxutils import quoteattr

SRC, BUILD = os.environ["LW_SRCDIR"], os.environ["LW_BUILDDIR"]
LOTWARD = os.path.join(BUILD, "lotward")
DUMP = os.path.join(BUILD, "tests/consistency/fact_dump")
AS_OF = "2026-06-30"
failures = 0


def check(ok, text):
    global failures
    if not ok:
        failures += 1
        if failures <= 20:
            print("FAILED: " + text)
    return ok


def run(*args):
    p = subprocess.run([LOTWARD, *args], capture_output=True, text=True)
    if p.returncode not in (0, 1):
        sys.exit(f"lotward {' '.join(args)}: status {p.returncode}\n{p.stderr[:2000]}")
    return p.stdout


def write(tmp, name, text):
    path = os.path.join(tmp, name)
    with open(path, "w", encoding="utf-8") as f:
        f.write(text)
    return path


def findings(path):
    report = json.loads(run("audit", "--as-of", AS_OF, "--topic", "label", "--format", "json", path))
    return [f for f in report["findings"] if f["subject"]["kind"] == "label"]


def fact(name, path):
    p = subprocess.run([DUMP, SRC, AS_OF, name, path], capture_output=True, text=True)
    if p.returncode != 0:
        sys.exit(f"fact_dump {name}: {p.stderr[:2000]}")
    lines = [line.split("\t") for line in p.stdout.splitlines()]
    return [dict(zip(lines[0], line)) for line in lines[1:]]


def element_xml(tag, attrs):
    return "<" + tag + "".join(f" {k}={quoteattr(v)}" for k, v in attrs.items()) + "/>"


# --- elements ----------------------------------------------------------------------------------

def elements(tmp):
    complete = os.path.join(SRC, "tests/rules/label_complete.xml")
    root = ET.parse(complete).getroot()
    labels = {e.get("id")[2:]: dict(e.attrib) for e in root.findall("label")}
    with open(os.path.join(SRC, "tests/rules/label_elements.csv"), encoding="utf-8") as f:
        rows = list(csv.DictReader(line for line in f if not line.startswith("#")))
    catalogue = ET.parse(os.path.join(SRC, "data/catalogue/regime_element.xml")).getroot()
    listed = {(r.get("regime"), r.get("element")): r for r in catalogue.findall("row")}
    tested = {(labels[r["label"]]["regime"], r["element"]) for r in rows}
    required = {k for k, r in listed.items() if r.get("need") == "required"}
    check(required <= tested <= set(listed), f"required and not tested: {sorted(required - tested)}; "
          f"unknown: {sorted(tested - set(listed))}")
    # what is not tested by leaving it out is for a person to decide, or optional: never held or failed by the program
    told = {}
    for r in fact("label_element", complete):
        told.setdefault((r["regime"], r["element"]), set()).add(r["needed"])
    for k in sorted(set(listed) - tested):
        check("1" not in told.get(k, set()), f"{k}: asked for on a complete label, and no test leaves it out")
        check(listed[k].get("need") != "conditional" or told[k] & {"\\N", "0"}, f"{k}: {told[k]}")

    missing = [f for f in findings(complete) if f["rule"].endswith("element-missing")
               and f["severity"] != "note"]
    for f in missing:
        check(False, f"complete label {f['subject']['id']}: {f['message']} {f['verdict']}")

    out, cases = [], []
    for i, r in enumerate(rows):
        attrs = dict(labels[r["label"]], id=f"X-{i}")
        for field in r["field"].split(","):
            attrs.pop(field, None)
        if r["to"]:
            attrs[r["field"].split(",")[-1]] = r["to"]
        out.append(element_xml("label", attrs))
        cases.append((f"X-{i}", attrs["regime"], r["element"]))
    text = open(complete, encoding="utf-8").read().replace("</records>", "\n".join(out) + "\n</records>")
    by_label = {}
    for f in findings(write(tmp, "without.xml", text)):
        if f["rule"].endswith("element-missing") and f["verdict"] == "fails":
            by_label.setdefault(f["subject"]["id"], []).append(f)
    for label, regime, element in cases:
        words = listed[regime, element].get("name")
        named = [f for f in by_label.get(label, []) if f"under {regime}:" in f["message"] and
                 (f"({element})" in f["message"] or f"{words} is advised" in f["message"])]
        check(named, f"{regime}: a label without {element} does not fail with its name")
    print(f"{len(labels)} complete labels hold; {len(cases)} elements left out one at a time; "
          f"{len(set(listed) - tested)} of {len(listed)} are for a person")


# --- property ----------------------------------------------------------------------------------

LOT = """<records>
<premises id="W" name="Quillet Lane" country="{home}" address="4 Quillet Lane" contact="IH"
  us-cosmetic-sales="40000 USD"/>
<document id="D1" kind="product-safety-report" number="1" issued="2026-01-02"/>
<document id="D2" kind="product-file" number="2" issued="2026-01-02"/>
<document id="D3" kind="product-notification" number="3" issued="2026-01-02"/>
<person id="IH" name="I. Hale" phone="802-555-0142"/>
<party id="RP" name="Quillet" role="responsible-person" address="{address}" country="{country}"
  phone="+1 802 555 0142" email="help@example.com"/>
<receipt id="E1" date="2026-01-05" kind="solvent" material="ethanol" quantity="20 L" strength="95 %vol"
  alcohol-status="{spirit}" grade="sda-40-b"/>
<receipt id="M1" date="2026-01-05" kind="material" material="tonka" quantity="2 kg" water="8 %" origin-country="BR"
  source-code="A"/>
<batch id="L1" product="Tonka tincture" product-kind="{kind}" state="bottled" ratio="1:10" ratio-basis="mass-volume"
  start="2026-03-01" strained="2026-04-01" bottled="2026-04-10" best-before="{best}" composition="complete">
<charge receipt="M1" purpose="extracted" quantity="200 g"/>
<charge receipt="E1" purpose="solvent" quantity="2 L"/>
<component name="parfum" share="2 %"/>
<component name="coumarin" cas="91-64-5" share="0.25 %" classes="skin-sens-1b"/>
<yield stage="bottled" quantity="1.8 L" bottles="7" bottle-size="250 mL"/>
</batch>
<label id="OLD" batch="L1" market="{market}" intended-use="{use}" ufi="GMTT-2SQN-6FDD-6TV1" languages="en fr"
  function-clear="no" papers="D1 D2 D3" barred-kind="no" {more}/>
</records>
"""

MARKETS = [  # market, use, product kind, home, address, country, spirit, best before, more
    ("US", "maker-material", "material", "US", "4 Quillet Lane, Tamarack Hollow, VT 05099", "US", "duty-paid",
     "2029-03-01", ""),
    ("US", "consumer-chemical", "consumer-chemical", "US", "4 Quillet Lane, Tamarack Hollow, VT 05099", "US",
     "duty-paid", "2029-03-01", ""),
    ("US", "cosmetic", "cosmetic", "US", "4 Quillet Lane, Tamarack Hollow, VT 05099", "US", "denatured",
     "2028-03-01", ""),
    ("FR", "maker-material", "material", "FR", "4 rue du Quillet, 06130 Grasse", "FR", "duty-paid", "2029-03-01", ""),
    ("DE", "consumer-chemical", "consumer-chemical", "FR", "4 rue du Quillet, 06130 Grasse", "FR", "duty-paid",
     "2029-03-01", ""),
    ("EU", "cosmetic", "cosmetic", "US", "4 rue du Quillet, 06130 Grasse", "FR", "denatured", "2028-04-30",
     'origin-country="US"'),
    ("GB", "consumer-chemical", "consumer-chemical", "GB", "4 Quillet Lane, Bath BA1 1AA", "GB", "duty-paid",
     "2029-03-01", ""),
    ("GB", "cosmetic", "cosmetic", "GB", "4 Quillet Lane, Bath BA1 1AA", "GB", "denatured", "2028-04-30", ""),
    ("CA", "maker-material", "material", "CA", "4 Quillet Lane, Hatley QC", "CA", "duty-paid", "2029-03-01", ""),
    ("CA", "consumer-chemical", "consumer-chemical", "CA", "4 Quillet Lane, Hatley QC", "CA", "duty-paid",
     "2029-03-01", ""),
    ("CA", "cosmetic", "cosmetic", "CA", "4 Quillet Lane, Hatley QC", "CA", "denatured", "2028-04-30", ""),
]


def property_(tmp):
    lines_tried = 0
    for market, use, kind, home, address, country, spirit, best, more in MARKETS:
        what = f"{market} {use}"
        text = LOT.format(home=home, address=address, country=country, spirit=spirit, kind=kind, best=best,
                          market=market, use=use, more=more)
        path = write(tmp, "lot.xml", text)
        args = ("label", "L1", "--market", market, "--use", use, "--as-of", AS_OF, path)
        report = json.loads(run(*args, "--format", "json"))
        table = next(t for t in report["tables"] if t["name"] == "complete-text")
        fields = [row["field"] for row in rows_of(table)]
        left = [t for t in report["tables"] if t["name"] == "left-to-you"]
        check(not left, f"{what}: left to a person: {left and [r['field'] for r in rows_of(left[0])]}")
        record = ET.fromstring(run(*args, "--record"))
        attrs = dict(record.attrib)
        others = re.sub(r'<label id="OLD".*?/>', "", text, flags=re.S)
        labels = [dict(attrs, id="WHOLE")]
        for field in fields:
            short = dict(attrs, id=f"NO-{field}")
            check(field in short, f"{what}: line {field} is not in the record")
            short.pop(field, None)
            labels.append(short)
        body = "\n".join(element_xml("label", a) for a in labels)
        found = findings(write(tmp, "made.xml", others.replace("</records>", body + "</records>")))
        for f in found:
            # whether the printed labels add up is no question to a text
            if f["subject"]["id"] == "WHOLE" and f["rule"] != "labels-do-not-reconcile":
                check(f["severity"] == "note", f"{what}: {f['rule']}: {f['message']} ({f['verdict']})")
        open_ids = {f["subject"]["id"] for f in found if f["severity"] != "note"
                    and f["rule"] != "labels-do-not-reconcile"}
        for field in fields:
            lines_tried += 1
            check(f"NO-{field}" in open_ids, f"{what}: without {field} nothing is found")
    print(f"{len(MARKETS)} markets and uses: the whole label passes; {lines_tried} lines left out one at a time")


def rows_of(table):
    if table["rows"] and isinstance(table["rows"][0], dict):
        return table["rows"]
    names = [c["name"] for c in table["columns"]]
    return [dict(zip(names, row)) for row in table["rows"]]


# --- classes -----------------------------------------------------------------------------------

def classes(tmp):
    out = ['<records><premises id="W" country="US" code-sets="clp"/><place id="S" kind="shelf" premises="W"/>']
    for q in range(1, 101):
        out.append(f'<batch id="L{q}" state="bottled" start="2026-03-01" place="S" vessel-size="1 L" vessel-count="1" '
                   f'vessel-material="glass" composition="complete"><charge material="ethanol" purpose="solvent" '
                   f'quantity="1 L" strength="{q} %vol"/></batch>')
        for regime in ("ghs", "clp-eu"):
            out.append(f'<label id="{regime}-{q}" batch="L{q}" regime="{regime}"/>')
    path = write(tmp, "strengths.xml", "\n".join(out) + "</records>")
    demand = {(d["regime"], int(d["batch"][1:])): d for d in fact("label_demand", path)}
    storage = {int(c["id"][1:]): c for c in fact("container", path) if c["kind"] == "batch" and c["code_set"] == "clp"}
    agree = doubtful = 0
    for q in range(1, 101):
        flash = work_flash(q)
        for regime, scheme in (("ghs", "ghs"), ("clp-eu", "clp")):
            d = demand[regime, q]
            got = re.search(r"flam-liq-(\d)", d["classes"])
            got = got.group(1) if got else "none"
            want, other = flash[scheme]
            agree += check(got == want, f"{q} %vol {regime}: label {got}, work flash {want}")
            check((d["doubtful"] == "1") == (other != want and want != "none"),
                  f"{q} %vol {regime}: doubt {d['doubtful']}, work flash {want} or {other}")
            doubtful += d["doubtful"] == "1"
        c = storage.get(q)
        held = "none" if c is None or c["class"] == "\\N" else c["class"]
        mine = re.search(r"flam-liq-(\d)", demand["clp-eu", q]["classes"])
        check(held == (mine.group(1) if mine else "none"), f"{q} %vol: storage {held}")
    print(f"strengths 1 to 100 %vol: {agree} categories agree, {doubtful} of them in doubt and said so")


def work_flash(q):
    """(class to use, class also possible) by scheme; "none" outside all."""
    report = json.loads(run("work", "flash", f"{q} %vol", "--format", "json"))
    out = {}
    for c in report.get("classes", []):
        use = token(c["class"])
        out[c["scheme"]] = use, token(c.get("other_possible_class") or c["class"])
    return {s: out.get(s, ("none", "none")) for s in ("ghs", "clp")}


def token(words):
    m = re.fullmatch(r"Category (\d)", words or "")
    return m.group(1) if m else "none"


# --- words -------------------------------------------------------------------------------------

REGIME = {"clp": "clp-eu", "clp-2008": "clp-eu", "us": "us-hcs"}


def words(tmp):
    with open(os.path.join(SRC, "tests/published/statements.csv"), encoding="utf-8") as f:
        rows = list(csv.DictReader(line for line in f if not line.startswith("#")))
    labels, cases = [], []
    for i, r in enumerate(rows):
        regime = REGIME.get(r["wording"], "ghs")
        said = fill(r["text"])
        forms = [("as it stands", said, ""), ("upper case", said.upper(), ""),
                 ("other blanks", "  " + said.replace(" ", "   "), ""), ("no full stop", said.rstrip("."), "")]
        tokens = said.split(" ")
        if len(tokens) >= 4:  # one word left out, one changed: near enough to be shown
            # a word of the fixed part: not of a choice or a blank, nor before one
            fixed = [k for k in range(len(tokens) - 1) if "/" not in tokens[k] + tokens[k + 1] and
                     tokens[k].isalpha() and tokens[k] != "something"]
            longest = max(fixed, key=lambda k: len(tokens[k]))
            changed = list(tokens)
            changed[longest] = changed[longest][:-2] + "xq" + changed[longest][-1]
            forms.append(("a word changed", " ".join(changed), "altered"))
        for form, text, expect in forms:
            n = f"S{len(cases)}"
            labels.append(element_xml("label", {"id": n, "batch": "L1", "regime": regime, "statements": r["code"],
                                                "statement-text": text}))
            cases.append((n, r, form, text, expect))
    path = write(tmp, "words.xml", '<records><batch id="L1" state="bottled" composition="complete"><charge '
                 'material="ethanol" purpose="solvent" quantity="2 L" strength="95 %vol"/></batch>' +
                 "\n".join(labels) + "</records>")
    got = {w["id"]: w for w in fact("label_words", path)}
    for n, r, form, text, expect in cases:
        w = got[n]
        what = f"{r['code']} ({r['wording']}) {form}: '{text}'"
        if expect:
            if not check(w["altered"] != "" or w["superseded"] != "", f"{what}: not called altered"):
                continue
            if w["altered"]:
                check(text.strip()[:12].lower() in w["altered"].lower(), f"{what}: shown as {w['altered']}")
        else:
            check(w["altered"] == "" and w["not_in_words"] == "" and w["unknown_codes"] == "",
                  f"{what}: altered {w['altered']}; absent {w['not_in_words']}; unknown {w['unknown_codes']}")
            old = r["wording"] == "clp-2008"
            check((w["superseded"] != "") <= old, f"{what}: called superseded")
    print(f"{len(rows)} statements, {len(cases)} printed forms compared")


def fill(text):
    """A statement with its openings filled as a label would: first choice, some words for blanks."""
    text = re.sub(r"\[[^\]]*\] ?", "", text).replace("…/", "").replace("/…", "")
    text = text.replace("lighting/equipment", "lighting equipment")
    text = text.replace("(name of sensitising substance)", "coumarin")
    return text.replace("…", "something")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        {"elements": elements, "property": property_, "classes": classes, "words": words}[sys.argv[1]](folder)
    if failures:
        sys.exit(f"{failures} failed")
