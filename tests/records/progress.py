#!/usr/bin/env python3
"""progress.py LOTWARD RECORDS - runs an audit with standard error on a pseudo-terminal, and in a pipe."""
import os
import pty
import re
import subprocess
import sys
import time

lotward, records = sys.argv[1:3]
TICK, WIPE = re.compile(rb'\rlotward: working, (\d{4}) s'), b'\r\x1b[K'
failed = 0


def fail(what):
    global failed
    failed = 1
    print('FAIL', what)


def on_terminal(args):
    """What the terminal got, what standard output got, and how long it took."""
    here, there = pty.openpty()
    start = time.monotonic()
    with open('/dev/null') as nothing, subprocess.Popen(args, stdin=nothing, stdout=subprocess.PIPE, stderr=there) as p:
        os.close(there)
        out = p.stdout.read()
        seen = b''
        while True:
            try:
                some = os.read(here, 65536)
            except OSError:
                break
            if not some:
                break
            seen += some
    os.close(here)
    return seen, out, time.monotonic() - start


audit = [lotward, 'audit', '--as-of', '2027-06-30', '--format', 'json', records]
seen, out, took = on_terminal(audit)
ticks = [int(n) for n in TICK.findall(seen)]
if took < 1.2:
    print(f'SKIP: the audit took {took:.1f} s only')
    sys.exit(77)
if ticks != list(range(1, len(ticks) + 1)) or not ticks:
    fail(f'ticks on the terminal: {ticks} in {took:.1f} s')
if WIPE not in seen or TICK.search(seen, seen.rfind(WIPE)):
    fail('the line is not wiped at the end')
if b'lotward: working' in out:
    fail('progress on standard output')
piped = subprocess.run(audit, capture_output=True)
if b'lotward: working' in piped.stderr or b'\r' in piped.stderr or b'\x1b' in piped.stderr:
    fail('progress in a pipe')
if piped.stdout != out:
    fail('the report differs on a terminal')
# A short run says nothing. On a busy machine a short run may be long: then it is tried again.
for _ in range(5):
    short, _, took = on_terminal([lotward, 'lot', '26-001', '--as-of', '2027-06-30', os.devnull])
    if took < 0.9:
        if b'lotward: working' in short:
            fail(f'progress in a run of {took:.1f} s')
        break
if not failed:
    print(f'{len(ticks)} ticks on a terminal, none in a pipe')
sys.exit(failed)
