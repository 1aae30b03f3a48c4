/* sim/page/browser/plate.js - the frames of the page: plates with a heading, figures with their words for those who do
 * not see them, their numbers as a table and as a CSV file, and small controls. */
{
  const LAZY = ['results', 'refined']; /* may come several times a second: what nobody sees is drawn when it is seen */
  const plates = new Set();
  /** Draws all plates that wait to be seen: before the page is printed. */
  page.freshen = () => {
    for (const one of plates) one();
  };
  /** A section. Its content is made anew by content() when one of the named parts of the state changes: language,
   *  units, theme; results: others are shown; refined: the same ones with better numbers.
   *  @param when whether there is something to show; else the section is hidden */
  page.plate = (id, key, changes, content, lead, when = () => true) => {
    const title = page.el('h2', { id: `${id}-title` }),
      words = page.el('p', { class: 'lead' });
    const inside = page.el('div', { class: 'plate-content' });
    const section = page.el(
      'section',
      { class: 'plate', id, 'aria-labelledby': `${id}-title` },
      page.el('div', { class: 'plate-head' }, title, lead ? words : null),
      inside,
    );
    let stale = false,
      nearby = true;
    const draw = () => {
      stale = false;
      section.hidden = !when();
      if (section.hidden) return inside.replaceChildren();
      title.textContent = page.t(key);
      words.replaceChildren();
      if (lead) words.append(page.t(lead));
      const focused = inside.contains(document.activeElement) ? document.activeElement.dataset.key : null;
      const open = [...inside.querySelectorAll('details[open]')].map((d) => d.dataset.key);
      inside.style.minHeight = `${inside.offsetHeight}px`; /* plots get their height a moment later */
      inside.replaceChildren(...[content()].flat(3).filter(Boolean));
      for (const one of inside.querySelectorAll('details')) one.open = open.includes(one.dataset.key) || one.open;
      if (focused) inside.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
      requestAnimationFrame(() => requestAnimationFrame(() => inside.style.removeProperty('min-height')));
    };
    const names = changes.split(' '),
      soon = names.filter((name) => LAZY.includes(name));
    page.on(names.filter((name) => !LAZY.includes(name)).join(' '), draw);
    if (soon.length > 0)
      page.on(soon.join(' '), () => {
        if (nearby || section.hidden === when()) draw();
        else stale = true;
      });
    plates.add(() => stale && draw());
    new IntersectionObserver(
      (entries) => {
        nearby = entries.at(-1).isIntersecting;
        if (nearby && stale) draw();
      },
      { rootMargin: '300px' },
    ).observe(section);
    draw();
    return section;
  };

  /* ---- tables: columns { name, kind, amount }, about: few digits; a cell is a text, a number, or [value, error] of an
   * amount, [] where there is none ---- */
  const head = (column) => {
    const unit = column.kind && column.kind !== 'text' ? page.unit(column.kind) : '';
    return unit ? `${column.name}, ${unit}` : column.name;
  };
  const cellText = (column, cell, about) => {
    if (column.kind === 'text' || !column.kind) return cell;
    if (Array.isArray(cell))
      return cell.length === 0
        ? ''
        : (about ? page.about : page.pm)(column.kind, cell[0], cell[1], {
            bare: true,
            difference: column.difference,
            sign: column.sign,
          });
    if (about && page.isAmount(column.kind)) return page.about(column.kind, cell, NaN, { bare: true });
    return Number.isFinite(cell) ? page.plain(page.convert(column.kind, cell), column.digits || 3) : page.t('none');
  };
  page.table = (table, caption) =>
    page.el(
      'table',
      {},
      caption ? page.el('caption', { class: 'unseen' }, caption) : null,
      page.el(
        'thead',
        {},
        page.el(
          'tr',
          {},
          table.columns.map((c) =>
            page.el('th', { scope: 'col', class: c.kind === 'text' ? null : 'number' }, head(c)),
          ),
        ),
      ),
      page.el(
        'tbody',
        {},
        table.rows.map((row) =>
          page.el(
            'tr',
            {},
            row.map((cell, i) =>
              page.el(
                i === 0 ? 'th' : 'td',
                { scope: i === 0 ? 'row' : null, class: table.columns[i].kind === 'text' ? null : 'number' },
                cellText(table.columns[i], cell, table.about),
              ),
            ),
          ),
        ),
      ),
    );

  const quote = (text) => (/[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  page.csv = (table) => {
    const lines = [
      table.columns.flatMap((c) => (c.amount ? [head(c), `${page.t('standard_error')}: ${head(c)}`] : [head(c)])),
    ];
    for (const row of table.rows)
      lines.push(
        row.flatMap((cell, i) => {
          const c = table.columns[i];
          if (c.kind === 'text' || !c.kind) return [String(cell)];
          if (!c.amount) return [page.csvNumber(page.convert(c.kind, cell, c.difference))];
          return [
            page.csvNumber(page.convert(c.kind, cell[0], c.difference)),
            page.csvNumber(page.convert(c.kind, cell[1], true)),
          ];
        }),
      );
    return `${lines.map((line) => line.map(quote).join(',')).join('\r\n')}\r\n`;
  };
  page.slug = (text) =>
    text
      .normalize('NFKD')
      .replace(/[^\w]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .toLowerCase()
      .slice(0, 60) || 'result';
  page.download = (name, text, type) => {
    const url = URL.createObjectURL(new Blob([text], { type }));
    const link = page.el('a', { href: url, download: name, hidden: true });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(url), 10000);
  };

  /** A figure: { key, title, note, picture, words, legend, after, table, folded, of (result), wide, place (where
   *  another figure has the same title) }. words are what a screen reader says, after follows the picture, folded: the
   *  table is shown on demand. */
  page.figure = (f) => {
    const name = page.id('figure'),
      /* regions have names of their own */
      own = [f.title, f.place, f.of && page.many() ? page.nameOf(f.of) : null].filter(Boolean).join(', ');
    const csv =
      f.table &&
      page.el(
        'button',
        {
          type: 'button',
          class: 'small',
          'data-key': `${f.key}-csv`,
          'data-csv': f.key,
          'aria-label': page.t('csv.of', { title: own }),
          onclick: () =>
            page.download(
              `${page.slug(f.of ? f.of.name : 'comparison')}-${f.key}.csv`,
              page.csv(f.table),
              'text/csv;charset=utf-8',
            ),
        },
        page.t('csv'),
      );
    const numbers =
      f.table &&
      page.el(
        'div',
        { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': page.t('table.of', { title: own }) },
        page.table(f.table, f.title),
      );
    return page.el(
      'figure',
      { class: f.wide ? 'wide' : null, 'data-figure': f.key, 'aria-labelledby': name },
      page.el('figcaption', { id: name }, page.el('h3', {}, f.title), f.note ? page.el('p', {}, f.note) : null),
      f.controls || null,
      f.picture ? page.el('div', { role: 'img', 'aria-label': f.words, class: 'picture' }, f.picture) : null,
      f.legend || null,
      f.table &&
        page.el(
          'div',
          { class: 'figure-foot' },
          f.picture || f.folded
            ? page.el(
                'details',
                { 'data-key': `${f.key}-table` },
                page.el('summary', { 'data-key': `${f.key}-summary` }, page.t('table')),
                numbers,
              )
            : numbers,
          csv,
        ),
      f.after || null,
    );
  };

  /** Items { colour or fill, text, shape, dash } in a row. */
  page.legend = (items) =>
    page.el(
      'ul',
      { class: 'legend' },
      items.map((item) =>
        page.el(
          'li',
          {},
          item.shape !== undefined || item.dash !== undefined
            ? page.svg(
                'svg',
                { width: 26, height: 14, viewBox: '-13 -7 26 14', 'aria-hidden': 'true' },
                item.dash !== undefined
                  ? page.svg('path', {
                      d: 'M-13,0H13',
                      class: 'curve',
                      style: { stroke: item.colour },
                      'stroke-dasharray': item.dash || null,
                    })
                  : null,
                item.shape !== undefined
                  ? page.svg('path', { d: page.shape(item.shape, 4 * (item.grown || 1)), style: { fill: item.colour } })
                  : null,
              )
            : item.fill
              ? page.swatch(item.fill)
              : page.el('span', { class: 'swatch', style: { background: item.colour }, 'aria-hidden': 'true' }),
          page.el('span', {}, item.text),
        ),
      ),
    );

  /** One of several: { key, label, options: [[value, text]], value, change }. Radio buttons like one switch. */
  page.choice = (c) => {
    const name = page.id('choice');
    return page.el(
      'fieldset',
      { class: 'choice' },
      page.el('legend', { class: c.quiet ? 'unseen' : null }, c.label),
      page.el(
        'div',
        { class: 'choice-row' },
        c.options.map(([value, text]) =>
          page.el(
            'label',
            {},
            page.el('input', {
              type: 'radio',
              name,
              value,
              'data-key': `${c.key}-${value}`,
              checked: value === c.value,
              onchange: () => c.change(value),
            }),
            page.el('span', {}, text),
          ),
        ),
      ),
    );
  };
  page.select = (c) =>
    page.el(
      'label',
      { class: 'select' },
      page.el('span', {}, c.label),
      page.el(
        'select',
        { 'data-key': c.key, onchange: (event) => c.change(event.target.value) },
        c.options.map(([value, text]) =>
          page.el('option', { value, selected: String(value) === String(c.value) }, text),
        ),
      ),
    );
  page.tick = (c) =>
    page.el(
      'label',
      { class: 'tick' },
      page.el('input', {
        type: 'checkbox',
        'data-key': c.key,
        checked: c.value,
        onchange: (event) => c.change(event.target.checked),
      }),
      c.swatch || null,
      page.el('span', {}, c.label),
    );

  page.results = () => page.data.results;
  page.result = () => page.data.results[page.state.result];
  page.many = () => page.data.results.length > 1;
  page.badge = (result) =>
    page.el(
      'span',
      { class: 'badge', style: { background: page.resultColour(result.index) }, 'aria-hidden': 'true' },
      result.letter,
    );
  /** "A: name" where several results are on the page. */
  page.nameOf = (result) =>
    page.many() ? `${result.letter}: ${page.apart(page.labelOf(result))}` : page.apart(result.name);
  /** The heading of a result beside others: letter, what is different in it, and its own name where that is another. */
  page.headOf = (result, tag = 'p') => {
    if (!page.many()) return null;
    const label = page.labelOf(result);
    return page.el(
      tag,
      { class: 'result-name' },
      page.badge(result),
      page.el('span', {}, page.bdi(label)),
      label === result.name ? null : page.el('span', { class: 'own-name' }, page.bdi(result.name)),
    );
  };
  /** Which result a plate shows. */
  page.resultChoice = (key) =>
    page.many()
      ? page.choice({
          key: `${key}-result`,
          label: page.t('result'),
          value: page.state.result,
          options: page.results().map((r) => [r.index, page.nameOf(r)]),
          change: (v) => page.set('result', v),
        })
      : null;
}
