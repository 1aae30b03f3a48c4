/* sim/page/browser/numbers.js - deposits, cover, drift (drift.js) and the ledger, each with its standard error. */
{
  let measure = 'share',
    row = 'all';

  /* Measures by third of the crown and side of the row: value and error of a row, from [third][side] or from
   * [third][side][leaf side]. */
  const MEASURES = {
    share: { kind: 'per_100_L', get: (r, t, s) => [100 * r.third.v[2 * t + s], 100 * r.third.e[2 * t + s]] },
    deposit: {
      kind: 'per_leaf_uL_cm2',
      get: (r, t, s) => [r.deposit_uL_cm2.v[2 * t + s], r.deposit_uL_cm2.e[2 * t + s]],
    },
    cover_upper: {
      kind: 'percent',
      get: (r, t, s) => [r.cover_percent.v[4 * t + 2 * s + 1], r.cover_percent.e[4 * t + 2 * s + 1]],
    },
    cover_lower: {
      kind: 'percent',
      get: (r, t, s) => [r.cover_percent.v[4 * t + 2 * s], r.cover_percent.e[4 * t + 2 * s]],
    },
    droplets_upper: {
      kind: 'count_1_cm2',
      get: (r, t, s) => [r.droplets_1_cm2.v[4 * t + 2 * s + 1], r.droplets_1_cm2.e[4 * t + 2 * s + 1]],
    },
    droplets_lower: {
      kind: 'count_1_cm2',
      get: (r, t, s) => [r.droplets_1_cm2.v[4 * t + 2 * s], r.droplets_1_cm2.e[4 * t + 2 * s]],
    },
  };
  /* Of one row, or of all: the share has a sum with an error of its own in the file; the others are means of the rows,
   * their error as if rows were independent. */
  const cell = (result, name, which, t, s) => {
    const leaves = result.leaves,
      get = MEASURES[name].get;
    if (which !== 'all') return get(leaves.rows[which], t, s);
    if (name === 'share' && Number.isFinite(leaves.third.v[0])) return get(leaves, t, s);
    const all = leaves.rows.map((r) => get(r, t, s)).filter(([v]) => Number.isFinite(v) && v !== null),
      n = name === 'share' ? 1 : all.length;
    return [page.sum(all.map(([v]) => v)) / n, Math.sqrt(page.sum(all.map(([, e]) => e * e))) / n];
  };
  const THIRDS = ['bottom', 'middle', 'top'];
  const sides = (result) => (result.inputs.downwind > 0 ? [0, 1] : [1, 0]); /* the side towards the wind first */

  page.heightFigure = (result, name, which, controls) => {
    const kind = MEASURES[name].kind,
      order = [2, 1, 0],
      both = sides(result),
      rows = order.map((t) => both.map((s) => cell(result, name, which, t, s)));
    const label = (t) => page.t(`third.${THIRDS[t]}`),
      at = (v) => page.convert(kind, v, true);
    const top = page.topOf(rows.flat().map(([v, e]) => at(v) + (at(e) || 0)));
    return page.figure({
      key: 'height-and-side',
      of: result,
      title: page.t('fig.height'),
      note: page.windless(result)
        ? page.t('fig.height.windless', { note: page.t(`measure.${name}.note`) })
        : page.t(`measure.${name}.note`),
      controls,
      words: page.t('fig.height.words', {
        what: page.t(`measure.${name}`),
        list: order
          .map((t, i) => `${label(t)}: ${page.pm(kind, ...rows[i][0])}, ${page.pm(kind, ...rows[i][1])}`)
          .join('; '),
      }),
      picture: page.chart(() => ({
        height: 210,
        x: {
          type: 'linear',
          domain: [0, top],
          label:
            name === 'share'
              ? page.t('axis.of_100', { unit: page.unit(kind) })
              : `${page.t(`measure.${name}`)}, ${page.unit(kind)}`,
        },
        y: { type: 'band', domain: order.map(label), padding: 0.32 },
        layers: both.flatMap((_, k) => [
          {
            type: 'bars',
            at: 'y',
            of: 2,
            shift: k,
            colour: `var(--side-${k})`,
            items: order.map((t, i) => ({ at: label(t), to: at(rows[i][k][0]) })),
          },
          {
            type: 'whiskers',
            at: 'y',
            of: 2,
            shift: k,
            items: order.map((t, i) => ({ at: label(t), value: at(rows[i][k][0]), error: at(rows[i][k][1]) })),
          },
        ]),
      })),
      legend: page.legend([0, 1].map((k) => ({ colour: `var(--side-${k})`, text: page.t(`side.${k}`) }))),
      table: {
        columns: [
          { name: page.t('height'), kind: 'text' },
          { name: page.t('side.0'), kind, amount: true, difference: true },
          { name: page.t('side.1'), kind, amount: true, difference: true },
        ],
        rows: order.map((t, i) => [label(t), rows[i][0], rows[i][1]]),
      },
    });
  };

  /* Rows from upwind to downwind. */
  page.rowSpec = (result, height) => {
    const rows = page.rowsOf(result),
      name = (i) => page.whole(i + 1),
      names = rows.map((_, i) => name(i));
    return {
      height,
      x: { type: 'band', domain: result.inputs.downwind > 0 ? names.reverse() : names, label: page.t('axis.row') },
      y: {
        type: 'linear',
        domain: [0, page.topOf(rows.map(([v, e]) => v + (e || 0)))],
        label: page.t('axis.of_100', { unit: page.unit('per_100_L') }),
      },
      layers: [
        { type: 'bars', at: 'x', colour: 'var(--trees)', items: rows.map(([v], i) => ({ at: name(i), to: v })) },
        { type: 'whiskers', at: 'x', items: rows.map(([value, error], i) => ({ at: name(i), value, error })) },
      ],
    };
  };
  page.rowsOf = (result) =>
    result.leaves.rows.map((r) => [100 * (r.together.v[0] ?? page.sum(r.third.v)), 100 * (r.together.e[0] ?? NaN)]);
  page.rowFigure = (result) => {
    const rows = page.rowsOf(result),
      name = (i) => page.whole(i + 1);
    return page.figure({
      key: 'rows',
      of: result,
      title: page.t('fig.rows'),
      note: page.t(page.windless(result) ? 'fig.rows.note.windless' : 'fig.rows.note'),
      words: page.t('fig.rows.words', {
        list: rows.map(([v, e], i) => `${name(i)}: ${page.pm('per_100_L', v, e)}`).join('; '),
      }),
      picture: page.chart(() => page.rowSpec(result, 220)),
      table: {
        columns: [
          { name: page.t('row'), kind: 'text' },
          { name: page.t('on_leaves'), kind: 'per_100_L', amount: true },
        ],
        rows: rows.map((r, i) => [name(i), r]),
      },
    });
  };

  const leafTable = (result) => {
    const l = result.leaves,
      pair = (a) => [
        [a.v[1], a.e[1]],
        [a.v[0], a.e[0]],
      ],
      scaled = (a, f) => [a.v[0] * f, a.e[0] * f];
    const columns = [
      { name: page.t('leaves'), kind: 'text' },
      { name: page.t('cover'), kind: 'percent', amount: true },
      { name: page.t('droplets'), kind: 'count_1_cm2', amount: true },
      { name: page.t('share'), kind: 'per_100_L', amount: true },
    ];
    const cover = pair(l.cover_percent),
      count = pair(l.droplets_1_cm2),
      share = pair(l.leaf_side).map(([v, e]) => [100 * v, 100 * e]);
    const table = {
      columns,
      rows: ['upper', 'lower'].map((side, i) => [page.t(`leaf.${side}`), cover[i], count[i], share[i]]),
    };
    return page.figure({
      key: 'leaf-sides',
      of: result,
      wide: true,
      title: page.t('fig.leaf'),
      note: page.t('fig.leaf.note', {
        deposit: page.pm('per_leaf_uL_cm2', l.deposit_uL_cm2.v[0], l.deposit_uL_cm2.e[0], { difference: true }),
        run_off: l.run_off.v[0] > 0 ? page.pm('per_100_L', ...scaled(l.run_off, 100)) : page.q('per_100_L', 0),
        target: page.q('count_1_cm2', 85, 2),
      }),
      picture: null,
      table,
    });
  };

  const cards = (result) =>
    ['card', 'dish', 'line']
      .filter((kind) => result.collectors.some((c) => c.kind === kind))
      .map((kind) => {
        const list = result.collectors.filter((c) => c.kind === kind),
          amount = (c, m) => [c[m].v[0], c[m].e[0]];
        const columns = [
          { name: page.t('collector'), kind: 'text' },
          { name: page.t('axis.distance.short'), kind: 'length_m' },
          { name: page.t('height'), kind: 'length_m' },
          { name: page.t('caught'), kind: 'per_leaf_uL_cm2', amount: true, difference: true },
          { name: page.t('of_rate'), kind: 'percent', amount: true },
          { name: page.t('droplets.all'), kind: 'count_1_cm2', amount: true },
        ];
        if (kind === 'card') columns.push({ name: page.t('cover'), kind: 'percent', amount: true });
        return page.figure({
          key: `collectors-${kind}`,
          of: result,
          title: page.t(`collectors.${kind}`),
          note: page.t(`collectors.${kind}.note`),
          wide: true,
          table: {
            columns,
            rows: list.map((c) => [
              c.name,
              c.distance_m,
              0.5 * (c.low_m + c.high_m),
              amount(c, 'caught'),
              amount(c, 'percent_of_rate'),
              amount(c, 'droplets'),
              ...(kind === 'card' ? [amount(c, 'coverage')] : []),
            ]),
          },
        });
      });

  page.ledgerTable = (result) => ({
    columns: [
      { name: page.t('where'), kind: 'text' },
      { name: page.t('ledger.active'), kind: 'percent', amount: true },
      { name: page.t('ledger.water'), kind: 'percent', amount: true },
    ],
    rows: [
      ...result.fate_names.map((name, f) => [
        page.t(`fate.${name}`),
        [100 * result.fates.v[f], 100 * result.fates.e[f]],
        [100 * result.water.v[f], 100 * result.water.e[f]],
      ]),
      [page.t('evaporated'), [0, NaN], [100 * result.evaporated.v[0], 100 * result.evaporated.e[0]]],
      [
        page.t('together'),
        [100 * page.sum(result.fates.v), NaN],
        [100 * (page.sum(result.water.v) + result.evaporated.v[0]), NaN],
      ],
    ],
  });
  const ledger = (result) =>
    page.figure({
      key: 'ledger',
      of: result,
      wide: true,
      title: page.t('fig.ledger'),
      note: page.t('fig.ledger.note', {
        droplets: page.whole(result.droplets),
        seed: result.seed,
        version: result.version,
      }),
      table: page.ledgerTable(result),
    });

  const everything = (result) =>
    page.figure({
      key: 'settings',
      of: result,
      wide: true,
      folded: true,
      title: page.t('fig.settings'),
      note: page.t('fig.settings.note'),
      table: {
        columns: [
          { name: page.t('key'), kind: 'text' },
          { name: page.t('value'), kind: 'text' },
        ],
        rows: [...page.resolved(result)].map(([key, value]) => [key, page.resolvedValue(value)]),
      },
    });

  /* Without leaves there is nothing by height, row and leaf side; empty axes would read as a spray that missed. */
  const bareWords = (result) =>
    page.t('numbers.bare', {
      wood: page.pm('per_100_L', 100 * result.fates.v[1], 100 * result.fates.e[1]),
      hundred: page.q('per_100_L', 100),
    });
  page.bareWords = bareWords;

  const content = () => {
    const result = page.result(),
      rows = result.leaves.rows;
    if (row !== 'all' && row >= rows.length) row = 'all';
    const controls = page.el(
      'div',
      { class: 'controls' },
      page.select({
        key: 'measure',
        label: page.t('measure'),
        value: measure,
        options: Object.keys(MEASURES).map((m) => [m, page.t(`measure.${m}`)]),
        change: (v) => {
          measure = v;
          page.emit('numbers');
        },
      }),
      page.select({
        key: 'row',
        label: page.t('row'),
        value: row,
        options: [['all', page.t('rows.all')], ...rows.map((_, i) => [i, page.whole(i + 1)])],
        change: (v) => {
          row = v === 'all' ? v : Number(v);
          page.emit('numbers');
        },
      }),
    );
    return [
      page.resultChoice('numbers'),
      page.el(
        'div',
        { class: 'figures' },
        page.leafless(result)
          ? page.el('p', { class: 'wide', 'data-bare': true }, bareWords(result))
          : [page.heightFigure(result, measure, row, controls), page.rowFigure(result), leafTable(result)],
        page.driftFigures(result),
        cards(result),
        ledger(result),
        everything(result),
      ),
    ];
  };
  page.numbers = () => page.plate('numbers', 'numbers', 'language units theme result numbers', content, 'numbers.lead');
}
