"""Books that somebody changed: edited by hand, cut, with triggers or views planted, with a broken chain, of
another application, from a newer version. Every command that opens one must refuse it with a message, change not a
byte of it, and leave nothing beside it.

Environment: LW_SRCDIR, LW_BUILDDIR."""
import hashlib
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile

PROGRAM = os.path.join(os.environ["LW_BUILDDIR"], "lotward")
RECORDS = """<records>
  <premises id="W" country="US" use="workshop" code-sets="osha-1910.106"/>
  <place id="room" kind="room" premises="W"/>
  <receipt id="R1" date="2026-05-04" kind="solvent" material="ethanol" quantity="12 L" container-size="4 L"
           container-count="3" container-material="glass" place="room" strength="95 %vol"/>
  <batch id="L1" state="planned" product="Tonka"/>
  <receipt id="R2" date="2026-05-05" kind="solvent" material="ethanol" quantity="1 L" place="room"/>
</records>
"""
failed = 0
refusals = 0


def fail(*words):
    global failed
    failed += 1
    print("FAIL", *words)


def run(*words, cwd):
    return subprocess.run([PROGRAM, *words], capture_output=True, cwd=cwd, timeout=120)


def sql(*statements):
    """A change made with an ordinary SQLite, schema included."""
    def change(path):
        db = sqlite3.connect(path)
        db.execute("pragma writable_schema = on")
        for s in statements:
            db.execute(s)
        db.commit()
        db.close()
    return change


def poke(at, data):
    def change(path):
        with open(path, "r+b") as f:
            f.seek(at)
            f.write(data)
    return change


def cut(keep):
    def change(path):
        size = os.path.getsize(path)
        with open(path, "r+b") as f:
            f.truncate(keep if keep >= 0 else size + keep)
    return change


def grow(path):
    with open(path, "ab") as f:
        f.write(b"\0" * 100)


# Damage that no record stands in. The records are read as they were filed, or refused.
HARMLESS = {"cut by a byte", "a free list"}
TAMPERED = {
    "an amount edited by hand": sql("update entry set xml = replace(xml, '12 L', '2 L') where id = 'R1'"),
    "the date of filing edited": sql("update entry set filed = '2020-01-01T00:00:00Z' where seq = 3"),
    "a row deleted": sql("delete from entry where seq = 3"),
    "the first row deleted": sql("delete from entry where seq = 1"),
    "two rows exchanged": sql("update entry set seq = 100 where seq = 2", "update entry set seq = 2 where seq = 3",
                              "update entry set seq = 3 where seq = 100"),
    "a row put in": sql("insert into entry select 99, filed, kind, 'R9', action, amends, who, why, source_file,"
                        " source_line, replace(xml, 'R1', 'R9'), prev, hash from entry where id = 'R1'"),
    "a broken chain": sql("update entry set prev = hash where seq = 3"),
    "a hash of zeros": sql("update entry set hash = '" + "0" * 64 + "' where seq = 4"),
    "a trigger planted": sql("create trigger t after insert on entry begin delete from entry; end"),
    "a temporary-looking trigger": sql("create trigger [temp] before update on entry begin select 1; end"),
    "a view planted": sql("create view v as select * from entry"),
    "a view in place of the table": sql("alter table entry rename to kept", "create view entry as select * from kept"),
    "a table planted": sql("create table extra(x)"),
    "an index planted": sql("create index extra on entry(xml)"),
    "an index on an expression": sql("create index extra on entry(upper(xml))"),
    "a column added": sql("alter table entry add column extra"),
    "a generated column": sql("alter table entry add column g text as (hex(xml)) virtual"),
    "a virtual table planted": sql("create virtual table f using fts5(x)"),
    "a schema that reads another file": sql("insert into sqlite_schema values('table', 'x', 'x', 2, 'create table x(a)')"),
    "a schema of nonsense": sql("update sqlite_schema set sql = 'create table entry(' || sql where name = 'entry'"),
    "another application": sql("pragma application_id = 1234"),
    "no application": sql("pragma application_id = 0"),
    "a newer version": sql("pragma user_version = 99"),
    "an older version": sql("pragma user_version = 0"),
    "a write-ahead log": sql("pragma journal_mode = wal"),
    "cut to nothing": cut(0),
    "cut in the header": cut(50),
    "cut after a page": cut(4096),
    "cut by a byte": cut(-1),
    "the header's magic": poke(0, b"sqlite"),
    "the page size": poke(16, b"\x00\x01"),
    "the schema's format": poke(44, b"\xff\xff\xff\xff"),
    "the encoding": poke(56, b"\x00\x00\x00\x02"),
    "a free list": poke(32, b"\x00\x00\x00\x03\x00\x00\x00\x09"),
}


