"""new_ask_terminal.py - `lotward new KIND --ask` on a real pseudo-terminal.

Every field of every kind of record: first a wrong entry, which must be refused with words that say what to
type, then a right one. The file is then read with another XML reader and by `lotward audit`. Then: end of
input, Ctrl-C and a terminal that goes away in the middle must leave no file, and no question may be wider
than the terminal. Right and wrong entries are made from what the question itself says is wanted, and not
from the program's tables.
"""
import fcntl, os, pty, re, select, signal, struct, subprocess, sys, tempfile, termios, time
import xml.etree.ElementTree as ET

LOTWARD = os.path.join(os.environ["LW_BUILDDIR"], "lotward")
WAIT_S = 60
failed = looks = refused = 0


def fail(text):
    global failed
    failed += 1
    print("FAIL", text)


def expect(condition, text):
    global looks
    looks += 1
    if not condition:
        fail(text)


class Terminal:
    """A program on a terminal of its own; read() waits for the next prompt or for the end."""

    def __init__(self, args, folder, columns, **env):
        self.text = ""
        self.status = None
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.chdir(folder)
            signal.signal(signal.SIGINT, signal.SIG_DFL)  # a test run in the background has it ignored
            os.environ.update({"LC_ALL": "C", "TERM": "xterm", **env})
            os.execv(LOTWARD, [LOTWARD] + args)
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))

    def read(self):
        """Everything up to a prompt ("> " at the start of a line) or the end; None at the end."""
        got = ""
        end = time.monotonic() + WAIT_S
        while time.monotonic() < end:
            if not select.select([self.fd], [], [], 0.2)[0]:
                continue
            try:
                data = os.read(self.fd, 65536)
            except OSError:
                data = b""
            if not data:
                self.text += got
                self.last = got
                return None
            got += data.decode("utf-8", "replace").replace("\r\n", "\n")
            if got.endswith("\n> ") or got == "> ":
                self.text += got
                self.last = got
                return got
        fail("no prompt within %d s: %r" % (WAIT_S, got[-200:]))
        self.close()
        return None

    def type(self, line):
        os.write(self.fd, line.encode() + b"\n")
        return self.read()

    def close(self):
        if self.status is None:
            os.close(self.fd)
            self.status = os.waitpid(self.pid, 0)[1]
        return self.status


def plain(text):
    return " ".join(text.split())


# What the question says between its last brackets -> a right entry, and wrong ones.
def entries(asked, name):
    kind = asked.rsplit("(", 1)[1].rstrip(")> \n")
    after = kind.split(": ", 1)[1] if ": " in kind else ""
    if kind.startswith("an id"):
        return "A-1", ["two words", "-"]
    if kind == "text":
        return "Words & <more>, \"quoted\"", []
    if kind.startswith("a date"):
        return after, ["31/12/2026", "yesterday", "2026-02-30"]
    if kind.startswith("a per cent"):
        return after, ["lots", "28"]
    if kind.startswith("a ratio"):
        return after, ["thick", "1/40x"]
    if kind.startswith("one of"):
        return after.split()[0], ["no-such-word"]
    if kind == "yes or no":
        return "yes", ["perhaps"]
    if kind.startswith("a country"):
        return "FR", ["Atlantis"]
    if kind.startswith("the id of"):
        return "R-1", ["two words"]
    if kind.startswith("ids of"):
        return "R-1 R-2", ["a,b;c"]
    return after.split(",")[0].strip(), ["a handful", "12 furlongs-per-week"]


def question_of(text):
    """The name and the words of the question that stands before the prompt; None: another kind of line."""
    m = list(re.finditer(r"(?m)^([a-z][a-z0-9-]*): ", text))
    return (m[-1].group(1), plain(text[m[-1].start():])) if m else (None, plain(text))


