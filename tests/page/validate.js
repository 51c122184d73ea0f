// validate.js NODE_MODULES PAGE...: the printable sheet against an HTML validator (html-validate) and a
// general accessibility checker (axe-core in jsdom; layout rules such as contrast need a browser and are
// left to the screenshots). One line a fault; exit 1 when there is any.
'use strict';
const fs = require('fs');
const path = require('path');
const modules = process.argv[2];
const need = (name) => require(path.join(modules, name));
const { HtmlValidate, StaticConfigLoader } = need('html-validate');
const { JSDOM } = need('jsdom');
const axeSource = fs.readFileSync(path.join(modules, 'axe-core', 'axe.min.js'), 'utf8');

// Style of source, not validity: long lines, inline styles and the like are this page's own business.
const validator = new HtmlValidate(new StaticConfigLoader({
  extends: ['html-validate:standard'],
  rules: { 'no-inline-style': 'off', 'long-title': 'off', 'no-trailing-whitespace': 'off' },
}));

async function main() {
  let faults = 0;
  for (const file of process.argv.slice(3)) {
    const html = fs.readFileSync(file, 'utf8');
    const report = await validator.validateString(html);
    for (const result of report.results) {
      for (const m of result.messages) {
        console.log(`${file}:${m.line}:${m.column}: ${m.ruleId}: ${m.message}`);
        faults++;
      }
    }
    const dom = new JSDOM(html, { runScripts: 'outside-only', pretendToBeVisual: true });
    dom.window.eval(axeSource);
    const found = await dom.window.axe.run(dom.window.document, {
      rules: { 'color-contrast': { enabled: false } },
    });
    for (const v of found.violations) {
      for (const n of v.nodes) {
        console.log(`${file}: ${v.id}: ${v.help}: ${n.html.slice(0, 120)}`);
        faults++;
      }
    }
    console.log(`${file}: ${found.passes.length} accessibility rules pass, ${found.violations.length} do not`);
  }
  process.exit(faults === 0 ? 0 : 1);
}

main().catch((e) => {
  console.log(String(e && e.stack || e));
  process.exit(2);
});
