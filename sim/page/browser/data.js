/* sim/page/browser/data.js - opens the packed parts of the data block (sim/page/tracks.c and canopy.c). */
{
  const bytesOf = (text) => {
    const raw = atob(text),
      bytes = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
    return bytes;
  };
  page.bytesOf = bytesOf;

  const openTracks = (packed) => {
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
        fate: take(),
        bounces: take(),
        shatters: take(),
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
      one.rebound = one.rebound < 0 ? NaN : one.rebound / 1000;
      one.end = time / 1000;
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
        .slice(0, one.shatters)
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
    const stays = result.inputs.nonvolatile_percent / 100;
    if (!Number.isFinite(stays)) return NaN;
    const left = (diameter / one.whole[k - one.first]) ** 3;
    return page.clamp((left - stays) / (1 - stays), 0, 1);
  };

  /** Settling speed by interpolation between the size bins (on logarithms). */
  page.settling = (result, um) => {
    const s = result.sizes,
      middle = s.low_um.map((low, i) => Math.sqrt(low * s.high_um[i]));
    let i = middle.findIndex((m) => m > um);
    i = page.clamp(i < 0 ? middle.length - 1 : i, 1, middle.length - 1);
    const u = Math.log(um / middle[i - 1]) / Math.log(middle[i] / middle[i - 1]);
    if (s.settling_m_s[i] === null) return NaN; /* a file from before it was kept */
    return Math.exp(Math.log(s.settling_m_s[i - 1]) * (1 - u) + Math.log(s.settling_m_s[i]) * u);
  };

  /** Are there no leaves, is there no wind? Zeros then mean that there is nothing to tell, not that all is well. */
  page.leafless = (result) => result.canopy.above.most === 0;
  page.windless = (result) => result.inputs.still;

  /** Share of all that is sprayed in droplets below 100 um: of the spectra, by what each tip gives. */
  page.below100 = (result) => {
    const flow = result.sprays.map(() => 0);
    for (const [, , , left, right] of result.passes)
      for (const [side, , , , nozzle, spray] of result.nozzles) if (side < 0 ? left : right) flow[spray] += nozzle;
    return page.sum(result.sprays.map((s, i) => s.below_100_um * flow[i])) / page.sum(flow);
  };

  for (const [i, result] of page.data.results.entries()) {
    const at = result.inputs;
    result.letter = page.RESULT_LETTERS[i];
    result.index = i;
    result.paths = openTracks(result.tracks);
    /** Distance downwind of the treated area: what all views have across. */
    result.downwind = (x) => (at.downwind > 0 ? x - at.treated_high_x_m : at.treated_low_x_m - x);
    result.block = at.treated_high_x_m - at.treated_low_x_m;
    result.tracks = null;
  }
}
