"""bench_lots.py SRCDIR BUILDDIR - see bench-lots, which calls it."""
import glob
import json
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile

SOURCE, BUILD = sys.argv[1:3]
LOTWARD, BENCH = BUILD + "/lotward", BUILD + "/tests/bench/"
SIZES = [int(n) for n in os.environ.get("LW_BENCH_LOTS", "1000 10000 100000 1000000").split()]
MOST_MS = float(os.environ.get("LW_BENCH_MINUTES", "30")) * 60e3
OUT = os.environ.get("LW_BENCH_OUT", BUILD + "/bench.json")
AS_OF = "2026-12-31"
TROUBLE = os.environ.get("LW_BENCH_TROUBLE", "0.02")
QUICK = os.environ.get("LW_BENCH_QUICK") == "yes"
YEAR = 20 if QUICK else 300  # lots
RULES = """release-not-checked release-not-signed wet-waste-left-out spent-material-unaccounted cleaning-not-recorded
retention-sample-missing label-specimen-missing charge-without-instrument scientific-name-missing
invoice-does-not-reach-lot""".split()
bars, series, commands, wrong = [], [], [], []


def run(args, out=subprocess.DEVNULL):
    """Runs once: processor milliseconds, peak resident megabytes, output."""
    p = subprocess.Popen(args, stdout=out, stderr=subprocess.DEVNULL)
    text = p.stdout.read().decode() if out == subprocess.PIPE else ""
    _, status, use = os.wait4(p.pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        sys.exit("bench-lots: failed (%d): %s" % (os.waitstatus_to_exitcode(status), " ".join(args[:6])))
    return (use.ru_utime + use.ru_stime) * 1e3, use.ru_maxrss / 1024, text


def best(args, times):
    runs = [run(args) for _ in range(1 if QUICK else times)]
    return min(r[0] for r in runs), max(r[1] for r in runs)


def bar(what, value, most, unit):
    bars.append({"what": what, "value": round(value, 3), "unit": unit, "bar": most, "kept": value <= most})
    print("%-66s %10.2f %-4s bar %6g  %s" % (what, value, unit, most, "kept" if value <= most else
          "MISSED by %.2f" % (value - most)), flush=True)


def free_mb():
    with open("/proc/meminfo") as f:
        return int(re.search(r"MemAvailable: +(\d+)", f.read())[1]) / 1024


def per_lot(key, unit_ms=False):
    """What one more lot costs, from the two largest sizes there are."""
    done = [s for s in series if key in s]
    if len(done) < 2:
        return done[-1][key] / done[-1]["lots"] if done else 0
    a, b = done[-2:]
    return (b[key] - a[key]) / (b["lots"] - a["lots"])


def fits(what, row, ms_key, mb_key):
    ms, mb = per_lot(ms_key) * row["lots"], per_lot(mb_key) * row["lots"]
    if mb > 0.8 * free_mb():
        row[what + "_not_run"] = "needs about %.0f GB of memory, %.0f GB are free" % (mb / 1024, free_mb() / 1024)
    elif ms > MOST_MS:
        row[what + "_not_run"] = "would take about %.0f minutes" % (ms / 60e3)
    else:
        return True
    print("  %d lots: %s not run: %s" % (row["lots"], what, row[what + "_not_run"]), flush=True)
    return False


def generate(folder, n, trouble=TROUBLE):
    path = "%s/%d-%s.xml" % (folder, n, trouble)
    if not os.path.exists(path):
        with open(path, "wb") as f:
            subprocess.run([BENCH + "gen_lots", str(n), "1", "--trouble", trouble], stdout=f, check=True)
    return path


PLAN = """<records units="us" decimal="point"><batch id="PLAN" product="Vanilla tincture" state="planned"
 formula="F-vanilla-planifolia" ratio="1:10" ratio-basis="mass-volume" strength="92.8 %%vol" start="2026-12-31"
 days="56 day" place="shelf" vessel="J-new" vessel-size="1 qt" vessel-count="3" vessel-material="glass"
 closure="screw-cap" fill-temperature="20 degC" fill="800 mL" volume="2.36 L" by="AB" checker="CD">
<charge material="vanilla-planifolia" purpose="extracted" quantity="236 g" water="28 %%" date="2026-12-31" by="AB"
 instrument="SC1"/><charge material="ethanol" purpose="solvent" quantity="2360 mL" strength="190 proof"
 temperature="20 degC" date="2026-12-31" by="AB" instrument="CY1"/>
<step kind="pour" date="2026-12-31" duration="%s" place="workshop" quantity="2.36 L" open-area="%s"
 temperature="20 degC" lid="open" from-material="safety-can" to-material="glass" bonded="not-needed"
 ventilation-on="yes" alone="no" by="AB" checker="CD"/></batch></records>
"""


def write_plan(folder, name, duration, area):
    path = "%s/%s.xml" % (folder, name)
    with open(path, "w") as f:
        f.write(PLAN % (duration, area))
    return path


def small_books(folder):
    """What a person waits for: cold starts on the demo and on a year of 300 lots."""
    demo, year = sorted(glob.glob(SOURCE + "/data/demo/*.xml")), generate(folder, YEAR)
    good, bad = write_plan(folder, "good", "15 min", "0.0135 m2"), write_plan(folder, "bad", "180 min", "2.5 m2")
    bar("audit of the demo workroom, cold", best([LOTWARD, "audit", "--as-of", AS_OF] + demo, 5)[0], 100, "ms")
    bar("check of the demo plan, which fails, cold", best([LOTWARD, "check", "--as-of", AS_OF] + demo, 5)[0], 50, "ms")
    bar("check of a plan that passes on a %d-lot year, cold" % YEAR,
        best([LOTWARD, "check", "--as-of", AS_OF, good, year], 3)[0], 50, "ms")
    bar("check of a plan that fails on a %d-lot year, cold" % YEAR,
        best([LOTWARD, "check", "--as-of", AS_OF, bad, year], 3)[0], 50, "ms")
    bar("inventory of a %d-lot year, cold" % YEAR, best([LOTWARD, "inventory", "--as-of", AS_OF, year], 5)[0], 100, "ms")


def every_command(folder, n):
    """One line a command, on one file of n lots (the book of n lots where it says so)."""
    path, book = generate(folder, n), "%s/%d.book" % (folder, n)
    plan, as_of = write_plan(folder, "good", "15 min", "0.0135 m2"), ["--as-of", AS_OF]
    fresh = ["sh", "-c", 'rm -f "$1"; exec "$0" file --book "$1" "$2"', LOTWARD, book, path]
    lines = [("start-up (--version)", [LOTWARD, "--version"]), ("rules", [LOTWARD, "rules"]),
             ("explain vapour-above-quarter-of-lel", [LOTWARD, "explain", "vapour-above-quarter-of-lel"]),
             ("card tonka", [LOTWARD, "card", "tonka"]), ("schema", [LOTWARD, "schema"]), ("form batch", [LOTWARD, "form", "batch"]),
             ("work flash 95 %vol", [LOTWARD, "work", "flash", "95 %vol"]),
             ("file (into a new book)", fresh), ("book verify", [LOTWARD, "book", "verify", "--book", book]),
             ("audit --book", [LOTWARD, "audit", "--book", book] + as_of),
             ("audit", [LOTWARD, "audit"] + as_of + [path]),
             ("audit --format json", [LOTWARD, "audit", "--format", "json"] + as_of + [path]),
             ("check", [LOTWARD, "check"] + as_of + [plan, path]),
             ("inventory", [LOTWARD, "inventory"] + as_of + [path]), ("sale V1", [LOTWARD, "sale", "V1"] + as_of + [path]),
             ("lot L1", [LOTWARD, "lot", "L1"] + as_of + [path]), ("trace L1", [LOTWARD, "trace", "L1", path]),
             ("label L1", [LOTWARD, "label", "L1"] + as_of + [path])]
    print("  every command, %d lots of %.0f MB, milliseconds of processor time and peak MB:" % (n, os.path.getsize(path) / 1e6))
    for name, args in lines:
        try:
            ms, mb = best(args, 2)
        except SystemExit as e:
            print("    %-36s %s" % (name, e))
            wrong.append(str(e))
            continue
        commands.append({"command": name, "lots": n, "ms": round(ms, 1), "mb": round(mb, 1)})
        print("    %-36s %9.0f ms %7.0f MB" % (name, ms, mb), flush=True)


def profile(path, row):
    text = run([BENCH + "profile_facts", SOURCE, AS_OF, path], subprocess.PIPE)[2]
    for key, pattern in (("records", r"(\d+) records"), ("load", r"records ([\d.]+) ms"), ("facts", r"^facts ([\d.]+) ms"),
                         ("rules", r"^rules ([\d.]+) ms"), ("findings", r", (\d+) findings"),
                         ("scan", r"bare scan ([\d.]+) ms"), ("pairs", r"ms, (\d+) rule-rows")):
        row[key] = float(re.search(pattern, text, re.M)[1])
    worst = sorted(((float(a), b) for a, b in re.findall(r"^ *([\d.]+) ms  fact_(\w+)", text, re.M)), reverse=True)
    row["dearest"] = [{"fact": b, "ms": a} for a, b in worst[:12]]


def rules_as_templates(path, row):
    row["xslt"], _, text = run(["xsltproc", SOURCE + "/tests/bench/ten-rules.xsl", path], subprocess.PIPE)
    theirs = sorted(text.split("\n")[:-1])
    found = json.loads(run([LOTWARD, "audit", "--format", "json", "--as-of", AS_OF, path], subprocess.PIPE)[2])
    ours = sorted("%s %s" % (f["rule"], f["subject"]["id"]) for f in found["findings"]
                  if f["rule"] in RULES and f["verdict"] == "fails")
    row["named"] = len(ours)
    if ours != theirs or not ours:
        wrong.append("%d lots: the ten rules and their templates name other records: %s" %
                     (row["lots"], sorted(set(ours) ^ set(theirs))[:5]))
    row["ten"] = 0
    for rule in RULES:
        row["ten"] += run([LOTWARD, "audit", "--rule", rule, "--as-of", AS_OF, path])[0]


def one_size(folder, n):
    row = {"lots": n}
    series.append(row)
    if not fits("all", row, "xml_ms", "none") or n * 7.4e3 > 0.8 * shutil.disk_usage(folder).free:
        return
    path = generate(folder, n)
    row["mb"] = os.path.getsize(path) / 1e6
    if shutil.which("xmllint"):
        row["xml_ms"], _ = best(["xmllint", "--stream", "--noout", "--relaxng", SOURCE + "/docs/records.rng", path], 2 if n < 50000 else 1)
    if fits("file", row, "file_ms", "file_mb"):
        book = "%s/f%d.book" % (folder, n)
        row["file_ms"], row["file_mb"], _ = run([LOTWARD, "file", "--book", book, path])
        os.unlink(book)
    if fits("audit", row, "audit_ms", "audit_mb"):
        row["audit_ms"], row["audit_mb"] = best([LOTWARD, "audit", "--as-of", AS_OF, path], 2 if n <= 1000 else 1)
        profile(path, row)
        if n <= 10000 and shutil.which("xsltproc"):
            rules_as_templates(path, row)
    print("  %d lots, %.0f MB: %s" % (n, row["mb"], ", ".join(
        "%s %.1f s" % (label, row[k] / 1e3) for label, k in (("xmllint", "xml_ms"), ("file", "file_ms"), ("audit", "audit_ms"),
        ("load", "load"), ("facts", "facts"), ("rules", "rules"), ("bare scan", "scan"), ("xsltproc", "xslt"),
        ("ten audits of one rule each", "ten")) if k in row)), flush=True)
    if n > 10000:
        os.unlink(path)


def exponent(key):
    done = [s for s in series if s.get(key)]
    if len(done) < 2:
        return None
    a, b = done[0], done[-1]
    return {"what": key, "from": a["lots"], "to": b["lots"],
            "exponent": round(math.log(b[key] / a[key]) / math.log(b["lots"] / a["lots"]), 3)}


def verdicts():
    big = [s for s in series if "audit_ms" in s][-1]
    n = big["lots"]
    if "xml_ms" in big:
        bar("load, %d lots, against xmllint's streamed validation" % n, big["load"] / big["xml_ms"], 3, "x")
    bar("rules over the bare scan, %d lots, a rule and row" % n, (big["rules"] - big["scan"]) * 1e3 / big["pairs"], 0.2, "us")
    bar("whole audit over the bare scan, %d lots, a rule and row" % n, (big["audit_ms"] - big["scan"]) * 1e3 / big["pairs"], 0.2, "us")
    done = [s for s in series if "audit_ms" in s]
    for a, b in zip(done, done[1:]):
        bar("audit, %d lots against %d, for a tenfold" % (b["lots"], a["lots"]),
            b["audit_ms"] / a["audit_ms"] * 10 * a["lots"] / b["lots"], 11, "x")
    bar("peak memory of an audit a lot, %d lots" % n, per_lot("audit_mb") * 1024, 1, "KB")
    bar("peak memory of filing a lot, %d lots" % n, per_lot("file_mb") * 1024, 1, "KB")
    ten = [s for s in series if "xslt" in s]
    if ten:
        print("  the ten rules as templates, %d lots: xsltproc %.1f s; an audit by all %.0f rules %.1f s, %.1f times; %d records named by both"
              % (ten[-1]["lots"], ten[-1]["xslt"] / 1e3, 1.0 * len(glob.glob(SOURCE + "/rules/*/*.xml")), ten[-1]["audit_ms"] / 1e3,
                 ten[-1]["audit_ms"] / ten[-1]["xslt"], ten[-1]["named"]))
    for key in ("xml_ms", "file_ms", "load", "facts", "rules", "audit_ms"):
        e = exponent(key)
        if e:
            growth.append(e)
            print("  growth exponent of %-8s %6d to %6d lots: %.3f" % (key, e["from"], e["to"], e["exponent"]))
    print("  dearest facts: " + ", ".join("%s %.1f s" % (d["fact"], d["ms"] / 1e3) for d in big["dearest"][:8]))


growth = []
folder = tempfile.mkdtemp(prefix="lw-bench-")
try:
    for tool in ("xmllint", "xsltproc"):
        if not shutil.which(tool):
            print("  %s is not installed: nothing is compared with it" % tool)
    small_books(folder)
    every_command(folder, YEAR)
    for size in SIZES:
        one_size(folder, size)
    verdicts()
finally:
    shutil.rmtree(folder)
with open(OUT, "w") as f:
    json.dump({"bars": bars, "commands": commands, "series": series, "growth": growth, "wrong": wrong}, f, indent=1)
missed = sum(not b["kept"] for b in bars)
print("%d of %d bars kept; %s" % (len(bars) - missed, len(bars), OUT))
for w in wrong:
    print("WRONG: " + w)
sys.exit(1 if wrong or (missed and os.environ.get("LW_BENCH_BARS") == "yes") else 0)
