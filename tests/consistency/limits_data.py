"""Holds data/limits against data/catalogue and against the figures typed from the citations."""
import csv
import glob
import os
import re
import sys
import xml.etree.ElementTree as ET

SRC = sys.argv[1]
CONDITIONS = ('class', 'container', 'occupancy', 'situation', 'storey', 'sprinklers', 'cabinet')
# A condition the CSV may leave unsaid because the cell does not depend on it.
IMPLIED = ('situation', 'sprinklers')
UPPER = {'not-more-than', 'less-than', 'no-limit'}
LOWER = {'not-less-than', 'more-than'}
TYPES = {
    'token': r'[a-z0-9][a-z0-9._-]*', 'number': r'-?\d+(\.\d+)?', 'integer': r'-?\d+',
    'date': r'\d{4}-\d\d-\d\d', 'flag': r'yes|no', 'country': r'[A-Z]{2}', 'text': r'.+',
    'sure': r'verified|two-sources|secondary|computed|common-practice|from-memory',
}
TABLES = ('liquid', 'liquid_alias', 'fire_class', 'exposure_limit', 'transport_entry', 'nfpa704',
          'self_heating', 'limit_name')
faults = []


def fault(text):
    faults.append(text)


def read_table(name):
    root = ET.parse(os.path.join(SRC, 'data', 'catalogue', name + '.xml')).getroot()
    types = {c.get('name'): c.get('type') for c in root.iter('column')}
    keys, rows = set(), []
    for row in root.iter('row'):
        key = tuple(row.get(k) for k in root.get('key').split())
        if key in keys or None in key:
            fault(f'{name}: key {key} is empty or used twice')
        keys.add(key)
        for column, value in row.attrib.items():
            if column not in types:
                fault(f'{name} {key}: column {column} is not declared')
            elif not re.fullmatch(TYPES[types[column]], value, re.S):
                fault(f'{name} {key}: {column}="{value}" is no {types[column]}')
        rows.append(row.attrib)
    return rows


def read_limits():
    sets = {}
    for path in sorted(glob.glob(os.path.join(SRC, 'data', 'limits', '*.xml'))):
        root = ET.parse(path).getroot()
        if os.path.basename(path) != root.get('id') + '.xml':
            fault(f'{path}: the file is not named after the code set')
        sets[root.get('id')] = list(root.iter('limit'))
    return sets


def check_names(sets, names):
    bound = {n['name']: n['bound'] for n in names}
    used = set()
    for codeset, limits in sets.items():
        seen = set()
        for x in limits:
            name = x.get('name')
            used.add(name)
            key = (name, x.get('when')) + tuple(x.get(c) for c in CONDITIONS)
            if key in seen:
                fault(f'{codeset}: {name} twice under the same conditions')
            seen.add(key)
            if name not in bound:
                fault(f'{codeset}: {name} is not in limit_name')
            elif (bound[name] == 'upper' and x.get('words') not in UPPER) or (
                    bound[name] == 'lower' and x.get('words') not in LOWER):
                fault(f'{codeset}: {name} says {x.get("words")}, limit_name says {bound[name]}')
    for name in set(bound) - used:
        fault(f'limit_name: no code set holds {name}')


def check_borrowed(sets):
    """A cautious figure must be printed, value and unit, in the code set its note names."""
    for x in sets['generic-cautious']:
        m = re.search(r'Taken from ([a-z0-9.-]*[a-z0-9])', x.text or '')
        if not m:
            continue
        if m.group(1) not in sets:
            fault(f'generic-cautious: no code set {m.group(1)}')
        elif not any(y.get('value') == x.get('value') and y.get('unit') == x.get('unit')
                     and y.get('name') == x.get('name') for y in sets[m.group(1)]):
            fault(f'generic-cautious: {x.get("name")} {x.get("value")} {x.get("unit")} '
                  f'is not in {m.group(1)}')


def check_published(sets):
    path = os.path.join(SRC, 'tests', 'published', 'fire_limits.csv')
    done = 0
    with open(path, encoding='utf-8', newline='') as f:
        rows = list(csv.DictReader(line for line in f if not line.startswith('#')))
    for r in rows:
        if r['kind'] != 'limit':
            continue
        want = dict(c.split('=') for c in r['conditions'].split(';') if c)
        found = [x for x in sets[r['codeset']] if x.get('name') == r['limit'] and all(
            x.get(c) == want.get(c) or (c in IMPLIED and c not in want) for c in CONDITIONS)]
        exact = [x for x in found if all(x.get(c) == want.get(c) for c in CONDITIONS)]
        found = exact or found
        if len(found) != 1:
            fault(f'{r["id"]}: {r["codeset"]} {r["limit"]} {r["conditions"]}: {len(found)} found')
            continue
        x = found[0]
        if r['expected'] == 'no-limit':
            same = x.get('words') == 'no-limit'
        else:
            same = x.get('value') is not None and x.get('unit') == r['unit'] and float(
                x.get('value')) == float(r['expected'])
        if not same or x.get('sure') != r['sure']:
            fault(f'{r["id"]}: {r["codeset"]} {r["limit"]} {r["conditions"]}: expected '
                  f'{r["expected"]} {r["unit"]} ({r["sure"]}), the sheet has {x.attrib}')
        done += 1
    if done < 600:
        fault(f'only {done} published figures were compared')


def main():
    tables = {name: read_table(name) for name in TABLES}
    liquids = {r['id'] for r in tables['liquid']}
    for name in ('liquid_alias', 'exposure_limit', 'nfpa704'):
        for r in tables[name]:
            if r['liquid'] not in liquids:
                fault(f'{name}: no liquid {r["liquid"]}')
    for r in tables['liquid']:
        for low, high in (('flash_c', 'flash_high_c'), ('boil_c', 'boil_high_c'),
                          ('density_kg_m3', 'density_high_kg_m3'), ('lel_percent', 'uel_percent'),
                          ('lel_percent', 'lel_high_percent'), ('uel_low_percent', 'uel_percent'),
                          ('autoignition_c', 'autoignition_high_c')):
            if low in r and high in r and float(r[low]) > float(r[high]):
                fault(f'liquid {r["id"]}: {low} is above {high}')
    sets = read_limits()
    check_names(sets, tables['limit_name'])
    check_borrowed(sets)
    check_published(sets)
    for text in faults:
        print(text)
    return 1 if faults else 0


sys.exit(main())
