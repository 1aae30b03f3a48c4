/* sim/page/browser/why.js - why spray drifts: share, fall, drying, way and end of the droplets, by their size. */
{
  /* Size bins that hold some of the spray. */
  page.binsOf = (result) => {
    const list = [];
    page.sizesOf(result).forEach((s, size) => {
      const [share, shareError] = s.emitted;
      if (!(share >= 0.0005)) return;
      const fate = (name) => page.at(result, 'fates/by_size', { size, fate: name })[0] / share,
        groups = page.points(result, 'fates/group').map((g) => 100 * page.sum(page.fatesOf(result, g).map(fate))),
        outcome = page.points(result, 'fates/outcome').map((name) => page.outcomeAtLeaf(result, name, size));
      list.push({
        i: size,
        low: s.size_low,
        high: s.size_high,
        middle: Math.sqrt(s.size_low * s.size_high),
        share: 100 * share,
        shareError: 100 * shareError,
        groups,
        settling: s.settling_speed,
        lifetime: s.lifetime,
        outcome,
        loose: [100 - outcome[0][0], outcome[0][1]],
        way: wayOf(result, s.size_low, s.size_high),
      });
    });
    return list;
  };
  /* Quartiles of the distance across the rows from nozzle to end, of recorded paths, by weight. */
  const wayOf = (result, low, high) => {
    const p = result.paths,
      ways = p.track
        .filter((one) => one.emitted >= low && one.emitted < high)
        .map((one) => ({
          way: Math.abs(p.x[one.first + one.n - 1] - p.x[one.first]),
          w: one.weight,
          left: one.flies,
        }))
        .sort((a, b) => a.way - b.way);
    if (ways.length < 8) return null;
    const all = page.sum(ways.map((o) => o.w)),
      at = (share) => {
        let sum = 0;
        return ways.find((o) => (sum += o.w) >= share * all) || ways.at(-1);
      };
    return { n: ways.length, low: at(0.25).way, middle: at(0.5).way, high: at(0.75).way, left: at(0.5).left };
  };

  const sizeAxis = (bins, label = true) => ({
    type: 'log',
    domain: [bins[0].low, bins.at(-1).high],
    ticks: [10, 20, 30, 50, 100, 200, 300, 500, 1000].filter((v) => v >= bins[0].low && v <= bins.at(-1).high),
    label: label ? page.t('axis.size') : null,
  });
  page.sizeAxis = sizeAxis;
  const decade = (values) => {
    const fit = values.filter((v) => v > 0 && Number.isFinite(v));
    return [10 ** Math.floor(Math.log10(Math.min(...fit))), 10 ** Math.ceil(Math.log10(Math.max(...fit)))];
  };

  const endsBar = (bin) => {
    let from = 0;
    return page.svg(
      'svg',
      { class: 'ends', viewBox: '0 0 100 10', preserveAspectRatio: 'none', 'aria-hidden': 'true' },
      bin.groups.map((g, i) => {
        const box = page.svg('rect', { x: from, width: g, y: 0, height: 10, class: `drop-${page.GROUPS[i]}` });
        from += g;
        return box;
      }),
    );
  };
  const endsText = (bin) =>
    bin.groups
      .map((g, i) => [g, page.t(`group.${page.GROUPS[i]}`)])
      .filter(([g]) => g >= 0.5)
      .map(([g, name]) => `${name} ${page.q('percent', Math.round(g), g < 10 ? 1 : 2)}`)
      .join(', ');

  page.sizeTable = (result, brief) => {
    const bins = page.binsOf(result);
    const th = (key, unit, numeric = true) =>
      page.el(
        'th',
        { scope: 'col', class: numeric ? 'number' : null },
        page.t(key),
        unit ? page.el('span', { class: 'unit' }, unit) : null,
      );
    return page.el(
      'table',
      { class: 'sizes' },
      page.el('caption', { class: 'unseen' }, page.t('why.table')),
      page.el(
        'thead',
        {},
        page.el(
          'tr',
          {},
          th('col.size', 'µm', false),
          th('col.share', '%'),
          th('col.settling', page.unit('speed_m_s')),
          th('col.lifetime', 's'),
          th('col.way', page.unit('length_m')),
          th('col.ends', null, false),
          th(`col.loose.${page.targetOf(result)}`, '%'),
        ),
      ),
      page.el(
        'tbody',
        {},
        bins.map((b) =>
          page.el(
            'tr',
            {},
            page.el(
              'th',
              { scope: 'row' },
              brief
                ? null
                : page.el('span', {
                    class: 'swatch round',
                    style: { background: page.sizeColour(b.middle) },
                    'aria-hidden': 'true',
                  }),
              `${page.plain(b.low, 2)}–${page.plain(b.high, 2)}`,
            ),
            page.el('td', { class: 'number' }, page.about('percent', b.share, b.shareError, { bare: true })),
            page.el('td', { class: 'number' }, page.plain(page.convert('speed_m_s', b.settling), 2)),
            page.el(
              'td',
              { class: 'number' },
              Number.isFinite(b.lifetime) ? page.plain(b.lifetime, 2) : page.t('never'),
            ),
            page.el(
              'td',
              { class: 'number' },
              b.way
                ? `${b.way.left ? '> ' : ''}${page.plain(page.convert('length_m', b.way.middle), 2)}`
                : page.t('few'),
            ),
            page.el('td', { class: 'ends-cell' }, endsBar(b), page.el('span', { class: 'unseen' }, endsText(b))),
            page.el('td', { class: 'number' }, page.about('percent', ...b.loose, { bare: true })),
          ),
        ),
      ),
    );
  };

  const content = () => {
    const result = page.result(),
      bins = page.binsOf(result),
      mid = (b) => b.middle,
      of = result;
    const range = (b) => `${page.plain(b.low, 2)}–${page.plain(b.high, 2)}`,
      sizeColumn = { name: page.t('col.size.unit'), kind: 'text' };
    const figures = [];
    figures.push(
      page.figure({
        key: 'ends-by-size',
        of,
        title: page.t('fig.ends'),
        words: page.t('fig.ends.words', { list: bins.map((b) => `${range(b)}: ${endsText(b)}`).join('; ') }),
        picture: page.chart(() => ({
          height: 210,
          x: sizeAxis(bins),
          y: { type: 'linear', domain: [0, 100], label: page.t('axis.of_size') },
          layers: page.GROUPS.map((name, g) => ({
            type: 'steps',
            colour: page.fill(name),
            items: bins.map((b) => {
              const from = page.sum(b.groups.slice(0, g));
              return { low: b.low, high: b.high, from, to: Math.min(from + b.groups[g], 100) };
            }),
          })),
        })),
        legend: page.legend(
          page.GROUPS.filter((_, g) => bins.some((b) => b.groups[g] >= 0.1)).map((name) => ({
            fill: name,
            text: page.t(`group.${name}`),
          })),
        ),
        table: {
          columns: [sizeColumn, ...page.GROUPS.map((name) => ({ name: page.t(`group.${name}`), kind: 'percent' }))],
          rows: bins.map((b) => [range(b), ...b.groups]),
        },
      }),
    );
    const falling = bins.map((b) => page.convert('speed_m_s', b.settling));
    if (falling.every(Number.isFinite))
      figures.push(
        page.figure({
          key: 'settling-by-size',
          of,
          title: page.t('fig.settling'),
          note: page.t('fig.settling.note'),
          words: page.t('fig.pairs.words', {
            list: bins.map((b) => `${range(b)}: ${page.q('speed_m_s', b.settling, 2)}`).join('; '),
          }),
          picture: page.chart(() => ({
            height: 190,
            x: sizeAxis(bins),
            y: { type: 'log', domain: decade(falling), label: page.unit('speed_m_s') },
            layers: [
              { type: 'line', colour: 'var(--curve)', items: bins.map((b, i) => ({ x: mid(b), y: falling[i] })) },
              {
                type: 'dots',
                items: bins.map((b, i) => ({ x: mid(b), y: falling[i], colour: page.sizeColour(b.middle) })),
              },
            ],
          })),
          table: {
            columns: [sizeColumn, { name: page.t('col.settling'), kind: 'speed_m_s' }],
            rows: bins.map((b) => [range(b), b.settling]),
          },
        }),
      );
    if (bins.some((b) => Number.isFinite(b.lifetime)))
      figures.push(
        page.figure({
          key: 'lifetime-by-size',
          of,
          title: page.t('fig.lifetime'),
          note: page.t('fig.lifetime.note', {
            temperature: page.q('temperature_degC', result.inputs.temperature),
            humidity: page.q('percent', result.inputs.relative_humidity, 2),
          }),
          words: page.t('fig.pairs.words', {
            list: bins.map((b) => `${range(b)}: ${page.q('time_s', b.lifetime, 2)}`).join('; '),
          }),
          picture: page.chart(() => ({
            height: 190,
            x: sizeAxis(bins),
            y: { type: 'log', domain: decade(bins.map((b) => b.lifetime)), label: 's' },
            layers: [
              { type: 'line', colour: 'var(--curve)', items: bins.map((b) => ({ x: mid(b), y: b.lifetime })) },
              {
                type: 'dots',
                items: bins.map((b) => ({ x: mid(b), y: b.lifetime, colour: page.sizeColour(b.middle) })),
              },
            ],
          })),
          table: {
            columns: [sizeColumn, { name: page.t('col.lifetime'), kind: 'time_s' }],
            rows: bins.map((b) => [range(b), b.lifetime]),
          },
        }),
      );
    const ways = bins.filter((b) => b.way),
      metres = (v) => Math.max(page.convert('length_m', v), 0.01);
    if (ways.length > 1)
      figures.push(
        page.figure({
          key: 'way-by-size',
          of,
          title: page.t('fig.way'),
          note: page.t('fig.way.note'),
          words: page.t('fig.pairs.words', {
            list: ways.map((b) => `${range(b)}: ${page.q('length_m', b.way.middle, 2)}`).join('; '),
          }),
          picture: page.chart(() => ({
            height: 190,
            x: sizeAxis(bins),
            y: {
              type: 'log',
              domain: decade(ways.flatMap((b) => [metres(b.way.low), metres(b.way.high)])),
              label: page.unit('length_m'),
            },
            layers: [
              {
                type: 'band',
                colour: 'var(--curve)',
                items: ways.map((b) => ({ x: mid(b), low: metres(b.way.low), high: metres(b.way.high) })),
              },
              {
                type: 'line',
                colour: 'var(--curve)',
                items: ways.map((b) => ({ x: mid(b), y: metres(b.way.middle) })),
              },
              {
                type: 'dots',
                items: ways.map((b) => ({ x: mid(b), y: metres(b.way.middle), colour: page.sizeColour(b.middle) })),
              },
            ],
          })),
          table: {
            columns: [
              sizeColumn,
              { name: page.t('way.low'), kind: 'length_m' },
              { name: page.t('way.middle'), kind: 'length_m' },
              { name: page.t('way.high'), kind: 'length_m' },
              { name: page.t('paths'), kind: 'plain' },
            ],
            rows: ways.map((b) => [range(b), b.way.low, b.way.middle, b.way.high, b.way.n]),
          },
        }),
      );
    figures.push(page.outcomesBySize(result));
    return [
      page.resultChoice('why'),
      page.keyFigure(result),
      page.el(
        'div',
        { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': page.t('why.table') },
        page.sizeTable(result),
      ),
      page.el('p', { class: 'note' }, page.t('why.note')),
      page.el('div', { class: 'figures' }, figures),
    ];
  };
  page.why = () => page.plate('why', 'why', 'language units theme result results refined', content, 'why.lead');
}
