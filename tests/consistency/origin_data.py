"""Holds the origin tables against each other and against the published check values.

The look-ups here are written a second time, apart from the program's own, so that a slip in either
shows. Patterns are checked by the program's own tests, with PCRE2."""
import csv
import glob
import json
import os
import re
import sys
import xml.etree.ElementTree as ET

SRC = sys.argv[1]
ISO_CODES = '/usr/share/iso-codes/json/iso_3166-1.json'
TYPES = {
    'token': r'[a-z0-9][a-z0-9._-]*', 'number': r'-?\d+(\.\d+)?', 'integer': r'-?\d+',
    'date': r'\d{4}-\d\d-\d\d', 'flag': r'yes|no', 'country': r'[A-Z]{2}', 'text': r'.+',
    'sure': r'verified|two-sources|secondary|computed|common-practice|from-memory',
}
TABLES = {}
faults = []


def fault(text):
    faults.append(text)


def table(name):
    return TABLES[name][1]


def load():
    for path in sorted(glob.glob(os.path.join(SRC, 'data', 'catalogue', '*.xml'))):
        root = ET.parse(path).getroot()
        name = root.get('name')
        if os.path.basename(path) != name + '.xml':
            fault(f'{path}: the file is not named after the table')
        types = {c.get('name'): c.get('type') for c in root.iter('column')}
        keys, rows = set(), []
        for row in root.iter('row'):
            key = tuple(row.get(k) for k in root.get('key').split())
            if None in key or key in keys:
                fault(f'{name}: key {key} is empty or used twice')
            keys.add(key)
            for column, value in row.attrib.items():
                if column not in types:
                    fault(f'{name} {key}: column {column} is not declared')
                elif not re.fullmatch(TYPES[types[column]], value, re.S):
                    fault(f'{name} {key}: {column}="{value}" is no {types[column]}')
            if not row.get('source') or not row.get('sure'):
                fault(f'{name} {key}: no source, or not said how sure')
            rows.append(dict(row.attrib))
        TABLES[name] = (root.get('key'), rows)


def refers(name, column, target, target_column, also=()):
    known = {r[target_column] for r in table(target)} | set(also)
    for row in table(name):
        value = row.get(column)
        if value is not None and value not in known:
            fault(f'{name}: {column}="{value}" is not in {target}')


def check_references():
    for name, column, target, key, also in (
            ('taxon', 'within', 'taxon', 'id', ()), ('taxon', 'annotation', 'annotation', 'annotation', ()),
            ('taxon_population', 'taxon', 'taxon', 'id', ()),
            ('taxon_population', 'annotation', 'annotation', 'annotation', ()),
            ('taxon_population', 'region', 'region_member', 'region', ()),
            ('taxon_lister', 'taxon', 'taxon', 'id', ()), ('taxon_synonym', 'taxon', 'taxon', 'id', ()),
            ('taxon_exception', 'taxon', 'taxon', 'id', ()), ('taxon_regime', 'taxon', 'taxon', 'id', ()),
            ('taxon_exception', 'annotation', 'annotation', 'annotation', ()),
            ('material', 'taxon', 'taxon', 'id', ()), ('material', 'exception', 'taxon_exception', 'id', ()),
            ('material', 'liquid', 'liquid', 'id', ()), ('material_alias', 'material', 'material', 'id', ()),
            ('material_practice', 'material', 'material', 'id', ()),
            ('form_class', 'annotation_form', 'form_word', 'form', ()),
            ('annotation_form', 'form', 'form_word', 'form', ()),
            ('annotation_form', 'annotation', 'annotation', 'annotation', ()),
            ('annotation_form', 'taxon', 'taxon', 'id', ()),
            ('document_item', 'kind', 'document_kind', 'id', ()),
            ('document_kind', 'layer', 'layer', 'id', ('any',)),
            ('validity', 'kind', 'document_kind', 'id', ()), ('validity', 'layer', 'layer', 'id', ('eu-import',)),
            ('paper_needed', 'document', 'document_kind', 'id', ()),
            ('paper_needed', 'layer', 'layer', 'id', ()), ('national_rule', 'layer', 'layer', 'id', ()),
            ('national_rule', 'material', 'material', 'id', ()), ('national_rule', 'taxon', 'taxon', 'id', ()),
            ('national_rule', 'needs', 'document_kind', 'id', ()),
            ('national_rule', 'form', 'form_word', 'form', ('any',)),
            ('hs_material', 'hs', 'hs_heading', 'hs', ()), ('hs_material', 'material', 'material', 'id', ()),
            ('retention', 'layer', 'layer', 'id', ('any',)),
            ('format_example', 'format', 'document_format', 'name', ()),
            ('region_member', 'country', 'country', 'code', ())):
        refers(name, column, target, key, also)