def commands(tmp):
    book = ["--book", "book"]
    records, amended = os.path.join(tmp, "more.xml"), os.path.join(tmp, "amended.xml")
    return [
        ["book", "verify", *book], ["book", "export", *book], ["book", "history", "--full", *book],
        ["book", "backup", "copy", *book], ["book", "export", "--csv", "tables", *book],
        ["audit", "--as-of", "2026-06-30", *book], ["check", "--as-of", "2026-06-30", *book],
        ["inventory", "--on", "2026-06-30", *book], ["trace", "R1", *book],
        ["file", *book, records], ["amend", *book, "--who", "t", "--why", "t", amended],
        ["waive", *book, "--until", "2027-01-01", "--reason", "r", "--by", "t", "--rule", "container-too-large-for-class"],
        ["audit", "--as-of", "2026-06-30", "--file", *book],
    ]


def digest(path):
    return hashlib.sha256(open(path, "rb").read()).hexdigest()


def attack(name, change, good, tmp, wanted):
    global refusals
    work = os.path.join(tmp, "w")
    shutil.rmtree(work, ignore_errors=True)
    os.mkdir(work)
    book = os.path.join(work, "book")
    shutil.copyfile(good, book)
    os.chmod(book, 0o600)
    change(book)
    for extra in ("book-wal", "book-shm"):
        if os.path.exists(os.path.join(work, extra)):
            os.remove(os.path.join(work, extra))
    before = digest(book)
    for words in commands(tmp):
        p = run(*words, cwd=work)
        what = f"{name}: {words[0]} {words[1] if len(words) > 1 else ''}"
        refusals += 1
        if name in HARMLESS and p.returncode in (0, 1):
            now = run("book", "export", "--book", "book", cwd=work)
            lost = set(wanted.split(b"\n")) - set(now.stdout.split(b"\n"))
            # An amendment takes the place of the record it corrects.
            if now.returncode == 0 and any(b'"R2"' not in line for line in lost) or now.returncode == 1:
                fail(what, "records were lost:", lost)
            shutil.rmtree(work)
            os.mkdir(work)
            shutil.copyfile(good, book)
            change(book)
            continue
        verdict = words[:2] == ["book", "verify"] and p.returncode == 1 and b"does not verify" in p.stdout
        if p.returncode not in (2, 3) and not verdict:
            fail(what, "exit", p.returncode, p.stdout[:200], p.stderr[:200])
        if b"book" not in p.stderr and not verdict:
            fail(what, "nothing is said of the book:", p.stderr[:200])
        if digest(book) != before:
            fail(what, "the book was changed")
            return
        if os.listdir(work) != ["book"] and sorted(os.listdir(work)) != ["book", "tables"]:
            fail(what, "left beside it:", os.listdir(work))
            return
        if os.path.isdir(os.path.join(work, "tables")) and name not in HARMLESS and os.listdir(os.path.join(work, "tables")):
            fail(what, "tables were written from it")


def main():
    with tempfile.TemporaryDirectory(prefix="lw-books.") as tmp:
        good = os.path.join(tmp, "good")
        open(os.path.join(tmp, "records.xml"), "w").write(RECORDS)
        open(os.path.join(tmp, "more.xml"), "w").write('<records><person id="p" name="n"/></records>')
        open(os.path.join(tmp, "amended.xml"), "w").write(
            '<records><receipt id="R2" date="2026-05-05" kind="solvent" material="ethanol" quantity="2 L"'
            ' place="room"/></records>')
        p = run("file", "--book", good, os.path.join(tmp, "records.xml"), cwd=tmp)
        if p.returncode != 0:
            fail("the good book cannot be made", p.stderr)
            return
        want = run("book", "export", "--book", good, cwd=tmp).stdout
        # The good one is taken by each command: what is refused below is refused for its own reason.
        work = os.path.join(tmp, "plain")
        os.mkdir(work)
        shutil.copyfile(good, os.path.join(work, "book"))
        for words in commands(tmp):
            p = run(*words, cwd=work)
            if p.returncode not in (0, 1):
                fail("the good book:", words, p.returncode, p.stderr[:300])
        for name, change in TAMPERED.items():
            attack(name, change, good, tmp, want)
        # A file that grew is no book either, or is read as the book it was: never as something else.
        shutil.rmtree(os.path.join(tmp, "w"))
        os.mkdir(os.path.join(tmp, "w"))
        book = os.path.join(tmp, "w", "book")
        shutil.copyfile(good, book)
        grow(book)
        p = run("book", "export", "--book", book, cwd=tmp)
        if p.returncode == 0 and p.stdout != want:
            fail("a book that grew is read as another")
    print(f"{len(TAMPERED)} changed books, {refusals} refusals looked at, {failed} failed")


main()
sys.exit(1 if failed or refusals < 300 else 0)
