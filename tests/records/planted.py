#!/usr/bin/env python3
"""planted.py - a generated year of lots with planted errors, and what an audit must find.

  planted.py write DIR SEED [LOTS]    DIR/clean.xml, DIR/planted.xml, DIR/expected.csv
  planted.py judge EXPECTED CLEAN.json PLANTED.json   the table of recall and false alarms; exit 1 when
                                      something was missed or found beyond

The same seed gives the same bytes. Each kind of error is planted once alone on a record and at least once in company:
two kinds on one record. The rest of the 200 are pairs drawn by the seed. Beside each plant stands every finding that it must bring: the rule it is for, and
what follows from it by arithmetic. A missing value may also leave other rules of the same lot untold.
"""
import csv
import datetime
import json
import random
import sys
from xml.sax.saxutils import quoteattr

PLANTS = 200
RHO = 0.8114  # kg/L, 95 % vol at 20 degC: OIML R 22, as printed in its table to four figures


def day(d, n=0):
    return (d + datetime.timedelta(n)).isoformat()


class Node:
    def __init__(self, tag, children=(), /, **attrs):
        self.kind, self.children = tag, list(children)
        self.a = {k.rstrip('_').replace('_', '-'): v for k, v in attrs.items()}

    def xml(self, indent=1):
        pad = '  ' * indent
        attrs = ''.join(f' {k}={quoteattr(str(v))}' for k, v in self.a.items() if v is not None)
        if not self.children:
            return f'{pad}<{self.kind}{attrs}/>\n'
        return f'{pad}<{self.kind}{attrs}>\n' + ''.join(c.xml(indent + 1) for c in self.children) + f'{pad}</{self.kind}>\n'

    def find(self, tag, /, **want):
        for c in self.children:
            if c.kind == tag and all(c.a.get(k) == v for k, v in want.items()):
                return c
        raise KeyError((tag, want))

    def drop(self, tag, /, **want):
        self.children.remove(self.find(tag, **want))


