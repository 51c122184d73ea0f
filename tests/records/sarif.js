// sarif.js MODULES LOG SINCE BOOK BEFORE.json - validates the three logs against the OASIS SARIF 2.1.0 schema and looks
// at kinds, suppressions, baseline states (against BEFORE) and corrections.
const fs = require('fs');
const Ajv = require('ajv');

const [modules, file, sinceFile, bookFile, beforeFile] = process.argv.slice(2);
const read = f => JSON.parse(fs.readFileSync(f, 'utf8').replace(/^\uFEFF/, ''));
const schema = read(`${modules}/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json`);
const [log, since, book] = [file, sinceFile, bookFile].map(read);
// The schema is draft 4; the validator wants the newer name of its id.
delete schema.$schema;
delete schema.id;
const ajv = new Ajv({ schemaId: 'auto', unknownFormats: 'ignore', allErrors: true });
let bad = 0;
const must = (holds, what) => { if (!holds) { bad++; console.log('FAIL', what); } };

for (const [name, x] of [['log', log], ['since', since], ['book', book]])
  must(ajv.validate(schema, x), `${name}: ${JSON.stringify(ajv.errors)}`);
const results = log.runs[0].results;
const rules = log.runs[0].tool.driver.rules;
must(results.length > 20, 'there are results');
must(results.every(r => rules[r.ruleIndex].id === r.ruleId), 'every ruleIndex is that of its rule');
must(results.some(r => r.kind === 'open'), 'something could not be told');
must(results.every(r => (r.kind === 'open') === (r.level === 'none')), 'open results, and only they, have the level none (3.27.10)');
const waived = results.filter(r => r.suppressions);
must(waived.length === 1 && waived[0].suppressions[0].justification === 'counted from the second pour (IH, until 2027-12-31)' &&
  waived[0].suppressions[0].properties.waiver === 'W-9', 'the waived one is suppressed, with the reason of the waiver (3.35.6)');
const keyOf = r => r.partialFingerprints && r.partialFingerprints['lotwardKey/v1'];
must(new Set(results.map(keyOf)).size === results.length, 'fingerprints differ');
must(results.every(r => !('baselineState' in r)), 'without an earlier audit no result says a state');

// Worked out here from the two lists: new, unchanged, updated; what is gone is absent (3.27.24).
const before = new Map(read(beforeFile).findings.map(f => [f.key, f.verdict]));
const now = new Map(since.runs[0].results.filter(keyOf).map(r => [keyOf(r), r]));
const want = (key, r) => !before.has(key) ? 'new' : before.get(key) === (r.kind === 'open' ? 'cannot tell' : 'fails') ? 'unchanged' : 'updated';
must([...now].every(([key, r]) => r.baselineState === want(key, r)), 'every result says its state against the earlier audit');
const gone = [...before.keys()].filter(key => !now.has(key)).length;
const states = {};
for (const r of since.runs[0].results) states[r.baselineState] = (states[r.baselineState] || 0) + 1;
must((states.absent || 0) === gone, `absent: ${states.absent || 0}, gone: ${gone}`);
must(states.new > 0 && states.unchanged > 0, 'there are new ones and unchanged ones');

const corrections = book.runs[0].properties.corrections;
must(corrections && corrections.length === 1 && corrections[0].record === 'person IH' && / now /.test(corrections[0].change) &&
  corrections[0].why === 'name spelt wrongly', 'the correction of the book is there, with the old value');
// A log that is wrong must not pass, or the check above says nothing.
must(!ajv.validate(schema, { version: '2.1.0', runs: [{ tool: {} }] }), 'a log without a driver is refused');
if (!bad) console.log(`${results.length} results valid against the OASIS schema, ${results.filter(r => r.kind === 'open').length} open, ${waived.length} suppressed; since: ${JSON.stringify(states)}`);
process.exit(bad ? 1 : 0);
