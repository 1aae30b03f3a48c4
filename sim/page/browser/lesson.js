/* sim/page/browser/lesson.js - class mode: the scene first and as wide as the screen, larger dots with their key
 * inside, and steps with a caption each that play and stop by themselves, for a room in which the last row must be able
 * to read. Every step is a droplet of this run, recorded by the simulator; a step without an example in the run is left
 * out. */
{
  const flight = page.flight,
    SECONDS = 5; /* that a step plays, about (choice) */
  page.state.classroom = false;
  let steps = [],
    at = 0,
    dark = false;

  /* ---- examples out of the recorded droplets ---- */
  const point = (result, one, tau) => flight.place(result.paths, one, page.clamp(tau, 0, one.end), {});
  const pick = (result, test, score) =>
    result.paths.track.filter(test).reduce((a, b) => (a === null || score(b) < score(a) ? b : a), null);
  const near = (um) => (one) => Math.abs(Math.log(one.emitted / um));
  /* Half of the volume is sprayed in droplets below this: an ordinary one. */
  const middling = (result) => result.sprays[0].dv50;

  /* The stretch across that holds places (in m downwind), and in height the highest of them. */
  const around = (stage, places, highest, least) => {
    const low = Math.min(...places),
      high = Math.max(...places),
      tall = (1.35 * highest * stage.width) / Math.max(stage.ground || 300, 100),
      wide = Math.max(1.5 * (high - low), tall, least);
    return [0.5 * (low + high - wide), 0.5 * (low + high + wide)];
  };
  const spotsOf = (result, one, from, to) => {
    const all = [];
    for (let k = 0; k <= 12; k++) {
      const p = point(result, one, from + ((to - from) * k) / 12);
      all.push([result.downwind(p.x), p.z]);
    }
    return all;
  };
  const step = (key, result, one, from, to, words, least = 3) => {
    const spots = spotsOf(result, one, Math.max(from, 0), Math.min(to, one.end));
    return {
      key,
      result,
      one,
      from: one.release + from,
      to: one.release + to,
      words,
      view: (stage) =>
        around(
          stage,
          spots.map((s) => s[0]),
          Math.max(...spots.map((s) => s[1]), 0.5),
          least,
        ),
    };
  };

  const make = (result) => {
    const list = [],
      p = result.paths,
      wood = page.leafless(result),
      target = wood ? 'wood' : 'leaf',
      size = (one) => page.q('size_um', one.emitted, 2),
      speed = (one, tau) => page.q('speed_m_s', point(result, one, tau).v, 2);
    const plain = pick(result, (o) => o.fate === target && o.flewOn === 0 && o.end > 0.1, near(middling(result)));
    if (plain) {
      const out = Math.min(0.06, 0.3 * plain.end),
        half = 0.65 * plain.end,
        way = Math.abs(point(result, plain, half).x - p.x[plain.first]);
      list.push(
        step('nozzle', result, plain, -0.03, out, () =>
          page.t('lesson.nozzle', { size: size(plain), speed: speed(plain, 0) }),
        ),
        step('air', result, plain, out, half, () =>
          page.t('lesson.air', {
            time: page.q('time_s', half, 2),
            way: page.q('length_m', way, 2),
            speed: speed(plain, half),
          }),
        ),
        step('sticks', result, plain, half, plain.end + 0.05, () => page.t(`lesson.sticks.${target}`), 2),
      );
    }
    const loose = (key, one) => {
      if (!one) return;
      const before = Math.max(one.rebound - 0.25, 0),
        after = Math.min(one.end, one.rebound + 0.9);
      list.push(
        step(key, result, one, before, after, () =>
          page.t(`lesson.${key}`, {
            size: size(one),
            speed: speed(one, Math.max(one.rebound - 0.02, 0)),
            end: page.endWords(one),
            later: page.q('time_s', one.end - one.rebound, 2),
          }),
        ),
      );
    };
    const seen = (one) => Number.isFinite(one.rebound) && one.end - one.rebound > 0.05 && one.rebound > 0.05;
    loose(
      'bounces',
      pick(
        result,
        (o) => o.met.bounced === 1 && o.flewOn === 1 && seen(o),
        (o) => near(0.9 * middling(result))(o) + Math.abs(Math.log((o.end - o.rebound) / 0.4)),
      ),
    );
    loose(
      'shatters',
      pick(
        result,
        (o) => o.cuts === 1 && o.flewOn === 1 && seen(o),
        (o) => -o.emitted,
      ),
    );
    /* one that dries on its way, and one look at all that drifts */
    const last = (one) => one.first + one.n - 1,
      left = (one) => page.waterLeft(result, one, last(one), p.d[last(one)]),
      dries = pick(result, (o) => o.flewOn === 0 && o.end > 3 && left(o) < 0.01, near(60));
    if (dries) {
      let k = dries.first;
      while (k < last(dries) && page.waterLeft(result, dries, k, p.d[k]) > 0.01) k++;
      const gone = p.t[k];
      list.push(
        step('dries', result, dries, 0, gone + 0.5, () =>
          page.t('lesson.dries', {
            size: size(dries),
            time: page.q('time_s', gone, 2),
            way: page.q('length_m', Math.abs(p.x[k] - p.x[dries.first]), 2),
            speck: page.q('size_um', p.d[k], 2),
          }),
        ),
      );
    }
    const drift = page.driftSizes(result),
      whole = page.wholeGroups(result);
    list.push({
      key: 'drifts',
      result,
      one: null,
      from: flight.emit,
      to: Math.min(45, flight.end),
      view: null,
      words: () => {
        if (page.many()) {
          const of = (r) => page.sum(page.wholeGroups(r).slice(3));
          return page.t('lesson.drifts.several', {
            hundred: page.q('per_100_L', 100),
            list: page.list(page.results().map((r) => `${r.letter}: ${page.q('per_100_L', of(r), 3)}`)),
          });
        }
        if (!drift) return page.t('lesson.none');
        return page.t(page.windless(result) ? 'lesson.aloft' : 'lesson.drifts', {
          hundred: page.q('per_100_L', 100),
          drift: page.q('per_100_L', whole[3] + whole[4], 3),
          low: page.plain(drift.low, 2),
          high: page.q('size_um', drift.high, 2),
        });
      },
    });
    return list;
  };

  /* ---- playing them ---- */
  const show = (i) => {
    at = page.clamp(i, 0, steps.length - 1);
    const s = steps[at];
    flight.play(false);
    flight.follow(s.one ? s.result : null, s.one);
    flight.speed = Math.max((s.to - s.from) / SECONDS, 0.002);
    flight.eachStage((stage) => (s.view ? stage.show(...s.view(stage)) : stage.look('far')));
    flight.set(Math.max(s.from, 0));
    page.emit('lesson');
    if (page.moves()) flight.play(true);
    else flight.set(s.to);
  };
  page.on('clock', () => {
    if (!page.state.classroom || !flight.playing || flight.t < steps[at].to) return;
    flight.play(false);
    flight.set(steps[at].to);
  });
  page.lesson = { show, steps: () => steps, at: () => at };

  const root = document.documentElement;
  const enter = () => {
    const on = page.state.classroom;
    root.toggleAttribute('data-classroom', on);
    dark = false;
    root.toggleAttribute('data-blank', false);
    if (on) {
      steps = make(page.result());
      window.scrollTo({ top: 0, behavior: 'instant' });
      requestAnimationFrame(() => requestAnimationFrame(() => page.state.classroom && show(0)));
      document.documentElement.requestFullscreen?.().catch(() => {}); /* where the browser allows it */
    } else {
      flight.speed = 'auto';
      flight.follow(null, null);
      if (document.fullscreenElement) document.exitFullscreen?.().catch(() => {});
      requestAnimationFrame(() => flight.eachStage((stage) => stage.look('orchard')));
    }
    page.emit('lesson');
  };
  page.on('classroom', enter);
  page.on('results', () => {
    if (!page.state.classroom) return;
    steps = make(page.result());
    show(Math.min(at, steps.length - 1));
  });

  /* Keys of presenters: they page on and back, and blank the screen. */
  document.addEventListener(
    'keydown',
    (e) => {
      if (!page.state.classroom || e.ctrlKey || e.metaKey || e.altKey) return;
      if (e.target.closest('input, select, textarea, summary, a') && e.key !== 'Escape') return;
      if (e.target.closest('button') && (e.key === ' ' || e.key === 'Enter')) return;
      const blank = () => {
        dark = !dark;
        root.toggleAttribute('data-blank', dark);
      };
      const work = {
        PageDown: () => show(at + 1),
        ArrowRight: () => show(at + 1),
        Enter: () => show(at + 1),
        PageUp: () => show(at - 1),
        ArrowLeft: () => show(at - 1),
        Home: () => show(0),
        End: () => show(steps.length - 1),
        r: () => show(at),
        ' ': () => (flight.t >= steps[at].to - 1e-6 ? show(at) : flight.play(!flight.playing)),
        b: blank,
        '.': blank,
        Escape: () => page.set('classroom', false),
      }[e.key];
      if (!work) return;
      e.preventDefault();
      e.stopPropagation();
      work();
    },
    true,
  );

  /** The caption with its buttons, under the scene; nothing outside class mode. */
  page.lessonPanel = () => {
    const box = page.el('div', { class: 'lesson' });
    const button = (key, text, work, label) =>
      page.el(
        'button',
        {
          type: 'button',
          class: 'small',
          'data-key': `lesson-${key}`,
          'aria-label': label,
          title: label,
          onclick: work,
        },
        text,
      );
    const draw = () => {
      if (!page.state.classroom) return box.replaceChildren();
      const s = steps[at],
        focused = box.contains(document.activeElement) ? document.activeElement.dataset.key : null;
      box.replaceChildren(
        page.el('p', { class: 'lesson-caption', 'aria-live': 'polite' }, s ? s.words() : ''),
        page.el(
          'div',
          { class: 'lesson-buttons' },
          button('back', '←', () => show(at - 1), page.t('lesson.back')),
          page.el('span', { class: 'lesson-place' }, `${page.whole(at + 1)} / ${page.whole(steps.length)}`),
          button('next', '→', () => show(at + 1), page.t('lesson.next')),
          button('again', page.t('lesson.again'), () => show(at)),
          button('exercises', page.t('lesson.exercises'), () => page.printExercises()),
          button('leave', page.t('lesson.leave'), () => page.set('classroom', false)),
        ),
      );
      if (focused) box.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus();
    };
    page.lessonDraw = draw;
    draw();
    return box;
  };
  page.on('lesson', () => page.lessonDraw?.());
}
