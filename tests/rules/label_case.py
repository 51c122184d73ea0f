"""The worked cases of tests/published/label_cases.csv that need the program's facts and rules: each becomes records
of its own, and what the rules say of them is held against the published answer."""
import csv
import json
import os
import sys
import tempfile
import xml.etree.ElementTree as ET

import label_tests as t

OFFICIAL = "Highly flammable liquid and vapour. Causes serious eye irritation."
KINDS = {"limited-quantity": "bottle-over-limited-quantity", "excepted-quantity": "parcel-over-excepted-quantity"}
seen = {}


def pairs(text):
    return dict(p.split("=", 1) for p in text.split(";"))


def lot(case, strength=95, kind="material", components="", more="", bottle="", basis="vol"):
    return (f'<batch id="L-{case}" product-kind="{kind}" state="bottled" start="2026-03-01" bottled="2026-04-01" '
            f'composition="complete" {more}><charge material="ethanol" purpose="solvent" quantity="2 L" '
            f'strength="{strength} %{basis}"/>{components}{bottle}</batch>')


def label(case, **attrs):
    return t.element_xml("label", {"id": f"T-{case}", "batch": f"L-{case}",
                                   **{k.replace("_", "-"): v for k, v in attrs.items()}})


def sale(case, bottles=1, litres=0.05, to="US", **attrs):
    fields = {"id": f"S-{case}", "date": "2026-05-01", "from": "US", "to": to, "parcels": "1",
              **{k.replace("_", "-"): v for k, v in attrs.items()}}
    head = t.element_xml("sale", fields)[:-2] + ">"
    return head + f'<line batch="L-{case}" bottles="{bottles}" bottle-size="{litres * 1000:g} mL"/></sale>'


# --- the records of a case -----------------------------------------------------------------------

def small(c, g):
    more = '<component name="sensitiser" cas="97-53-0" share="2 %" classes="skin-sens-1"/>' if "skin-sens" in \
        g["classes"] else ""
    fields = dict(regime=g["regime"], capacity=f"{g['capacity_ml']} mL", product_name="Tincture", sold_to="business",
                  grouped="yes", languages="en fr", component_names="sensitiser")
    if g.get("quantity") != "":
        fields["net_quantity"] = f"{g['capacity_ml']} mL"
    if g["pictograms"]:
        fields.update(pictograms=g["pictograms"])
    if g["signal"]:
        fields["signal_word"] = g["signal"].lower()
    if g.get("supplier", "yes"):
        fields.update(party_name="Q", party_phone="+1 802 555 0142", ufi="GMTT-2SQN-6FDD-6TV1")
    if g.get("supplier") == "yes":
        fields["party_address"] = "4 Quillet Lane"
    named = {"outer_package_statement": "outer_label", "infeasibility_noted": "tag_not_feasible", "outer": "outer_label",
             "research": "research_only", "interferes": "label_interferes", "elsewhere": "text_elsewhere"}
    fields.update({field: g[key] for key, field in named.items() if key in g})
    if "panel_mm" in g:
        wide, high = g["panel_mm"].split("x")
        fields.update(label_width=wide + " mm", label_height=high + " mm")
    return lot(c, components=more) + label(c, **fields)


def precaution_count(c, g):
    codes = "P102 P210 P233 P240 P280 P403+P235 P501".split()[:int(g["count"])]
    return lot(c) + label(c, regime=g["regime"], capacity="250 mL", statements="H225 " + " ".join(codes),
                          statement_text=OFFICIAL)


def statement_count(c, g):
    return lot(c) + label(c, regime="clp-eu", capacity="250 mL", statements=g["code"], statement_text=OFFICIAL)


def allergen(c, g):
    share = g.get("pct") or f"{float(g['extract_pct']) * float(g['used_at_pct']) / 100:g}"
    return (lot(c, kind="cosmetic", components=f'<component name="{g["name"].lower()}" share="{share} %"/>') +
            label(c, regime=g["market"] + "-cosmetic", rinse_off="yes" if g["use"] == "rinse-off" else "no",
                  capacity="30 mL", market=g["market"].upper(), intended_use="cosmetic"))


