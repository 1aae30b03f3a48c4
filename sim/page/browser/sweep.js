/* sim/page/browser/sweep.js - a sweep: what deposit costs in drift, what each factor does, and all points. The front is
 * worked out here, so that a reader can trade any two outputs; means and errors of effects come with the data. */
{
  const sweep = page.data.sweep;
  /* As columns have it; a key that the page has a control for, by the control's own words, as they stand
   * within a sentence. */
  if (sweep)
    for (const factor of sweep.factors) {
      const column = factor.name,
        control = () => page.settingsOf.sliders.find((slider) => slider.key.replaceAll('.', '_') === column);
      Object.defineProperty(factor, 'name', {
        get: () => {
          const words = control() ? page.t(`live.${control().name}`) : column.replaceAll('_', ' ');
          return control() ? words.charAt(0).toLocaleLowerCase(page.state.language) + words.slice(1) : words;
        },
      });
    }
  /* Without leaves the target is the wood: a gain of zero everywhere would read as a spray that always misses. */
  const bare = sweep && sweep.outputs.find((o) => o.name === 'leaf').v.every((v) => !(v > 0));
  const GAINS = bare ? ['wood'] : ['leaf', 'cover_upper', 'cover_lower', 'deposit_per_leaf_area'];
  const KIND = { percent: 'percent', 'uL/cm2': 'per_leaf_uL_cm2' };
  let gain = bare ? 'wood' : 'leaf',
    loss = 'ground_5_m',
    colour = 0,
    limit = null;

  const outputOf = (name) => sweep.outputs.findIndex((o) => o.name === name);
  const kindOf = (name) =>
    /^(ground_\d|cover|evaporated)/.test(name)
      ? 'percent'
      : KIND[sweep.outputs[outputOf(name)].units] === 'percent'
        ? 'per_100_L'
        : 'per_leaf_uL_cm2';
  const outputName = (name) => {
    const far = /^(ground|airborne|drift_sum)_(\d+)_m$/.exec(name);
    if (far)
      return page.t(far[1] === 'drift_sum' ? 'output.sum' : `output.${far[1]}`, {
        distance: page.q('length_m', Number(far[2])),
      });
    return page.t(
      {
        evaporated: 'compare.evaporated',
        run_off: 'output.run_off',
        cover_lower: 'compare.cover_lower',
        cover_upper: 'compare.cover_upper',
        deposit_per_leaf_area: 'compare.deposit',
      }[name] || `fate.${name}`,
    );
  };
  const settingText = (f, i) => {
    const factor = sweep.factors[f],
      value = sweep.settings[f][i];
    return factor.numeric ? page.resolvedValue(`${value} ${factor.units}`.trim()) : value;
  };
  const pointText = (i) => sweep.factors.map((f, k) => `${f.name}: ${settingText(k, i)}`).join('; ');
  const at = (name, i) => {
    const o = sweep.outputs[outputOf(name)];
    return [o.v[i] ?? NaN, o.e[i] ?? NaN];
  };
  const shown = (kind, v) => page.convert(kind, v, true);
  const known = () =>
    sweep.point.map((_, i) => i).filter((i) => Number.isFinite(at(gain, i)[0]) && Number.isFinite(at(loss, i)[0]));
  /* Points of which much is aloft at the end are no candidates where the question is about drift: what hangs in the air
   * is counted nowhere in it, so that calm air would win. */
  const leftOut = () =>
    [gain, loss].some((name) => sweep.outputs[outputOf(name)].drift)
      ? known().filter((i) => sweep.aloft.includes(i))
      : [];
  const candidates = () => known().filter((i) => !leftOut().includes(i));
  /* The other kind of drift, told beside the loss; null where the loss is none. */
  const beside = () => {
    const i = sweep.outputs[outputOf(loss)].beside;
    return i >= 0 ? sweep.outputs[i].name : null;
  };
  /* Points that no other beats in both, by rising loss. */
  const frontOf = (points) => {
    let best = -Infinity;
    return [...points]
      .sort((a, b) => at(loss, a)[0] - at(loss, b)[0] || at(gain, b)[0] - at(gain, a)[0])
      .filter((i) => at(gain, i)[0] > best && ((best = at(gain, i)[0]), true));
  };
  /* Two points are equal where neither number differs by two errors of the difference, as for independent points: the
   * page has no batches, out of which drupelet tradeoff takes what the points have in common. So some are called equal
   * here that it tells apart. */
  const within = (name, a, b) => {
    const [x, y] = [at(name, a), at(name, b)];
    return Math.abs(x[0] - y[0]) <= 2 * Math.hypot(x[1] || 0, y[1] || 0);
  };
  const equal = (a, b) => within(gain, a, b) && within(loss, a, b);
  /* Letters along the front: in each group every point is equal to every other; none for a point alone. */
  const lettersOf = (front) => {
    const groups = [];
    for (const i of front) {
      const last = groups.at(-1);
      if (last && last.every((k) => equal(k, i))) last.push(i);
      else groups.push([i]);
    }
    const named = groups.filter((g) => g.length > 1);
    return new Map(named.flatMap((g, n) => g.map((i) => [i, String.fromCharCode(97 + (n % 26))])));
  };
  const levelsOf = (f) => [...new Set(sweep.settings[f])].sort((a, b) => (sweep.factors[f].numeric ? a - b : 0));
  /* Where a setting stands among its levels, 0 to 1: told by colour, and by the size of the dot. */
  const standing = (f, i) => {
    const levels = levelsOf(f);
    return levels.length > 1 ? levels.indexOf(sweep.settings[f][i]) / (levels.length - 1) : 0.5;
  };
  const colourOf = (f, i) => page.sizeColour(Math.exp(Math.log(10) + standing(f, i) * Math.log(50)));
  const grown = (f, i) => 0.9 + 0.5 * standing(f, i);

  page.sweepTools = { at, kindOf, outputName, settingText, levelsOf, bare };
  page.sweepName = () => sweep.name;
  page.sweepSentence = () => {
    const span = (name) => {
      const v = sweep.point.map((_, i) => at(name, i)[0]).filter(Number.isFinite),
        kind = kindOf(name);
      if (v.length === 0) return [page.t('none'), page.t('none')];
      return [page.amount(kind, Math.min(...v), 2), page.amount(kind, Math.max(...v), 2)];
    };
    const [g0, g1] = span(bare ? 'wood' : 'leaf'),
      [l0, l1] = span('ground_5_m'),
      [a0, a1] = span('airborne_5_m');
    return page.t(bare ? 'sweep.sentence.bare' : 'sweep.sentence', {
      points: page.whole(sweep.points),
      factors: page.list(sweep.factors.map((f) => f.name)),
      hundred: page.q('per_100_L', 100),
      g0,
      g1,
      l0,
      l1,
      a0,
      a1,
      distance: page.q('length_m', 5),
    });
  };

  /* Where the fan is varied: the program's own words, with outputs and levels as the page calls them. */
  const fanWords = () => {
    const note = sweep.fan_note;
    if (!note) return null;
    const factor = sweep.factors[note.factor],
      level = (text) => (factor.numeric ? page.resolvedValue(text) : text);
    const values = {
      factor: factor.name,
      ground: outputName(note.ground),
      airborne: outputName(note.airborne),
      least_ground: level(note.least_ground),
      least_airborne: level(note.least_airborne),
    };
    const english = note.text
      .replace(/^\w+/, values.factor.charAt(0).toUpperCase() + values.factor.slice(1))
      .replace(note.ground, `“${values.ground}”`)
      .replace(note.airborne, `“${values.airborne}”`)
      .replaceAll(note.least_ground || '-', values.least_ground || '-')
      .replaceAll(note.least_airborne || '-', values.least_airborne || '-');
    return page.el(
      'p',
      { class: 'remark', 'data-fan-note': true },
      page.said(`fan_note.${note.kind}`, english, values),
    );
  };

  const glance = () =>
    page.plate('sweep', 'sweep', 'language units', () => [
      page.el('p', { class: 'sentence' }, page.sweepSentence()),
      fanWords(),
      sweep.failed > 0
        ? page.el('p', {}, page.t('sweep.failed', { n: sweep.failed, count: page.whole(sweep.failed) }))
        : null,
      sweep.point.length < sweep.points
        ? page.el(
            'p',
            { class: 'note' },
            page.t('sweep.thinned', { shown: page.whole(sweep.point.length), all: page.whole(sweep.points) }),
          )
        : null,
      sweep.aloft.length > 0
        ? page.el(
            'p',
            { class: 'remark', 'data-aloft': true },
            page.t('sweep.aloft', { n: sweep.aloft.length, count: page.whole(sweep.aloft.length) }),
          )
        : null,
      page.cautions(),
    ]);

  /* ---- trade-off ---- */
  const axisOf = (name) => {
    const kind = kindOf(name),
      unit = kind === 'per_100_L' ? page.t('axis.of_100', { unit: page.unit(kind) }) : page.unit(kind),
      v = known().flatMap((i) => [-1, 0, 1].map((n) => shown(kind, at(name, i)[0] + n * (at(name, i)[1] || 0)))),
      floor = known().every((i) => at(name, i)[0] >= 0) ? 0 : -Infinity;
    const [low, high] = d3
      .scaleLinear([Math.max(Math.min(...v), floor), Math.max(...v)], [0, 1])
      .nice(5)
      .domain();
    return {
      kind,
      axis: {
        type: 'linear',
        domain: low === high ? [low - 1, high + 1] : [low, high],
        label: `${outputName(name)}, ${unit}`,
        grid: true,
      },
    };
  };
  const tradeSpec = (points, front) => {
    const x = axisOf(loss),
      y = axisOf(gain),
      place = (i) => ({ x: shown(x.kind, at(loss, i)[0]), y: shown(y.kind, at(gain, i)[0]) });
    const whiskers = points.length <= 80 ? points : front;
    return {
      x: x.axis,
      y: y.axis,
      layers: [
        ...(limit !== null ? [{ type: 'mark', x: shown(x.kind, limit), label: page.t('sweep.limit.mark') }] : []),
        { type: 'line', colour: 'var(--ink)', items: front.map(place) },
        {
          type: 'whiskers',
          at: 'x',
          cap: 2,
          colour: 'var(--soft)',
          items: whiskers.map((i) => ({ at: place(i).x, value: place(i).y, error: shown(y.kind, at(gain, i)[1]) })),
        },
        {
          type: 'whiskers',
          at: 'y',
          cap: 2,
          colour: 'var(--soft)',
          items: whiskers.map((i) => ({ at: place(i).y, value: place(i).x, error: shown(x.kind, at(loss, i)[1]) })),
        },
        {
          type: 'dots',
          radius: 3.6,
          items: points
            .filter((i) => !front.includes(i))
            .map((i) => ({
              ...place(i),
              colour: colourOf(colour, i),
              grown: grown(colour, i),
              title: tipOf(i),
              hollow: sweep.aloft.includes(i),
            })),
        },
        {
          type: 'dots',
          radius: 6,
          shape: 3,
          items: front.map((i) => ({
            ...place(i),
            colour: colourOf(colour, i),
            grown: grown(colour, i),
            title: tipOf(i),
          })),
        },
      ],
    };
  };
  const columns = () => [
    { name: page.t('sweep.point'), kind: 'text' },
    ...sweep.factors.map((f) => ({ name: f.name, kind: 'text' })),
    { name: outputName(gain), kind: kindOf(gain), amount: true },
    ...[loss, beside()]
      .filter(Boolean)
      .map((name) => ({ name: outputName(name), kind: kindOf(name), amount: true, difference: true })),
  ];
  const rowOf = (i) => [
    page.whole(sweep.point[i]),
    ...sweep.factors.map((_, f) => settingText(f, i)),
    ...[gain, loss, beside()].filter(Boolean).map((name) => at(name, i)),
  ];
  const tipOf = (i) =>
    [
      pointText(i),
      ...[gain, loss, beside()]
        .filter(Boolean)
        .map((name) => `${outputName(name)}: ${page.pm(kindOf(name), ...at(name, i), { difference: true })}`),
    ].join('; ');

  const best = (points, front) => {
    const kind = kindOf(loss),
      all = points.map((i) => at(loss, i)[0]),
      low = Math.min(...all),
      high = Math.max(...all);
    const value = limit ?? low + 0.5 * (high - low);
    const fit = candidates();
    const holds = (i, errors) => at(loss, i)[0] + errors * (at(loss, i)[1] || 0) <= value;
    const most = (errors) => fit.filter((i) => holds(i, errors)).sort((a, b) => at(gain, b)[0] - at(gain, a)[0])[0];
    const text = (i) =>
      page.t('sweep.best.point', {
        point: page.whole(sweep.point[i]),
        settings: pointText(i),
        gain: page.pm(kindOf(gain), ...at(gain, i)),
        loss: page.pm(kind, ...at(loss, i)),
      }) +
      (beside()
        ? ` ${outputName(beside())}: ${page.pm(kindOf(beside()), ...at(beside(), i), { difference: true })}.`
        : '');
    const asGood = (best) =>
      fit
        .filter((i) => i !== best && holds(i, 0) && within(gain, best, i))
        .map((i) => page.whole(sweep.point[i]))
        .slice(0, 12);
    const first = most(0),
      safe = most(2);
    return page.el(
      'div',
      { class: 'sweep-best' },
      page.el(
        'label',
        { class: 'slider' },
        page.el('span', {}, page.t('sweep.limit', { what: outputName(loss), value: page.amount(kind, value, 3) })),
        page.el('input', {
          type: 'range',
          min: 0,
          max: 200,
          value: Math.round((200 * (value - low)) / (high - low || 1)),
          'data-key': 'limit',
          'aria-valuetext': page.amount(kind, value, 3),
          oninput: (e) => {
            limit = low + ((high - low) * Number(e.target.value)) / 200;
            page.emit('sweep');
          },
        }),
      ),
      page.el(
        'p',
        { 'data-best': true },
        first === undefined ? page.t('sweep.best.none') : `${page.t('sweep.best')} ${text(first)}`,
      ),
      first !== undefined && safe !== first
        ? page.el('p', {}, safe === undefined ? page.t('sweep.safe.none') : `${page.t('sweep.safe')} ${text(safe)}`)
        : null,
      first !== undefined && asGood(first).length > 0
        ? page.el('p', {}, page.t('sweep.as_good', { points: page.list(asGood(first)) }))
        : null,
      page.el('p', { class: 'note' }, page.t('sweep.best.note')),
    );
  };

  const trade = () => {
    const points = known(),
      front = frontOf(candidates()),
      letters = lettersOf(front),
      names = sweep.outputs.map((o) => o.name).filter((n) => sweep.outputs[outputOf(n)].v.some(Number.isFinite));
    const controls = page.el(
      'div',
      { class: 'controls' },
      page.select({
        key: 'gain',
        label: page.t('sweep.gain'),
        value: gain,
        options: names.filter((n) => GAINS.includes(n)).map((n) => [n, outputName(n)]),
        change: (v) => {
          gain = v;
          page.emit('sweep');
        },
      }),
      page.select({
        key: 'loss',
        label: page.t('sweep.loss'),
        value: loss,
        options: names.filter((n) => !GAINS.includes(n)).map((n) => [n, outputName(n)]),
        change: (v) => {
          loss = v;
          limit = null;
          page.emit('sweep');
        },
      }),
      page.select({
        key: 'colour',
        label: page.t('sweep.colour'),
        value: colour,
        options: sweep.factors.map((f, i) => [i, f.name]),
        change: (v) => {
          colour = Number(v);
          page.emit('sweep');
        },
      }),
    );
    const levels = levelsOf(colour),
      several = levels.length <= 12;
    const some = several ? levels : [levels[0], levels[Math.floor(levels.length / 2)], levels.at(-1)];
    return [
      page.figure({
        key: 'trade-off',
        wide: true,
        title: page.t('fig.trade'),
        note: page.t('fig.trade.note'),
        controls,
        words: page.t('fig.trade.words', {
          n: page.whole(points.length),
          front: front
            .slice(0, 12)
            .map(
              (i) =>
                `${pointText(i)}: ${page.pm(kindOf(gain), ...at(gain, i))}, ${page.pm(kindOf(loss), ...at(loss, i))}`,
            )
            .join('. '),
        }),
        picture: page.chart((w) => ({ height: w > 700 ? 420 : 320, right: 24, ...tradeSpec(points, front) })),
        legend: page.legend([
          { colour: 'var(--ink)', dash: '', text: page.t('sweep.front') },
          ...some.map((v) => {
            const i = sweep.settings[colour].indexOf(v);
            return { colour: colourOf(colour, i), shape: 0, grown: grown(colour, i), text: settingText(colour, i) };
          }),
        ]),
        table: {
          columns: [...columns(), { name: page.t('sweep.equal'), kind: 'text' }],
          rows: front.map((i) => [...rowOf(i), letters.get(i) || '']),
        },
        after: [
          leftOut().length > 0
            ? page.el(
                'p',
                { class: 'remark', 'data-left-out': true },
                page.t('sweep.left_out', {
                  points: page.list(
                    leftOut()
                      .slice(0, 12)
                      .map((i) => `${page.whole(sweep.point[i])} (${page.pm('per_100_L', ...at('aloft', i))})`),
                  ),
                }),
              )
            : null,
          letters.size > 0 ? page.el('p', { class: 'note' }, page.t('sweep.equal.note')) : null,
        ],
      }),
      best(points, front),
    ];
  };

  /* ---- effects ---- */
  /* A level as the reader's units have it: a number, a stretch of numbers, or a word. */
  const levelText = (factor, level) => {
    if (!factor.numeric) return level.label;
    const say = (number) => page.resolvedValue(`${number} ${factor.units}`.trim());
    const stretch = /^(\S+) to (\S+)/.exec(level.label);
    if (stretch) return page.t('sweep.stretch', { low: say(stretch[1]), high: say(stretch[2]) });
    return level.label === 'all others' ? page.t('sweep.others') : say(level.number);
  };
  /* One axis for an output, whatever the factor, and from zero: a small effect then looks small. */
  const effectDomain = (name) => {
    const kind = kindOf(name),
      ends = sweep.effects[outputOf(name)].flatMap((of) =>
        of.levels.flatMap(({ mean: [v, e] }) => [shown(kind, v - (e || 0)), shown(kind, v + (e || 0))]),
      );
    return d3
      .scaleLinear([Math.min(0, ...ends), Math.max(0, ...ends) || 1], [0, 1])
      .nice(4)
      .domain();
  };
  page.effectDomain = effectDomain;
  const effectFigure = (f) => {
    const factor = sweep.factors[f],
      both = [gain, loss, beside()]
        .filter(Boolean)
        .map((name) => ({ name, kind: kindOf(name), of: sweep.effects[outputOf(name)][f] }));
    const text = (level) => levelText(factor, level);
    const labels = both[0].of.levels.map(text),
      words = both
        .map(
          (b) =>
            `${outputName(b.name)}: ${b.of.levels.map((l) => `${text(l)} ${page.pm(b.kind, ...l.mean)}`).join(', ')}`,
        )
        .join('. ');
    const plot = (b, k) =>
      page.chart(() => {
        const items = b.of.levels.map((l, i) => ({
          x: labels[i],
          at: labels[i],
          y: shown(b.kind, l.mean[0]),
          value: shown(b.kind, l.mean[0]),
          error: shown(b.kind, l.mean[1]),
        }));
        return {
          height: 190,
          x: { type: 'band', domain: labels, padding: 0 },
          y: {
            type: 'linear',
            domain: effectDomain(b.name),
            label: `${outputName(b.name)}, ${page.unit(b.kind)}`,
          },
          layers: [
            { type: 'whiskers', at: 'x', colour: `var(--result-${k})`, items },
            { type: 'dots', radius: 4.6, shape: k, colour: `var(--result-${k})`, items },
          ],
        };
      });
    return page.figure({
      key: `effect-${f}`,
      wide: true,
      title: factor.name,
      note: page.t(sweep.drawn ? 'fig.effect.drawn' : 'fig.effect.note', {
        gain: outputName(gain),
        loss: outputName(loss),
        a: page.pm(both[0].kind, ...both[0].of.range),
        b: page.pm(both[1].kind, ...both[1].of.range),
      }),
      words,
      picture: page.el('div', { class: 'pair' }, both.map(plot)),
      table: {
        columns: [
          { name: factor.name, kind: 'text' },
          { name: page.t('sweep.points'), kind: 'plain' },
          ...both.map((b) => ({ name: outputName(b.name), kind: b.kind, amount: true, difference: true })),
        ],
        rows: both[0].of.levels.map((l, i) => [labels[i], l.n, ...both.map((b) => b.of.levels[i].mean)]),
      },
    });
  };
  const indexFigure = () => {
    if (!sweep.indices) return null;
    const rows = [gain, loss].flatMap((name) =>
      sweep.factors.map((f, i) => [`${outputName(name)}: ${f.name}`, ...sweep.effects[outputOf(name)][i].index]),
    );
    const labels = rows.map((r) => r[0]);
    return page.figure({
      key: 'indices',
      wide: true,
      title: page.t('fig.indices'),
      note: page.t('fig.indices.note'),
      words: rows.map((r) => `${r[0]}: ${page.plain(r[1], 2)}, ${page.plain(r[4], 2)}`).join('; '),
      picture: page.chart(() => ({
        height: 60 + 34 * rows.length,
        x: {
          type: 'linear',
          domain: [Math.min(0, ...rows.map((r) => r[2])), Math.max(1, ...rows.map((r) => r[6]))],
          grid: true,
          label: page.t('axis.index'),
        },
        y: { type: 'band', domain: labels },
        layers: [0, 1].flatMap((k) => [
          {
            type: 'bars',
            at: 'y',
            of: 2,
            shift: k,
            colour: `var(--side-${k})`,
            items: rows.map((r) => ({ at: r[0], to: Math.max(r[1 + 3 * k], 0) })),
          },
          {
            type: 'whiskers',
            at: 'y',
            of: 2,
            shift: k,
            items: rows.map((r) => ({
              at: r[0],
              value: 0.5 * (r[2 + 3 * k] + r[3 + 3 * k]),
              error: 0.5 * (r[3 + 3 * k] - r[2 + 3 * k]),
            })),
          },
        ]),
      })),
      legend: page.legend([0, 1].map((k) => ({ colour: `var(--side-${k})`, text: page.t(`index.${k}`) }))),
      table: {
        columns: [
          { name: page.t('what'), kind: 'text' },
          ...['index.0', 'low', 'high', 'index.1', 'low', 'high'].map((key) => ({ name: page.t(key), kind: 'plain' })),
        ],
        rows,
      },
    });
  };

  const everything = () => {
    const names = sweep.outputs.map((o) => o.name).filter((n) => sweep.outputs[outputOf(n)].v.some(Number.isFinite));
    return [
      page.figure({
        key: 'points',
        wide: true,
        title: page.t('fig.points'),
        note: page.t('fig.points.note'),
        table: {
          columns: [
            ...columns().slice(0, 1 + sweep.factors.length),
            ...names.map((n) => ({ name: outputName(n), kind: kindOf(n), amount: true })),
          ],
          rows: sweep.point.map((p, i) => [
            page.whole(p),
            ...sweep.factors.map((_, f) => settingText(f, i)),
            ...names.map((n) => at(n, i)),
          ]),
        },
      }),
    ];
  };

  page.sweepPlates = () => [
    ['sweep', glance],
    ['step', page.step],
    ['trade', () => page.plate('trade', 'trade', 'language units theme sweep', trade, 'trade.lead')],
    [
      'effects',
      () =>
        page.plate(
          'effects',
          'effects',
          'language units theme sweep',
          () => [
            page.el(
              'div',
              { class: 'figures' },
              sweep.factors.map((_, f) => effectFigure(f)),
              indexFigure(),
            ),
          ],
          'effects.lead',
        ),
    ],
    ['points', () => page.plate('points', 'points', 'language units', everything)],
  ];

  page.sweepHandout = (chart, block, table) => {
    const points = known(),
      front = frontOf(candidates()),
      every = Math.ceil(front.length / 16),
      some = front.filter((_, i) => i % every === 0 || i === front.length - 1);
    const first = [
      page.el('p', { class: 'hand-sentence' }, page.sweepSentence()),
      fanWords(),
      block(page.t('fig.trade'), chart({ height: 300, ...tradeSpec(points, front) }, 660)),
      block(page.t('sweep.front'), table({ columns: columns(), rows: some.map(rowOf) })),
    ];
    const second = sweep.factors.slice(0, 10).map((factor, f) =>
      block(
        factor.name,
        table({
          columns: [
            { name: factor.name, kind: 'text' },
            { name: outputName(gain), kind: kindOf(gain), amount: true },
            ...[loss, beside()]
              .filter(Boolean)
              .map((name) => ({ name: outputName(name), kind: kindOf(name), amount: true, difference: true })),
          ],
          rows: sweep.effects[outputOf(gain)][f].levels.map((l, i) => [
            levelText(factor, l),
            ...[gain, loss, beside()].filter(Boolean).map((name) => sweep.effects[outputOf(name)][f].levels[i].mean),
          ]),
        }),
      ),
    );
    return [first, second];
  };
}
