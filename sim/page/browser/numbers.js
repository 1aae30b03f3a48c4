/* sim/page/browser/numbers.js - deposits, cover, drift (drift.js) and the ledger, each with its standard error. */
{
  let measure = 'share',
    row = 'all';

  /* Measures by third of the crown and side of the row, as value and error. */
  const MEASURES = {
    share: { kind: 'per_100_L', of_row: 'canopy/row_deposit' },
    deposit: { kind: 'per_leaf_uL_cm2', of_row: 'canopy/deposit_per_leaf_area' },
    cover_upper: { kind: 'percent', of_row: 'canopy/coverage', leaf_side: 'upper' },
    cover_lower: { kind: 'percent', of_row: 'canopy/coverage', leaf_side: 'lower' },
    droplets_upper: { kind: 'count_1_cm2', of_row: 'canopy/visible_droplet_density', leaf_side: 'upper' },
    droplets_lower: { kind: 'count_1_cm2', of_row: 'canopy/visible_droplet_density', leaf_side: 'lower' },
  };
  /* Of one row, or of all: the share has a sum with an error of its own in the file; the others are means of the rows,
   * their error as if rows were independent. */
  const cell = (result, name, which, third, side) => {
    const { of_row, leaf_side } = MEASURES[name],
      scaled = (pair) => (name === 'share' ? page.percent(pair) : pair),
      get = (row) => scaled(page.at(result, of_row, { row, third, side, leaf_side }));
    if (which !== 'all') return get(which);
    const sum = page.at(result, 'canopy/deposit_of_third', { third, side });
    if (name === 'share' && Number.isFinite(sum[0])) return scaled(sum);
    const all = result.rows.map((_, row) => get(row)).filter(([v]) => Number.isFinite(v)),
      n = name === 'share' ? 1 : all.length;
    return [page.sum(all.map(([v]) => v)) / n, Math.sqrt(page.sum(all.map(([, e]) => (e || 0) ** 2))) / n];
  };

  page.heightFigure = (result, name, which, controls) => {
    const kind = MEASURES[name].kind,
      order = ['top', 'middle', 'bottom'],
      both = page.sidesOf(result),
      rows = order.map((t) => both.map((s) => cell(result, name, which, t, s)));
    const label = (t) => page.t(`third.${t}`),
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
      x: { type: 'band', domain: result.sign > 0 ? names.reverse() : names, label: page.t('axis.row') },
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
  const partsOf = (result, row) =>
    page
      .points(result, 'canopy/third')
      .flatMap((third) =>
        page.sidesOf(result).map((side) => page.at(result, 'canopy/row_deposit', { row, third, side })[0]),
      );
  page.rowsOf = (result) =>
    result.rows.map((_, row) => {
      const together = page.at(result, 'canopy/deposit_of_row', { row });
      return page.percent(Number.isFinite(together[0]) ? together : [page.sum(partsOf(result, row)), NaN]);
    });
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
    const columns = [
      { name: page.t('leaves'), kind: 'text' },
      { name: page.t('cover'), kind: 'percent', amount: true },
      { name: page.t('droplets'), kind: 'count_1_cm2', amount: true },
      { name: page.t('share'), kind: 'per_100_L', amount: true },
    ];
    const table = {
      columns,
      rows: ['upper', 'lower'].map((leaf_side) => [
        page.t(`leaf.${leaf_side}`),
        page.at(result, 'canopy/coverage_all', { leaf_side }),
        page.at(result, 'canopy/visible_droplet_density_all', { leaf_side }),
        page.percent(page.at(result, 'canopy/leaf_side_deposit', { leaf_side })),
      ]),
    };
    const run_off = page.at(result, 'canopy/run_off');
    return page.figure({
      key: 'leaf-sides',
      of: result,
      wide: true,
      title: page.t('fig.leaf'),
      note: page.t('fig.leaf.note', {
        deposit: page.pm('per_leaf_uL_cm2', ...page.at(result, 'canopy/deposit_per_leaf_area_all'), {
          difference: true,
        }),
        unlike: Number.isFinite(page.at(result, 'canopy/leaf_to_leaf'))
          ? page.t('fig.leaf.unlike', { deviation: Math.round(page.at(result, 'canopy/leaf_to_leaf')) })
          : '',
        run_off: run_off[0] > 0 ? page.pm('per_100_L', ...page.percent(run_off)) : page.q('per_100_L', 0),
        target: page.q('count_1_cm2', 85, 2),
      }),
      picture: null,
      table,
    });
  };

  const cards = (result) =>
    [...new Set(result.collectors.map((c) => c.kind))].sort().map((kind) => {
      const list = result.collectors.filter((c) => c.kind === kind),
        covered = list.some((c) => Number.isFinite(c.coverage[0]));
      const columns = [
        { name: page.t('collector'), kind: 'text' },
        { name: page.t('axis.distance.short'), kind: 'length_m' },
        { name: page.t('height'), kind: 'length_m' },
        { name: page.t('caught'), kind: 'per_leaf_uL_cm2', amount: true, difference: true },
        { name: page.t('of_rate'), kind: 'percent', amount: true },
        { name: page.t('droplets.all'), kind: 'count_1_cm2', amount: true },
      ];
      if (covered) columns.push({ name: page.t('cover'), kind: 'percent', amount: true });
      return page.figure({
        key: `collectors-${kind}`,
        of: result,
        title: page.said(`collectors.${kind}`, page.t('collectors', { kind })),
        note: page.said(`collectors.${kind}.note`, page.t('collectors.note')),
        wide: true,
        table: {
          columns,
          rows: list.map((c) => [
            c.collector,
            c.distance,
            0.5 * (c.height + c.top),
            c.caught,
            c.percent_of_rate,
            c.droplets,
            ...(covered ? [c.coverage] : []),
          ]),
        },
      });
    });

  page.ledgerTable = (result) => {
    const list = page.along(result, 'fates/fate', ['active_ingredient', 'water']),
      evaporated = page.at(result, 'fates/evaporated'),
      sum = (name) => page.sum(list.map((f) => f[name][0]));
    return {
      columns: [
        { name: page.t('where'), kind: 'text' },
        { name: page.t('ledger.active'), kind: 'percent', amount: true },
        { name: page.t('ledger.water'), kind: 'percent', amount: true },
      ],
      rows: [
        ...list.map((f) => [page.t(`fate.${f.fate}`), page.percent(f.active_ingredient), page.percent(f.water)]),
        [page.t('evaporated'), [0, NaN], page.percent(evaporated)],
        [page.t('together'), [100 * sum('active_ingredient'), NaN], [100 * (sum('water') + evaporated[0]), NaN]],
      ],
    };
  };
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
      wood: page.pm('per_100_L', ...page.percent(page.at(result, 'fates/active_ingredient', { fate: 'wood' }))),
      hundred: page.q('per_100_L', 100),
    });
  page.bareWords = bareWords;

  const content = () => {
    const result = page.result(),
      rows = result.rows;
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
  page.numbers = () =>
    page.plate('numbers', 'numbers', 'language units theme result numbers results refined', content, 'numbers.lead');
}
