#!/usr/bin/env python3
"""recode.py PLAIN SEMICOLON TAB - the CSV files of PLAIN as two other spreadsheets would save them."""
import csv
import os
import re
import sys

plain, semicolon, tab = sys.argv[1:4]
NUMBER = re.compile(r'^(-?\d+)\.(\d+)(?=$|\s)')  # a number, or the number of a quantity


def is_code(column):
    return column.endswith(('id', 'lot', 'batch', 'number', 'code', 'hs-code'))


for name in sorted(os.listdir(plain)):
    with open(os.path.join(plain, name), encoding='utf-8', newline='') as f:
        rows = list(csv.reader(f))
    head = rows[0]
    comma = [[c if i == 0 or is_code(head[k]) else NUMBER.sub(r'\1,\2', c) for k, c in enumerate(r)] for i, r in enumerate(rows)]
    with open(os.path.join(semicolon, name), 'w', encoding='utf-8-sig', newline='') as f:
        f.write('#decimal;comma\r\n')
        csv.writer(f, delimiter=';', lineterminator='\r\n').writerows(comma)
    with open(os.path.join(tab, name.replace('.csv', '.tsv')), 'w', encoding='utf-8', newline='') as f:
        csv.writer(f, delimiter='\t', lineterminator='\r\n', quoting=csv.QUOTE_NONNUMERIC).writerows(rows)
