"""terminal.py - what a terminal changes in a report, and what it does not.

On a pseudo-terminal: colour by default, none with NO_COLOR (the convention of no-color.org: any value that is
not empty) or on a dumb terminal, and the same words either way; lines as wide as the terminal between 60 and
200 columns; the same bytes in an ASCII and a UTF-8 locale; nothing of the program's own outside ASCII.
"""
import fcntl, os, pty, re, struct, subprocess, sys, tempfile, termios

LOTWARD = os.path.join(os.environ["LW_BUILDDIR"], "lotward")
DEMO = os.path.join(os.environ["LW_SRCDIR"], "data", "demo")
FILES = sorted(os.path.join(DEMO, f) for f in os.listdir(DEMO) if f.endswith(".xml"))
DAY = ["--as-of", "2026-12-31"]
SGR = re.compile(rb"\x1b\[[0-9;]*m")
failed = looks = 0


def expect(condition, text):
    global failed, looks
    looks += 1
    if not condition:
        failed += 1
        print("FAIL", text)


def on_terminal(args, columns, **env):
    pid, fd = pty.fork()
    if pid == 0:
        fcntl.ioctl(1, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        keep = {"PATH": os.environ["PATH"], "TERM": "xterm", "LC_ALL": "C", **env}
        os.execve(LOTWARD, [LOTWARD] + args, keep)
    out = b""
    while True:
        try:
            data = os.read(fd, 65536)
        except OSError:
            break
        if not data:
            break
        out += data
    os.close(fd)
    os.waitpid(pid, 0)
    out = out.replace(b"\r\n", b"\n")
    # A run of some length shows that it is at work, on a line it wipes again.
    return re.sub(rb"\r[^\n]*\r(\x1b\[K)?", b"", out)


def piped(args, **env):
    return subprocess.run([LOTWARD] + args, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          env={"PATH": os.environ["PATH"], "TERM": "xterm", "LC_ALL": "C", **env}).stdout


def widest(text):
    """Lines of one word may be longer: a path cannot be broken."""
    return max(len(line) for line in text.decode().split("\n") if len(line.split()) > 2)


audit = ["audit", "--topic", "storage"] + DAY + FILES
plain = piped(audit)
expect(len(plain) > 2000, "the audit prints next to nothing")
expect(not SGR.search(plain), "colour in a pipe")
colour = on_terminal(audit, 80)
expect(SGR.search(colour), "no colour on a terminal")
expect(SGR.sub(b"", colour) == plain, "the words on a terminal of 80 columns are not those of a pipe")
for env in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
    expect(on_terminal(audit, 80, **env) == plain, "%r: not the plain text" % env)
expect(SGR.search(on_terminal(audit, 80, NO_COLOR="")), "an empty NO_COLOR counts")
expect(SGR.search(piped(audit + ["--color", "always"])), "--color always in a pipe")
expect(on_terminal(audit + ["--color", "never"], 80) == plain, "--color never on a terminal")
for columns, most in ((40, 60), (60, 60), (100, 100), (200, 200), (300, 200)):
    text = on_terminal(audit, columns, NO_COLOR="1")
    expect(most - 25 < widest(text) <= most, "a terminal of %d columns gives lines of %d" % (columns, widest(text)))

with tempfile.TemporaryDirectory(prefix="lw-terminal.") as folder:
    path = os.path.join(folder, "r.xml")
    with open(path, "w", encoding="utf-8") as f:
        f.write('<records><premises id="W" name="Atelier Sœur-Forêt \u4e2d" country="FR"/>'
                '<receipt id="É1" date="2026-05-04" kind="solvent" material="ethanol" quantity="1 L"/></records>')
    same = [piped(["audit", "--as-of", "2026-06-30", path], LC_ALL=x) for x in ("C", "C.UTF-8", "POSIX", "no_such.UTF-8")]
    expect(len(set(same)) == 1, "the locale changes the report")
    for locale in ("C", "C.UTF-8"):
        shown = on_terminal(["lot", "W", path], 80, LC_ALL=locale)
        expect(b"\x1b]" not in shown, "a control sequence from a record")
text = piped(audit) + piped(["--help"]) + piped(["help", "cautions"]) + piped([])
expect(all(b < 128 for b in text.replace(b"\xc2\xb0", b"")), "bytes outside ASCII in the program's own words")

for args in (["adit"], ["audit", "--widht", "80"], ["hlep"], ["new", "recipt"], ["help", "cautoins"], ["work", "dilut"], ["explain", "container-too-large-for-clas"]):
    expect(b"did you mean" in piped(args), "%r: nothing near is offered: %r" % (args, piped(args)[:200]))
expect(b"bash, zsh or fish" in piped(["completion", "bsh"]), "completion: the shells are not named")
print("%d looks, %d failures" % (looks, failed))
sys.exit(1 if failed or not looks else 0)
