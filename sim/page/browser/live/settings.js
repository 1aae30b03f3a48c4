/* sim/page/browser/live/settings.js - what a reader may set, in the words of the trade, and what that means in a
 * scenario.
 *
 * Changes are an object: { fan: 400, tip: 'air_induction_hollow_cone 02', shut: ['0L'] }, numbers in metric units.
 * What is not changed stays in the scenario as it was written, so that it keeps its digits. */
{
  /* Where sliders begin and end (metric; choices: what sprayers are used at, wider where the scenario is), their
   * steps in metric and in US units, where a result tells the value, and whether the wind depends on it. The scenario's
   * own limits are in page.data.live_keys. */
  const SLIDERS = [
    { name: 'fan', key: 'sprayer.fan.speed', kind: 'fan_rpm', low: 0, high: 600, steps: [10, 10], of: 'fan_speed' },
    { name: 'pressure', key: 'sprayer.pressure', kind: 'pressure_bar', low: 2, high: 20, steps: [0.5, 5] },
    {
      name: 'travel',
      key: 'sprayer.travel_speed',
      kind: 'travel_km_h',
      low: 2,
      high: 12,
      steps: [0.5, 0.25],
      of: 'travel_speed',
    },
    {
      name: 'wind',
      key: 'weather.wind_speed',
      kind: 'wind_m_s',
      low: 0,
      high: 8,
      steps: [0.25, 0.5],
      of: 'wind_speed',
      wind: true,
    },
    {
      name: 'temperature',
      key: 'weather.temperature',
      kind: 'temperature_degC',
      low: 5,
      high: 40,
      steps: [1, 1],
      of: 'temperature',
    },
    {
      name: 'humidity',
      key: 'weather.relative_humidity',
      kind: 'percent',
      low: 10,
      high: 100,
      steps: [5, 5],
      of: 'relative_humidity',
    },
    {
      name: 'leaf',
      key: 'canopy.leaf_area_index',
      kind: 'plain',
      low: 0,
      high: 4,
      steps: [0.1, 0.1],
      of: 'leaf_area_index',
      wind: true,
    },
  ];
  /* Full angle of the spray of generic tips: common practice. Disc-and-core sets have no sizes. */
  const ANGLE = {
    hollow_cone: '80 deg',
    air_induction_hollow_cone: '80 deg',
    flat_fan: '110 deg',
    air_induction_flat_fan: '110 deg',
  };
  const SIZES = ['0050', '0067', '01', '015', '02', '025', '03', '04'];

  const tree = page.tree,
    settings = (page.settingsOf = {});
  settings.sliders = SLIDERS;
  /* When a run stops: choices, a few seconds. */
  settings.ERROR = 1; /* percent of what passes 5 m in the air */
  settings.MOST = 100000; /* droplets */
  const path = (key) => key.split('.');

  /** The value of a slider as the result has it, or NaN. */
  settings.standing = (result, slider) => {
    if (slider.of) return result.inputs[slider.of];
    const pressures = result.sprays.map((spray) => spray.pressure); /* of the nozzles: most have one */
    return page.sum(pressures) / pressures.length;
  };
  /** Where a slider begins and ends for a result, metric. */
  settings.range = (result, slider) => {
    const at = settings.standing(result, slider),
      key = page.data.live_keys[slider.key];
    return [
      Math.max(Math.min(slider.low, at), key.low),
      Math.min(Math.max(slider.high, Math.ceil(1.25 * at)), key.high),
    ];
  };

  /** The scenario's tips by name, and the generic ones. */
  settings.tips = (root) => {
    const own = (tree.find(root, ['tips'])?.g || []).map(([name]) => name),
      kinds = page.data.live_keys['tips.*.kind'].words.filter((kind) => ANGLE[kind]);
    return { own, generic: kinds.flatMap((kind) => SIZES.map((size) => `${kind} ${size}`)) };
  };
  /** Nozzles in the order of the scenario: [{ i, sides: ['L', 'R'], height, tip }]. */
  settings.nozzles = (root) =>
    (tree.find(root, ['sprayer', 'nozzles'])?.l || []).map((_, i) => {
      const of = (name) => tree.text(root, ['sprayer', 'nozzles', i, name]),
        side = of('side') || 'both';
      return {
        i,
        sides: side === 'both' ? ['L', 'R'] : [side === 'left' ? 'L' : 'R'],
        height: of('height'),
        plugged: /^(yes|true)$/.test(of('plugged') || ''),
      };
    });

  const shut = (root, closed) => {
    for (const { i, sides } of settings.nozzles(root)) {
      const open = sides.filter((side) => !closed.includes(`${i}${side}`)),
        at = ['sprayer', 'nozzles', i];
      if (open.length === 0) tree.put(root, [...at, 'plugged'], 'yes'); /* it gives nothing, the others keep pressure */
      else if (open.length < sides.length) tree.put(root, [...at, 'side'], open[0] === 'L' ? 'left' : 'right');
    }
  };
  const nozzleKeys = (root, work) => settings.nozzles(root).forEach(({ i }) => work(['sprayer', 'nozzles', i]));
  const setTip = (root, name) => {
    const [kind, size] = name.split(' ');
    if (!settings.tips(root).own.includes(name))
      tree.put(root, ['tips', name], {
        g: [
          ['kind', kind],
          ['size', { q: size }],
          ['cone_angle', ANGLE[kind]],
        ],
      });
    nozzleKeys(root, (at) => tree.put(root, [...at, 'tip'], { q: name }));
  };
  /** A number as a scenario has it: as many digits as anybody sets. */
  settings.write = (slider, value) => {
    const unit = page.data.live_keys[slider.key].unit;
    return `${Number(value.toPrecision(6))}${unit ? ` ${unit}` : ''}`;
  };

  /** The scenario with the changes. */
  settings.apply = (root, changes) => {
    const changed = tree.copy(root);
    for (const slider of SLIDERS) {
      if (changes[slider.name] === undefined) continue;
      tree.put(changed, path(slider.key), settings.write(slider, changes[slider.name]));
      if (slider.name === 'pressure') nozzleKeys(changed, (at) => tree.remove(changed, [...at, 'pressure']));
    }
    if (changes.tip) setTip(changed, changes.tip);
    if (changes.shut?.length) shut(changed, changes.shut);
    return changed;
  };

  /** The scenario of a result with changes, as the page flies it. */
  settings.toFly = (result, changes) => {
    const root = settings.apply(result.live.tree, changes);
    tree.put(root, ['run', 'target_error'], `${settings.ERROR} %`);
    tree.put(root, ['run', 'target'], 'airborne_5_m');
    tree.put(root, ['run', 'droplets'], String(settings.MOST));
    tree.put(root, ['run', 'seed'], result.seed);
    return root;
  };

  /* ---- as a part of a link ---- */
  settings.fragment = (changes, result) => {
    const list = Object.entries(changes).map(([name, value]) => [name, Array.isArray(value) ? value.join('.') : value]);
    if (page.files.length > 1) list.push(['result', result]);
    return `try:${new URLSearchParams(list)}`;
  };
  /** What a fragment says that can be set here; what it says else is left out. NULL: it is none of ours. */
  settings.ofFragment = (text) => {
    if (!text.startsWith('try:')) return null;
    const said = new URLSearchParams(text.slice(4)),
      index = Number(said.get('result') || 0),
      base = page.files[index];
    if (!base?.live?.tree) return null;
    const changes = {};
    for (const slider of SLIDERS) {
      const value = said.get(slider.name),
        { low, high } = page.data.live_keys[slider.key];
      if (value !== null && /^\d+(\.\d+)?$/.test(value) && Number(value) >= low && Number(value) <= high)
        changes[slider.name] = Number(value);
    }
    const { own, generic } = settings.tips(base.live.tree),
      tip = said.get('tip');
    if (own.includes(tip) || generic.includes(tip)) changes.tip = tip;
    const places = settings.nozzles(base.live.tree).flatMap(({ i, sides }) => sides.map((side) => `${i}${side}`)),
      closed = (said.get('shut') || '').split('.').filter((place) => places.includes(place));
    if (closed.length) changes.shut = closed;
    return { index, changes };
  };

  /* ---- in words ---- */
  settings.tipName = (name) => {
    const [kind, size] = name.split(' ');
    return ANGLE[kind] && size ? page.t('live.tip.generic', { kind: page.t(`live.kind.${kind}`), size }) : name;
  };
  /** A leaf area, with the stage that it is typical of (choices, in words of the trade: no stage has a leaf area). */
  settings.leafStage = (index) =>
    page.t(`live.leaf.${index === 0 ? 'none' : index < 0.5 ? 'first' : index < 1.2 ? 'half' : 'full'}`);
  settings.valueText = (slider, value) =>
    slider.name === 'leaf'
      ? page.t('live.leaf.value', { stage: settings.leafStage(value), lai: page.plain(value, 2) })
      : page.q(slider.kind, value, 3);
  /** "fan speed 400 rpm, tips air-induction cone 02". */
  settings.words = (changes) => {
    const list = SLIDERS.filter(({ name }) => changes[name] !== undefined).map((slider) =>
      page.t('live.changed', {
        what: page.t(`live.${slider.name}`),
        value: settings.valueText(slider, changes[slider.name]),
      }),
    );
    if (changes.tip)
      list.push(page.t('live.changed', { what: page.t('live.tip'), value: settings.tipName(changes.tip) }));
    if (changes.shut?.length) {
      const n = changes.shut.length;
      list.push(page.t('live.changed.shut', { n, count: page.whole(n) }));
    }
    return page.list(list);
  };
}
