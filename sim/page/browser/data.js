/* sim/page/browser/data.js - the quantities of a result by their names (sim/page/quantities.c), and the packed parts of
 * the data block opened (sim/page/tracks.c and canopy.c). */
{
  /* Names are those of docs/result-format.md: 'fates/by_size'. */
  const find = (result, name) => {
    const [group, own] = name.split('/'),
      found = result.quantities[group]?.[own];
    if (!found) throw new Error(`the page has no ${name}`);
    return found;
  };
  /** The points of an axis: words, or numbers. */
  page.points = (result, axis) => find(result, axis).points;
  /** A value, or of a share [value, standard error]. What is not known is NaN. @param where for each of its axes a word
   * of it, or an ordinal from 0: page.at(result, 'fates/by_size', { size: i, fate: 'leaf' }) */
  page.at = (result, name, where = {}) => {
    const { axes, v, e } = find(result, name),
      group = name.split('/')[0];
    let place = 0;
    for (const axis of axes) {
      const points = page.points(result, `${group}/${axis}`),
        asked = where[axis],
        i = typeof asked === 'string' ? points.indexOf(asked) : asked;
      if (!(i >= 0 && i < points.length)) throw new Error(`${name}: ${axis} has no ${asked}`);
      place = place * points.length + i;
    }
    return e ? [v[place] ?? NaN, e[place] ?? NaN] : (v[place] ?? NaN);
  };
  /** What lies along an axis: an object for each of its points, with the point and the quantities named.
   * @param where the places on the other axes */
  page.along = (result, axis, names, where) => {
    const [group, own] = axis.split('/');
    return page.points(result, axis).map((point, i) => ({
      [own]: point,
      ...Object.fromEntries(names.map((name) => [name, page.at(result, `${group}/${name}`, { ...where, [own]: i })])),
    }));
  };
  /** All quantities of a group that are one value. */
  page.single = (result, group) =>
    Object.fromEntries(
      Object.entries(result.quantities[group])
        .filter(([, quantity]) => quantity.axes?.length === 0)
        .map(([name]) => [name, page.at(result, `${group}/${name}`)]),
    );
  /** A share and its error in hundredths. */
  page.percent = ([value, error]) => [100 * value, 100 * error];

  page.fatesOf = (result, group) => page.points(result, 'fates/fate').filter((fate) => result.group_of[fate] === group);
  page.sizesOf = (result) =>
    page.along(result, 'fates/size', ['size_low', 'size_high', 'emitted', 'settling_speed', 'lifetime']);
  /** What the trees have to hit: leaves, or wood where there are none. */
  page.targetOf = (result) => (page.leafless(result) ? 'wood' : 'leaf');
  /** Of all impacts on leaves (on wood where there are none), or of droplets of a size: the percentage that had the
   *  outcome. */
  page.outcomeAtLeaf = (result, outcome, size) =>
    page.percent(
      size === undefined
        ? page.at(result, 'fates/outcome_share', { target: page.targetOf(result), outcome })
        : page.at(result, 'fates/outcome_by_size', { target: page.targetOf(result), size, outcome }),
    );
  /** The outcomes that let a droplet fly on: all but the first, with which it stays. */
  page.flyOutcomes = (result) => page.points(result, 'fates/outcome').slice(1);
  page.outcomeWord = (outcome) => page.said(`outcome.${outcome}`, outcome);
  /** The sides of a row, the one towards the wind first. */
  page.sidesOf = (result) => {
    const sides = page.points(result, 'canopy/side');
    return result.sign > 0 ? sides : [...sides].reverse();
  };
  /** Strips of ground outside the treated area, downwind. */
  page.stripsDownwind = (result) =>
    page.along(result, 'ground/x', ['distance', 'percent_of_rate']).filter((strip) => strip.distance >= 0);

  const bytesOf = (text) => {
    const raw = atob(text),
      bytes = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
    return bytes;
  };
  page.bytesOf = bytesOf;

  const openTracks = (packed, fates, outcomes) => {
    const bytes = bytesOf(packed.bytes);
    let at = 0;
    const take = () => {
      let number = 0,
        scale = 1,
        byte;
      do {
        byte = bytes[at++];
        number += (byte & 127) * scale;
        scale *= 128;
      } while (byte > 127);
      return number;
    };
    const change = () => {
      const n = take();
      return n % 2 ? -(n + 1) / 2 : n / 2;
    };
    const track = [],
      t = [],
      x = [],
      y = [],
      z = [],
      d = [],
      v = [];
    for (let i = 0; i < packed.n; i++) {
      const n = take();
      const one = {
        i,
        first: t.length,
        n,
        alley: take(),
        nozzle: take(),
        fate: fates[take()],
        met: Object.fromEntries(outcomes.map((name) => [name, take()])),
        rebound: take() - 1,
        weight: take() * 1e-9,
        emitted: take() / 100,
      };
      let time = 0,
        px = 0,
        py = 0,
        pz = 0,
        pd = 0,
        pv = 0;
      for (let k = 0; k < n; k++) {
        t.push((time += take()) / 1000);
        x.push((px += change()) / 100);
        y.push((py += change()) / 50);
        z.push((pz += change()) / 100);
        d.push(Math.exp((pd += change()) / 200));
        v.push(Math.max(0, Math.exp((pv += change()) / 40) - 0.05));
      }
      one.flewOn = page.sum(Object.values(one.met));
      one.cuts = one.met.shattered; /* after which what flies on is of another size */
      one.rebound = one.rebound < 0 ? NaN : one.rebound / 1000;
      one.end = time / 1000;
      one.flies = /^air_|^aloft$/.test(one.fate); /* left the space, or still aloft: nothing lies there */
      track.push(one);
    }
    return {
      track,
      t: Float32Array.from(t),
      x: Float32Array.from(x),
      y: Float32Array.from(y),
      z: Float32Array.from(z),
      d: Float32Array.from(d),
      v: Float32Array.from(v),
    };
  };

  /* What is left of the droplet that left the nozzle: its volume is cut at every shattering, seen as the largest falls
   * of the diameter from one point to the next, as many as there were. Gives the diameter that a droplet of the same
   * liquid would have had whole, at each of its points. */
  const wholeDiameters = (paths, one) => {
    const last = one.first + one.n,
      whole = new Float32Array(one.n),
      falls = [];
    for (let k = one.first + 1; k < last; k++) falls.push([paths.d[k] / paths.d[k - 1], k]);
    const cuts = new Map(
      falls
        .sort((a, b) => a[0] - b[0])
        .slice(0, one.cuts)
        .filter((f) => f[0] < 0.95)
        .map(([ratio, k]) => [k, ratio]),
    );
    let d = one.emitted;
    for (let k = one.first; k < last; k++) whole[k - one.first] = d *= cuts.get(k) || 1;
    return whole;
  };
  /** Water still in a droplet, of what it would hold whole. */
  page.waterLeft = (result, one, k, diameter) => {
    one.whole = one.whole || wholeDiameters(result.paths, one);
    const stays = result.inputs.nonvolatile / 100;
    if (!Number.isFinite(stays)) return NaN;
    const left = (diameter / one.whole[k - one.first]) ** 3;
    return page.clamp((left - stays) / (1 - stays), 0, 1);
  };

  /** Settling speed by interpolation between the size bins (on logarithms). */
  page.settling = (result, um) => {
    const sizes = page.sizesOf(result),
      speed = sizes.map((s) => s.settling_speed),
      middle = sizes.map((s) => Math.sqrt(s.size_low * s.size_high));
    let i = middle.findIndex((m) => m > um);
    i = page.clamp(i < 0 ? middle.length - 1 : i, 1, middle.length - 1);
    const u = Math.log(um / middle[i - 1]) / Math.log(middle[i] / middle[i - 1]);
    return Math.exp(Math.log(speed[i - 1]) * (1 - u) + Math.log(speed[i]) * u);
  };

  /** Are there no leaves, is there no wind? Zeros then mean that there is nothing to tell, not that all is well. */
  page.leafless = (result) => result.canopy.bare;
  page.hasLeaves = () => page.results().some((r) => !page.leafless(r));
  page.windless = (result) => result.windless;

  /** Share of all that is sprayed in droplets below 100 um: of the spectra, by what each tip gives. */
  page.below100 = (result) => {
    const flow = result.sprays.map(() => 0);
    for (const pass of result.passes)
      for (const n of result.nozzles)
        if (n.nozzle_side < 0 ? pass.pass_left_open : pass.pass_right_open) flow[n.nozzle_spray - 1] += n.nozzle_flow;
    return page.sum(result.sprays.map((s, i) => s.share_below_100_um * flow[i])) / page.sum(flow);
  };

  /** Opens what the data block, or the simulator, has of a result: its packed parts, and what all pictures ask for.
   *  @param paths those of a result of which this one is a better known state: it comes without */
  page.openResult = (result, paths = null) => {
    const { downwind, block_low_x: low, block_high_x: high } = page.single(result, 'ground');
    result.paths = paths || openTracks(result.tracks, page.points(result, 'fates/fate'), page.flyOutcomes(result));
    /** Distance downwind of the treated area: what all views have across. */
    result.downwind = (x) => (downwind > 0 ? x - high : low - x);
    result.sign = downwind;
    result.block = high - low;
    result.inputs = page.single(result, 'inputs');
    result.rows = page.along(result, 'canopy/row', ['row_x']).map((row) => result.downwind(row.row_x));
    result.sprays = page.along(result, 'sprayer/spray', ['tip', 'assumed', 'pressure', 'dv50', 'share_below_100_um']);
    result.nozzles = page.along(result, 'sprayer/nozzle', [
      'nozzle_side',
      'nozzle_spray',
      'nozzle_offset',
      'nozzle_height',
      'nozzle_flow',
    ]);
    result.passes = page.along(result, 'sprayer/pass', [
      'pass_x',
      'pass_alley',
      'pass_heading',
      'pass_left_open',
      'pass_right_open',
    ]);
    result.collectors = page.along(result, 'collectors/collector', [
      'kind',
      'distance',
      'height',
      'top',
      'caught',
      'percent_of_rate',
      'droplets',
      'coverage',
    ]);
    result.tracks = null;
    return result;
  };

  /** Shows results, one or several: every part of the page is drawn from them, now and whenever others are shown. This
   *  is the only way that results come onto the page. Those with the paths of the ones before are these with better
   *  numbers.
   *  @param results opened ones */
  page.show = (results) => {
    const before = page.data.results,
      same = results.length === before.length && results.every((r, i) => r.paths === before[i].paths);
    page.data.results = results;
    results.forEach((result, i) => {
      result.letter = page.RESULT_LETTERS[i];
      result.index = i;
    });
    page.state.result = Math.min(page.state.result, Math.max(results.length - 1, 0));
    page.emit(same ? 'refined' : 'results');
  };
  for (const result of page.data.results) page.openResult(result);
  page.show(page.data.results);
}
