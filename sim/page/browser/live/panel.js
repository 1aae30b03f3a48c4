/* sim/page/browser/live/panel.js - the controls of the live simulator, beside the page or below it on a phone, and
 * how far what flies is known. */
{
  const live = page.live,
    settings = page.settingsOf;

  const shownValue = (slider) => live.changes[slider.name] ?? settings.standing(live.base(), slider);
  /* Sliders step in the units in use. */
  const sliderBox = (slider) => {
    const result = live.base(),
      standing = settings.standing(result, slider);
    if (!Number.isFinite(standing)) return null;
    const us = page.state.units === 'us',
      step = slider.steps[us ? 1 : 0],
      [low, high] = settings.range(result, slider).map((v) => page.convert(slider.kind, v)),
      back = (shown) => {
        const zero = page.convert(slider.kind, 0);
        return (shown - zero) / (page.convert(slider.kind, 1) - zero);
      };
    const valueOf = (at) => Number(page.clamp(back(at), ...settings.range(result, slider)).toPrecision(6));
    /* Who is at a slider on which the wind depends will most likely move it by a step, on as before. */
    let ahead = 1,
      last = NaN;
    const foresee = () => {
      if (!slider.wind) return;
      const at = Number(range.value),
        next = [at + ahead * step, at - ahead * step].filter((v) => v >= range.min && v <= range.max);
      live.foresee(slider.name, next.map(valueOf));
    };
    const words = page.el('output', { class: 'live-value' }),
      was = page.el('span', { class: 'live-was' });
    const range = page.el('input', {
      type: 'range',
      min: Math.floor(low / step + 1e-9) * step,
      max: Math.ceil(high / step - 1e-9) * step,
      step,
      'data-key': `live-${slider.name}`,
      onfocus: foresee,
      onpointerenter: foresee,
      oninput: (event) => {
        const shown = Number(event.target.value);
        if (shown !== last && Number.isFinite(last)) ahead = Math.sign(shown - last);
        last = shown;
        live.set(slider.name, valueOf(shown));
      },
    });
    const draw = () => {
      const value = shownValue(slider),
        is = live.changes[slider.name] !== undefined,
        text = settings.valueText(slider, value);
      if (document.activeElement !== range || !is) range.value = String(page.convert(slider.kind, value));
      range.setAttribute('aria-valuetext', text);
      words.textContent = text;
      if (live.stage === 'done' && document.activeElement === range) foresee();
      was.textContent = is ? page.t('live.was', { value: settings.valueText(slider, standing) }) : '';
    };
    const label = page.el(
      'label',
      { class: 'live-slider' },
      page.el('span', { class: 'live-name' }, page.t(`live.${slider.name}`)),
      words,
      range,
      was,
    );
    return { node: label, draw };
  };

  const tipBox = () => {
    const { own, generic } = settings.tips(live.base().live.tree);
    const option = (name) => page.el('option', { value: name }, settings.tipName(name));
    const select = page.el(
      'select',
      { 'data-key': 'live-tip', onchange: (event) => live.set('tip', event.target.value || undefined) },
      page.el('option', { value: '' }, page.t('live.tip.same')),
      own.length > 1 ? page.el('optgroup', { label: page.t('live.tip.own') }, own.map(option)) : null,
      page.el('optgroup', { label: page.t('live.tip.generics') }, generic.map(option)),
    );
    const draw = () => {
      select.value = live.changes.tip || '';
    };
    return {
      node: page.el(
        'label',
        { class: 'live-slider' },
        page.el('span', { class: 'live-name' }, page.t('live.tip')),
        select,
      ),
      draw,
    };
  };

  const nozzleBox = () => {
    const nozzles = settings.nozzles(live.base().live.tree),
      ticks = [];
    const tick = (nozzle, side, n) => {
      const place = `${nozzle.i}${side}`,
        box = page.el('input', {
          type: 'checkbox',
          'data-key': `live-nozzle-${place}`,
          'aria-label': page.t(`live.nozzle.${side}`, { n: page.whole(n) }),
          disabled: nozzle.plugged,
          onchange: (event) => {
            const closed = (live.changes.shut || []).filter((other) => other !== place);
            live.set('shut', event.target.checked ? closed : [...closed, place]);
          },
        });
      ticks.push([place, box, nozzle.plugged]);
      return box;
    };
    const draw = () => {
      for (const [place, box, plugged] of ticks) box.checked = !plugged && !(live.changes.shut || []).includes(place);
    };
    const cell = (nozzle, side, n) => page.el('td', {}, nozzle.sides.includes(side) ? tick(nozzle, side, n) : null);
    return {
      node: page.el(
        'details',
        { class: 'live-nozzles', 'data-key': 'live-nozzles' },
        page.el('summary', { 'data-key': 'live-nozzles-summary' }, page.t('live.nozzles')),
        page.el(
          'table',
          {},
          page.el(
            'thead',
            {},
            page.el(
              'tr',
              {},
              page.el('th', { scope: 'col' }, page.t('live.nozzle.at')),
              page.el('th', { scope: 'col' }, page.t('live.left')),
              page.el('th', { scope: 'col' }, page.t('live.right')),
            ),
          ),
          page.el(
            'tbody',
            {},
            nozzles
              .map((nozzle, i) =>
                page.el(
                  'tr',
                  {},
                  page.el('th', { scope: 'row' }, page.resolvedValue(nozzle.height || '')),
                  cell(nozzle, 'L', i + 1),
                  cell(nozzle, 'R', i + 1),
                ),
              )
              .reverse(),
          ),
        ),
      ),
      draw,
    };
  };

  /* Where the spray goes, before and after. */
  const results = () => {
    const before = live.base(),
      after = live.after;
    if (!after) return page.el('p', { class: 'hint' }, page.t('live.hint'));
    const of = new Map(page.groupsOf(after).map((g) => [g.name, g]));
    const row = (name, a, b, kind) =>
      page.el(
        'tr',
        {},
        page.el('th', { scope: 'row' }, name),
        page.el('td', { class: 'number' }, page.pm(kind, ...a, { bare: true })),
        page.el('td', { class: 'number', 'data-live': 'after' }, page.pm(kind, ...b, { bare: true })),
      );
    const ground = (result) =>
      page.along(result, 'ground/curve_distance', ['curve']).find((g) => g.curve_distance === 5)?.curve || [NaN, NaN];
    return page.el(
      'table',
      { class: 'live-results' },
      page.el('caption', {}, page.t('live.table', { unit: page.q('per_100_L', 100) })),
      page.el(
        'thead',
        {},
        page.el(
          'tr',
          {},
          page.el('td', {}),
          page.el('th', { scope: 'col' }, page.badge({ index: 0, letter: 'A' }), page.t('live.before')),
          page.el('th', { scope: 'col' }, page.badge({ index: 1, letter: 'B' }), page.t('live.after')),
        ),
      ),
      page.el(
        'tbody',
        {},
        page
          .groupsOf(before)
          .filter((g) => g.name !== 'aloft' || g.value > 0 || of.get('aloft').value > 0)
          .map((g) =>
            row(
              page.t(`group.${g.name}`),
              [g.value, g.error],
              [of.get(g.name).value, of.get(g.name).error],
              'per_100_L',
            ),
          ),
        page.windless(before) || page.windless(after)
          ? null
          : row(
              page.t('live.ground', { distance: page.q('length_m', 5, 2) }),
              ground(before),
              ground(after),
              'percent',
            ),
      ),
    );
  };

  const status = () => {
    const { told, stage } = live;
    if (stage === 'failed')
      return live.broken ? page.t(`live.why.${live.broken}`) : page.t('live.trouble', { words: live.trouble });
    if (stage === 'idle') return page.t('live.ready');
    if (stage === 'air') return page.t('live.air');
    const values = {
      flown: page.whole(told.flown),
      error: page.q('percent', 100 * told.error, 2),
      workers: page.whole(live.workers),
      n: live.workers,
      memory: page.whole(live.memory / 1e6),
    };
    if (stage === 'flying') return page.t('live.flying', values);
    return page.t(live.memory > 0 ? 'live.done.memory' : 'live.done', values);
  };

  const download = () => {
    const result = live.base(),
      text = page.tree.yaml(live.scenario(), [
        page.t('live.saved', { name: result.name, version: result.version }),
        ...(Object.keys(live.changes).length ? [settings.words(live.changes)] : []),
        page.t('live.saved.run'),
      ]);
    page.download(`${page.slug(result.name)}.yaml`, text, 'application/yaml;charset=utf-8');
  };

  const panel = () => {
    const box = page.el('aside', { class: 'live-panel', id: 'live' });
    let parts = [],
      line,
      table,
      undo,
      reset,
      link;
    const follow = () => {
      for (const part of parts) part.draw();
      const words = status();
      if (line.textContent !== words) line.textContent = words;
      line.dataset.stage = live.stage;
      table.replaceChildren(results());
      undo.disabled = live.past.length === 0;
      reset.disabled = Object.keys(live.changes).length === 0;
      link.value = live.link();
    };
    const make = () => {
      box.hidden = !live.open;
      document.documentElement.classList.toggle('live-open', live.open);
      if (!live.open) return box.replaceChildren();
      const focused = box.contains(document.activeElement) ? document.activeElement.dataset.key : null,
        unfolded = [...box.querySelectorAll('details[open]')].map((d) => d.dataset.key),
        top = box.scrollTop;
      box.setAttribute('aria-label', page.t('live'));
      const button = (key, work) =>
        page.el(
          'button',
          { type: 'button', class: 'small', 'data-key': `live-${key}`, onclick: work },
          page.t(`live.${key}`),
        );
      parts = [...settings.sliders.map(sliderBox), tipBox(), nozzleBox()].filter(Boolean);
      line = page.el('p', { class: 'live-status', role: 'status' });
      table = page.el('div', {});
      undo = button('undo', live.undo);
      reset = button('reset', live.reset);
      link = page.el('input', {
        type: 'text',
        readonly: true,
        'aria-label': page.t('live.link.of'),
        'data-key': 'live-address',
      });
      const computed = live.base().inputs.wind === 'computed';
      box.replaceChildren(
        page.el(
          'div',
          { class: 'live-head' },
          page.el('h2', {}, page.t('live')),
          page.el(
            'button',
            {
              type: 'button',
              class: 'icon',
              'data-key': 'live-close',
              'aria-label': page.t('live.close'),
              title: page.t('live.close'),
              onclick: () => page.openLive(false),
            },
            '×',
          ),
        ),
        ...(page.files.length > 1
          ? [
              page.select({
                key: 'live-from',
                label: page.t('live.from'),
                value: live.index,
                options: page.files.map((r, i) => [i, r.name]).filter(([i]) => page.files[i].live?.tree),
                change: (v) => live.from(Number(v)),
              }),
            ]
          : []),
        page.el('div', { class: 'live-now' }, line, table),
        page.el(
          'div',
          { class: 'live-controls' },
          page.el('div', { class: 'live-buttons' }, undo, reset),
          parts.map((part) => part.node),
        ),
        page.el('p', { class: 'note' }, page.t(computed ? 'live.model.computed' : 'live.model.profiles')),
        page.el(
          'div',
          { class: 'live-buttons' },
          button('save', download),
          button('link', () => {
            link.hidden = false;
            link.focus();
            link.select();
            navigator.clipboard
              ?.writeText(link.value)
              .catch(() => {}); /* where it is not allowed, it is marked to copy */
          }),
        ),
        link,
        page.el(
          'p',
          { class: 'note' },
          page.t('live.note', {
            error: page.q('percent', page.settingsOf.ERROR, 2),
            most: page.whole(page.settingsOf.MOST),
          }),
        ),
      );
      link.hidden = true;
      for (const one of box.querySelectorAll('details')) one.open = unfolded.includes(one.dataset.key);
      follow();
      box.scrollTop = top;
      if (focused) box.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus();
    };
    page.on('language units live-panel', make);
    page.on('live', () => live.open && line && follow());
    make();
    return box;
  };

  let from = null; /* the button that opened it gets the focus back */
  page.openLive = (on) => {
    if (on) from = document.activeElement?.dataset.key;
    live.open = on;
    page.emit('live-panel');
    if (on) live.warm();
    const key = on ? 'live-close' : from || 'live-head';
    document.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus({ preventScroll: true });
  };
  /** A way in; null where there is none. */
  page.liveButton = (key) =>
    live.why()
      ? null
      : page.el(
          'button',
          { type: 'button', class: 'live-button', 'data-key': key, onclick: () => page.openLive(!live.open) },
          page.t('live.open'),
        );
  /** The same with what it is for, or why there is none. */
  page.liveEntry = () => {
    const why = live.why();
    return why
      ? page.el('p', { class: 'note live-why' }, page.t(`live.why.${why}`))
      : page.el(
          'p',
          { class: 'live-entry' },
          page.liveButton('live-open'),
          page.el('span', { class: 'note' }, page.t('live.open.note')),
        );
  };
  /** Puts the panel on the page, follows links to settings, and warms up while the reader reads. */
  page.startLive = () => {
    if (live.why()) return;
    document.body.append(panel());
    const restore = () => {
      const said = live.restore(decodeURI(location.hash.slice(1)));
      if (said) page.emit('live-panel');
      return said;
    };
    window.addEventListener('hashchange', restore);
    if (!restore()) setTimeout(() => live.warm(), 800);
  };
}