def durability(c, g):
    year = 2026 + int(g["months"]) // 12
    return (lot(c, kind="cosmetic", more=f'best-before="{year}-04-01"') +
            label(c, regime=g["regime"], capacity="30 mL", net_quantity="30 mL"))


def acute(c, g):
    parts = ""
    for p in g["components"].split():
        ate, share = p.split("@")
        toxic = f'classes="{ate[6:]}"' if ate.startswith("class:") else f'oral-ate="{ate}"'
        parts += f'<component name="part" share="{share} %" {toxic}/>'
    return lot(c, components=parts) + label(c, regime="ghs", capacity="250 mL")


def dual_units(c, g):
    if "text" in g:
        metric, us = g["text"].split(" e ")
    else:
        metric, us = "29 mL", f"{g['fl_oz']} fl oz"
    return (lot(c, bottle='<reading kind="net-volume" volume="52 mL"/>') +
            label(c, regime="us-fhsa", net_quantity=metric, net_quantity_us=us + " us"))


def strength(c, g):
    return lot(c, strength=g["mass_pct"], basis="mas") + label(c, regime="ghs", capacity="250 mL")


def carriage(c, g):
    if g.get("as") == "transport-unit":
        return ""
    if g.get("scheme") == "49cfr" and "retail" in g:
        size = float(g["glass_inner_ml"])
        return (lot(c, strength=g["strength_vol_pct"], kind="cosmetic",
                    bottle=f'<yield stage="bottled" bottles="9" bottle-size="{size:g} mL" container-material="glass"/>') +
                sale(c, litres=size / 1000, mode="road"))
    if "id8000" in g:
        return lot(c, kind="cosmetic", strength=80) + sale(c, litres=float(g["inner_ml"]) / 1000, mode="air",
                                                           hazard_mark="ID8000", gross_mass=g["gross_kg"] + " kg")
    fields = dict(mode="road", carried_as=g.get("as", "full"), un_number="UN" + g.get("un", "1266"))
    if "gross_kg" in g:
        fields["gross_mass"] = g["gross_kg"] + " kg"
    litres = float(g.get("bottle_l", float(g.get("bottle_ml", 50)) / 1000))
    return (lot(c, strength=g.get("strength_vol_pct", g.get("strength_pct", 95))) +
            sale(c, bottles=int(g.get("bottles", 1)), litres=litres, **fields))


def post(c, g):
    if "flash_f" in g:
        return ""
    where = dict(mode="post-air" if g.get("service") == "air" else "post")
    if g["operator"] == "royal-mail":
        where.update(operator="uk-post", to="GB")
    elif g.get("service") == "international":
        where.update(to="FR")
    return lot(c, strength=95) + sale(c, bottles=int(g.get("bottles", 1)), litres=float(g.get("bottle_ml", 50)) / 1000,
                                      **where)


def excepted(c, g):
    group = {"e1": "III", "e2": "II"}.get(g["code"])
    return "" if group is None else lot(c) + sale(c, mode="road", un_number="UN1266", packing_group=group,
                                                  carried_as="excepted-quantity")


MAKE = {"small": small, "precaution-count": precaution_count, "statement-count": statement_count, "allergen": allergen,
        "durability": durability, "dual-units": dual_units, "strength": strength, "carriage": carriage, "post": post,
        "excepted": excepted, "acute": acute}


# --- what the rules say --------------------------------------------------------------------------

class World:
    """Findings and facts over the records of all cases."""

    def __init__(self, path):
        report = json.loads(t.run("audit", "--as-of", t.AS_OF, "--topic", "label", "--format", "json", path))
        self.found = {}
        for f in report["findings"]:
            self.found.setdefault(f["subject"]["id"], []).append(f)
        self.path, self.facts = path, {}

    def fails(self, subject, rule):
        return [f["message"] for f in self.found.get(subject, []) if f["rule"] == rule and f["verdict"] == "fails"]

    def untold(self, subject, rule):
        return [f for f in self.found.get(subject, []) if f["rule"] == rule and f["verdict"] == "cannot tell"]

    def missing(self, label_id):
        names = {m[m.rindex("(") + 1:m.rindex(")")] for f in self.found.get(label_id, [])
                 if f["rule"].endswith("-element-missing") and f["severity"] != "note" and f["verdict"] == "fails"
                 for m in [f["message"]]}
        return names

    def row(self, fact, ident):
        rows = self.facts.setdefault(fact, t.fact(fact, self.path))
        return [r for r in rows if r["id"] == ident]


