/* sim/page/browser/glance.js - the answer in one sentence, the same as a hundred drops, bars with errors, what made
 * it. */
{
  /** The five groups of fates: [{ name, value, error }] in 100ths. A file that lacks their errors gets sums alone. */
  page.groupsOf = (result) =>
    page.points(result, 'fates/group').map((group) => {
      const [value, error] = page.percent(page.at(result, 'fates/together', { group }));
      if (Number.isFinite(value)) return { name: group, value, error };
      const parts = page.fatesOf(result, group).map((fate) => page.at(result, 'fates/active_ingredient', { fate })[0]);
      return { name: group, value: 100 * page.sum(parts), error };
    });

  /** Nothing left in the air because no wind carried it: a zero that says nothing of drift. */
  page.unknownDrift = (result, group) => group.name === 'airborne' && group.value === 0 && page.windless(result);

  /** The groups in whole litres that add up to 100, as many as the drops of the picture. */
  page.wholeGroups = (result) => page.wholes(page.groupsOf(result).map((g) => g.value));
  const amount = (name, value, whole) =>
    page.el(
      'strong',
      { class: 'amount', style: { '--mark': page.groupColour(name) } },
      whole === 0 && value > 0 ? page.t('less_than', { value: page.q('per_100_L', 1) }) : page.q('per_100_L', whole, 3),
    );
  page.sentence = (result) => {
    const groups = page.groupsOf(result),
      whole = page.wholeGroups(result),
      values = { hundred: page.q('per_100_L', 100) };
    groups.forEach((g, i) => (values[g.name] = amount(g.name, g.value, whole[i])));
    const calm = page.unknownDrift(result, groups[3]);
    return page.nodes(`glance.sentence${groups[4].value < 0.05 ? '' : calm ? '.windless' : '.aloft'}`, values);
  };
  page.sentenceText = (result) =>
    page
      .sentence(result)
      .map((n) => (typeof n === 'string' ? n : n.textContent))
      .join('');

  /** What a reader must know to read the numbers right: a list of sentences, mostly empty. */
  page.remarks = (result) => {
    const aloft = page.groupsOf(result)[4],
      list = [];
    if (page.leafless(result)) list.push(page.t('remark.leafless'));
    if (page.windless(result))
      list.push(
        aloft.value > 0 && !result.warnings.some((w) => w.name === 'aloft')
          ? page.t('remark.windless.aloft', {
              aloft: page.about('per_100_L', aloft.value, aloft.error),
              hundred: page.q('per_100_L', 100),
            })
          : page.t('remark.windless'),
      );
    return list;
  };
  page.remarkList = (result) => page.remarks(result).map((text) => page.el('p', { class: 'remark' }, text));

  /** What the weather or the result warns of, as the program said it, in the language and the units in use. */
  page.warningWords = (result) =>
    result.warnings.map((w) => {
      const quantity = (text) => page.resolvedValue(text, { 'm/s': 'wind_m_s', percent: 'percent' }, 3),
        found = quantity(w.found),
        bound = quantity(w.bound);
      const english = page.state.units === 'us' ? w.text.replace(w.found, found).replace(w.bound, bound) : w.text;
      return page.said(`warning.${w.name}`, english, { found, bound });
    });
  page.warningList = (result) =>
    result.warnings.length === 0
      ? null
      : page.el(
          'div',
          { class: 'warnings', role: 'note', 'aria-label': page.t('warnings') },
          page.el('strong', {}, page.t('warnings')),
          page.el(
            'ul',
            {},
            page
              .warningWords(result)
              .map((text, i) => page.el('li', { 'data-warning': result.warnings[i].name }, text)),
          ),
        );

  const DROP = 'M0,-9C2.6,-5 5.6,-1.6 5.6,2.6A5.6,5.6 0 0 1 -5.6,2.6C-5.6,-1.6 -2.6,-5 0,-9Z';
  /** A hundred drops, one for each litre. @param whole litres by group @param columns drops in a line */
  page.dropsOf = (whole, columns) => {
    const W = 15,
      H = 20;
    const root = page.svg('svg', {
      class: 'drops',
      viewBox: `0 0 ${W * columns} ${H * Math.ceil(100 / columns)}`,
      'aria-hidden': 'true',
    });
    let k = 0;
    page.GROUPS.forEach((name, i) => {
      for (let n = 0; n < whole[i]; n++, k++)
        root.append(
          page.svg('path', {
            d: DROP,
            class: `drop drop-${name}`,
            transform: `translate(${W * (k % columns) + W / 2},${H * Math.floor(k / columns) + 11})`,
          }),
        );
    });
    return root;
  };
  page.drops = (result, columns) => page.dropsOf(page.wholeGroups(result), columns);

  /* One scale for the bars of all results on the page, so that bars side by side can be compared. */
  const shareTop = () =>
    page.topOf(page.results().flatMap((r) => page.groupsOf(r).map((g) => g.value + (g.error || 0))));
  const shareAxis = (top, at) => {
    const ticks = d3.scaleLinear([0, top], [0, 1]).ticks(4);
    const anchor = (v) => (v === 0 ? 'start' : v === top ? 'end' : 'middle');
    return page.el(
      'div',
      { class: 'share share-axis', 'aria-hidden': 'true', 'data-top': top },
      page.svg(
        'svg',
        { class: 'share-bar', height: '2.5em', width: '100%' },
        page.svg('line', { x1: 0, x2: '100%', y1: 0.5, y2: 0.5 }),
        ticks.map((v) => page.svg('line', { x1: at(v), x2: at(v), y1: 0, y2: 5 })),
        ticks.map((v) => page.svg('text', { x: at(v), y: '1.25em', 'text-anchor': anchor(v) }, page.plain(v))),
        page.svg(
          'text',
          { x: '100%', y: '2.4em', 'text-anchor': 'end' },
          page.t('axis.of_100', { unit: page.unit('per_100_L') }),
        ),
      ),
    );
  };
  /** Rows of label, bar with whisker, amount, over an axis that starts at 0 and is the same for all results. */
  page.shareBars = (result) => {
    const groups = page.groupsOf(result).filter((g) => g.value > 0 || g.name !== 'aloft'),
      top = shareTop();
    const at = (v) => `${page.clamp((100 * v) / top, 0, 100)}%`;
    return page.el(
      'div',
      { class: 'share-bars' },
      groups.map((g) =>
        page.el(
          'div',
          { class: 'share' },
          page.swatch(g.name),
          page.el('span', { class: 'share-name' }, page.t(`group.${g.name}`)),
          page.el(
            'span',
            { class: 'share-amount' },
            page.unknownDrift(result, g) ? page.t('none.wind') : page.about('per_100_L', g.value, g.error),
          ),
          page.svg(
            'svg',
            { class: 'share-bar', 'aria-hidden': 'true', height: 18, width: '100%' },
            page.svg('rect', { class: `drop-${g.name}`, x: 0, y: 2, height: 14, width: at(g.value) }),
            g.error > 0
              ? page.svg(
                  'g',
                  { class: 'whisker-lines' },
                  page.svg('line', { x1: at(g.value - g.error), x2: at(g.value + g.error), y1: 9, y2: 9 }),
                  ...[-1, 1].map((s) =>
                    page.svg('line', {
                      x1: at(g.value + s * g.error),
                      x2: at(g.value + s * g.error),
                      y1: 4.5,
                      y2: 13.5,
                    }),
                  ),
                )
              : null,
          ),
        ),
      ),
      shareAxis(top, at),
    );
  };
  page.shareWords = (result) =>
    page.t('glance.words', {
      list: page
        .groupsOf(result)
        .map((g) => `${page.t(`group.${g.name}`)}: ${page.about('per_100_L', g.value, g.error)}`)
        .join('; '),
    });

  /** What made it: [label, value] in the units in use. */
  page.settings = (result) => {
    const at = result.inputs,
      list = [];
    const add = (key, value) => list.push([page.t(key), value]);
    const { application_rate: rate, fan_flow: flow } = page.single(result, 'sprayer');
    if (Number.isFinite(rate)) add('set.rate', page.q('rate_L_ha', rate));
    add('set.travel', page.q('travel_km_h', at.travel_speed));
    for (const s of result.sprays)
      add(
        'set.tip',
        page.t(s.assumed === 'assumed' ? 'set.tip.assumed' : 'set.tip.value', {
          tip: s.tip,
          pressure: page.q('pressure_bar', s.pressure),
          size: page.q('size_um', s.dv50),
          share: page.amount('percent', 100 * s.share_below_100_um, 2),
        }),
      );
    const fan = Number.isFinite(at.fan_speed)
      ? page.t('set.fan.value', { flow: page.q('air_m3_s', flow), speed: page.q('fan_rpm', at.fan_speed, 4) })
      : page.q('air_m3_s', flow);
    const by = page.t(at.fan_air === 'resolved' ? 'set.fan.resolved' : 'set.fan.integral');
    add('set.fan', flow > 0 ? page.t('set.fan.by', { fan, by }) : fan);
    if (page.windless(result)) add('set.wind', page.t('set.wind.none'));
    else
      add(
        'set.wind',
        page.t('set.wind.value', {
          speed: page.q('wind_m_s', at.wind_speed),
          height: page.q('length_m', at.wind_height, 2),
          angle: page.q(
            'angle_deg',
            Math.abs(at.wind_angle) > 90 ? 180 - Math.abs(at.wind_angle) : Math.abs(at.wind_angle),
            3,
          ),
          around: page.t(at.wind === 'computed' ? 'set.wind.computed' : 'set.wind.profiles'),
        }),
      );
    add(
      'set.air',
      page.t('set.air.value', {
        temperature: page.q('temperature_degC', at.temperature),
        humidity: page.q('percent', at.relative_humidity, 2),
      }),
    );
    add(
      'set.rows',
      page.t('set.rows.value', {
        rows: page.whole(result.rows.length),
        spacing: page.q('length_m', at.row_spacing),
      }),
    );
    add(
      'set.crown',
      page.t(page.leafless(result) ? 'set.crown.bare' : 'set.crown.value', {
        base: page.q('length_m', at.canopy_base, 2),
        top: page.q('length_m', at.canopy_height, 2),
        width: page.q('length_m', at.canopy_width, 2),
        lai: page.plain(at.leaf_area_index),
      }),
    );
    return list;
  };
  page.settingsList = (result) =>
    page.el(
      'dl',
      { class: 'settings' },
      page
        .settings(result)
        .map(([name, value]) => page.el('div', {}, page.el('dt', {}, name), page.el('dd', {}, value))),
    );

  /** What field trials say of a quantity, in one sentence (docs/model-error.md). */
  page.trials = (e) => {
    const found = page.t(`trials.${e.trials > 1 ? 'many' : e.trials > 0 ? 'one' : 'none'}`, {
      trials: page.whole(e.trials),
      factor: page.plain(e.mostly_within, 2),
      bias: page.plain(e.bias, 2),
      farthest: page.plain(e.farthest, 2),
    });
    const in_view = e.trials_in_view > 0 ? ` ${page.t('trials.in_view')}` : '';
    return `${page.t(`trials.of.${e.quantity}`)}: ${found}${in_view}`;
  };

  page.cautions = () =>
    page.el(
      'div',
      { class: 'caution', role: 'note', 'aria-label': page.t('caution') },
      page.el('strong', {}, page.t('caution')),
      page.el('p', {}, page.t('caution.label')),
      page.el('p', {}, page.t('caution.errors')),
      page.el('p', {}, page.t('trials')),
      page.el(
        'ul',
        { class: 'trials' },
        page.data.model_error.map((e) => page.el('li', { 'data-quantity': e.quantity }, page.trials(e))),
      ),
      page.results().some((r) => r.sprays.some((s) => s.assumed === 'assumed'))
        ? page.el('p', {}, page.t('caution.assumed'))
        : null,
    );

  const card = (result) =>
    page.el(
      'article',
      { class: 'glance-card', 'data-result': result.letter },
      page.headOf(result, 'h3'),
      page.el('p', { class: 'sentence' }, page.sentence(result)),
      page.driftWords(result),
      page.remarkList(result),
      page.warningList(result),
      page.figure({
        key: `shares-${result.letter}`,
        of: result,
        title: page.t('glance.picture'),
        words: page.shareWords(result),
        note: page.t(page.many() ? 'glance.drop.several' : 'glance.drop', {
          one: page.q('per_100_L', 1),
          hundred: page.q('per_100_L', 100),
        }),
        picture: page.el('div', { class: 'shares' }, page.drops(result, page.many() ? 20 : 10), page.shareBars(result)),
        table: {
          columns: [
            { name: page.t('where'), kind: 'text' },
            { name: page.t('amount_of_100'), kind: 'per_100_L', amount: true },
          ],
          about: true,
          rows: page.groupsOf(result).map((g) => [page.t(`group.${g.name}`), [g.value, g.error]]),
        },
      }),
      page.el('div', { class: 'made-it' }, page.el('h3', {}, page.t('settings')), page.settingsList(result)),
      page.driftHeadline(result),
    );

  page.glance = () =>
    page.plate('glance', 'glance', 'language units theme results refined live-why', () => [
      page.el('div', { class: `glance-cards of-${page.results().length}` }, page.results().map(card)),
      page.liveEntry(),
      page.cautions(),
    ]);
}
