// Runs in the page, behind the checker: asks it, measures what it does not, and leaves lines to be read from the DOM.
(async () => {
  const lines = [];
  const tell = (kind, id, text, where) => lines.push([kind, id, text, where].join('\t').replace(/\s*\n\s*/g, ' '));
  const name = (element) => element.tagName.toLowerCase() + (element.id ? '#' + element.id : '');
  try {
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
    const found = await axe.run(document, { runOnly: { type: 'tag', values: tags }, resultTypes: ['violations', 'incomplete'] });
    for (const [kind, list] of [['FAULT', found.violations], ['LOOK', found.incomplete]]) {
      for (const rule of list) {
        tell(kind, rule.id, `${rule.help} (${rule.nodes.length} places)`, rule.nodes[0].target.join(' '));
      }
    }
    tell('DONE', 'checker', `${found.passes.length} rules passed`, found.testEngine.version);
  } catch (error) {
    tell('FAULT', 'checker', String(error), '');
  }
  // 1.4.10 Reflow: nothing but tables and pictures, which may, needs a second direction of scrolling.
  const wide = document.documentElement.scrollWidth - window.innerWidth;
  if (wide > 0) {
    const guilty = [...document.body.querySelectorAll('*')].find((one) =>
      !one.closest('.wide') && one.getBoundingClientRect().right > window.innerWidth + 1);
    tell('FAULT', 'wcag-1.4.10', `the page is ${wide} px wider than the window of ${window.innerWidth} px`, guilty ? name(guilty) : '');
  }
  // 2.4.3 Focus order is that of the page, 2.4.7 each place shows it, 2.5.8 no target is smaller than 24 px outside of a sentence.
  for (const element of document.querySelectorAll('a[href], [tabindex]')) {
    if (element.tabIndex > 0) tell('FAULT', 'wcag-2.4.3', 'a place in the order of its own', name(element));
    element.focus({ focusVisible: true });
    if (document.activeElement !== element) tell('FAULT', 'wcag-2.1.1', 'cannot be reached by keys', name(element));
    const style = getComputedStyle(element);
    if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) tell('FAULT', 'wcag-2.4.7', 'its focus cannot be seen', name(element));
    const box = element.getBoundingClientRect();
    if (element.matches('nav a, a.skip') && box.height < 24) tell('FAULT', 'wcag-2.5.8', `only ${box.height} px high`, name(element));
  }
  // 1.4.12 Text spacing: with a reader's own spacing nothing is cut off.
  const spaced = document.createElement('style');
  spaced.textContent = '* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; } p { margin-bottom: 2em !important; }';
  document.head.append(spaced);
  for (const element of document.querySelectorAll('p, li, dd, dt, td, th, h1, h2, h3, figcaption, caption')) {
    const cut = getComputedStyle(element).overflow !== 'visible' && element.scrollWidth > element.clientWidth + 1;
    if (cut && !element.classList.contains('unseen')) tell('FAULT', 'wcag-1.4.12', 'text is cut off with wider spacing', name(element));
  }
  if (document.documentElement.scrollWidth > window.innerWidth) tell('FAULT', 'wcag-1.4.12', 'the page grows wider than the window with wider spacing', '');
  tell('DONE', 'window', `${window.innerWidth} px`, '');
  if (window !== window.top) {
    window.parent.postMessage(lines.join('\n'), '*');
    return;
  }
  const told = document.createElement('pre');
  told.id = 'told';
  told.textContent = '\n' + lines.join('\n') + '\n';
  document.documentElement.append(told);
})();
