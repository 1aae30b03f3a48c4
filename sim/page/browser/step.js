/* sim/page/browser/step.js - sliders that step through the points of a sweep, never between them; a hundred drops and
 * plain words follow. Where every combination of levels was worked out, a slider is a factor; else each goes through
 * the points in the order of its factor, and the others follow to where that point has them. */
{
  const sweep = page.data.sweep;
  let point = 0,
    kept = 0; /* that others are compared with */

  if (sweep) {
    const tools = page.sweepTools,
      settings = sweep.settings,
      levels = settings.map((_, f) => tools.levelsOf(f)),
      all = sweep.point.map((_, i) => i),
      known = all.filter((i) => Number.isFinite(tools.at('leaf', i)[0])),
      key = (i, change = {}) => settings.map((of, f) => String(change[f] ?? of[i])).join('\n'),
      found = new Map(known.map((i) => [key(i), i])),
      grid = levels.reduce((n, l) => n * l.length, 1) === found.size;
    point = kept = known[0] ?? 0;
    const ranked = settings.map((of) =>
      [...known].sort(
        (a, b) => (typeof of[a] === 'number' ? of[a] - of[b] : String(of[a]).localeCompare(of[b])) || a - b,
      ),
    );

    /** The points that the slider of a factor goes through from a point on, and where it stands. */
    page.stepsOf = (f, from = point) => {
      const way = grid ? levels[f].map((level) => found.get(key(from, { [f]: level }))) : ranked[f];
      return { way, at: way.indexOf(from) };
    };
    page.sweepGroups = (i) =>
      page.GROUPS.map((group) => ({
        name: group,
        value: page.sum(
          Object.entries(sweep.group_of)
            .filter(([, of]) => of === group)
            .map(([fate]) => tools.at(fate, i)[0]),
        ),
      }));
    page.sweepPoint = () => point;

    /* What is told of a point: what it reaches, and both kinds of drift. More of the first is better. */
    const FAR_M = 5,
      TOLD = [tools.bare ? 'wood' : 'leaf', `ground_${FAR_M}_m`, `airborne_${FAR_M}_m`],
      far = () => page.q('length_m', FAR_M),
      wordOf = (name) => name.split('_')[0],
      told = () => TOLD.filter((name) => Number.isFinite(tools.at(name, point)[0]));
    /* "3 L more on the leaves": gains, losses and what noise does not tell, against the kept point. */
    const changes = () => {
      const list = { gain: [], lose: [], same: [] };
      for (const name of told()) {
        const now = tools.at(name, point),
          before = tools.at(name, kept),
          value = now[0] - before[0];
        if (!Number.isFinite(value)) continue;
        const word = wordOf(name),
          amount = page.rough(tools.kindOf(name), Math.abs(value));
        if (Math.abs(value) <= 2 * Math.hypot(now[1] || 0, before[1] || 0))
          list.same.push(page.t(`step.${word}`, { distance: far() }));
        else
          list[value > 0 === (name === TOLD[0]) ? 'gain' : 'lose'].push(
            page.t(`step.${word}.${value > 0 ? 'more' : 'less'}`, { amount, distance: far() }),
          );
      }
      return Object.entries(list)
        .filter(([, parts]) => parts.length > 0)
        .map(([key, parts]) => page.t(`step.${key}`, { list: page.list(parts) }))
        .join(' ');
    };
    const content = () => {
      const whole = page.wholes(page.sweepGroups(point).map((g) => g.value)),
        litres = (i) => page.q('per_100_L', whole[i], 3);
      const slider = (f) => {
        const { way, at } = page.stepsOf(f),
          text = tools.settingText(f, point);
        return page.el(
          'label',
          { class: 'slider wide' },
          page.el('span', {}, page.bdi(sweep.factors[f].name)),
          page.el('input', {
            type: 'range',
            min: 0,
            max: way.length - 1,
            step: 1,
            value: at,
            'data-key': `step-${f}`,
            'aria-valuetext': text,
            oninput: (e) => {
              point = way[Number(e.target.value)] ?? point;
              page.emit('step');
            },
          }),
          page.el('output', {}, page.bdi(text)),
        );
      };
      return [
        page.el(
          'div',
          { class: 'step-sliders' },
          sweep.factors.map((_, f) => slider(f)),
        ),
        page.el(
          'div',
          { class: 'step-shown' },
          page.el(
            'div',
            {
              role: 'img',
              class: 'picture',
              'aria-label': page.t('step.drops', {
                point: page.whole(sweep.point[point]),
                list: page.GROUPS.map((g, i) => `${page.t(`group.${g}`)}: ${litres(i)}`).join('; '),
              }),
            },
            page.dropsOf(whole, 20),
          ),
          page.legend(
            page.GROUPS.map((name, i) => ({
              fill: name,
              text: `${page.t(`group.${name}`)}: ${litres(i)}`,
              n: whole[i],
            })).filter((item) => item.n > 0),
          ),
          page.el(
            'p',
            { 'data-step': true, 'aria-live': 'polite' },
            page.t('step.told', {
              point: page.whole(sweep.point[point]),
              list: page.list(
                told().map((name) =>
                  page.t(`step.${wordOf(name)}.is`, {
                    amount: page.rough(tools.kindOf(name), tools.at(name, point)[0]),
                    distance: far(),
                  }),
                ),
              ),
            }),
          ),
          page.el(
            'p',
            { 'data-step-change': true },
            point === kept
              ? page.t('step.kept', { point: page.whole(sweep.point[kept]) })
              : page.t('step.against', { point: page.whole(sweep.point[kept]), changes: changes() }),
          ),
          sweep.aloft.includes(point) ? page.el('p', { class: 'remark' }, page.t('step.aloft')) : null,
          page.el(
            'button',
            {
              type: 'button',
              class: 'small',
              'data-key': 'step-keep',
              onclick: () => {
                kept = point;
                page.emit('step');
              },
            },
            page.t('step.keep'),
          ),
        ),
      ];
    };
    page.step = () => page.plate('step', 'step', 'language units theme step', content, 'step.lead');
  }
}