def fill(kind, folder):
    """Fills a whole record of this kind, one of each thing inside it. Returns what was typed."""
    global refused
    path = os.path.join(folder, kind + ".xml")
    t = Terminal(["new", kind, "--ask", "--units", "us", "--out", path], folder, 80)
    typed, tag, seen = {}, kind, set()
    text = t.read()
    while text is not None:
        name, words = question_of(text)
        another = re.search(r"(Is there a|Another) ([a-z-]+)\? yes or no\.", plain(text))
        if another and (name is None or text.rfind("yes or no") > text.rfind("\n" + name + ": ")):
            tag = another.group(2)
            if another.group(1) == "Is there a":
                text = t.type("perhaps")
                expect(text is not None and "Type yes or no." in text, "%s: 'perhaps' is taken for yes or no" % kind)
            text = t.type("no" if tag in seen else "yes")
            seen.add(tag)
            continue
        if name is None:
            fail("%s: not a question: %s" % (kind, words))
            break
        right, wrong = entries(words, name)
        for entry in wrong:
            again = t.type(entry)
            if again is None:
                fail("%s %s: ended at '%s'" % (tag, name, entry))
                break
            # Refused: the entry is repeated, and a hint says what to type.
            expect("'%s':" % entry in plain(again) and len(plain(again)) > len(entry) * 2 + 10,
                   "%s %s: '%s' is not refused: %s" % (tag, name, entry, plain(again)[:160]))
            refused += 1
        text = t.type(right)
        if text is not None and "'%s':" % right in plain(text):
            fail("%s %s: its own example '%s' is refused: %s" % (tag, name, right, plain(text)[:200]))
            text = t.type("")
        else:
            typed.setdefault(tag, {})[name] = right
    status = t.close()
    expect(os.WIFEXITED(status) and os.WEXITSTATUS(status) == 0, "%s: status %r, %s" % (kind, status, t.last[-200:]))
    expect(os.path.exists(path), "%s: no file" % kind)
    return path, typed


def compare(kind, path, typed):
    root = ET.parse(path).getroot()
    expect(root.tag == "records" and len(root) == 1 and root[0].tag == kind, "%s: the file's shape" % kind)
    got = {}
    for e in root[0].iter():
        got.setdefault(e.tag, {}).update(e.attrib)
    expect(got == typed, "%s: the file holds %r, typed was %r" % (kind, got, typed))
    p = subprocess.run([LOTWARD, "audit", "--format", "json", path], capture_output=True, text=True)
    expect('"records_refused": 0' in p.stdout, "%s: `lotward audit` does not take the file: %s" % (kind, p.stderr[:300]))


def broken_off(how, folder):
    path = os.path.join(folder, "cut-%s.xml" % how)
    t = Terminal(["new", "batch", "--ask", "--out", path], folder, 80)
    t.read()
    t.type("26-101")
    if how == "end-of-input":
        os.write(t.fd, b"\x04")
        t.read()
        status = t.close()
        expect(os.WIFEXITED(status) and os.WEXITSTATUS(status) == 2 and "nothing was written" in t.text, "end of input: %r %s" % (status, t.last))
    elif how == "ctrl-c":
        os.write(t.fd, b"\x03")
        t.read()
        status = t.close()
        expect(os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGINT, "Ctrl-C: %r" % status)
    else:
        t.close()
    expect(not os.path.exists(path) and not [f for f in os.listdir(folder) if f.startswith("cut-")], "%s: leaves a file" % how)


def refused_before_the_first_question(folder):
    there = os.path.join(folder, "there.xml")
    open(there, "w").write("mine")
    for path in (there, os.path.join(folder, "no", "such", "folder.xml")):
        t = Terminal(["new", "batch", "--ask", "--out", path], folder, 80)
        expect(t.read() is None and "id: " not in t.text, "--out %s: asks before it refuses" % path)
        expect(os.WEXITSTATUS(t.close()) in (2, 3), "--out %s: status" % path)
    expect(open(there).read() == "mine", "--out writes over a file")


def width(columns, folder):
    """Questions keep to the terminal; the help key and the full stop do what the first line says."""
    t = Terminal(["new", "batch", "--ask"], folder, columns)
    text = t.read()
    for _ in range(12):
        again = t.type("?")
        expect(question_of(again)[1] == question_of(text)[1], "'?' does not ask the same again: %s" % plain(again))
        text = t.type("A-1" if text.endswith("places)\n> ") or "an id" in text else "")
    t.type(".")
    t.close()
    widest = max((line for line in t.text.split("\n")), key=len)
    expect(len(widest) <= columns, "%d columns: %r" % (columns, widest))


with tempfile.TemporaryDirectory(prefix="lw-ask.") as folder:
    known = subprocess.run([LOTWARD, "new", "zzzzzzzzzz"], capture_output=True, text=True).stderr
    kinds = re.search(r"one of: ([a-z -]+)", known).group(1).split()
    expect(len(kinds) > 15, "kinds: %s" % known)
    chosen = sys.argv[1:] or kinds
    fields = 0
    for kind in chosen:
        path, typed = fill(kind, folder)
        fields += sum(len(v) for v in typed.values())
        if os.path.exists(path):
            compare(kind, path, typed)
    for how in ("end-of-input", "ctrl-c", "hang-up"):
        broken_off(how, folder)
    refused_before_the_first_question(folder)
    for columns in (60, 80, 132):
        width(columns, folder)
    print("%d kinds, %d fields filled, %d wrong entries refused; %d looks, %d failures" %
          (len(chosen), fields, refused, looks, failed))
sys.exit(1 if failed or not looks else 0)