def check_taxa():
    listers = {r['taxon'] for r in table('taxon_lister')}
    populations = {r['taxon'] for r in table('taxon_population')}
    for t in table('taxon'):
        i = t['id']
        if t['cites_appendix'] not in ('I', 'II', 'III', 'none'):
            fault(f'taxon {i}: Appendix "{t["cites_appendix"]}"')
        if (t['listed'] == 'yes') != ('annotation' in t) or (t['listed'] == 'no') != (t['cites_appendix'] == 'none'):
            fault(f'taxon {i}: listing and annotation do not agree')
        if t['cites_appendix'] == 'III' and i not in listers:
            fault(f'taxon {i}: Appendix III without a listing country')
        if (t['population_matters'] == 'yes') != (i in populations) \
                or (t['population_matters'] == 'yes') != ('unknown_origin_appendix' in t):
            fault(f'taxon {i}: populations do not agree')
        for column in ('listed', 'iucn', 'eu_annex'):
            text = 'listed_text' if column == 'listed' else column
            if (text in t) != (column + '_sure' in t):
                fault(f'taxon {i}: not said how sure of {text}')
    forms = {}
    for r in table('annotation_form'):
        if 'taxon' not in r and 'propagation' not in r:
            forms.setdefault(r['annotation'], set()).add(r['form'])
    plant = {r['form'] for r in table('form_word')} - {'whole-animal', 'egg', 'animal-part'}
    for a in (f'#{n}' for n in range(1, 18)):
        if forms.get(a, set()) != plant:
            fault(f'annotation_form: {a} lacks {sorted(plant - forms.get(a, set()))}')
    for name, column in (('material_alias', 'alias'), ('trigger_word', 'word')):
        for r in table(name):
            if r[column] != ' '.join(r[column].lower().split()):
                fault(f'{name}: "{r[column]}" is not in small letters with single spaces')
    count = {}
    for r in table('material_alias'):
        count[r['alias']] = count.get(r['alias'], 0) + 1
    for r in table('material_alias'):
        if (count[r['alias']] > 1) != (r['ambiguous'] == 'yes') or (r['ambiguous'] == 'yes' and 'ask' not in r):
            fault(f'material_alias: "{r["alias"]}" is ambiguous, or not, and does not say so or what to ask')


def check_countries():
    if not os.path.exists(ISO_CODES):
        print('origin-data: no iso-codes data here, country codes not compared')
        return
    with open(ISO_CODES, encoding='utf-8') as f:
        iso = {c['alpha_2']: c for c in json.load(f)['3166-1']}
    ours = {r['code']: r for r in table('country')}
    for code, c in iso.items():
        r = ours.get(code)
        if r is None or r['status'] != 'iso' or r.get('alpha3') != c['alpha_3'] or r.get('numeric') != c['numeric']:
            fault(f'country {code}: {r} against {c}')
    for code, r in ours.items():
        if r['status'] == 'iso' and code not in iso:
            fault(f'country {code}: not in ISO 3166-1')


def find(name, kind):
    taxa = {t['id']: t for t in table('taxon')}
    found = [t for t in taxa.values() if t['scientific_name'] == name and t['kind'] == kind]
    if not found:
        found = [taxa[s['taxon']] for s in table('taxon_synonym')
                 if s['name'] == name and taxa[s['taxon']]['kind'] == kind]
    return min(found, key=lambda t: t['rank'] != 'species', default=None)


