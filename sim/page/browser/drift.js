/* sim/page/browser/drift.js - drift, told in two ways that are never added up: what lies on the ground at a distance,
 * of the rate, and what passes there in the air, of the output. What is still aloft is told beside them: it is drift
 * whose place is not known. Their sum stands last and is called one. */
{
  let scale = 'linear';

  /* Amounts by distance: [{ m, ground: [value, error] or null, air: [value, error] or null }], from near to far. */
  const distances = (result) => {
    const ground = page.along(result, 'ground/curve_distance', ['curve']),
      air = page.along(result, 'airborne/plane', ['net_flux_all_heights']);
    return [...new Set([...ground.map((g) => g.curve_distance), ...air.map((a) => a.plane)])]
      .sort((a, b) => a - b)
      .map((m) => ({
        m,
        ground: ground.find((g) => g.curve_distance === m)?.curve ?? null,
        air: air.find((a) => a.plane === m)?.net_flux_all_heights ?? null,
      }));
  };
  page.driftDistances = distances;
  page.curveWords = (result) =>
    distances(result)
      .filter((d) => d.ground)
      .map((d) => `${page.q('length_m', d.m)}: ${page.about('percent', ...d.ground)}`)
      .join('; ');
  page.airWords = (result) =>
    distances(result)
      .filter((d) => d.air)
      .map((d) => `${page.q('length_m', d.m)}: ${page.about('per_100_L', ...d.air)}`)
      .join('; ');

  /* What passes a plane by height: [{ z, net_flux: [value, error] }]. */
  const profile = (result, plane) => page.along(result, 'airborne/z', ['net_flux'], { plane });
  /* What passes a plane between two heights: the sum of the bins of its profile, its error as if they were
   * independent. */
  const bandOf = (result, p, low, high) => {
    const heights = page.points(result, 'airborne/z'),
      step = heights.length > 1 ? heights[1] - heights[0] : 2 * heights[0],
      bins = profile(result, p).filter(({ z }) => z > low && z < high);
    return [
      step * page.sum(bins.map(({ net_flux }) => net_flux[0])),
      step * Math.sqrt(page.sum(bins.map(({ net_flux }) => net_flux[1] ** 2))),
    ];
  };
  const bands = (result) => {
    const from = page.points(result, 'airborne/band');
    return from.map((low, i) => ({ low, high: from[i + 1] ?? Infinity }));
  };
  const bandName = ({ low, high }) =>
    high === Infinity
      ? page.t('band.high.above', { size: page.q('length_m', low) })
      : low === 0
        ? page.t('band.high.below', { size: page.q('length_m', high) })
        : page.t('band.high.between', {
            low: page.plain(page.convert('length_m', low)),
            high: page.q('length_m', high),
          });

  /** Both kinds of drift by distance. @param by_height what passes in the air by bands of height, too */
  page.driftTable = (result, by_height, about) => {
    const own = by_height ? bands(result) : [],
      planes = page.points(result, 'airborne/plane');
    return {
      about,
      columns: [
        { name: page.t('axis.distance.short'), kind: 'length_m' },
        { name: page.t('drift.ground'), kind: 'percent', amount: true },
        { name: page.t('drift.air'), kind: 'per_100_L', amount: true, difference: true },
        ...own.map((band) => ({ name: bandName(band), kind: 'per_100_L', amount: true, difference: true })),
      ],
      rows: distances(result).map(({ m, ground, air }) => [
        m,
        ground || [],
        air || [],
        ...own.map(({ low, high }) => (air ? bandOf(result, planes.indexOf(m), low, high) : [])),
      ]),
    };
  };

  /* What leaves the space but not downwind, and what has not come down: told with drift, in words. */
  page.strayWords = (result, write = page.about) => {
    const fate = (name) =>
      write('per_100_L', ...page.percent(page.at(result, 'fates/active_ingredient', { fate: name })));
    return page.t('drift.stray', {
      hundred: page.q('per_100_L', 100),
      above: fate('air_above'),
      upwind: fate('air_upwind'),
      ground_upwind: fate('ground_upwind'),
      aloft: fate('aloft'),
    });
  };
  /** The two drifts at one distance, in a sentence; null without wind. */
  page.driftSentence = (result) => {
    const at = distances(result).find((d) => d.ground && d.air);
    if (!at || page.windless(result)) return null;
    return page.t(Number.isFinite(at.ground[0]) ? 'drift.sentence' : 'drift.sentence.stands', {
      distance: page.q('length_m', at.m),
      ground: page.about('percent', ...at.ground),
      air: page.about('per_100_L', ...at.air),
      hundred: page.q('per_100_L', 100),
    });
  };
  page.driftWords = (result) => {
    const words = page.driftSentence(result);
    return words && page.el('p', { class: 'drift-sentence' }, words);
  };
  /** The headline of drift: both by distance as a table, then what strayed. */
  page.driftHeadline = (result) =>
    page.figure({
      key: `drift-${result.letter}`,
      of: result,
      place: page.t('glance'),
      title: page.t('drift.title'),
      note: page.t(page.windless(result) ? 'fig.windless' : page.many() ? 'drift.note' : 'drift.note.height'),
      folded: page.windless(result),
      table: page.driftTable(result, !page.many(), true),
      after: page.el('p', { class: 'note', 'data-stray': true }, page.strayWords(result)),
    });

  /* Ground deposit of one or several results. */
  page.driftSpec = (results, how) => {
    const feet = (v) => page.convert('length_m', v),
      points = (r) =>
        page
          .stripsDownwind(r)
          .map(({ distance: d, percent_of_rate: [v, e] }) => ({ d, v, e }))
          .filter((p) => p.d <= 100 && Number.isFinite(p.v));
    const all = results.flatMap(points).map((p) => p.v),
      low = Math.max(1e-3, Math.min(...all.filter((v) => v > 0), 1)),
      most = Math.max(...results.flatMap(points).map((p) => p.v + (p.e || 0)), 1e-3);
    const floor = 10 ** Math.floor(Math.log10(low));
    return {
      x: {
        type: 'linear',
        domain: [0, feet(100)],
        label: page.t('axis.distance', { unit: page.unit('length_m') }),
        grid: true,
      },
      y:
        how === 'log'
          ? { type: 'log', domain: [floor, 10 ** Math.ceil(Math.log10(most))], label: page.t('axis.of_rate') }
          : {
              type: 'linear',
              domain: [0, page.topOf(results.flatMap(points).map((p) => p.v + (p.e || 0)))],
              label: page.t('axis.of_rate'),
            },
      layers: [
        ...results.flatMap((r) => {
          const colour = results.length > 1 ? page.resultColour(r.index) : 'var(--curve)',
            list = points(r);
          return [
            {
              type: 'band',
              colour,
              items: list.map((p) => ({
                x: feet(p.d),
                low: how === 'log' ? Math.max(p.v - p.e, floor) : Math.max(p.v - p.e, 0),
                high: how === 'log' ? Math.max(p.v + p.e, floor) : p.v + p.e,
              })),
            },
            {
              type: 'line',
              colour,
              dash: results.length > 1 ? page.RESULT_DASH[r.index] : '',
              items: list.map((p) => ({ x: feet(p.d), y: how === 'log' && p.v <= 0 ? NaN : p.v })),
            },
          ];
        }),
      ],
    };
  };
  const groundFigure = (result) => {
    const strips = page.stripsDownwind(result),
      known = strips.some((s) => Number.isFinite(s.percent_of_rate[0]));
    return page.figure({
      key: 'ground',
      of: result,
      wide: true,
      title: page.t('fig.ground'),
      note: page.t(known ? (page.windless(result) ? 'fig.ground.windless' : 'fig.ground.note') : 'fig.ground.stands'),
      controls: page.choice({
        key: 'scale',
        label: page.t('scale'),
        quiet: true,
        value: scale,
        options: [
          ['linear', page.t('scale.linear')],
          ['log', page.t('scale.log')],
        ],
        change: (v) => {
          scale = v;
          page.emit('numbers');
        },
      }),
      words: page.t('fig.ground.words', { list: page.curveWords(result) }),
      picture: known ? page.chart((w) => ({ height: w > 700 ? 300 : 240, ...page.driftSpec([result], scale) })) : null,
      table: {
        columns: [
          { name: page.t('axis.distance.short'), kind: 'length_m', digits: 4 },
          { name: page.t('of_rate'), kind: 'percent', amount: true },
        ],
        rows: strips.map((s) => [s.distance, s.percent_of_rate]),
      },
    });
  };
  const PLANE_DASH = ['', '6 4', '2 3', '9 3 2 3'];
  const fluxFigure = (result) => {
    const distance = page.points(result, 'airborne/plane'),
      every = page.points(result, 'airborne/z'),
      of = distance.map((_, p) => profile(result, p).map((bin) => bin.net_flux)),
      value = (p, i) => page.convert('flux_percent_m', of[p][i][0], true),
      error = (p, i) => page.convert('flux_percent_m', of[p][i][1], true);
    const planes = distance.map((_, p) => p).filter((p) => Number.isFinite(value(p, 0))),
      last = Math.max(...every.map((z, i) => (planes.some((p) => of[p][i][0] > 0) ? z : 0)));
    const heights = every.filter((z) => z <= last + 0.3),
      all = planes.flatMap((p) => heights.map((_, i) => value(p, i) + error(p, i))),
      least = Math.min(0, ...planes.flatMap((p) => heights.map((_, i) => value(p, i) - error(p, i))));
    const plane = (p) =>
      page.t('plane', {
        distance: page.q('length_m', distance[p]),
        amount: page.pm('per_100_L', ...page.at(result, 'airborne/net_flux_all_heights', { plane: p })),
      });
    return page.figure({
      key: 'flux',
      of: result,
      wide: true,
      title: page.t('fig.flux'),
      note: page.t(page.windless(result) ? 'fig.windless' : 'fig.flux.note'),
      folded: true,
      words: page.t('fig.flux.words', { list: page.airWords(result) }),
      picture: page.windless(result)
        ? null
        : page.chart(() => ({
            height: 300,
            x: { type: 'linear', domain: [least, page.topOf(all)], label: page.unit('flux_percent_m'), grid: true },
            y: {
              type: 'linear',
              domain: [0, page.topOf([page.convert('length_m', last)])],
              label: `${page.t('height')}, ${page.unit('length_m')}`,
            },
            layers: planes.flatMap((p) => [
              {
                type: 'line',
                colour: `var(--plane-${p})`,
                dash: PLANE_DASH[p],
                items: heights.map((z, i) => ({ x: value(p, i), y: page.convert('length_m', z) })),
              },
              {
                type: 'whiskers',
                at: 'y',
                cap: 2,
                colour: `var(--plane-${p})`,
                items: heights.map((z, i) => ({
                  at: page.convert('length_m', z),
                  value: value(p, i),
                  error: error(p, i),
                })),
              },
              {
                type: 'dots',
                radius: 3,
                shape: p,
                colour: `var(--plane-${p})`,
                items: heights.map((z, i) => ({ x: value(p, i), y: page.convert('length_m', z) })),
              },
            ]),
          })),
      legend: page.windless(result)
        ? null
        : page.legend(
            planes.map((p) => ({ colour: `var(--plane-${p})`, shape: p, dash: PLANE_DASH[p], text: plane(p) })),
          ),
      table: {
        columns: [
          { name: page.t('height'), kind: 'length_m' },
          ...planes.map((p) => ({
            name: page.t('plane.short', { distance: page.q('length_m', distance[p]) }),
            kind: 'flux_percent_m',
            amount: true,
            difference: true,
          })),
        ],
        rows: every.map((z, i) => [z, ...planes.map((p) => of[p][i])]),
      },
    });
  };
  const headlineFigure = (result) =>
    page.figure({
      key: 'two-drifts',
      place: page.t('numbers'),
      of: result,
      wide: true,
      title: page.t('drift.title'),
      note: page.t(page.windless(result) ? 'fig.windless' : 'drift.note.height'),
      folded: page.windless(result),
      table: page.driftTable(result, true),
      after: page.el('p', { class: 'note' }, page.strayWords(result, page.pm)),
    });
  const sumFigure = (result) => {
    const sums = page.along(result, 'ground/drift_distance', ['drift_sum']);
    return page.figure({
      key: 'drift-sum',
      of: result,
      wide: true,
      folded: true,
      title: page.t('fig.sum'),
      note: page.t(page.windless(result) ? 'fig.windless' : 'fig.sum.note'),
      table: {
        columns: [
          { name: page.t('axis.distance.short'), kind: 'length_m' },
          { name: page.t('drift.sum'), kind: 'per_100_L', amount: true },
        ],
        rows: sums.map((s) => [s.drift_distance, s.drift_sum]),
      },
    });
  };
  page.driftFigures = (result) => [headlineFigure(result), groundFigure(result), fluxFigure(result), sumFigure(result)];
}
