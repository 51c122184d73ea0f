// sarif.js MODULES LOG - validates LOG against the OASIS SARIF 2.1.0 schema and looks at kinds and suppressions.
const fs = require('fs');
const Ajv = require('ajv');

const [modules, file] = process.argv.slice(2);
const schema = JSON.parse(fs.readFileSync(`${modules}/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json`, 'utf8').replace(/^\uFEFF/, ''));
const log = JSON.parse(fs.readFileSync(file, 'utf8'));
// The schema is draft 4; the validator wants the newer name of its id.
delete schema.$schema;
delete schema.id;
const ajv = new Ajv({ schemaId: 'auto', unknownFormats: 'ignore', allErrors: true });
let bad = 0;
const must = (holds, what) => { if (!holds) { bad++; console.log('FAIL', what); } };

must(ajv.validate(schema, log), JSON.stringify(ajv.errors));
const results = log.runs[0].results;
const rules = log.runs[0].tool.driver.rules;
must(results.length > 20, 'there are results');
must(results.every(r => rules[r.ruleIndex].id === r.ruleId), 'every ruleIndex is that of its rule');
must(results.some(r => r.kind === 'open'), 'something could not be told');
must(results.every(r => (r.kind === 'open') === (r.level === 'none')), 'open results, and only they, have the level none (3.27.10)');
const waived = results.filter(r => r.suppressions);
must(waived.length === 1 && waived[0].suppressions[0].justification === 'W-9', 'the waived one is suppressed');
must(new Set(results.map(r => r.partialFingerprints['lotwardKey/v1'])).size === results.length, 'fingerprints differ');
// A log that is wrong must not pass, or the check above says nothing.
must(!ajv.validate(schema, { version: '2.1.0', runs: [{ tool: {} }] }), 'a log without a driver is refused');
if (!bad) console.log(`${results.length} results valid against the OASIS schema, ${results.filter(r => r.kind === 'open').length} open, ${waived.length} suppressed`);
process.exit(bad ? 1 : 0);
