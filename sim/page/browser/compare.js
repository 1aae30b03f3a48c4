/* sim/page/browser/compare.js - results side by side: what was set differently, what came out differently, and
 * whether that is beyond the noise of sampling. Where two results have one seed, batch b of both has the same
 * random numbers, and what chance does to both alike drops out of the difference batch by batch: the error of a
 * headline number's difference comes from these 32. Elsewhere it is the root of the sum of squares, as for
 * independent samples. 2 errors or less: lost in noise; to 3: likely; more: clear, or small where it is less than a
 * twentieth of the larger number (choices). */
{
  const CLEAR = 3,
    LIKELY = 2,
    SMALL = 0.05;

  /* What is compared: [key, kind, result => [value, error], what the key's text names, the numbers that are known batch
   * by batch and add up to it]. A number of leaves that are not
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
  const airNames = (result) => [...page.fatesOf(result, 'airborne'), 'aloft'];
  const lines = (results) => {
    const group = (g) => (r) => {
      const one = page.groupsOf(r)[g];
      return [one.value, one.error];
    };
    const list = page.GROUPS.slice(0, 4).map((name, g) => [
      `group.${name}`,
      'per_100_L',
      name === 'airborne' ? ofWind(group(g)) : group(g),
      {},
      page.fatesOf(results[0], name),
    ]);
    if (results.some(someAloft)) {
      list.push(['group.aloft', 'per_100_L', group(4), {}, ['aloft']]);
      list.push(['compare.in_air', 'per_100_L', inAir, {}, airNames(results[0])]);
    }
    list.push([
      'compare.leaf',
      'per_100_L',
      ofLeaves((r) => page.percent(page.at(r, 'fates/active_ingredient', { fate: 'leaf' }))),
      {},
      ['leaf'],
    ]);
    page.driftDistances(results[0]).forEach(({ m, ground, air }, i) => {
      const at = (kind) => ofWind((r) => page.driftDistances(r)[i][kind]);
      if (ground) list.push(['output.ground', 'percent', at('ground'), { distance: m }, [`ground_${m}_m`]]);
      if (air) list.push(['output.airborne', 'per_100_L', at('air'), { distance: m }, [`airborne_${m}_m`]]);
    });
    const leaves = (key, kind, name, where) => list.push([key, kind, ofLeaves((r) => page.at(r, name, where))]);
    leaves('compare.cover_upper', 'percent', 'canopy/coverage_all', { leaf_side: 'upper' });
    leaves('compare.cover_lower', 'percent', 'canopy/coverage_all', { leaf_side: 'lower' });
    leaves('compare.droplets_upper', 'count_1_cm2', 'canopy/visible_droplet_density_all', { leaf_side: 'upper' });
    leaves('compare.deposit', 'per_leaf_uL_cm2', 'canopy/deposit_per_leaf_area_all');
    for (const outcome of page.flyOutcomes(results[0]))
      list.push(['compare.outcome', 'percent', ofLeaves((r) => page.outcomeAtLeaf(r, outcome)), { outcome }]);
    list.push([
      'compare.evaporated',
      'percent',
      (r) => page.percent(page.at(r, 'fates/evaporated')),
      {},
      ['evaporated'],
    ]);
    return list;
  };
  const lineName = ([key, , , { distance, outcome } = {}]) =>
    page.t(key, {
      distance: distance === undefined ? '' : page.q('length_m', distance),
      outcome: outcome === undefined ? '' : page.outcomeWord(outcome),
    });

  /* Standard error of the difference of numbers that are known batch by batch, in the unit of their sum; null where the
   * seeds differ or a file does not know them. */
  const pairedError = (a, b, names) => {
    if (!names || a.seed !== b.seed) return null;
    const sum = (r, batch) => {
      const known = page.points(r, 'batches/number');
      return page.sum(
        names.map((number) => (known.includes(number) ? page.at(r, 'batches/percent', { number, batch }) : NaN)),
      );
    };
    const off = page.points(a, 'batches/batch').map((_, batch) => sum(b, batch) - sum(a, batch)),
      mean = page.sum(off) / off.length,
      error = Math.sqrt(page.sum(off.map((v) => (v - mean) ** 2)) / (off.length - 1) / off.length);
    return Number.isFinite(error) ? error : null;
  };
  /** How much more b is than a, both [value, error]. @param paired { a, b, names }: results that may have one seed, and
   *  the numbers by batch that add up to the value */
  page.difference = (a, b, paired) => {
    const value = b[0] - a[0],
      own = paired && pairedError(paired.a, paired.b, paired.names),
      error = own ?? Math.hypot(a[1], b[1]),
      z = error > 0 ? Math.abs(value) / error : value === 0 ? 0 : Infinity,
      small = Math.abs(value) < SMALL * Math.max(Math.abs(a[0]), Math.abs(b[0]));
    return {
      value,
      error,
      z,
      paired: own !== null && own !== undefined,
      verdict: !Number.isFinite(value)
        ? 'unknown'
        : z >= CLEAR
          ? small
            ? 'small'
            : 'clear'
          : z >= LIKELY
            ? 'likely'
            : 'noise',
    };
  };

  /* ---- what was set differently, in the words of "What made it" ---- */
  /* The first words of a value: "540 rpm" needs no more of its line. */
  const brief = (text) => text.split(/[:;,] /)[0];
  /* Of each result the rows that are not the same in all: [[label, value]]. */
  const rowsThatDiffer = (results) => {
    const all = results.map((r) => {
      const rows = new Map();
      for (const [label, value] of page.settings(r))
        rows.set(label, rows.has(label) ? `${rows.get(label)}; ${value}` : value);
      return rows;
    });
    const labels = [...new Set(all.flatMap((rows) => [...rows.keys()]))].filter(
      (label) => new Set(all.map((rows) => rows.get(label))).size > 1,
    );
    return all.map((rows) =>
      labels.map((label) => {
        const values = all.map((other) => brief(other.get(label) || page.t('none'))),
          whole = rows.get(label) || page.t('none');
        return [label, new Set(values).size > 1 ? brief(whole) : whole];
      }),
    );
  };
  /** What a result is called beside others: by what is different in it, where that is short and tells all apart; else
   *  by its own name. */
  page.labelOf = (result) => {
    const results = page.results(),
      rows = rowsThatDiffer(results).map((own) =>
        own
          .slice(0, 3)
          .map(([, value]) => value)
          .join(', '),
      );
    const good = rows.every((text) => text && text.length <= 90) && new Set(rows).size === rows.length;
    return good ? rows[results.indexOf(result)] : result.name;
  };
  /** What is different in b, against a, as a part of a sentence; null where nothing in "What made it" is. */
  page.differs = (a, b) => {
    const [from, to] = rowsThatDiffer([a, b]);
    if (to.length === 0) return null;
    const words = to
      .slice(0, 3)
      .map(([label, value], i) =>
        page.t('compare.instead', { label: label.toLocaleLowerCase(page.state.language), value, before: from[i][1] }),
      );
    return to.length > 3 ? page.list([...words, page.t('compare.others')]) : page.list(words);
  };

  /** What changed from the first result to another one, in a sentence or two. */
  page.comparison = (a, b) => {
    const changes = { clear: [], small: [], likely: [], noise: [] };
    const ends = page.GROUPS.slice(0, 3).map((name, g) => {
      const of = (r) => [page.groupsOf(r)[g].value, page.groupsOf(r)[g].error];
      return [name, of(a), of(b), page.fatesOf(a, name)];
    });
    ends.push([someAloft(a) || someAloft(b) ? 'in_air' : 'airborne', inAir(a), inAir(b), airNames(a)]);
    for (const [name, from, to, names] of ends) {
      const d = page.difference(from, to, { a, b, names });
      if (d.verdict === 'unknown') continue;
      const amount = page.rough('per_100_L', Math.abs(d.value));
      if (d.verdict === 'noise') changes.noise.push(page.t(`place.${name}`));
      else
        changes[d.verdict].push({
          text: page.t(`change.${name}.${d.value > 0 ? 'more' : 'less'}`, { amount }),
          size: Math.abs(d.value),
        });
    }
    const words = (list) => page.list(list.sort((x, y) => y.size - x.size).map((c) => c.text));
    const parts = [];
    const names = { a: a.letter, b: b.letter, hundred: page.q('per_100_L', 100) },
      what = page.differs(a, b);
    if (changes.clear.length)
      parts.push(
        page.t(what ? 'compare.clear.with' : 'compare.clear', { ...names, what, changes: words(changes.clear) }),
      );
    else if (what) parts.push(page.t('compare.with', { ...names, what }));
    if (changes.small.length) parts.push(page.t('compare.small', { ...names, changes: words(changes.small) }));
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
            { 'data-far': [3, 15, 30, 50].includes(line[3]?.distance) },
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
              const d = page.difference(values[0], values[i + 1], { a: first, b: r, names: line[4] });
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
                ...v.slice(1).map((b, i) => {
                  const d = page.difference(v[0], b, { a: results[0], b: results[i + 1], names: line[4] });
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
    const met = results.map((r) => (page.leafless(r) ? [] : page.binsOf(r).filter((b) => Number.isFinite(b.loose[0])))),
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
        'p',
        { class: 'note' },
        page.t('compare.note', {
          clear: page.whole(CLEAR),
          likely: page.whole(LIKELY),
          small: page.q('percent', 100 * SMALL),
        }),
      ),
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
  /** First of all: what differs and what it does, in a sentence for each result beside the first. */
  const versus = () => {
    const results = page.results();
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
    ];
  };
  page.versus = () =>
    page.plate('versus', 'versus', 'language units theme results refined', versus, 'versus.lead', page.many);
  page.compare = () =>
    page.plate('compare', 'compare', 'language units theme results refined', content, 'compare.lead', page.many);
}
