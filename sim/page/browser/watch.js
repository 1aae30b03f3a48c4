/* sim/page/browser/watch.js - the scenes with their controls, the bands of size, and the droplet that is followed. */
{
  const flight = page.flight;
  const calm = window.matchMedia('(prefers-reduced-motion: reduce)');
  /** May anything move by itself? */
  page.moves = () => !calm.matches;
  let mode = 'across',
    started = false;
  /* A scene for each result; one that is there takes the next result in and keeps its place and its view. */
  const stages = [];
  page.stages = stages;
  const take = () => {
    const results = page.results();
    for (const stage of stages.splice(results.length)) flight.drawn.delete(stage);
    results.forEach((result, i) => {
      if (stages[i]) return stages[i].take(result);
      const stage = (stages[i] = new page.Stage(result));
      stage.mode = mode;
      stage.canvas.addEventListener('keydown', keys(stage));
      flight.drawn.add(stage);
    });
  };

  /* The scrub bar gives the first seconds most room: time goes with the third power of the way along it. */
  const LONG = 1000,
    timeOf = (v) => flight.end * (v / LONG) ** 3,
    valueOf = (t) => LONG * Math.cbrt(t / flight.end);
  const seconds = (t) => page.q('time_s', t, 2);
  const clockText = (t) => `${page.fixed(t, 2)}\u00a0s`;

  const describe = (stage) => {
    const result = stage.result,
      at = result.inputs;
    return page.t(`stage.words.${mode}`, {
      name: page.nameOf(result),
      rows: page.whole(result.rows.length),
      height: page.q('length_m', at.canopy_height, 2),
      n: page.whole(result.paths.track.length),
      wind: page.q('wind_m_s', at.wind_speed),
      sentence: page.sentenceText(result),
    });
  };

  /* ---- the player ---- */
  const player = () => {
    const play = page.el('button', {
      type: 'button',
      class: 'play',
      'data-key': 'play',
      onclick: () => flight.play(!flight.playing),
    });
    const bar = page.el('input', {
      type: 'range',
      min: 0,
      max: LONG,
      step: 1,
      class: 'scrub',
      'data-key': 'scrub',
      'aria-label': page.t('player.time'),
      oninput: (e) => {
        flight.play(false);
        flight.set(timeOf(Number(e.target.value)));
      },
    });
    const clock = page.el('output', { class: 'clock', 'data-clock': true, 'aria-live': 'off' });
    const rate = page.el('span', { class: 'rate', 'aria-hidden': 'true' });
    const step = (d) => {
      flight.play(false);
      flight.set(flight.t + d * page.clamp(0.1 * flight.rate(), 0.002, 1));
    };
    const stepButton = (d, key) =>
      page.el(
        'button',
        {
          type: 'button',
          class: 'icon',
          'data-key': key,
          'aria-label': page.t(`player.${key}`),
          title: page.t(`player.${key}`),
          onclick: () => step(d),
        },
        page.svg(
          'svg',
          { viewBox: '0 0 16 16', width: 16, height: 16, 'aria-hidden': 'true' },
          page.svg('path', {
            d: d > 0 ? 'M3 2l8 6-8 6zM12 2h2v12h-2z' : 'M13 2L5 8l8 6zM2 2h2v12H2z',
            fill: 'currentColor',
          }),
        ),
      );
    const speed = page.select({
      key: 'speed',
      label: page.t('player.speed'),
      value: flight.speed,
      change: (v) => {
        flight.speed = v === 'auto' ? v : Number(v);
        showClock();
      },
      options: flight.SPEEDS.map((s) => [
        s,
        s === 'auto'
          ? page.t('player.auto')
          : page.t(s === 1 ? 'player.real' : s < 1 ? 'player.slower' : 'player.faster', {
              times: page.plain(s < 1 ? 1 / s : s, 3),
            }),
      ]),
    });
    const again = page.el(
      'button',
      {
        type: 'button',
        class: 'icon',
        'data-key': 'again',
        'aria-label': page.t('player.again'),
        title: page.t('player.again'),
        onclick: () => {
          flight.set(0);
          flight.play(true);
        },
      },
      page.svg(
        'svg',
        { viewBox: '0 0 16 16', width: 16, height: 16, 'aria-hidden': 'true' },
        page.svg('path', {
          d: 'M8 2.5a5.5 5.5 0 1 0 5.4 6.6l-1.6-.3A3.9 3.9 0 1 1 8 4.1V7l5-3.6L8 0z',
          fill: 'currentColor',
        }),
      ),
    );
    const icon = page.svg(
      'svg',
      { viewBox: '0 0 16 16', width: 18, height: 18, 'aria-hidden': 'true' },
      page.svg('path', { fill: 'currentColor' }),
    );
    const label = page.el('span', {});
    play.append(icon, label);
    const showPlay = () => {
      icon.firstChild.setAttribute('d', flight.playing ? 'M3 2h4v12H3zM9 2h4v12H9z' : 'M3 1.5l11 6.5-11 6.5z');
      label.textContent = page.t(flight.playing ? 'player.pause' : 'player.play');
    };
    const showClock = () => {
      bar.value = String(Math.round(valueOf(flight.t)));
      bar.setAttribute('aria-valuetext', seconds(flight.t));
      clock.textContent = clockText(flight.t);
      const pace = flight.speed === 'auto' && flight.rate() >= 1.5 ? `×\u00a0${page.whole(flight.rate())}` : '';
      if (rate.textContent !== pace) rate.textContent = pace;
    };
    showPlay();
    showClock();
    shown.playing = showPlay;
    shown.clock = showClock;
    const marks = [0, 1, 5, 20, 60, 120, 240].filter((t) => t < 0.93 * flight.end || t === 0);
    return page.el(
      'div',
      { class: 'player', role: 'group', 'aria-label': page.t('player') },
      page.el(
        'div',
        { class: 'player-buttons' },
        play,
        stepButton(-1, 'back'),
        stepButton(1, 'forward'),
        again,
        clock,
        rate,
      ),
      page.el(
        'div',
        { class: 'scrub-box' },
        bar,
        page.el(
          'div',
          { class: 'scrub-marks', 'aria-hidden': 'true' },
          marks.map((t) =>
            page.el('span', { style: { left: `${(valueOf(t) / LONG) * 100}%` } }, page.q('time_s', t, 3)),
          ),
        ),
      ),
      speed,
    );
  };
  /* What changes while it plays; the plate that holds it may be made anew. */
  const shown = { playing: () => {}, clock: () => {}, followed: () => {}, frame: () => {}, measured: () => {} };
  for (const name of Object.keys(shown)) page.on(name, () => shown[name]());

  /* ---- size bands ---- */
  const bands = () => {
    const weight = page.BANDS.map(() => page.results().map(() => 0));
    page.results().forEach((result, r) => {
      const all = page.sum(result.paths.track.map((one) => one.weight));
      for (const one of result.paths.track) weight[one.band][r] += (100 * one.weight) / all;
    });
    const stand = page.el(
      'div',
      { class: 'size-scale', 'aria-hidden': 'true' },
      page.svg(
        'svg',
        { viewBox: '0 0 200 10', preserveAspectRatio: 'none', height: 10 },
        Array.from({ length: 50 }, (_, i) =>
          page.svg('rect', {
            x: 4 * i,
            width: 4.2,
            height: 10,
            y: 0,
            style: { fill: page.sizeColour(10 * 50 ** (i / 49)) },
          }),
        ),
      ),
      page.el(
        'div',
        { class: 'size-marks' },
        [10, 30, 100, 200, 500].map((um) =>
          page.el('span', { style: { left: `${100 * page.sizeShare(um)}%` } }, page.plain(um)),
        ),
      ),
    );
    return page.el(
      'fieldset',
      { class: 'bands' },
      page.el('legend', {}, page.t('bands')),
      stand,
      page.BANDS.map((_, i) =>
        page.tick({
          key: `band-${i}`,
          value: flight.bands[i],
          swatch: page.el('span', {
            class: 'swatch round',
            style: { background: page.sizeColour(page.bandMiddle(i)) },
            'aria-hidden': 'true',
          }),
          label: page.t('band.share', {
            band: page.bandName(i),
            share: page.list(weight[i].map((w) => page.amount('percent', w, w < 10 ? 1 : 2))),
          }),
          change: (on) => {
            flight.bands[i] = on;
            flight.redraw();
          },
        }),
      ),
    );
  };

  /* ---- a droplet is followed ---- */
  const story = (one) => {
    const text = storyOf(one);
    return text.charAt(0).toUpperCase() + text.slice(1);
  };
  const storyOf = (one) => {
    const part = one.cuts > 0 ? 'part.' : '',
      end = page.t(`end.${part}${one.fate}`);
    const events = [];
    for (const [name, n] of Object.entries(one.met).filter((met) => met[1] > 0)) {
      const values = { n, times: page.whole(n), outcome: page.outcomeWord(name) };
      events.push(page.said(`story.${name}`, page.t('story.met', values), values));
    }
    if (events.length === 0) return page.t('story.plain', { end, time: seconds(one.end) });
    const later = one.end - one.rebound;
    if (!Number.isFinite(later))
      return page.t('story.unknown', { events: page.list(events), end, time: seconds(one.end) });
    return page.t('story.after', { events: page.list(events), end, later: seconds(later) });
  };
  page.story = story;
  /** Where it, or a part of it, ended: "stuck to a leaf". */
  page.endWords = (one) => page.t(`end.${one.cuts > 0 ? 'part.' : ''}${one.fate}`);

  const examples = () => {
    const result = flight.followed ? flight.followed.result : page.result();
    const tracks = result.paths.track.filter((one) => flight.alley === 'all' || one.alley === Number(flight.alley));
    const pick = (test, near) => {
      const fit = tracks.filter(test);
      return fit.sort((a, b) => near(a) - near(b))[0];
    };
    const size = (um) => (one) => Math.abs(Math.log(one.emitted / um));
    return [
      ['drifts', pick((o) => o.fate === 'air_downwind' && o.end > 3, size(60))],
      ['wood', page.leafless(result) ? pick((o) => o.fate === 'wood' && o.flewOn === 0, size(130)) : null],
      ['lands', pick((o) => o.fate === 'leaf' && o.flewOn === 0, size(130))],
      [
        'bounces',
        pick(
          (o) => o.met.bounced > 0 && o.cuts === 0,
          (o) => -o.met.bounced + 0.01 * o.end,
        ),
      ],
      [
        'shatters',
        pick(
          (o) => o.cuts > 0,
          (o) => -o.emitted,
        ),
      ],
      [
        'falls',
        pick(
          (o) => /^ground_(alley|row)$/.test(o.fate) && o.flewOn === 0,
          (o) => -o.emitted,
        ),
      ],
      ['beyond', pick((o) => o.fate === 'ground_downwind', size(100))],
    ]
      .filter(([, one]) => one)
      .map(([key, one]) =>
        page.el(
          'button',
          {
            type: 'button',
            class: 'small',
            'data-key': `example-${key}`,
            'data-example': key,
            onclick: () => {
              for (let i = 0; i < flight.bands.length; i++) if (i === one.band) flight.bands[i] = true;
              flight.byVolume = flight.byVolume && !one.thin;
              flight.follow(result, one);
              flight.set(Math.max(0, one.release - 0.02));
              if (!calm.matches) flight.play(true);
            },
          },
          page.t(`example.${key}`),
        ),
      );
  };

  const walk = (by) => {
    const result = flight.followed ? flight.followed.result : page.result(),
      tracks = result.paths.track.filter(flight.shows);
    if (tracks.length === 0) return;
    const at = flight.followed ? tracks.indexOf(flight.followed.one) : -1;
    flight.follow(result, tracks[(at + by + tracks.length) % tracks.length]);
  };

  const followPanel = () => {
    const box = page.el('div', { class: 'follow' }),
      spoken = page.el('p', { class: 'unseen', 'aria-live': 'polite' });
    const draw = () => {
      const f = flight.followed;
      box.replaceChildren();
      if (!f) {
        box.append(page.el('p', { class: 'hint' }, page.t('follow.hint')));
        spoken.textContent = '';
        shown.frame = showAloft;
        return;
      }
      const { result, one } = f,
        p = {},
        values = {};
      const row = (key) =>
        page.el(
          'div',
          {},
          page.el('dt', {}, page.t(`follow.${key}`)),
          (values[key] = page.el('dd', { 'data-follow': key })),
        );
      const spray = result.nozzles[one.nozzle] && result.sprays[result.nozzles[one.nozzle].nozzle_spray - 1];
      box.append(
        page.el(
          'p',
          { class: 'follow-title' },
          page.many() ? page.badge(result) : null,
          page.t('follow.title', {
            size: page.q('size_um', one.emitted),
            nozzle: page.whole(one.nozzle + 1),
            tip: spray ? spray.tip : '',
          }),
        ),
        page.el(
          'dl',
          { class: 'follow-values' },
          ['diameter', 'speed', 'settling', 'water', 'height', 'distance', 'age'].map(row),
        ),
        page.el('p', { class: 'follow-end', 'data-follow': 'end' }, story(one)),
        page.el(
          'button',
          { type: 'button', class: 'small', 'data-key': 'unfollow', onclick: () => flight.follow(null, null) },
          page.t('follow.stop'),
        ),
      );
      spoken.textContent = page.t('follow.spoken', { size: page.q('size_um', one.emitted), end: story(one) });
      let next = 0;
      const show = (now) => {
        showAloft();
        if (flight.playing && performance.now() < next && !now) return;
        next = performance.now() + 90;
        const tau = page.clamp(flight.t - one.release, 0, one.end);
        flight.place(result.paths, one, tau, p);
        const ended = tau >= one.end;
        values.diameter.textContent = page.q('size_um', p.d, 3, true);
        values.speed.textContent = page.q('speed_m_s', ended && !one.flies ? 0 : p.v, 2, true);
        values.settling.textContent = page.q('speed_m_s', page.settling(result, p.d), 2, true);
        const water = page.waterLeft(result, one, p.k, p.d);
        values.water.textContent = page.q('percent', 100 * water, water > 0.995 ? 3 : 2);
        values.height.textContent = page.q('length_m', Math.max(p.z, 0), p.z < 1 ? 2 : 3, true);
        values.distance.textContent = page.q('length_m', result.downwind(p.x), 3, true);
        values.age.textContent = flight.t < one.release ? page.t('follow.not_yet') : seconds(tau);
      };
      shown.frame = () => show(false);
      show(true);
    };
    shown.followed = draw;
    draw();
    return page.el(
      'div',
      { class: 'follow-box' },
      page.el('h3', {}, page.t('follow')),
      box,
      spoken,
      page.el(
        'div',
        { class: 'examples', role: 'group', 'aria-label': page.t('examples') },
        page.el('p', { class: 'hint' }, page.t('examples')),
        examples(),
      ),
      page.el(
        'div',
        { class: 'walk' },
        page.el(
          'button',
          { type: 'button', class: 'small', 'data-key': 'previous', onclick: () => walk(-1) },
          page.t('follow.previous'),
        ),
        page.el(
          'button',
          { type: 'button', class: 'small', 'data-key': 'next', onclick: () => walk(1) },
          page.t('follow.next'),
        ),
      ),
    );
  };

  let aloftText = null;
  const showAloft = () => {
    if (!aloftText) return;
    const n = page.sum(stages.map((s) => s.aloft || 0)),
      all = page.sum(stages.map((s) => s.result.paths.track.length));
    const rate = page.measured.framesPerSecond;
    const text =
      page.t('stage.count', { aloft: page.whole(n), all: page.whole(all) }) +
      (rate ? ` ${page.t('stage.rate', { rate: page.whole(rate) })}` : '');
    if (aloftText.textContent !== text) aloftText.textContent = text;
  };

  const keys = (stage) => (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const work = {
      ' ': () => flight.play(!flight.playing),
      ArrowRight: () => {
        flight.play(false);
        flight.set(flight.t + page.clamp(0.1 * flight.rate(), 0.002, 1));
      },
      ArrowLeft: () => {
        flight.play(false);
        flight.set(flight.t - page.clamp(0.1 * flight.rate(), 0.002, 1));
      },
      '+': () => flight.eachStage((s) => s.zoom(1.25, s.width / 2)),
      '-': () => flight.eachStage((s) => s.zoom(0.8, s.width / 2)),
      n: () => walk(1),
      p: () => walk(-1),
      Escape: () => flight.follow(null, null),
    }[e.key];
    if (!work) return;
    e.preventDefault();
    work();
  };
  page.on('results refined', take);
  take();

  const content = () => {
    const icon = (text, label, work) =>
      page.el('button', { type: 'button', class: 'icon', 'aria-label': label, title: label, onclick: work }, text);
    aloftText = page.el('p', { class: 'stage-count' });
    const views = page.choice({
      key: 'view',
      label: page.t('view'),
      quiet: true,
      value: mode,
      change: (v) => {
        mode = v;
        for (const s of stages) {
          s.mode = v;
          s.settle && s.k && s.settle();
          s.canvas.setAttribute('aria-label', describe(s));
        }
      },
      options: [
        ['across', page.t('view.across')],
        ['above', page.t('view.above')],
      ],
    });
    const presets = page.el(
      'div',
      { class: 'presets', role: 'group', 'aria-label': page.t('look') },
      ['sprayer', 'orchard', 'far'].map((key) =>
        page.el(
          'button',
          {
            type: 'button',
            class: 'small',
            'data-key': `look-${key}`,
            onclick: () => flight.eachStage((s) => s.look(key)),
          },
          page.t(`look.${key}`, { distance: page.q('length_m', 100, 2) }),
        ),
      ),
      icon('+', page.t('look.in'), () => flight.eachStage((s) => s.zoom(1.35, s.width / 2))),
      icon('−', page.t('look.out'), () => flight.eachStage((s) => s.zoom(1 / 1.35, s.width / 2))),
      icon('←', page.t('look.left'), () => flight.eachStage((s) => s.pan(0.2 * s.width))),
      icon('→', page.t('look.right'), () => flight.eachStage((s) => s.pan(-0.2 * s.width))),
    );
    const alleys = [...new Set(page.results().flatMap((r) => r.passes.map((p) => p.pass_alley)))].sort((a, b) => a - b);
    const alley = page.select({
      key: 'alley',
      label: page.t('alley'),
      value: flight.alley,
      options: [
        ['all', page.t('alley.all')],
        ...alleys.map((a) => [a, a === 0 ? page.t('alley.outside') : page.t('alley.behind', { row: page.whole(a) })]),
      ],
      change: (v) => {
        flight.alley = v;
        for (const s of stages) if (s.k) s.drawStill();
        flight.redraw();
      },
    });
    const volume = page.tick({
      key: 'volume',
      value: flight.byVolume,
      label: page.t('volume'),
      change: (on) => {
        flight.byVolume = on;
        flight.redraw();
      },
    });
    const air = page.tick({
      key: 'air',
      value: flight.air,
      label: page.t('air'),
      change: (on) => {
        flight.air = on;
        for (const s of stages) if (s.k) s.drawStill();
        flight.redraw();
      },
    });
    showAloft();
    setTimeout(() => {
      for (const s of stages) if (s.k) s.settle();
    });
    return page.el(
      'div',
      { class: 'watch' },
      page.el('div', { class: 'watch-top' }, views, presets),
      page.el(
        'div',
        { class: `stages of-${stages.length}` },
        stages.map((s) => {
          s.canvas.setAttribute('aria-label', describe(s));
          s.canvas.setAttribute('data-key', `stage-${s.result.letter}`);
          return page.el('div', { class: 'stage-box' }, page.headOf(s.result), s.canvas);
        }),
      ),
      page.lessonPanel(),
      player(),
      aloftText,
      page.el(
        'div',
        { class: 'watch-below' },
        page.el(
          'div',
          { class: 'watch-switches' },
          bands(),
          page.el(
            'div',
            { class: 'stack' },
            alleys.length > 1 ? alley : null,
            page.results().some((r) => r.air) ? air : null,
            volume,
          ),
          page.el('p', { class: 'note' }, page.t('stage.note', { emit: seconds(flight.emit) })),
          page.el('p', { class: 'note' }, page.t('stage.keys')),
        ),
        followPanel(),
      ),
    );
  };

  page.watch = () => {
    const plate = page.plate('watch', 'watch', 'language units theme results', content, 'watch.lead');
    if (calm.matches) flight.set(0.6 * flight.emit);
    else
      new IntersectionObserver(
        (entries, observer) => {
          if (!entries.at(-1).isIntersecting || started) return;
          started = true;
          observer.disconnect();
          flight.play(true);
        },
        { threshold: 0.25 },
      ).observe(stages[0].canvas);
    return plate;
  };
}
