#!/usr/bin/env python3
"""breaks.py PAGE TEXT: where the printed sheet breaks. TEXT is the print as text, one form feed a side. Each side after
the first begins with a heading of the page, or with the head of a table (repeated); and no side ends with a heading, or
with a table head that has no row under it."""
import html.parser
import re
import sys


class Heads(html.parser.HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.inside, self.headings, self.firsts, self.first = None, [], [], True

    def handle_starttag(self, tag, attrs):
        if tag == 'thead':
            self.first = True
        if tag in ('h2', 'th'):
            self.inside = [tag, '']

    def handle_data(self, data):
        if self.inside:
            self.inside[1] += data

    def handle_endtag(self, tag):
        if self.inside and tag == self.inside[0]:
            if tag == 'h2':
                self.headings.append(self.inside[1].strip())
            elif self.first:
                self.firsts.append(self.inside[1].strip())
                self.first = False
            self.inside = None


def plain(s):
    return re.sub(r'\s+', ' ', s).strip()


def main():
    heads = Heads()
    heads.feed(open(sys.argv[1], encoding='utf-8').read())
    # a head may wrap: its first two words decide
    firsts = {' '.join(plain(t).split()[:2]) for t in heads.firsts}
    faults = []
    sides = [s for s in open(sys.argv[2], encoding='utf-8').read().split('\f') if s.strip()]
    for n, side in enumerate(sides, 1):
        lines = [plain(line) for line in side.splitlines() if line.strip()]
        start, end = lines[0], lines[-1]
        # side by side: several headings on one line
        if n > 1 and not any(start.startswith(h) for h in heads.headings) and \
                not any(start.startswith(f) for f in firsts):
            faults.append(f'side {n} begins in the middle: {start[:60]}')
        if end in heads.headings or any(end.startswith(f) for f in firsts if f):
            faults.append(f'side {n} ends with a heading: {end[:60]}')
    for fault in faults:
        print(f'{sys.argv[2]}: {fault}')
    print(f'{len(sides)} sides, breaks between sections or under a repeated head' if not faults else 'breaks: see above')
    return 1 if faults else 0


sys.exit(main())
