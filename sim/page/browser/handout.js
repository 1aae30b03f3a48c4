/* sim/page/browser/handout.js - what prints: two pages in grey, A4 or Letter, laid out apart from the screen. Its
 * plots are drawn at a fixed width; lines are told apart by dash and shape, parts by shade and label. */
{
  const PATHS = 12 /* of each of three sizes: more cannot be told apart on paper */,
    WIDE = 660,
    HALF = 322;
  const DASH = ['1 2.4', '', ''],
    WIDTH = [1, 0.8, 1.7];

  /* The scene as a drawing: rows, sprayers, and some of the recorded paths (fine dotted, middle thin, coarse thick). */
  page.still = (result, width, height) => {
    const at = result.inputs,
      from = -Math.min(result.block, 4 * at.row_spacing) - 1,
      to = 26,
      k = width / (to - from),
      ground = height - 20;
    const X = (s) => (s - from) * k,
      Z = (z) => ground - z * k,
      g = page.svg;
    const root = g('svg', { class: 'still', viewBox: `0 0 ${width} ${height}`, width, height, 'aria-hidden': 'true' });
    const clip = page.id('clip');
    root.append(g('clipPath', { id: clip }, g('rect', { x: 0, y: 0, width, height: ground })));
    const inside = g('g', { 'clip-path': `url(#${clip})` });
    for (const row of result.rows) {
      const s = X(row);
      inside.append(
        g('line', { x1: s, x2: s, y1: ground, y2: Z(at.canopy_base), class: 'still-trunk' }),
        g('rect', {
          x: s - (at.canopy_width * k) / 2,
          width: at.canopy_width * k,
          y: Z(at.canopy_height),
          height: (at.canopy_height - at.canopy_base) * k,
          rx: 5,
          class: 'still-crown',
        }),
      );
    }
    for (const pass of result.passes) {
      const s = X(result.downwind(pass.pass_x));
      inside.append(
        g('rect', { x: s - 0.55 * k, width: 1.1 * k, y: Z(1.3), height: k, rx: 0.3 * k, class: 'still-sprayer' }),
        g('circle', { cx: s, cy: Z(0.85), r: 0.3 * k, class: 'still-sprayer' }),
      );
    }
    /* One pass, both sides open, at the edge that drift leaves by: all of them would be a thicket. */
    const both = result.passes.filter((q) => q.pass_left_open && q.pass_right_open),
      pass = (both.length ? both : result.passes).reduce((a, b) =>
        result.downwind(b.pass_x) > result.downwind(a.pass_x) ? b : a,
      );
    const p = result.paths,
      size = (um) => (um < 100 ? 0 : um < 200 ? 1 : 2),
      drawn = [0, 0, 0];
    for (let n = 0; n < p.track.length; n++) {
      const one = p.track[(n * 379) % p.track.length],
        c = size(one.emitted); /* 379 is prime: all over the run */
      if (drawn[c] >= PATHS || one.cuts > 0 || one.alley !== pass.pass_alley)
        continue; /* what flies on after that is of another size */
      let d = '';
      for (let i = one.first; i < one.first + one.n; i++)
        d += `${d ? 'L' : 'M'}${X(result.downwind(p.x[i])).toFixed(1)},${Z(p.z[i]).toFixed(1)}`;
      inside.append(
        g('path', { d, class: 'still-path', 'stroke-width': WIDTH[c], 'stroke-dasharray': DASH[c] || null }),
      );
      drawn[c]++;
    }
    root.append(inside, g('line', { x1: 0, x2: width, y1: ground, y2: ground, class: 'still-ground' }));
    const perUnit = page.convert('length_m', 1, true),
      step = (page.state.units === 'us' ? 20 : 5) / perUnit;
    for (let i = Math.ceil(from / step); i * step < to; i++)
      if (X(i * step) > 8)
        root.append(
          g(
            'text',
            { x: X(i * step), y: height - 5, 'text-anchor': 'middle', class: 'still-text' },
            `${page.plain(Math.round(i * step * perUnit), 4)}${i === 0 ? ` ${page.unit('length_m')}` : ''}`,
          ),
        );
    if (page.windless(result)) root.append(g('text', { x: 4, y: 13, class: 'still-text' }, page.t('stage.wind.none')));
    else
      root.append(
        g(
          'text',
          { x: 4, y: 13, class: 'still-text' },
          Math.cos((at.wind_angle * Math.PI) / 180) * result.sign >= 0 ? '→ ' : '← ',
          page.t('stage.wind', { speed: page.q('wind_m_s', at.wind_speed) }),
        ),
      );
    return root;
  };

  const chart = (spec, width) => page.drawChart({ ...spec, font: 10 }, width);
  const block = (title, ...children) => page.el('div', { class: 'hand-block' }, page.el('h3', {}, title), children);
  const table = (t) => page.table(t);

  const one = (result) => {
    const order = ['top', 'middle', 'bottom'],
      sides = page.sidesOf(result),
      share = (third, side) => page.percent(page.at(result, 'canopy/deposit_of_third', { third, side }));
    const first = [
      page.el('p', { class: 'hand-sentence' }, page.sentence(result)),
      page.driftWords(result),
      page.remarkList(result),
      page.warningList(result),
      page.el('div', { class: 'hand-shares' }, page.drops(result, 20), page.shareBars(result)),
      block(
        page.t('hand.scene'),
        page.still(result, WIDE, 150),
        page.el('p', { class: 'hand-note' }, page.t('hand.scene.note')),
      ),
      block(page.t('settings'), page.settingsList(result)),
      page.el(
        'div',
        { class: 'hand-pair' },
        page.leafless(result)
          ? block(page.t('crowns'), page.el('p', {}, page.bareWords(result)))
          : block(page.t('fig.rows'), chart(page.rowSpec(result, 130), HALF)),
        page.leafless(result)
          ? null
          : block(
              page.t('fig.height'),
              table({
                columns: [
                  { name: page.t('height'), kind: 'text' },
                  { name: page.t('side.0'), kind: 'per_100_L', amount: true },
                  { name: page.t('side.1'), kind: 'per_100_L', amount: true },
                ],
                rows: order.map((t) => [page.t(`third.${t}`), share(t, sides[0]), share(t, sides[1])]),
              }),
            ),
      ),
    ];
    const second = [
      block(
        page.t('drift.title'),
        table(page.driftTable(result, true)),
        page.el('p', { class: 'hand-note' }, page.t(page.windless(result) ? 'fig.windless' : 'drift.note.height')),
        page.el('p', { class: 'hand-note' }, page.strayWords(result)),
      ),
      block(page.t('fig.ground'), chart({ height: 160, ...page.driftSpec([result], 'log') }, WIDE)),
      block(page.t('hand.sizes'), page.sizeTable(result, true)),
      block(page.t('fig.ledger'), table(page.ledgerTable(result))),
    ];
    return [first, second];
  };

  const several = (results) => {
    const key = (dash) =>
      page.el(
        'p',
        { class: 'hand-key' },
        results.map((r) =>
          page.el(
            'span',
            {},
            page.svg(
              'svg',
              { width: 30, height: 10, viewBox: '-15 -5 30 10', 'aria-hidden': 'true' },
              page.svg('path', {
                d: 'M-15,0H15',
                class: 'curve',
                style: { stroke: page.resultColour(r.index) },
                'stroke-dasharray': page.RESULT_DASH[r.index] || null,
              }),
              dash
                ? null
                : page.svg('path', { d: page.shape(r.index, 3.6), style: { fill: page.resultColour(r.index) } }),
            ),
            ` ${page.nameOf(r)}`,
          ),
        ),
      );
    const first = [
      ...results.map((r) =>
        page.el(
          'div',
          { class: 'hand-result' },
          page.el('h3', {}, page.nameOf(r)),
          page.el('p', { class: 'hand-sentence small' }, page.sentence(r)),
          results.length < 3 ? page.driftWords(r) : null,
          page.remarkList(r),
          page.warningList(r),
          results.length < 3 ? page.still(r, WIDE, 120) : null,
        ),
      ),
      page.el(
        'div',
        { class: 'hand-block' },
        page.el('h3', {}, page.t('versus')),
        results.slice(1).map((b) => page.el('p', {}, page.comparison(results[0], b))),
        page.fanWords(results),
      ),
      block(page.t('fig.groups'), chart(page.groupDots(results, 120 + 22 * results.length), WIDE), key(false)),
    ];
    const source = document.querySelector('#compare table.differences'),
      set = document.querySelector('#compare table.resolved');
    const few = results.length > 2,
      small = source?.cloneNode(true);
    if (few && small)
      for (const line of small.querySelectorAll('[data-far]')) line.remove(); /* so that the rest can be read */
    const second = [
      block(
        page.t('fig.ground'),
        chart({ height: few ? 130 : 170, ...page.driftSpec(results, 'log') }, WIDE),
        key(true),
      ),
      set && set.rows.length <= (few ? 8 : 14) ? block(page.t('compare.settings'), set.cloneNode(true)) : null,
      small ? block(page.t('compare.table'), small) : null,
    ];
    return [first, second];
  };

  page.handout = () => {
    const box = page.el('div', { class: 'handout', 'aria-hidden': 'true' });
    const draw = () => {
      const results = page.results(),
        version = (page.data.sweep || results[0]).version;
      const [first, second] = page.data.sweep
        ? page.sweepHandout(chart, block, table)
        : page.many()
          ? several(results)
          : one(results[0]);
      const foot = () =>
        page.el('p', { class: 'hand-foot' }, page.t('caution.label'), ' ', page.t('hand.foot', { version }));
      box.replaceChildren(
        page.el(
          'div',
          { class: 'hand-page' },
          page.el('p', { class: 'hand-head' }, page.t('title')),
          page.el(
            'h1',
            {},
            page.data.sweep ? page.sweepName() : page.many() ? page.t('hand.compare') : results[0].name,
          ),
          page.data.sweep || page.many() || !results[0].place
            ? null
            : page.el('p', { class: 'hand-place' }, results[0].place),
          first,
          foot(),
        ),
        page.el(
          'div',
          { class: 'hand-page' },
          second,
          page.el('p', { class: 'hand-note' }, page.t('caution.errors')),
          foot(),
        ),
      );
    };
    /* The sheet that holds least: as wide as A4 inside its margins, as high as Letter. A fuller page shrinks, in
     * small steps: a table whose lines no longer break needs half the height. */
    const fit = () => {
      const high = (252 / 25.4) * 96;
      box.classList.add('measured');
      for (const one of box.children) {
        one.style.removeProperty('--fit');
        for (let scale = 1, n = 0; n < 14 && one.getBoundingClientRect().height > high; n++) {
          scale *= Math.max(0.95, Math.min(0.99, high / one.getBoundingClientRect().height));
          one.style.setProperty('--fit', scale.toFixed(3));
        }
      }
      box.classList.remove('measured');
    };
    /* Made when the page has opened, at the latest when it is printed. */
    let stale = true,
      due = 0;
    const ready = () => {
      if (!stale) return;
      stale = false;
      page.freshen(); /* it takes tables of the plates */
      draw();
      fit();
    };
    const later = () => {
      stale = true;
      clearTimeout(due);
      due = setTimeout(ready, 700);
    };
    window.addEventListener('beforeprint', ready);
    page.on('language units results refined', later);
    later();
    return box;
  };
}