def listing(case):
    """Appendix, annotation, taxon, and the word for a name that is left out."""
    taxon = find(case['name'], case['kind'])
    if taxon is None or taxon['scientific_name'] != case['name']:
        for e in table('taxon_exception'):
            if e['scientific_name'] == case['name'] and e['kind'] == case['kind']:
                return e.get('cites_appendix', 'none'), e.get('annotation'), taxon, e['status']
    appendix, annotation = taxon['cites_appendix'], taxon.get('annotation')
    if taxon['population_matters'] == 'yes':
        if not case['origin']:
            return taxon['unknown_origin_appendix'], annotation, taxon, 'origin missing'
        regions = {r['region'] for r in table('region_member') if r['country'] == case['origin']}
        mine = [p for p in table('taxon_population') if p['taxon'] == taxon['id']]
        fits = [p for p in mine if p.get('country') == case['origin'] or p.get('region') in regions]
        fits = fits or [p for p in mine if 'country' not in p and 'region' not in p]
        appendix, annotation = fits[0]['cites_appendix'], fits[0].get('annotation')
    return appendix, annotation, taxon, ''


def check_listing(case):
    appendix, annotation, taxon, word = listing(case)
    expected = case['expected'].split('; ')
    got = 'not listed' if appendix == 'none' else 'appendix ' + appendix
    if expected[0] == 'check the current list':
        return taxon['list_check'] == 'yes' and appendix == 'none'
    ok = got == expected[0]
    for e in expected[1:]:
        if e.startswith('#'):
            ok = ok and annotation == e
        elif e == 'no annotation':
            ok = ok and annotation == 'none'
        elif e.startswith('listed by '):
            ok = ok and any(r['taxon'] == taxon['id'] and r['country'] == e[10:] for r in table('taxon_lister'))
        elif e.startswith('taxon '):
            ok = ok and taxon['id'] == e[6:]
        elif e == 'excluded by name':
            ok = ok and word == 'excluded'
        elif e == 'origin missing':
            ok = ok and word == 'origin missing'
        else:
            ok = False
    return ok


def check_covered(case):
    taxon = find(case['name'], case['kind'])
    propagation = {'A': 'propagated', 'W': 'wild'}.get(case['source_code'])
    rows = [r for r in table('annotation_form')
            if r['annotation'] == case['annotation'] and r['form'] == case['form']
            and r.get('taxon') in (None, taxon['id']) and r.get('propagation') in (None, propagation)]
    return listing(case)[1] == case['annotation'] \
        and max(rows, key=lambda r: int(r['priority']))['covered'] == case['expected']


def check_rule(case):
    taxon = find(case['name'], case['kind'])
    rows = [r for r in table('national_rule')
            if r.get('taxon') in (taxon['id'], taxon.get('within')) and r['layer'] == case['layer']]
    return bool(rows) and (case['expected'] != 'banned' or any(r['outcome'] == 'banned' for r in rows))


def check_format(case):
    """Only that the pattern exists and its examples hold the text; the matching itself is PCRE2's."""
    fits = {(r['format'], r['text']): r['fits'] for r in table('format_example')}
    want = 'yes' if case['expected'] == 'match' else 'no'
    return fits.get((case['document'], case['text'])) == want


def check_cases():
    checks = {'listing': check_listing, 'covered': check_covered, 'national-rule': check_rule,
              'format': check_format}
    done = dict.fromkeys(checks, 0)
    with open(os.path.join(SRC, 'tests', 'published', 'origin_cases.csv'), encoding='utf-8') as f:
        for case in csv.DictReader(line for line in f if not line.startswith('#')):
            if case['question'] in checks:
                done[case['question']] += 1
                if not checks[case['question']](case):
                    fault(f'case {case["id"]}: {case["name"] or case["text"]}: expected {case["expected"]}')
    for question, n in done.items():
        if n == 0:
            fault(f'no case asks "{question}"')


load()
check_references()
check_taxa()
check_countries()
check_cases()
for text in faults:
    print('origin-data:', text)
sys.exit(1 if faults else 0)
