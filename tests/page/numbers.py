#!/usr/bin/env python3
"""numbers.py PAGE JSON [CELLS]: every number a reader sees on the sheet is in the JSON report, as it stands or
rounded and converted by the definitions below, and every amount of the JSON's totals and inventory is
on the sheet. Also: the page has no script and fetches nothing. Fewer than CELLS (20) compared is a fault too."""
import html.parser
import json
import re
import sys

NUMBER = re.compile(r'\d+(?:[.,]\d+)*')
# By definition: 231 in3 to the US gallon, 128 US fl oz to the gallon, 25.4 mm to the inch (NIST SP 811).
GALLON_L = 3.785411784
FACTORS = (1, 1000, 1 / GALLON_L, 128 / GALLON_L, 1 / 0.3048)
# One metre and its foot on the scale of the plan.
KNOWN = {'1', '3.28'}


class Page(html.parser.HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.skip, self.text, self.faults = 0, [], []

    def handle_starttag(self, tag, attrs):
        if tag in ('style', 'thead'):
            self.skip += 1
        if tag in ('script', 'link', 'iframe', 'object', 'embed', 'img', 'form', 'base'):
            self.faults.append(f'element {tag}')
        for name, value in attrs:
            if name.startswith('on') or name in ('src', 'href', 'action', 'srcset', 'background'):
                self.faults.append(f'attribute {name}="{value}" on {tag}')

    def handle_endtag(self, tag):
        if tag in ('style', 'thead'):
            self.skip -= 1

    def handle_data(self, data):
        if not self.skip:
            self.text.append(data)


def strings(node):
    if isinstance(node, dict):
        for value in node.values():
            yield from strings(value)
    elif isinstance(node, list):
        for value in node:
            yield from strings(value)
    elif isinstance(node, str):
        yield node


def numbers(node):
    if isinstance(node, dict):
        for value in node.values():
            yield from numbers(value)
    elif isinstance(node, list):
        for value in node:
            yield from numbers(value)
    elif isinstance(node, (int, float)) and not isinstance(node, bool):
        yield float(node)


def shows(token, value):
    """Is the token the value, rounded to as many digits as it has?"""
    if not re.fullmatch(r'[0-9]+([.][0-9]+)?', token):
        return False
    decimals = len(token.split('.')[1]) if '.' in token else 0
    if any(float(f'{value:.{digits}g}') == float(token) for digits in (3, 4)):
        return True  # an amount in the other unit system, to so many significant digits
    return abs(float(token) - value) <= 0.5000001 * 10 ** -decimals


def main():
    page = Page()
    source = open(sys.argv[1], encoding='utf-8').read()
    page.feed(source)
    report = json.load(open(sys.argv[2], encoding='utf-8'))
    seen = ' '.join(page.text)
    words = set(KNOWN)
    for text in strings(report):
        words.update(NUMBER.findall(text))
    values = [v * f for v in set(numbers(report)) for f in FACTORS]
    tokens = NUMBER.findall(seen)
    faults = page.faults
    for token in sorted(set(tokens) - words):
        if not any(shows(token, v) for v in values):
            faults.append(f'{token} is on the page and not in the JSON')
    if 'http:' in source or 'https:' in source or 'url(' in source or '@import' in source:
        faults.append('the page names something to fetch')
    distinct, cells = {t for t in tokens if re.fullmatch(r'[0-9]+([.][0-9]+)?', t)}, 0
    for table in report['tables']:
        if table['name'] not in ('lines', 'hazardous-materials', 'waste'):
            continue
        for row in table['rows']:
            for name, value in row.items():
                if isinstance(value, bool) or not isinstance(value, (int, float)) or value == 0:
                    continue
                cells += 1
                if not any(shows(t, value) or shows(t, value * 1000) for t in distinct):
                    faults.append(f'{value} of {table["name"]}, {name} is not on the page')
    print(f'{len(tokens)} numbers on the page, {cells} cells of the JSON looked for')
    least = int(sys.argv[3]) if len(sys.argv) > 3 else 20
    if len(tokens) < 50 or cells < least:
        faults.append('too little was compared')
    for fault in faults:
        print(fault)
    return 1 if faults else 0


sys.exit(main())
