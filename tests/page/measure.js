// measure.js - run in the page by tests/page/browser: what is wider than its box, and what the accessibility checker
// says with its layout rules on. The answer stands in <pre id="measured">, "fine" first when there is no fault.
'use strict';
(async () => {
  const faults = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth + 1) {
    faults.push(`the page is ${root.scrollWidth} px wide in a window of ${root.clientWidth}`);
  }
  let cells = 0;
  for (const e of document.querySelectorAll('td, th, dd, dt, p, li, h2')) {
    cells++;
    const box = e.getBoundingClientRect();
    const range = document.createRange();
    range.selectNodeContents(e);
    const text = range.getBoundingClientRect();
    if (text.width > 0 && text.right > box.right + 1.5) {
      faults.push(`${e.tagName} "${e.textContent.trim().slice(0, 40)}" runs ${(text.right - box.right).toFixed(1)} px out`);
    }
  }
  const found = await axe.run(document, { resultTypes: ['violations'] });
  for (const v of found.violations) {
    faults.push(`${v.id}: ${v.nodes[0].html.slice(0, 80).replace(/</g, '(')}`);
  }
  const pre = document.createElement('pre');
  pre.id = 'measured';
  pre.textContent = faults.length === 0
    ? `fine, ${cells} boxes measured, ${found.passes.length} accessibility rules pass, contrast among them`
    : faults.slice(0, 12).join(' | ');
  document.body.append(pre);
})();