def limit(codeset, name, **conditions):
    root = ET.parse(os.path.join(t.SRC, f"data/limits/{codeset}.xml")).getroot()
    rows = [r for r in root.findall("limit") if r.get("name") == name and
            all(r.get(k) == v for k, v in conditions.items())]
    return float(rows[0].get("value")), rows[0].get("unit"), rows[0].get("words")


def near(a, b, tolerance=1e-6):
    return abs(float(a) - float(b)) <= tolerance


def judge_small(w, c, g, e):
    """Missing in the table: none, elements by name, or codes with the precautions that go with them."""
    elements = w.missing(f"T-{c}")
    if e["missing"] != "none" and not e["missing"].startswith("H"):
        return elements == set(e["missing"].split()), elements
    codes = w.row("label_words", f"T-{c}")[0]["hazards_missing"]
    got = set(codes.split()) if w.fails(f"T-{c}", "hazard-statement-missing") else set()
    want = set() if e["missing"] == "none" else {x for x in e["missing"].split() if x.startswith("H")}
    others = elements - {"hazard-statement", "precautionary-statement"}
    return (got == want and ("hazard-statement" in elements) == bool(want) and
            ("precautionary-statement" in elements) == ("precautions" in e["missing"]) and not others and
            not w.untold(f"T-{c}", "hazard-statement-missing")), f"{got} {elements}"


def judge_labels(w, c, topic, g, e):
    ident = f"T-{c}"
    if topic == "small":
        return judge_small(w, c, g, e)
    if topic == "precaution-count":
        got = bool(w.fails(ident, "too-many-precautions"))
        return got == (e["over"] == "yes"), got
    if topic == "statement-count":
        got = w.row("label_words", ident)[0]["precautions_n"]
        return got == e["counts_as"], got
    if topic == "allergen":
        r = w.row("label_allergen", ident)[0]
        told = r["above"] == "1" and r["wanted"] == "required"
        unnamed = bool(w.fails(ident, "allergen-not-named"))
        ok = told == unnamed == (e["listed"] == "yes") and near(r["share_pct"], e.get("pct") or g["pct"])
        if "ppm" in e:
            said = t.run("label", f"L-{c}", "--market", "EU", "--as-of", t.AS_OF, w.path)
            ok = ok and f"{g['name']} {e['ppm']}.0 ppm" in said.replace("\n", " ")
        return ok, r
    if topic == "durability":
        got = w.missing(ident) & {"best-before", "period-after-opening"}
        return got == {e["missing"]}, got
    if topic == "dual-units":
        got = w.row("bottle_fill", ident)[0]["nominal_ml"] if "larger_ml" in e else \
            float(w.row("label_print", ident)[0]["net_us_l"]) * 1000
        return near(got, e.get("larger_ml") or e["ml"], 0.001 if "larger_ml" in e else 0.0001), got
    if topic == "acute":
        r = w.row("label_demand", ident)[0]
        graver = bool(w.fails(ident, "acute-toxicity-graver"))
        got = "graver" if graver else "H302" if "H302" in r["codes"] else "none"
        ate = float(r["oral_ate"])
        counted = abs(ate - float(e["ate"])) <= 0.001
        return got == e["result"] and counted and (r["codes"] == "\\N") == graver, f"{got} {ate}"
    if topic == "strength":
        got = w.row("label_regime", ident)[0]
        return near(got["volpct"], e["vol_pct"], 0.2) and near(got["ethanol_pct"], g["mass_pct"], 0.1), got["volpct"]
    return None


