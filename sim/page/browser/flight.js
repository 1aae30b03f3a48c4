/* sim/page/browser/flight.js - the clock that all scenes share, and where every recorded droplet is at a time.
 *
 * Sprayers start at time 0 and spray for EMIT seconds; each recorded droplet leaves its nozzle at a moment of its own
 * in between. Its flight is the recorded one, in real time. */
{
  const EMIT = 4,
    FADE = 1,
    CALM = 5;
  const flight = (page.flight = {
    t: 0,
    playing: false,
    speed: 'auto',
    emit: EMIT,
    end: 10,
    byVolume: false,
    alley: 'all',
    bands: page.BANDS.map(() => true),
    followed: null,
    drawn: new Set(),
  });
  flight.SPEEDS = [0.02, 0.1, 0.25, 1, 'auto', 4, 16];
  /* The sprayers stay as long as they spray, then fade out (choice: within a second). */
  flight.machines = () => page.clamp(1 - (flight.t - flight.emit) / FADE, 0, 1);
  /* Seconds of flight in a second. "auto": real time while there is most to see, then faster and faster, as what still
   * flies goes the same way for minutes (choices). */
  flight.rate = () => (flight.speed === 'auto' ? page.clamp(1 + (flight.t - CALM) / 2.5, 1, 16) : flight.speed);

  /* Every recorded droplet gets its moment, its band, and whether it stands for the volume. */
  const board = (result) => {
    const paths = result.paths;
    if (paths.cursor) return;
    const most = paths.track.reduce((m, one) => Math.max(m, one.weight), 0);
    paths.cursor = new Int32Array(paths.track.length);
    for (const one of paths.track) {
      one.release = EMIT * page.hash(one.i);
      one.band = page.bandOf(one.emitted);
      one.thin = page.hash(one.i + 7919) * most > one.weight; /* left out where dots stand for equal volumes */
    }
  };
  const take = () => {
    let end = 10;
    for (const result of page.results()) {
      board(result);
      for (const one of result.paths.track) end = Math.max(end, one.release + one.end);
    }
    flight.end = Math.ceil(end);
    flight.t = Math.min(flight.t, flight.end);
    if (flight.followed && !page.results().includes(flight.followed.result)) {
      const heir = page.results().find((r) => r.paths === flight.followed.result.paths);
      flight.followed = heir ? { result: heir, one: flight.followed.one } : null;
      page.emit('followed');
    }
    flight.redraw();
  };

  flight.shows = (one) =>
    flight.bands[one.band] &&
    !(flight.byVolume && one.thin) &&
    (flight.alley === 'all' || one.alley === Number(flight.alley));

  /** Point before the time since release, and the share of the way to the next one. */
  flight.place = (paths, one, tau, out) => {
    const last = one.first + one.n - 1;
    let k = paths.cursor[one.i] || one.first;
    if (k < one.first || k > last) k = one.first;
    while (k > one.first && paths.t[k] > tau) k--;
    while (k < last - 1 && paths.t[k + 1] <= tau) k++;
    if (one.n < 2) k = one.first;
    paths.cursor[one.i] = k;
    const next = Math.min(k + 1, last),
      span = paths.t[next] - paths.t[k];
    const u = span > 0 ? page.clamp((tau - paths.t[k]) / span, 0, 1) : 0;
    out.k = k;
    out.x = paths.x[k] + u * (paths.x[next] - paths.x[k]);
    out.y = paths.y[k] + u * (paths.y[next] - paths.y[k]);
    out.z = paths.z[k] + u * (paths.z[next] - paths.z[k]);
    out.d = paths.d[k] + u * (paths.d[next] - paths.d[k]);
    out.v = paths.v[k] + u * (paths.v[next] - paths.v[k]);
    return out;
  };

  /* ---- the clock ---- */
  let last = NaN, // of the picture before, where it belongs to the same stretch of play
    frames = 0,
    since = 0,
    started = false,
    due = false;
  /** Draws all scenes with the next picture of the screen. Nothing runs while nothing moves. */
  flight.redraw = () => {
    if (due || !started) return;
    due = true;
    requestAnimationFrame(tick);
  };
  flight.set = (t) => {
    flight.t = page.clamp(t, 0, flight.end);
    flight.redraw();
    page.emit('clock');
  };
  flight.play = (on) => {
    if (on && flight.t >= flight.end) flight.t = 0;
    flight.playing = on;
    last = NaN;
    frames = since = 0;
    flight.redraw();
    page.emit('playing');
  };
  flight.follow = (result, one) => {
    flight.followed = one ? { result, one } : null;
    flight.redraw();
    page.emit('followed');
  };

  const tick = (now) => {
    due = false;
    if (flight.playing) {
      const real = (now - last) / 1000 || 0,
        dt = Math.min(real, 0.1); /* no leap after a hidden tab */
      last = now;
      flight.t = Math.min(flight.t + dt * flight.rate(), flight.end);
      frames += real > 0;
      since += real;
      if (since >= 1) {
        page.measured.framesPerSecond = frames / since;
        document.documentElement.dataset.framesPerSecond = page.measured.framesPerSecond.toFixed(1);
        frames = since = 0;
        page.emit('measured');
      }
      if (flight.t >= flight.end) flight.play(false);
      page.emit('clock');
    }
    for (const stage of flight.drawn) if (stage.seen) stage.draw();
    page.emit('frame');
    if (flight.playing) flight.redraw();
  };
  flight.start = () => {
    started = true;
    flight.redraw();
  };
  page.on('results refined', take);
  take();
}
