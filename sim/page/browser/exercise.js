/* sim/page/browser/exercise.js - questions on the result that is shown, and their answers on a sheet of their own, to
 * print for a class. Every number in them is the result's. */
{
  const questions = (result) => {
    const list = [],
      ask = (key, values) => list.push({ ask: page.t(`ask.${key}`, values), answer: page.t(`answer.${key}`, values) });
    const hundred = page.q('per_100_L', 100),
      groups = page.groupsOf(result),
      whole = page.wholeGroups(result),
      at = result.inputs,
      rate = page.at(result, 'sprayer/application_rate');
    /* what one pass puts out with all its nozzles, over the width of an alley */
    const flow = page.sum(result.nozzles.map((n) => n.nozzle_flow)),
      worked = (flow * 600) / (at.travel_speed * at.row_spacing);
    if (Math.abs(worked / rate - 1) < 0.03)
      ask('rate', {
        flow: page.q('flow_L_min', flow, 3),
        travel: page.q('travel_km_h', at.travel_speed),
        spacing: page.q('length_m', at.row_spacing),
        rate: page.q('rate_L_ha', rate),
      });
    ask('trees', {
      hundred,
      trees: page.q('per_100_L', whole[0], 3),
      floor: page.q('per_100_L', whole[1], 3),
      lost: page.q('per_100_L', whole[2] + whole[3] + whole[4], 3),
    });
    const drift = page.driftSizes(result);
    if (drift) ask('sizes', { said: page.driftSizeWords(result) });
    if (page.hasPalm(result) && !page.windless(result)) {
      const sizes = page.points(result, 'alone/size'),
        [small, large] = [60, 200].map((um) =>
          sizes.reduce((b, s, i) => (Math.abs(Math.log(s / um)) < Math.abs(Math.log(sizes[b] / um)) ? i : b), 0),
        ),
        said = (i) => page.palmFacts(result, i);
      ask('fall', {
        small: page.q('size_um', sizes[small]),
        large: page.q('size_um', sizes[large]),
        wind: page.q('wind_m_s', at.wind_speed),
        height: page.q('length_m', at.canopy_height, 2),
        small_fate: `${said(small).carried} ${page.t('palm.water')}: ${said(small).water}`,
        large_fate: `${said(large).carried} ${page.t('palm.water')}: ${said(large).water}`,
      });
    }
    const bins = page.binsOf(result).filter((b) => Number.isFinite(b.outcome[0][0]) && b.share > 1);
    if (bins.length > 3) {
      const [few, many] = [bins[0], bins.at(-1)],
        range = (b) => `${page.plain(b.low, 2)}–${page.plain(b.high, 2)}\u00a0µm`;
      ask('stick', {
        small: range(few),
        large: range(many),
        small_share: page.rough('percent', few.outcome[0][0]),
        large_share: page.rough('percent', many.outcome[0][0]),
      });
    }
    const ground =
      page.driftDistances(result).find((d) => d.ground && d.m === 5) ||
      page.driftDistances(result).find((d) => d.ground);
    if (ground && Number.isFinite(rate) && Number.isFinite(ground.ground[0]) && !page.windless(result))
      ask('ground', {
        distance: page.q('length_m', ground.m),
        percent: page.rough('percent', ground.ground[0]),
        rate: page.q('rate_L_ha', rate),
        per_area: page.q('rate_L_ha', (rate * ground.ground[0]) / 100, 2),
      });
    ask('weather', {
      temperature: page.q('temperature_degC', at.temperature),
      humidity: page.q('percent', at.relative_humidity, 2),
    });
    if (groups[3].value > 0) ask('two', { distance: page.q('length_m', 5) });
    return list;
  };

  page.exercises = () => {
    const box = page.el('div', { class: 'exercises', 'aria-hidden': 'true' });
    const sheet = (title, list, key) =>
      page.el(
        'div',
        { class: 'hand-page' },
        page.el('p', { class: 'hand-head' }, page.t('title')),
        page.el('h1', {}, title),
        page.el('p', { class: 'hand-place' }, page.bdi(page.result().name)),
        page.el(
          'ol',
          { class: `exercise-${key}` },
          list.map((q) => page.el('li', {}, q[key])),
        ),
        page.el('p', { class: 'hand-foot' }, page.t('caution.label')),
      );
    page.drawExercises = () => {
      const list = questions(page.result());
      box.replaceChildren(sheet(page.t('exercises'), list, 'ask'), sheet(page.t('exercises.answers'), list, 'answer'));
      return list;
    };
    return box;
  };
  page.printExercises = () => {
    page.drawExercises();
    const root = document.documentElement;
    root.dataset.print = 'exercises';
    window.addEventListener('afterprint', () => delete root.dataset.print, { once: true });
    window.print();
  };
}
