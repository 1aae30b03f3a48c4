/* sim/page/browser/key.js - the key picture: litres by droplet size, each bar split by where they went; and what became
 * of the impacts on leaves, all of them, by size and by fan speed. */
{
  /* From the bottom: what leaves the orchard stands on the axis, where bars can be compared. */
  const PARTS = ['airborne', 'aloft', 'ground_beyond', 'orchard_floor', 'wood', 'leaf'];
  /* The sizes that drift comes from: the fewest neighbouring classes that bring four fifths of it (choice). */
  const MOST_OF = 0.8;

  const partName = (name) => page.t(/^(wood|leaf)$/.test(name) ? `part.${name}` : `group.${name}`);
  const range = (b) => `${page.plain(b.low, 2)}–${page.plain(b.high, 2)}`;

  /** Size classes that hold some of the spray, with litres of 100 L by where they went. */
  page.litresBySize = (result) =>
    page.binsOf(result).map((bin) => {
      const fate = (name) => 100 * page.at(result, 'fates/by_size', { size: bin.i, fate: name })[0];
      const parts = PARTS.map((name) =>
        /^(wood|leaf)$/.test(name) ? fate(name) : page.sum(page.fatesOf(result, name).map(fate)),
      );
      return {
        ...bin,
        parts,
        litres: bin.share,
        drift: parts[0] + parts[1],
        dried: (100 * 100 * page.at(result, 'fates/evaporated_by_size', { size: bin.i })[0]) / bin.share,
      };
    });

  /** Which sizes bring the drift: the fewest neighbouring classes with most of it, and the class that brings most; null
   *  where hardly anything drifts. */
  page.driftSizes = (result) => {
    const bins = page.litresBySize(result),
      all = page.sum(bins.map((b) => b.drift));
    if (!(all >= 0.05)) return null;
    let best = null;
    for (let from = 0; from < bins.length; from++)
      for (let to = from, sum = 0; to < bins.length; to++) {
        sum += bins[to].drift;
        if (sum < MOST_OF * all) continue;
        if (!best || to - from < best.n || (to - from === best.n && sum > best.sum))
          best = { n: to - from, sum, low: bins[from].low, high: bins[to].high, own: bins.slice(from, to + 1) };
        break;
      }
    const crown = bins.reduce((a, b) => (b.drift > a.drift ? b : a));
    return { ...best, all, crown, litres: page.sum(best.own.map((b) => b.litres)) };
  };
  /** The same in a sentence or two. */
  page.driftSizeWords = (result) => {
    const d = page.driftSizes(result);
    if (!d) return page.t('key.none');
    return page.t(page.windless(result) ? 'key.note.aloft' : 'key.note', {
      low: page.plain(d.low, 2),
      high: page.q('size_um', d.high, 2),
      part: page.rough('per_100_L', d.sum),
      all: page.rough('per_100_L', d.all),
      hundred: page.q('per_100_L', 100),
      litres: page.rough('per_100_L', d.litres),
      crown: `${range(d.crown)}\u00a0µm`,
    });
  };

  const below100 = (result) =>
    page.t('fig.share.note', {
      share: page.amount('percent', 100 * page.below100(result), 2),
      size: page.q('size_um', 100),
    });

  page.keyFigure = (result) => {
    const bins = page.litresBySize(result),
      shown = PARTS.map((name, p) => [name, p]).filter(([, p]) => bins.some((b) => b.parts[p] > 0)),
      drift = page.driftSizes(result),
      dries = bins.every((b) => Number.isFinite(b.dried));
    const spec = (width) => ({
      height: width > 700 ? 380 : 330,
      x: { ...page.sizeAxis(bins), label: page.t('axis.size') },
      y: {
        type: 'linear',
        domain: [0, page.topOf(bins.map((b) => 1.12 * b.litres))],
        label: page.t('axis.of_100', { unit: page.unit('per_100_L') }),
      },
      layers: [
        ...shown.map(([name, p]) => ({
          type: 'steps',
          colour: page.fill(name),
          items: bins.map((b) => {
            const from = page.sum(b.parts.slice(0, p));
            return { low: b.low, high: b.high, from, to: from + b.parts[p] };
          }),
        })),
        ...(drift ? [{ type: 'crown', x: drift.crown.middle, y: drift.crown.litres, label: page.t('key.crown') }] : []),
      ],
      under: dries
        ? {
            label: page.t('key.dried'),
            items: bins.map((b) => ({ x: b.middle, text: page.plain(Math.round(b.dried), 3) })),
          }
        : null,
    });
    return page.figure({
      key: 'litres-by-size',
      of: result,
      wide: true,
      title: page.t('fig.key'),
      note: `${page.driftSizeWords(result)} ${below100(result)}`,
      words: page.t('fig.key.words', {
        said: page.driftSizeWords(result),
        list: bins
          .filter((b) => b.litres >= 0.5)
          .map((b) => `${range(b)}: ${page.rough('per_100_L', b.litres)}, ${page.rough('per_100_L', b.drift)}`)
          .join('; '),
      }),
      picture: page.chart(spec),
      legend: page.legend(shown.map(([name]) => ({ fill: name, text: partName(name) }))),
      table: {
        about: true,
        columns: [
          { name: page.t('col.size.unit'), kind: 'text' },
          { name: page.t('key.sprayed'), kind: 'per_100_L' },
          ...shown.map(([name]) => ({ name: partName(name), kind: 'per_100_L' })),
          { name: page.t('key.dried.short'), kind: 'percent' },
        ],
        rows: bins.map((b) => [range(b), b.litres, ...shown.map(([, p]) => b.parts[p]), b.dried]),
      },
    });
  };

  /* ---- what became of all impacts on leaves ---- */
  const outcomeLegend = (outcomes) =>
    page.legend(outcomes.map((name, o) => ({ fill: `outcome-${o}`, text: page.outcomeWord(name) })));
  const outcomeColumns = (outcomes) =>
    outcomes.map((name) => ({ name: page.outcomeWord(name), kind: 'percent', amount: true }));
  /* One after the other from 0, so that they end at 100. */
  const stacked = (of, o) => ({
    from: page.sum(of.slice(0, o).map((v) => v[0])),
    to: Math.min(page.sum(of.slice(0, o + 1).map((v) => v[0])), 100),
  });

  page.outcomesBySize = (result) => {
    const outcomes = page.points(result, 'fates/outcome'),
      bins = page.binsOf(result).filter((b) => Number.isFinite(b.outcome[0][0]));
    if (bins.length < 2) return null;
    return page.figure({
      key: 'bounce-by-size',
      of: result,
      title: page.t(`fig.bounce.${page.targetOf(result)}`),
      note: page.t('fig.bounce.note'),
      words: page.t('fig.bounce.words', {
        names: page.list(outcomes.map(page.outcomeWord)),
        list: bins
          .map((b) => `${range(b)}: ${b.outcome.map((v) => page.rough('percent', v[0])).join(', ')}`)
          .join('; '),
      }),
      picture: page.chart(() => ({
        height: 230,
        x: page.sizeAxis(bins),
        y: { type: 'linear', domain: [0, 100], label: page.t('axis.hits') },
        layers: outcomes.map((_, o) => ({
          type: 'steps',
          colour: page.fill(`outcome-${o}`),
          items: bins.map((b) => ({ low: b.low, high: b.high, ...stacked(b.outcome, o) })),
        })),
      })),
      legend: outcomeLegend(outcomes),
      table: {
        columns: [{ name: page.t('col.size.unit'), kind: 'text' }, ...outcomeColumns(outcomes)],
        rows: bins.map((b) => [range(b), ...b.outcome]),
      },
    });
  };

  /** All impacts on leaves of results that differ in fan speed; null where they do not. */
  page.outcomesByFan = (results) => {
    const outcomes = page.points(results[0], 'fates/outcome'),
      fan = (r) => r.inputs.fan_speed,
      of = (r) => outcomes.map((name) => page.outcomeAtLeaf(r, name)),
      told = results
        .filter((r) => Number.isFinite(fan(r)) && !page.leafless(r) && Number.isFinite(of(r)[0][0]))
        .sort((a, b) => fan(a) - fan(b) || a.index - b.index);
    if (new Set(told.map(fan)).size < 2) return null;
    const label = (r) => `${r.letter}: ${page.q('fan_rpm', fan(r), 4)}`;
    return page.figure({
      key: 'loose-by-fan',
      title: page.t('fig.loose.fan'),
      note: page.t('fig.loose.fan.note'),
      words: told
        .map(
          (r) =>
            `${label(r)}: ${of(r)
              .map((v, o) => `${page.outcomeWord(outcomes[o])} ${page.rough('percent', v[0])}`)
              .join(', ')}`,
        )
        .join('; '),
      picture: page.chart(() => ({
        height: 40 + 44 * told.length,
        x: { type: 'linear', domain: [0, 100], label: page.t('axis.hits'), grid: true },
        y: { type: 'band', domain: told.map(label) },
        layers: outcomes.map((_, o) => ({
          type: 'bars',
          at: 'y',
          colour: page.fill(`outcome-${o}`),
          items: told.map((r) => ({ at: label(r), ...stacked(of(r), o) })),
        })),
      })),
      legend: outcomeLegend(outcomes),
      table: {
        columns: [
          { name: page.t('result'), kind: 'text' },
          { name: page.t('set.fan'), kind: 'fan_rpm', digits: 4 },
          ...outcomeColumns(outcomes),
        ],
        rows: told.map((r) => [r.letter, fan(r), ...of(r)]),
      },
    });
  };
}