def judge_carriage(w, c, g, e):
    ident = f"S-{c}"
    if g.get("as") == "transport-unit":
        most, unit, words = limit("adr", "transport-unit-quantity", **{"class": g["packing_group"]})
        factor = round(limit("adr", "transport-unit-quantity", **{"class": "III"})[0] / most)
        points = float(g["load_l"]) * factor
        return unit == "L" and words == "not-more-than" and points == float(e["points"]) and \
            (float(g["load_l"]) <= most) == (e["within"] == "yes"), points
    if "retail" in g:
        r = w.row("sale_carriage", ident)[0]
        return (r["retail"] == "outside") == (e["regulated"] == "no"), r["retail"]
    if "regulated" in e:
        rows = w.row("sale_carriage", ident)
        got = bool(rows) and rows[0]["regulated"] == "1"
        return got == (e["regulated"] == "yes"), rows and rows[0]["regulated"]
    if "id8000" in g:
        rule = "consumer-commodity-over-limits"
    elif "gross_kg" in g:
        rule = "parcel-too-heavy"
    else:
        rule = KINDS[g["as"]]
        if "total_ml" in e and not near(w.row("sale_carriage", ident)[0]["per_parcel_ml"], e["total_ml"]):
            return False, "total"
    got = bool(w.fails(ident, rule))
    return got == (e["within"] == "no") and not w.untold(ident, rule), got


def judge_post(w, c, g, e):
    if "flash_f" in g:
        value, unit, words = limit("us-usps", "post-flash-lowest")
        within = float(g["flash_f"]) > value
        return (unit, words) == ("degF", "more-than") and within == (e["within"] == "yes"), value
    by_service = {"surface": "posted-parcel-over-total", None: "uk-post-over-limits"}
    rule = by_service.get(g.get("service"), "posted-by-air-or-abroad")
    got = w.fails(f"S-{c}", rule)
    ok = bool(got) == (e["within"] == "no") and not w.untold(f"S-{c}", rule)
    r = w.row("sale_carriage", f"S-{c}")[0]
    if "total_ml" in e:
        ok = ok and near(r["per_parcel_ml"], e["total_ml"])
    if e.get("because") == "count":
        ok = ok and float(r["bottles_a_parcel"]) > float(r["post_bottles_n"])
    if e.get("because") == "size":
        ok = ok and float(r["largest_ml"]) > float(r["post_bottle_ml"])
    return ok, got


def judge_excepted(w, c, g, e):
    inner = limit("adr", "eq-inner-size", situation=g["code"])
    outer = limit("adr", "eq-outer-quantity", situation=g["code"])
    ok = inner[:2] == (float(e["inner_ml"]), "mL") and outer[:2] == (float(e["outer_ml"]), "mL")
    for r in w.row("sale_carriage", f"S-{c}"):
        ok = ok and near(r["eq_inner_ml"], e["inner_ml"]) and near(r["eq_outer_ml"], e["outer_ml"])
    return ok, (inner, outer)


def cases(tmp):
    with open(os.path.join(t.SRC, "tests/published/label_cases.csv"), encoding="utf-8") as f:
        rows = [r for r in csv.DictReader(line for line in f if not line.startswith("#")) if r["topic"] in MAKE]
    body = "".join(MAKE[r["topic"]](r["id"], pairs(r["given"])) for r in rows)
    w = World(t.write(tmp, "cases.xml", f'<records><premises id="W" country="US"/>{body}</records>'))
    for r in rows:
        g, e = pairs(r["given"]), pairs(r["expect"])
        judged = {"carriage": judge_carriage, "post": judge_post, "excepted": judge_excepted}.get(r["topic"])
        ok, got = judged(w, r["id"], g, e) if judged else judge_labels(w, r["id"], r["topic"], g, e)
        t.check(ok, f"{r['id']}: {r['given']} gave {got}, not {r['expect']}")
        seen[r["topic"]] = seen.get(r["topic"], 0) + 1
    t.check(set(seen) == set(MAKE), f"topics without a case: {sorted(set(MAKE) - set(seen))}")
    print(f"{sum(seen.values())} worked cases judged by the rules, " + ", ".join(f"{n} {k}" for k, n in seen.items()))


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        cases(folder)
    if t.failures:
        sys.exit(f"{t.failures} failed")