class Year:
    def __init__(self, seed, lots):
        self.rng = random.Random(seed)
        self.records, self.lots, self.sales, self.labels = [], [], {}, {}
        self.products = [f'Tincture {c}' for c in 'ABCDEFGHIJ']
        self.extra = 0
        self.site()
        for i in range(lots):
            self.lot(i, lots)

    def add(self, *a, **k):
        n = Node(*a, **k)
        self.records.append(n)
        return n

    def site(self):
        self.add('premises', id='W', country='US', code_sets='ifc-2018')
        self.add('person', id='AB', name='A. Beck', from_='2024-01-01')
        self.add('person', id='CD', name='C. Dorn', from_='2024-01-01')
        self.add('person', id='EX', name='E. Xavier', from_='2024-01-01', until='2025-12-31')
        for i, (cap, div) in {'S1': ('3 kg', '0.1 g'), 'S3': ('200 g', '0.1 g'), 'S4': ('3 kg', '0.1 g'), 'S5': ('3 kg', '0.1 g')}.items():
            self.add('instrument', id=i, name='scale ' + i, kind='scale', calibrated='2027-06-20', interval='31 day', capacity=cap, division=div)
        self.add('instrument', id='C1', name='cylinder', kind='volumetric', calibrated='2027-06-20', interval='365 day', capacity='2 L', division='10 mL')
        self.add('party', id='P1', name='Supplier', role='supplier', country='US')
        self.add('party', id='P3', name='Buyer', role='buyer', country='US')
        for p in ('bench', 'fz1', 'fz2', 'fz3'):
            self.add('place', id=p, kind='room' if p == 'bench' else 'freezer', premises='W')
        for d in range(520):
            t = self.rng.choice((-17, -18, -19))
            self.add('log', id=f'G{d}', date=day(datetime.date(2026, 1, 1), d), place='fz1', temperature=f'{t} degC')
        for k, p in enumerate(self.products):
            self.add('formula', [Node('part', material=f'm{k}', purpose='extracted', quantity='125 g'),
                                 Node('part', material='ethanol', purpose='solvent', quantity='1 L')], id=f'f{k}', product=p)
            self.add('material', id=f'm{k}', name=f'Material {k}', kind='plant', form='dried')
            self.receipt(f'M{k}', f'm{k}', '60 kg', '2025-12-01')
        self.receipt('E1', 'ethanol', '1000 L', '2025-12-01')

    def receipt(self, id_, material, quantity, date, **more):
        solvent = material == 'ethanol'
        return self.add('receipt', id=id_, date=date, kind='solvent' if solvent else 'material', material=material, quantity=quantity, supplier='P1',
                        strength='95 %vol' if solvent else None, water=None if solvent else '10 %', **more)

    def lot(self, i, lots):
        r, k = self.rng, i % len(self.products)
        start = datetime.date(2026, 1, 5) + datetime.timedelta(i * 330 // lots)
        days = r.choice((28, 30, 35))
        strained = start + datetime.timedelta(days)
        bottled, released = strained + datetime.timedelta(6), strained + datetime.timedelta(8)
        lot = f'26-{i + 1:03d}'
        solvent = r.randrange(195, 206) * 10
        mass = round(solvent * 0.125 * r.uniform(0.98, 1.02), 1)
        if round(mass * 10) % 10 == 0:
            mass = round(mass + 0.1 * r.randrange(1, 10), 1)
        out = round(solvent * r.uniform(0.895, 0.905))
        marc = round(mass + (solvent - out) * RHO)
        filtered = out - r.randrange(15, 25)
        bottles = (filtered - 60) // 50
        by = dict(by='AB')
        b = self.add('batch', [
            Node('charge', receipt=f'M{k}', material=f'm{k}', purpose='extracted', quantity=f'{mass} g', date=day(start), by='AB', checker='CD', instrument='S1'),
            Node('charge', receipt='E1', purpose='solvent', quantity=f'{solvent} mL', date=day(start), by='AB', checker='CD', instrument='C1'),
            Node('step', kind='clean', date=day(start), place='bench', **by),
            Node('step', kind='weigh', date=day(start), place='bench', instrument='S1', checker='CD', **by),
            Node('step', kind='macerate', date=day(start), until=day(strained), place='bench', **by),
            Node('step', kind='strain', date=day(strained), place='bench', quantity=f'{out} mL', checker='CD', **by),
            Node('step', kind='chill', date=day(strained, 1), until=day(strained, 4), place='fz1', **by),
            Node('step', kind='filter', date=day(strained, 5), place='bench', **by),
            Node('step', kind='bottle', date=day(bottled), place='bench', **by),
            Node('step', kind='label', date=day(bottled), place='bench', **by),
            Node('yield', stage='strained', quantity=f'{out} mL', date=day(strained), **by),
            Node('yield', stage='marc', quantity=f'{marc} g', date=day(strained), **by),
            Node('yield', stage='filtered', quantity=f'{filtered} mL', date=day(strained, 5), **by),
            Node('yield', stage='bottled', bottles=bottles, bottle_size='50 mL', date=day(bottled), **by),
            Node('yield', stage='sample', bottles=1, bottle_size='50 mL', date=day(bottled), **by),
            Node('yield', stage='remainder', quantity=f'{filtered - 50 * (bottles + 1)} mL', date=day(bottled), **by),
            Node('check', kind='cleaning', opened=day(start), closed=day(start), result='pass', by='AB'),
            Node('check', kind='second-check', opened=day(start, 1), closed=day(start, 1), result='pass', by='CD'),
            Node('check', kind='label-specimen', opened=day(bottled), closed=day(bottled), result='pass', by='AB'),
            Node('check', kind='release', opened=day(released), closed=day(released), result='pass', by='CD'),
        ], id=lot, product=self.products[k], state='released', formula=f'f{k}', start=day(start), strained=day(strained), bottled=day(bottled),
            released=day(released), released_by='CD', vessel=f'J{i}', hold_time='60 day', by='AB', checker='CD')
        b.i, b.k, b.first = i, k, start
        b.solvent, b.mass, b.out, b.marc, b.filtered, b.n = solvent, mass, out, marc, filtered, bottles
        self.lots.append(b)
        self.add('waste', id=f'W{i}', date=day(strained, 5), batch=lot, kind='filter', quantity=f'{round((out - filtered) * RHO)} g')
        self.labels[lot] = self.add('label', id=f'L{i}', batch=lot, lot=lot, printed=day(bottled), issued=bottles + 5, used=bottles + 1, spoiled=1, returned=3)
        if i % 2 == 0:
            self.sales[lot] = self.add('sale', [Node('line', batch=lot, bottles=bottles // 2, bottle_size='50 mL')],
                                       id=f'V{i}', date=day(released, 10), buyer='P3', to='US', mode='road')

    def more(self):
        self.extra += 1
        return self.extra

    def xml(self):
        return ('<?xml version="1.0" encoding="UTF-8"?>\n<records units="us" decimal="point">\n' + ''.join(n.xml() for n in self.records) + '</records>\n')


# --- kinds of error: each takes the year and a lot, plants, and returns what must be found ------------------------

KINDS = {}


def kind(rule, lots='any', company=False, untold=False):
    def keep(f):
        KINDS[rule] = (f, lots, company, untold)
        return f
    return keep


def L(b, *rules):
    return {(r, b.a['id']) for r in rules}


def after(y, b):
    return y.lots[b.i + 1].a['id']


def simple(rule, change, **how):
    def f(y, b):
        change(b)
        return L(b, rule)
    kind(rule, **how)(f)


def rename(y, b, new):
    old = b.a['id']
    b.a['id'] = new
    for n in y.records:
        for m in [n] + n.children:
            if m.a.get('batch') == old:
                m.a['batch'] = new
        if n.kind == 'label' and n.a.get('lot') == old:
            n.a['lot'] = new


@kind('lot-number-missing-before', lots='unsold')
def _(y, b):
    y.records.remove(b)
    y.records = [n for n in y.records if n.a.get('batch') != b.a['id']]
    return {('lot-number-missing-before', after(y, b))}


@kind('lot-number-twice', lots='unsold')
def _(y, b):
    before = y.lots[b.i - 1].a['id']
    rename(y, b, '26-0' + before[3:])
    return L(b, 'lot-number-twice', 'lot-number-unusual') | {('lot-number-twice', before), ('lot-number-missing-before', after(y, b))}


@kind('lot-number-unusual', lots='unsold')
def _(y, b):
    rename(y, b, '26.' + b.a['id'][3:])
    return L(b, 'lot-number-unusual') | {('lot-number-missing-before', after(y, b))}


@kind('lot-copies-differ', company=True)
def _(y, b):
    copy = Node('batch', b.children, **{})
    copy.a = dict(b.a, note='typed again')
    y.records.append(copy)
    return L(b, 'lot-copies-differ')


simple('lot-date-missing', lambda b: b.a.update(strained=None), untold=True)
simple('lot-state-behind', lambda b: b.a.update(state='bottled'), lots='unsold')
simple('lot-date-in-future', lambda b: b.a.update(released='2028-01-10'), lots='unsold', company=True)
simple('lot-without-maker', lambda b: b.a.update(by=None), company=True)
simple('release-not-signed', lambda b: b.a.update({'released-by': None}), company=True)
simple('release-not-checked', lambda b: b.drop('check', kind='release'), company=True)
simple('released-against-check', lambda b: b.find('check', kind='release').a.update(result='fail'))
simple('label-specimen-missing', lambda b: b.drop('check', kind='label-specimen'), company=True)
simple('bulk-waited-too-long', lambda b: b.a.update({'hold-time': '3 day'}), company=True)
simple('void-without-reason', lambda b: b.a.update(state='void'), lots='unsold')
simple('charge-without-person', lambda b: b.find('charge', receipt='E1').a.update(by=None), company=True)
simple('charge-without-instrument', lambda b: b.find('charge', receipt='E1').a.update(instrument=None), company=True)
simple('mass-above-scale', lambda b: b.find('charge', purpose='extracted').a.update(instrument='S3'))
simple('mass-finer-than-scale', lambda b: b.find('charge', purpose='extracted').a.update(quantity=f'{b.mass + 0.04:.2f} g'))
simple('step-without-date', lambda b: b.find('step', kind='label').a.update(date=None), company=True)
simple('step-in-future', lambda b: b.find('step', kind='label').a.update(date='2029-03-01'))
simple('step-ends-before-it-begins', lambda b: b.find('step', kind='macerate').a.update(until=day(b.first, -3)), company=True)
simple('steps-out-of-order', lambda b: b.find('step', kind='bottle').a.update(date=day(b.first, 20)), company=True)
simple('check-without-day', lambda b: b.find('check', kind='cleaning').a.update(opened=None), company=True)
simple('check-without-person', lambda b: b.find('check', kind='second-check').a.update(by=None), company=True)
simple('deviation-without-words', lambda b: b.children.append(
    Node('check', kind='deviation', opened=day(b.first, 2), closed=day(b.first, 3), result='pass', by='AB')), company=True)
simple('person-not-on-list', lambda b: b.find('step', kind='filter').a.update(by='ZZ'), company=True)
simple('person-not-there-then', lambda b: b.find('step', kind='weigh').a.update(by='EX'), company=True)
simple('step-without-person', lambda b: b.find('step', kind='macerate').a.update(by=None), company=True)
simple('checked-by-same-person', lambda b: b.find('step', kind='weigh').a.update(checker='AB'), company=True)
simple('late-entry', lambda b: b.a.update(entered=day(b.first, 150)), company=True)
simple('correction-without-reason', lambda b: b.children.append(
    Node('check', kind='correction', opened=day(b.first, 9), closed=day(b.first, 9), result='pass', by='AB')), company=True)
simple('chilling-without-readings', lambda b: b.find('step', kind='chill').a.update(place='fz2'), company=True)
simple('yield-not-recorded', lambda b: b.drop('yield', stage='strained'), untold=True)
simple('charge-without-amount', lambda b: b.find('charge', purpose='extracted').a.update(quantity='about 250 g'), untold=True)
simple('charge-without-trace', lambda b: b.find('charge', purpose='extracted').a.update(receipt='LOST-' + b.a['id']), company=True)
simple('mass-unaccounted', lambda b: b.find('yield', stage='marc').a.update(quantity=f'{b.marc - 230} g'))
simple('mass-gained', lambda b: b.find('yield', stage='marc').a.update(quantity=f'{b.marc + 230} g'))


@kind('no-second-look', company=True)
def _(y, b):
    b.a['checker'] = None
    for c in b.children:
        if c.kind == 'charge':
            c.a['checker'] = None
    for c in [c for c in b.children if c.kind == 'check' and c.a['kind'] == 'second-check']:
        b.children.remove(c)
    return L(b, 'no-second-look')


@kind('cleaning-not-recorded', company=True)
def _(y, b):
    b.drop('step', kind='clean')
    for c in [c for c in b.children if c.kind == 'check' and c.a['kind'] == 'cleaning']:
        b.children.remove(c)
    return L(b, 'cleaning-not-recorded')


@kind('retention-sample-missing', company=True)
def _(y, b):
    b.drop('yield', stage='sample')
    b.find('yield', stage='remainder').a['quantity'] = f'{b.filtered - 50 * b.n} mL'
    return L(b, 'retention-sample-missing')


@kind('retention-sample-too-small', company=True)
def _(y, b):
    b.a['test-amount'] = '30 mL'  # a sample of 50 mL; 21 CFR 111.83(b) wants twice what the tests take
    return L(b, 'retention-sample-too-small')


@kind('retention-sample-discarded-early', lots='sold', company=True)
def _(y, b):
    b.find('yield', stage='sample').a['discarded'] = '2027-05-01'  # sold in 2026: wanted into 2028
    return L(b, 'retention-sample-discarded-early')


@kind('deviation-open-long')
def _(y, b):
    b.children.append(Node('check', kind='deviation', opened=day(b.first, 2), result='open', by='AB', text='jar changed'))
    return L(b, 'deviation-open-long', 'deviation-open-at-release')


@kind('lot-without-charges', untold=True)
def _(y, b):
    b.children = [c for c in b.children if c.kind != 'charge']
    return L(b, 'lot-without-charges')


def own_receipt(y, b, quantity='5 kg', date='2025-12-01', **more):
    r = y.receipt(f'X{y.more()}', f'm{b.k}', quantity, date, **more)
    b.find('charge', purpose='extracted').a['receipt'] = r.a['id']
    return r.a['id']


@kind('receipt-used-before-arrival', company=True)
def _(y, b):
    own_receipt(y, b, date=day(b.first, 5))
    return L(b, 'receipt-used-before-arrival')


@kind('receipt-used-after-its-date', company=True)
def _(y, b):
    own_receipt(y, b, best_before=day(b.first, -5))
    return L(b, 'receipt-used-after-its-date')


@kind('receipt-overdrawn')
def _(y, b):
    return {('receipt-overdrawn', own_receipt(y, b, quantity='100 g'))}


@kind('earlier-lot-used-too-soon')
def _(y, b):
    b.children.insert(2, Node('charge', from_batch=y.lots[b.i + 1].a['id'], purpose='solvent', quantity='10 mL', strength='95 %vol', date=day(b.first), by='AB', instrument='C1'))
    return L(b, 'earlier-lot-used-too-soon')


@kind('mass-too-small-for-scale')
def _(y, b):
    b.children.insert(1, Node('charge', receipt=f'M{(b.k + 1) % 10}', material=f'm{(b.k + 1) % 10}', purpose='additive', quantity='1.3 g', date=day(b.first), by='AB', instrument='S1'))
    return L(b, 'mass-too-small-for-scale', 'differs-from-formula', 'difference-without-deviation')


@kind('figures-too-round', lots='none')
def _(y, b):
    return round_figures(y, 'S4')


def round_figures(y, scale):
    n = 0
    for x in y.lots[40:]:
        if n < 24 and not x.used:
            c = x.find('charge', purpose='extracted')
            c.a.update(instrument=scale, quantity=f'{round(x.mass)} g')
            x.used = True
            n += 1
    assert n >= 20
    return {('figures-too-round', scale)}


@kind('step-before-its-lot')
def _(y, b):
    b.find('step', kind='filter').a['date'] = day(b.first, -300)
    return L(b, 'step-before-its-lot', 'steps-out-of-order')


def scale_material(b, f):
    b.find('charge', purpose='extracted').a['quantity'] = f'{b.mass * f:.1f} g'
    b.find('yield', stage='marc').a['quantity'] = f'{b.marc + b.mass * (f - 1):.0f} g'


@kind('differs-from-formula')
def _(y, b):
    scale_material(b, 1.10)
    return L(b, 'differs-from-formula')


@kind('difference-without-deviation')
def _(y, b):
    scale_material(b, 1.30)
    return L(b, 'differs-from-formula', 'difference-without-deviation')


@kind('unit-slip')
def _(y, b):
    b.find('charge', purpose='extracted').a['quantity'] = f'{b.solvent * 0.125 / 28.349523:.1f} g'
    return L(b, 'unit-slip', 'differs-from-formula', 'difference-without-deviation', 'mass-gained')


@kind('yield-outside-own-history', lots='late')
def _(y, b):
    out = round(b.solvent * 0.76)
    b.find('yield', stage='strained').a['quantity'] = f'{out} mL'
    b.find('yield', stage='filtered').a['quantity'] = f'{out} mL'
    n = (out - 60) // 50
    b.find('yield', stage='bottled').a['bottles'] = n
    b.find('yield', stage='remainder').a['quantity'] = f'{out - 50 * (n + 1)} mL'
    b.find('yield', stage='marc').a['quantity'] = f'{b.mass + (b.solvent - out) * RHO:.0f} g'
    y.labels[b.a['id']].a['used'] = n + 1
    return L(b, 'yield-outside-own-history')


@kind('figures-alike', lots='triple')
def _(y, b):
    for j in (10, 20):
        x = y.lots[b.i + j]
        for c, d in zip(b.children, x.children):
            for key in ('quantity', 'bottles'):
                if key in c.a and c.kind in ('charge', 'yield'):
                    d.a[key] = c.a[key]
        y.labels[x.a['id']].a['used'] = b.n + 1
    return {('figures-alike', y.lots[b.i + j].a['id']) for j in (0, 10, 20)}


@kind('bottles-beyond-bulk')
def _(y, b):
    b.find('yield', stage='bottled').a['bottles'] = b.n + 7
    return L(b, 'bottles-beyond-bulk', 'mass-gained', 'labels-against-bottles')


@kind('bottles-short-of-bulk', lots='unsold')
def _(y, b):
    b.find('yield', stage='bottled').a['bottles'] = b.n - 6
    y.labels[b.a['id']].a['used'] = b.n - 5
    return L(b, 'bottles-short-of-bulk', 'mass-unaccounted')


@kind('labels-against-bottles', company=True)
def _(y, b):
    y.labels[b.a['id']].a['used'] = b.n - 2
    return L(b, 'labels-against-bottles')


@kind('sold-beyond-what-was-filled', lots='sold', company=True)
def _(y, b):
    y.sales[b.a['id']].children[0].a['bottles'] = b.n + 9
    return L(b, 'sold-beyond-what-was-filled')


@kind('sold-before-release', lots='sold', company=True)
def _(y, b):
    y.sales[b.a['id']].a['date'] = day(b.first, 34)
    return {('sold-before-release', y.sales[b.a['id']].a['id'])}


@kind('void-lot-sold', lots='sold')
def _(y, b):
    b.a.update(state='void', note='cloudy')
    s = y.sales[b.a['id']].a['id']
    return {('void-lot-sold', s), ('sold-before-release', s)}


@kind('sale-of-unknown-lot', lots='sold', company=True, untold=True)
def _(y, b):
    y.sales[b.a['id']].children[0].a['batch'] = 'NOT-' + b.a['id']
    return {('sale-of-unknown-lot', y.sales[b.a['id']].a['id'])}


@kind('sale-in-future', lots='sold', company=True)
def _(y, b):
    y.sales[b.a['id']].a['date'] = '2028-02-01'
    return {('sale-in-future', y.sales[b.a['id']].a['id'])}


@kind('equipment-in-two-lots', company=True)
def _(y, b):
    b.a['vessel'] = f'J{b.i - 1}'
    return L(b, 'equipment-in-two-lots')


@kind('temperature-log-gap', company=True)
def _(y, b):
    c = b.find('step', kind='chill')
    place = f'fz3-{y.more()}'
    y.add('place', id=place, kind='freezer', premises='W')
    c.a['place'] = place
    for d in (c.a['date'], c.a['until']):
        y.add('log', id=f'H{y.more()}', date=d, place=place, temperature='-18 degC')
    return L(b, 'temperature-log-gap')


@kind('dates-out-of-order', lots='unsold', company=True)
def _(y, b):
    b.a['bottled'] = day(b.first, 2)
    return L(b, 'dates-out-of-order')


@kind('complaint-not-reviewed', company=True)
def _(y, b):
    i = y.add('incident', id=f'I{y.more()}', kind='complaint', date='2027-01-10', batch=b.a['id'])
    return {('complaint-not-reviewed', i.a['id'])}


# Two errors on one record that is no lot.
def together_on_receipt(y):
    r = y.receipt(f'X{y.more()}', 'm1', 'about 1 kg', None)
    return {'receipt-without-day': {('receipt-without-day', r.a['id'])}, 'receipt-without-amount': {('receipt-without-amount', r.a['id'])}}


def together_on_copies(y):
    n = y.more()
    y.receipt(f'X{n}', 'm1', '1 kg', '2028-02-01')
    r = y.receipt(f'X{n}', 'm1', '2 kg', '2028-02-01')
    return {'receipt-in-future': {('receipt-in-future', r.a['id'])}, 'receipt-copies-differ': {('receipt-copies-differ', r.a['id'])}}


def together_on_scale(y):
    n = round_figures(y, 'S5')
    for r in y.records:
        if r.kind == 'instrument' and r.a['id'] == 'S5':
            r.a['calibrated'] = '2026-01-05'
    return {'figures-too-round': n, 'instrument-check-overdue': {('instrument-check-overdue', 'S5')}}


@kind('receipt-without-day', lots='none')
def _(y, b):
    return {('receipt-without-day', y.receipt(f'X{y.more()}', 'm1', '1 kg', None).a['id'])}


@kind('receipt-without-amount', lots='none', untold=True)
def _(y, b):
    return {('receipt-without-amount', y.receipt(f'X{y.more()}', 'm1', 'about 1 kg', '2026-02-01').a['id'])}


@kind('receipt-in-future', lots='none')
def _(y, b):
    return {('receipt-in-future', y.receipt(f'X{y.more()}', 'm1', '1 kg', '2028-02-01').a['id'])}


@kind('receipt-copies-differ', lots='none')
def _(y, b):
    n = y.more()
    y.receipt(f'X{n}', 'm1', '1 kg', '2026-02-01')
    return {('receipt-copies-differ', y.receipt(f'X{n}', 'm1', '2 kg', '2026-02-01').a['id'])}


@kind('instrument-check-overdue', lots='none')
def _(y, b):
    i = y.add('instrument', id=f'T{y.more()}', name='thermometer', kind='thermometer', calibrated='2026-01-05', interval='31 day')
    return {('instrument-check-overdue', i.a['id'])}


# --- planting ---------------------------------------------------------------------------------------------------


def fits(b, lots, total):
    i = b.i
    return 2 <= i < total - 25 and {'any': True, 'none': True, 'sold': i % 2 == 0, 'unsold': i % 2 == 1, 'late': i >= total // 2,
                                    'triple': True}[lots]


# Two plants that touch the same line of a card cannot stand together.
CLASH = [{'sold-beyond-what-was-filled', 'sold-before-release', 'sale-of-unknown-lot', 'sale-in-future'},
         {'receipt-used-before-arrival', 'receipt-used-after-its-date', 'charge-without-trace'},
         {'retention-sample-missing', 'retention-sample-too-small', 'retention-sample-discarded-early'},
         {'sale-of-unknown-lot', 'retention-sample-discarded-early'},
         {'check-without-day', 'cleaning-not-recorded'}, {'check-without-person', 'no-second-look'},
         {'chilling-without-readings', 'temperature-log-gap'},
         {'checked-by-same-person', 'person-not-there-then'},
         {'bulk-waited-too-long', 'dates-out-of-order'}, {'steps-out-of-order', 'step-without-date'}]


def together(a, b):
    return a != b and not any(a in c and b in c for c in CLASH)


def plant(y, total):
    rng, rows, free = y.rng, [], list(y.lots)
    for b in y.lots:
        b.used = False

    def take(lots):
        need = [b for b in free if fits(b, lots, total) and not b.used and not y.lots[b.i - 1].used and not y.lots[b.i + 1].used
                and (lots != 'triple' or not (y.lots[b.i + 10].used or y.lots[b.i + 20].used))]
        b = rng.choice(need)
        b.used = True
        if lots == 'triple':
            y.lots[b.i + 10].used = y.lots[b.i + 20].used = True
        return b

    def note(rule, how, b, found, untold):
        number = len({r[0] for r in rows})
        for f, subject in sorted(found):
            rows.append((number, rule, how, b.a['id'] if b else '', f, subject, 'untold' if untold else ''))
        if untold and b:
            for s in (f'M{b.k}', f'V{b.i}'):
                rows.append((number, rule, how, b.a['id'], 'untold', s, 'untold'))

    late = [k for k in KINDS if k == 'figures-too-round']
    names = [k for k in KINDS if k not in late]
    planted = 0
    for rule in names:
        f, lots, _, untold = KINDS[rule]
        b = None if lots == 'none' else take(lots)
        note(rule, 'alone', b, f(y, b), untold)
        planted += 1
    # In company. First the kinds that change too much of a card to be drawn freely: each with one that touches
    # another corner of it. A lot that is gone keeps company with the one after it.
    partners = ['label-specimen-missing', 'person-not-on-list', 'complaint-not-reviewed', 'check-without-person']
    for n, rule in enumerate(k for k in names if not KINDS[k][2] and KINDS[k][1] != 'none'):
        f, lots, _, untold = KINDS[rule]
        b = take(lots)
        # Of a void lot the checks are no longer asked about; who did what is.
        partner = 'person-not-on-list' if 'void' in rule else partners[n % len(partners)]
        note(rule, 'in company', b, f(y, b), untold)
        at = y.lots[b.i + 1] if rule == 'lot-number-missing-before' else b
        note(partner, 'in company', at, KINDS[partner][0](y, at), KINDS[partner][3])
        planted += 2
    for both in (together_on_receipt, together_on_copies):
        for rule, found in both(y).items():
            note(rule, 'in company', None, found, KINDS[rule][3])
            planted += 1
    pairs = [(a, b) for a in names for b in names if a < b and KINDS[a][2] and KINDS[b][2] and together(a, b)
             and not {KINDS[a][1], KINDS[b][1]} >= {'sold', 'unsold'}]
    rng.shuffle(pairs)
    covered = {r[1] for r in rows if r[2] == 'in company'}
    while pairs and planted + 2 + 3 * len(late) <= PLANTS:
        pair = min(pairs, key=lambda p: sum(k in covered for k in p))  # first what was in no company yet
        pairs.remove(pair)
        covered.update(pair)
        where = next((KINDS[k][1] for k in pair if KINDS[k][1] != 'any'), 'any')
        b = take(where)
        for k in pair:
            note(k, 'in company', b, KINDS[k][0](y, b), KINDS[k][3])
            planted += 1
    while planted + 3 * len(late) < PLANTS:
        b = take('any')
        note('no-second-look', 'alone', b, KINDS['no-second-look'][0](y, b), False)
        planted += 1
    for rule in late:
        note(rule, 'alone', None, KINDS[rule][0](y, None), False)
        for k, found in together_on_scale(y).items():
            note(k, 'in company', None, found, False)
        planted += 3
    return rows


def write(folder, seed, total):
    with open(f'{folder}/clean.xml', 'w', encoding='utf-8') as f:
        f.write(Year(seed, total).xml())
    y = Year(seed, total)
    rows = plant(y, total)
    with open(f'{folder}/planted.xml', 'w', encoding='utf-8') as f:
        f.write(y.xml())
    with open(f'{folder}/expected.csv', 'w', encoding='utf-8', newline='') as f:
        csv.writer(f, lineterminator='\n').writerows([('plant', 'kind', 'how', 'lot', 'rule', 'subject', 'untold')] + rows)


# --- judging ----------------------------------------------------------------------------------------------------


def findings(path, verdict):
    with open(path, encoding='utf-8') as f:
        return {(x['rule'], x['subject']['id']) for x in json.load(f)['findings'] if x['verdict'] == verdict}


def judge(expected, clean, planted):
    with open(expected, encoding='utf-8') as f:
        rows = list(csv.DictReader(f))
    found, untold = findings(planted, 'fails'), findings(planted, 'cannot tell')
    bad = [('clean year', x) for x in sorted(findings(clean, 'fails') | findings(clean, 'cannot tell'))]
    may_be_untold = {r[c] for r in rows if r['untold'] for c in ('lot', 'subject')}
    rows = [r for r in rows if r['rule'] != 'untold']
    want = {(r['rule'], r['subject']) for r in rows}
    beyond = sorted(found - want) + sorted(x for x in untold if x[1] not in may_be_untold and x not in want)
    plants = {}
    for r in rows:
        plants.setdefault((r['plant'], r['kind'], r['how'], r['lot']), []).append((r['rule'], r['subject']))
    table = {}
    for (_, k, how, _), wanted in plants.items():
        t = table.setdefault(k, {'alone': [0, 0], 'in company': [0, 0]})
        t[how][0] += 1
        t[how][1] += all(w in found for w in wanted)
        for w in wanted:
            if w not in found:
                bad.append((f'missed, planted {k} {how}', w))
    alarms = {}
    for rule, _ in beyond:
        alarms[rule] = alarms.get(rule, 0) + 1
    print(f'{"kind":32}{"alone":>12}{"in company":>12}{"recall":>9}{"false":>7}')
    for k in sorted(set(table) | set(alarms)):
        t = table.get(k, {'alone': [0, 0], 'in company': [0, 0]})
        n, hit = t['alone'][0] + t['in company'][0], t['alone'][1] + t['in company'][1]
        cells = [f'{t[h][1]} of {t[h][0]}' for h in ('alone', 'in company')]
        print(f'{k:32}{cells[0]:>12}{cells[1]:>12}{f"{100 * hit / n:.0f} %" if n else "":>9}{alarms.get(k, 0):>7}')
    hits = sum(all(w in found for w in ws) for ws in plants.values())
    print(f'{len(plants)} planted, {hits} found; {len(beyond)} beyond them; clean year: {sum(b[0] == "clean year" for b in bad)} findings')
    bad += [('beyond', x) for x in beyond]
    for why, x in bad[:60]:
        print('FAIL', why, *x)
    lonely = sorted(k for k, t in table.items() if not t['alone'][0] or not t['in company'][0])
    if lonely:
        print('FAIL not planted both alone and in company:', *lonely)
    return bool(bad or lonely) or len(plants) != PLANTS


if __name__ == '__main__':
    if sys.argv[1] == 'write':
        write(sys.argv[2], int(sys.argv[3]), int(sys.argv[4]) if len(sys.argv) > 4 else 400)
    else:
        sys.exit(judge(*sys.argv[2:5]))
