/* sim/page/browser/main.js - puts the page together: head with its switches, plates, foot; then the clock starts. */
{
  const wanted = page.data.language,
    spoken = (navigator.languages || [navigator.language || 'en'])
      .map((l) => l.slice(0, 2))
      .find((l) => page.languages.includes(l));
  page.state.language = page.languages.includes(wanted) ? wanted : spoken || 'en';
  page.state.units = page.data.units === 'us' ? 'us' : 'metric';

  const root = document.documentElement;
  const dress = () => {
    root.lang = page.state.language;
    root.dataset.theme = page.isDark() ? 'dark' : 'light';
    const name = page.data.sweep ? page.sweepName() : page.data.results.map((r) => page.apart(r.name)).join(' · ');
    document.title = `${name} – ${page.t('title')}`;
  };
  dress();
  page.on('language results', dress);
  page.on('theme', dress);

  const mark = () =>
    page.svg(
      'svg',
      { class: 'brand', viewBox: '0 0 24 30', width: 22, height: 28, 'aria-hidden': 'true' },
      page.svg('path', { d: 'M12,1C16,8 21,13 21,19A9,9 0 0 1 3,19C3,13 8,8 12,1Z' }),
      page.svg('path', { class: 'brand-leaf', d: 'M12,27C12,20 13,16 17,13C18,18 16,23 12,27Z' }),
    );

  const head = () => {
    const box = page.el('header', { class: 'head' });
    const draw = () => {
      const focused = box.contains(document.activeElement) ? document.activeElement.dataset.key : null;
      const results = page.results(),
        places = [...new Set(results.map((r) => r.place).filter(Boolean))];
      const skip = page.el('a', { class: 'skip', href: '#main' }, page.t('skip'));
      box.replaceChildren(
        skip,
        page.el(
          'div',
          { class: 'head-bar' },
          page.el('p', { class: 'brand-line' }, mark(), page.el('span', {}, page.t('title'))),
          page.el(
            'div',
            { class: 'switches' },
            page.choice({
              key: 'language',
              label: page.t('language'),
              quiet: true,
              value: page.state.language,
              options: [
                ['en', 'English'],
                ['es', 'Español'],
              ],
              change: (v) => page.set('language', v),
            }),
            page.choice({
              key: 'units',
              label: page.t('units'),
              quiet: true,
              value: page.state.units,
              options: [
                ['metric', page.t('units.metric')],
                ['us', page.t('units.us')],
              ],
              change: (v) => page.set('units', v),
            }),
            page.choice({
              key: 'theme',
              label: page.t('theme'),
              quiet: true,
              value: page.state.theme,
              options: [
                ['auto', page.t('theme.auto')],
                ['light', page.t('theme.light')],
                ['dark', page.t('theme.dark')],
              ],
              change: (v) => page.set('theme', v),
            }),
            page.data.sweep
              ? null
              : page.el(
                  'button',
                  {
                    type: 'button',
                    class: 'small',
                    'data-key': 'class',
                    onclick: () => page.set('classroom', true),
                  },
                  page.t('class'),
                ),
            page.liveButton('live-head'),
            page.el(
              'button',
              { type: 'button', class: 'small', 'data-key': 'print', onclick: () => window.print() },
              page.t('print'),
            ),
          ),
        ),
        page.el(
          'div',
          { class: 'head-title' },
          page.el(
            'h1',
            {},
            page.data.sweep
              ? page.sweepName()
              : page.many()
                ? page.t('title.several', { n: results.length, count: page.whole(results.length) })
                : page.bdi(results[0].name),
          ),
          places.length
            ? page.el(
                'p',
                { class: 'place' },
                places.map((p, i) => [i ? ' · ' : '', page.bdi(p)]),
              )
            : null,
        ),
      );
      if (focused) box.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus();
    };
    page.on('language units theme results live-why', draw);
    draw();
    return box;
  };

  const plates = page.data.sweep
    ? page.sweepPlates()
    : [
        ['versus', page.versus, page.many],
        /* results side by side: the film first */
        ...(page.many()
          ? [
              ['watch', page.watch],
              ['glance', page.glance],
            ]
          : [
              ['glance', page.glance],
              ['watch', page.watch],
            ]),
        ['compare', page.compare, page.many],
        ['palm', page.palm],
        ['crowns', page.canopy, page.hasLeaves],
        ['why', page.why],
        ['numbers', page.numbers],
      ];
  const nav = () => {
    const box = page.el('nav', {});
    const draw = () => {
      box.setAttribute('aria-label', page.t('contents'));
      box.replaceChildren(
        page.el(
          'ol',
          {},
          plates
            .filter(([, , when]) => !when || when())
            .map(([id]) => page.el('li', {}, page.el('a', { href: `#${id}` }, page.t(id)))),
        ),
      );
    };
    page.on('language results', draw);
    draw();
    return box;
  };
  const foot = () => {
    const box = page.el('footer', { class: 'foot' });
    const draw = () =>
      box.replaceChildren(
        page.el('p', {}, page.t('foot', { version: (page.data.sweep || page.results()[0]).version })),
        page.el('p', {}, page.t('foot.libraries')),
        page.el('p', {}, page.t('caution.label')),
      );
    page.on('language', draw);
    draw();
    return box;
  };

  /* What a screen shows comes first, the rest behind its first picture, or when a page that nobody looks at is printed.
   * The base style holds transitions back until all stands. */
  const FIRST = 2,
    made = (list) => list.map(([, make]) => make()).flat(Infinity).filter(Boolean),
    main = page.el('main', { id: 'main', tabindex: -1 }, made(plates.slice(0, FIRST)));
  document.body.append(head(), nav(), main, foot());
  let whole = false;
  const complete = () => {
    if (whole) return;
    whole = true;
    main.append(...made(plates.slice(FIRST)));
    if (!page.data.sweep) document.body.append(page.exercises());
    document.body.append(page.handout()); /* takes tables of the plates */
    document.getElementById(location.hash.slice(1))?.scrollIntoView();
    page.flight.start();
    page.startLive();
    page.measured.openedMs = performance.now();
    root.dataset.openedMs = page.measured.openedMs.toFixed(0);
    root.classList.add('ready');
  };
  requestAnimationFrame(() => requestAnimationFrame(complete));
  addEventListener('beforeprint', complete);
}
