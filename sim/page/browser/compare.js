/* sim/page/browser/compare.js - results side by side: what was set differently, what came out differently, and
 * whether that is beyond the noise of sampling.
 *
 * The error of a difference is the root of the sum of squares, as for independent samples. 3 errors or more: clear;
 * 2 to 3: likely; less: within noise (choices). */
{
  const CLEAR = 3,
    LIKELY = 2;

  /* What is compared: [key, kind, result => [value, error], what the key's text names]. A number of leaves that are not
   * there, or of drift without wind, is none: a 0 would read as a spray that missed, or as one that is safe. */
  const unless = (nothing, why) => (get) =>
    Object.assign((r) => (nothing(r, get(r)) ? [NaN, NaN] : get(r)), {
      why: (r) => (nothing(r, get(r)) ? why : 'none'),
    });
  const ofLeaves = unless(page.leafless, 'none.leaves'),
    ofWind = unless((r, [value]) => page.windless(r) && value === 0, 'none.wind');
  /* What has left in the air and what is still in it belong together: the one without the other makes calm air look
   * safe. Their errors as if independent. */
  const someAloft = (r) => page.groupsOf(r)[4].value >= 0.05;
  const inAir = (r) => {
    const [, , , away, aloft] = page.groupsOf(r);
    return [away.value + aloft.value, aloft.value > 0 ? Math.hypot(away.error, aloft.error) : away.error];
  };
  const lines = (results) => {
    const group = (g) => (r) => {
      const one = page.groupsOf(r)[g];
      return [one.value, one.error];
    };
    const list = page.GROUPS.slice(0, 4).map((name, g) => [
      `group.${name}`,
      'per_100_L',
      name === 'airborne' ? ofWind(group(g)) : group(g),
    ]);
    if (results.some(someAloft)) {
      list.push(['group.aloft', 'per_100_L', group(4)]);
      list.push(['compare.in_air', 'per_100_L', inAir]);
    }
    list.push([
      'compare.leaf',
      'per_100_L',
      ofLeaves((r) => page.percent(page.at(r, 'fates/active_ingredient', { fate: 'leaf' }))),
    ]);
    page.driftDistances(results[0]).forEach(({ m, ground, air }, i) => {
      const at = (kind) => ofWind((r) => page.driftDistances(r)[i][kind]);
      if (ground) list.push(['output.ground', 'percent', at('ground'), { distance: m }]);
      if (air) list.push(['output.airborne', 'per_100_L', at('air'), { distance: m }]);
    });
    const leaves = (key, kind, name, where) => list.push([key, kind, ofLeaves((r) => page.at(r, name, where))]);
    leaves('compare.cover_upper', 'percent', 'canopy/coverage_all', { leaf_side: 'upper' });
    leaves('compare.cover_lower', 'percent', 'canopy/coverage_all', { leaf_side: 'lower' });
    leaves('compare.droplets_upper', 'count_1_cm2', 'canopy/visible_droplet_density_all', { leaf_side: 'upper' });
    leaves('compare.deposit', 'per_leaf_uL_cm2', 'canopy/deposit_per_leaf_area_all');
    for (const outcome of page.flyOutcomes(results[0]))
      list.push(['compare.outcome', 'percent', ofLeaves((r) => page.outcomeAtLeaf(r, outcome)), { outcome }]);
    list.push(['compare.evaporated', 'percent', (r) => page.percent(page.at(r, 'fates/evaporated'))]);
    return list;
  };
  const lineName = ([key, , , { distance, outcome } = {}]) =>
    page.t(key, {
      distance: distance === undefined ? '' : page.q('length_m', distance),
      outcome: outcome === undefined ? '' : page.outcomeWord(outcome),
    });

  page.difference = (a, b) => {
    const value = b[0] - a[0],
      error = Math.hypot(a[1], b[1]),
      z = error > 0 ? Math.abs(value) / error : value === 0 ? 0 : Infinity;
    return {
      value,
      error,
      z,
      verdict: !Number.isFinite(value) ? 'unknown' : z >= CLEAR ? 'clear' : z >= LIKELY ? 'likely' : 'noise',
    };
  };

  /** What changed from the first result to another one, in a sentence or two. */
  page.comparison = (a, b) => {
    const changes = { clear: [], likely: [], noise: [] };
    const ends = page.GROUPS.slice(0, 3).map((name, g) => {
      const of = (r) => [page.groupsOf(r)[g].value, page.groupsOf(r)[g].error];
      return [name, of(a), of(b)];
    });
    ends.push([someAloft(a) || someAloft(b) ? 'in_air' : 'airborne', inAir(a), inAir(b)]);
    for (const [name, from, to] of ends) {
      const d = page.difference(from, to);
      if (d.verdict === 'unknown') continue;
      const amount = page.about('per_100_L', Math.abs(d.value), d.error);
      if (d.verdict === 'noise') changes.noise.push(page.t(`place.${name}`));
      else
        changes[d.verdict].push({
          text: page.t(`change.${name}.${d.value > 0 ? 'more' : 'less'}`, { amount }),
          size: Math.abs(d.value),
        });
    }
    const words = (list) => page.list(list.sort((x, y) => y.size - x.size).map((c) => c.text));
    const parts = [];
    const names = { a: a.letter, b: b.letter, hundred: page.q('per_100_L', 100) };
    if (changes.clear.length) parts.push(page.t('compare.clear', { ...names, changes: words(changes.clear) }));
    if (changes.likely.length) parts.push(page.t('compare.likely', { ...names, changes: words(changes.likely) }));
    if (changes.noise.length)
      parts.push(
        page.t(parts.length ? 'compare.noise.rest' : 'compare.noise', { ...names, places: page.list(changes.noise) }),
      );
    for (const [which, key] of [
      [page.leafless, 'compare.leafless'],
      [page.windless, 'compare.windless'],
    ]) {
      const letters = [a, b].filter(which).map((r) => r.letter);
      if (letters.length === 1) parts.push(page.t(key, { letter: letters[0] }));
    }
    return parts.join(' ');
  };

  /** A warning where the results differ in the fan, null where they do not. */
  page.fanNote = (results) => {
    const fan = (r) => JSON.stringify([...page.resolved(r)].filter(([key]) => key.startsWith('sprayer.fan.')));
    return new Set(results.map(fan)).size > 1 ? page.said('fan_note.results', page.data.fan_note) : null;
  };
  const fanWords = (results) => {
    const words = page.fanNote(results);
    return words && page.el('p', { class: 'remark', 'data-fan-note': true }, words);
  };
  page.fanWords = fanWords;

  const settingsTable = (results) => {
    const all = results.map(page.resolved),
      keys = [...new Set(all.flatMap((m) => [...m.keys()]))];
    const differ = keys.filter(
      (key) => !/^(name|place|run\.seed|run\.droplets)$/.test(key) && new Set(all.map((m) => m.get(key))).size > 1,
    );
    if (differ.length === 0) return page.el('p', {}, page.t('compare.same'));
    /* the same for nozzle after nozzle: one line */
    const lines = new Map();
    for (const key of differ) {
      const values = all.map((m) => m.get(key)),
        line = JSON.stringify([key.replace(/\.\d+\./g, '.*.'), values]);
      if (lines.has(line) && /\.\d+\./.test(key)) lines.get(line).keys.push(key);
      else lines.set(line, { keys: [key], values });
    }
    const name = (keys) => (keys.length > 1 ? keys[0].replace(/\.\d+\./, '.*.') : keys[0]);
    return page.el(
      'div',
      { class: 'scroll settings-scroll', tabindex: 0, role: 'region', 'aria-label': page.t('compare.settings') },
      page.el(
        'table',
        { class: 'resolved' },
        page.el('caption', { class: 'unseen' }, page.t('compare.settings')),
        page.el(
          'thead',
          {},
          page.el(
            'tr',
            {},
            page.el('th', { scope: 'col' }, page.t('key')),
            results.map((r) =>
              page.el('th', { scope: 'col' }, page.badge(r), page.el('span', { class: 'unseen' }, r.letter)),
            ),
          ),
        ),
        page.el(
          'tbody',
          {},
          [...lines.values()].map(({ keys: own, values }) =>
            page.el(
              'tr',
              {},
              page.el('th', { scope: 'row' }, page.el('code', {}, name(own))),
              values.map((v) => page.el('td', {}, v === undefined ? '–' : page.resolvedValue(v))),
            ),
          ),
        ),
      ),
    );
  };

  const differenceTable = (results) => {
    const list = lines(results),
      first = results[0],
      others = results.slice(1);
    return page.el(
      'table',
      { class: 'differences' },
      page.el('caption', { class: 'unseen' }, page.t('compare.table')),
      page.el(
        'thead',
        {},
        page.el(
          'tr',
          {},
          page.el('th', { scope: 'col' }, page.t('what')),
          results.map((r) =>
            page.el(
              'th',
              { scope: 'col', class: 'number' },
              page.badge(r),
              page.el('span', { class: 'unseen' }, r.letter),
            ),
          ),
          others.map((r) =>
            page.el('th', { scope: 'col', class: 'number' }, page.t('compare.minus', { b: r.letter, a: first.letter })),
          ),
        ),
      ),
      page.el(
        'tbody',
        {},
        list.map((line) => {
          const [, kind, get] = line,
            values = results.map(get);
          return page.el(
            'tr',
            {},
            page.el(
              'th',
              { scope: 'row' },
              lineName(line),
              page.unit(kind) ? page.el('span', { class: 'unit' }, page.unit(kind)) : null,
            ),
            values.map(([v, e], i) =>
              page.el(
                'td',
                { class: 'number' },
                Number.isFinite(v) || !get.why
                  ? page.about(kind, v, e, { bare: true, difference: true })
                  : page.t(get.why(results[i])),
              ),
            ),
            others.map((r, i) => {
              const d = page.difference(values[0], values[i + 1]);
              return page.el(
                'td',
                { class: `number verdict-${d.verdict}` },
                d.verdict === 'unknown'
                  ? null
                  : page.el(
                      'span',
                      { class: 'delta' },
                      page.about(kind, d.value, d.error, { bare: true, difference: true, sign: true }),
                    ),
                page.el('span', { class: 'verdict' }, page.t(`verdict.${d.verdict}`)),
              );
            }),
          );
        }),
      ),
    );
  };

  page.groupDots = (results, height = 240) => {
    const names = page.GROUPS.slice(0, results.some(someAloft) ? 5 : 4),
      label = (n) => page.t(`group.${n}`),
      spread = 13;
    const values = results.map((r) => page.groupsOf(r));
    return {
      height: height + (names.length > 4 ? 34 : 0),
      x: {
        type: 'linear',
        domain: [0, page.topOf(values.flat().map((g) => g.value + (g.error || 0)))],
        label: page.t('axis.of_100', { unit: page.unit('per_100_L') }),
        grid: true,
      },
      y: { type: 'band', domain: names.map(label) },
      layers: results.flatMap((r, i) => {
        const shift = (i - (results.length - 1) / 2) * spread;
        return [
          {
            type: 'whiskers',
            at: 'y',
            cap: 4,
            colour: page.resultColour(r.index),
            items: names.map((n, g) => ({ at: label(n), value: values[i][g].value, error: values[i][g].error, shift })),
          },
          {
            type: 'dots',
            radius: 4.6,
            shape: r.index,
            colour: page.resultColour(r.index),
            items: names
              .map((n, g) => ({ y: label(n), x: values[i][g].value, shift, group: values[i][g] }))
              .filter((dot) => !page.unknownDrift(r, dot.group)),
          },
        ];
      }),
    };
  };
  const key = (results, dash) =>
    page.legend(
      results.map((r) => ({
        colour: page.resultColour(r.index),
        shape: dash ? undefined : r.index,
        dash: dash ? page.RESULT_DASH[r.index] : undefined,
        text: page.nameOf(r),
      })),
    );

  const looseWords = (bins) =>
    bins.map((b) => `${page.q('size_um', b.middle, 2)}: ${page.q('percent', b.loose[0], 2)}`).join('; ');
  const groundTable = (results) => {
    const strips = results.map(page.stripsDownwind),
      all = [...new Set(strips.flatMap((list) => list.map((p) => p.distance)))].sort((a, b) => a - b);
    return {
      columns: [
        { name: page.t('axis.distance.short'), kind: 'length_m', digits: 4 },
        ...results.map((r) => ({ name: r.letter, kind: 'percent', amount: true })),
      ],
      rows: all.map((d) => [
        d,
        ...strips.map((list) => list.find((p) => p.distance === d)?.percent_of_rate || [NaN, NaN]),
      ]),
    };
  };

  const content = () => {
    const results = page.results(),
      figures = [],
      list = lines(results),
      names = results.map((r) => r.letter);
    figures.push(
      page.figure({
        key: 'side-by-side',
        title: page.t('fig.groups'),
        note: page.t('fig.groups.note'),
        words: results.map((r) => `${page.nameOf(r)}. ${page.shareWords(r)}`).join(' '),
        picture: page.chart(() => page.groupDots(results)),
        legend: key(results),
        table: {
          columns: [
            { name: page.t('what'), kind: 'text' },
            ...results.map((r) => ({ name: r.letter, kind: 'per_100_L', amount: true })),
            ...results.slice(1).map((r) => ({
              name: page.t('compare.minus', { b: r.letter, a: names[0] }),
              kind: 'per_100_L',
              amount: true,
              difference: true,
              sign: true,
            })),
          ],
          rows: list
            .filter(([, kind]) => kind === 'per_100_L')
            .map((line) => {
              const v = results.map(line[2]);
              return [
                lineName(line),
                ...v,
                ...v.slice(1).map((b) => {
                  const d = page.difference(v[0], b);
                  return [d.value, d.error];
                }),
              ];
            }),
        },
      }),
    );
    figures.push(
      page.figure({
        key: 'ground-side-by-side',
        title: page.t('fig.ground'),
        note: page.t('fig.ground.note'),
        words: results.map((r) => `${r.letter}: ${page.curveWords(r)}`).join('. '),
        picture: page.chart(() => ({ height: 260, ...page.driftSpec(results, 'log') })),
        legend: key(results, true),
        table: groundTable(results),
      }),
    );
    const met = results.map((r) => page.binsOf(r).filter((b) => Number.isFinite(b.loose[0]))),
      axis = [...met.flat()].sort((a, b) => a.middle - b.middle);
    if (axis.length > 1)
      figures.push(
        page.figure({
          key: 'loose-side-by-side',
          title: page.t('fig.loose.by_size'),
          note: page.t('fig.loose.note'),
          words: results.map((r, i) => `${r.letter}: ${looseWords(met[i])}`).join('. '),
          picture: page.chart(() => ({
            height: 220,
            x: page.sizeAxis(axis),
            y: {
              type: 'linear',
              domain: [0, Math.min(100, page.topOf(axis.map((b) => page.sum(b.loose))))],
              label: page.t('axis.impacts'),
            },
            layers: results.flatMap((r, i) => [
              {
                type: 'line',
                colour: page.resultColour(r.index),
                dash: page.RESULT_DASH[r.index],
                items: met[i].map((b) => ({ x: b.middle, y: b.loose[0] })),
              },
              {
                type: 'whiskers',
                at: 'x',
                cap: 2,
                colour: page.resultColour(r.index),
                items: met[i].map((b) => ({ at: b.middle, value: b.loose[0], error: b.loose[1] })),
              },
              {
                type: 'dots',
                shape: r.index,
                radius: 3.4,
                colour: page.resultColour(r.index),
                items: met[i].map((b) => ({ x: b.middle, y: b.loose[0] })),
              },
            ]),
          })),
          legend: key(results),
          table: {
            columns: [
              { name: page.t('col.size.unit'), kind: 'text' },
              ...results.map((r) => ({ name: r.letter, kind: 'percent', amount: true })),
            ],
            rows: [...new Set(axis.map((b) => b.i))].map((i) => {
              const at = axis.find((b) => b.i === i);
              return [
                `${page.plain(at.low, 2)}–${page.plain(at.high, 2)}`,
                ...met.map((list) => list.find((b) => b.i === i)?.loose || [NaN, NaN]),
              ];
            }),
          },
        }),
      );
    figures.push(page.outcomesByFan(results));
    return [
      page.el(
        'ul',
        { class: 'comparisons' },
        results
          .slice(1)
          .map((b) =>
            page.el(
              'li',
              { 'data-comparison': b.letter },
              page.badge(b),
              page.el('span', {}, page.comparison(results[0], b)),
            ),
          ),
      ),
      fanWords(results),
      page.el('p', { class: 'note' }, page.t('compare.note', { clear: page.whole(CLEAR), likely: page.whole(LIKELY) })),
      page.el('h3', {}, page.t('compare.settings')),
      settingsTable(results),
      page.el('h3', {}, page.t('compare.table')),
      page.el(
        'div',
        { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': page.t('compare.table') },
        differenceTable(results),
      ),
      page.el('div', { class: 'figures' }, figures),
    ];
  };
  page.compare = () =>
    page.plate('compare', 'compare', 'language units theme results refined', content, 'compare.lead', page.many);
}
