/* sim/page/browser/live/live.js - the page's own simulator at work: what was changed, one step after the other, and the
 * results that follow: the file's, and beside it the one that flies.
 *
 * A run stops by the rule of every run, here at ERROR of what passes 5 m in the air, at MOST droplets at the latest
 * (settings.js). */
{
  const WORKERS = 4,
    PAUSE_MS = 120; /* a slider that moves is waited for */

  page.files = page.data.results; /* as the page came */
  const settings = page.settingsOf,
    tree = page.tree;
  const live = (page.live = {
    open: false,
    index: 0 /* of the file that is tried from */,
    changes: {},
    past: [],
    after: null,
    stage: 'idle' /* 'air', 'flying', 'done', 'failed' */,
    told: { flown: 0, most: settings.MOST, error: NaN, asked: NaN },
    trouble: '',
    memory: 0,
    workers: 1,
    foreseen: null,
  });
  live.base = () => page.files[live.index];
  const canTry = (result) => Boolean(result?.live?.tree);
  /** Why nothing can be tried on this page, as the end of a key; null: it can. */
  live.why = () => {
    if (page.data.sweep) return 'sweep';
    if (typeof WebAssembly === 'undefined' || typeof Worker === 'undefined') return 'browser';
    if (live.broken) return live.broken;
    const bare = page.files.map((r) => r.live?.why);
    return page.files.some(canTry) ? null : bare[0] || 'build';
  };
  live.index = Math.max(0, page.files.findIndex(canTry));

  /* ---- the crew ---- */
  let crew = null,
    beginning = null;
  const bytesOfModule = () => page.bytesOf(JSON.parse(document.getElementById('simulator').textContent).module);
  let parts = null;
  const partsOfCrew = async () => {
    const script = document.getElementById('worker').textContent;
    return {
      url: URL.createObjectURL(new Blob([script], { type: 'text/javascript' })),
      module: await WebAssembly.compile(bytesOfModule()),
    };
  };
  /** So many workers, or as many as start. */
  live.crew = async (n) => {
    const { url, module } = await (parts ||= partsOfCrew()),
      made = new page.Crew(() => new Worker(url), module);
    await made.grow(n);
    return made;
  };
  const begin = async () => {
    try {
      await (parts ||= partsOfCrew());
    } catch (error) {
      live.broken = 'browser'; /* no WebAssembly here, or none with SIMD */
      throw error;
    }
    try {
      crew = await live.crew(1);
    } catch (error) {
      live.broken = 'memory';
      throw error;
    }
  };
  const ready = () => (beginning ||= begin());
  const coreCount = () => {
    const cores = navigator.hardwareConcurrency || 1,
      small = (navigator.deviceMemory || 8) < 4; /* each has its own air: some 80 MB */
    return Math.max(1, Math.min(WORKERS, cores, small ? 2 : WORKERS));
  };

  /** The scenario that flies, with its changes: what is saved, too. */
  live.scenario = (changes = live.changes) => {
    return settings.toFly(live.base(), changes);
  };

  /** Readies the simulator, and warms it up with the scenario as it is: its first answer then comes soon. */
  live.warm = async () => {
    if (live.why() || live.warmed || live.stage !== 'idle') return;
    live.warmed = true;
    try {
      await ready();
      if (live.stage === 'idle') await crew.fly(live.scenario({}), ({ text }) => text && crew.stop());
    } catch (error) {
      live.trouble = error.message;
      if (live.broken) {
        live.stage = 'failed';
        page.emit('live');
        page.emit('live-why');
      }
    }
  };

  /** Solves for the winds of values that may be set next. */
  let foreseen = '';
  live.foresee = (name, values) => {
    const asked = JSON.stringify([live.index, live.changes, name, values]);
    if (!crew || crew.flying > 0 || live.stage === 'air' || asked === foreseen) return;
    foreseen = asked;
    live.foreseen = { name, values };
    crew.foresee(values.map((value) => live.scenario({ ...live.changes, [name]: value })));
  };

  /* ---- results ---- */
  const named = (result, role) =>
    Object.defineProperty({ ...result, role }, 'name', {
      get: () => page.t(`live.name.${role}`, { name: live.base().name, changes: settings.words(live.changes) }),
      enumerable: true,
    });
  let before = null;
  /* What the reader looks at stays where it is, though all above it is drawn anew, in one column or two. */
  const keepPlace = (work) => {
    const seen = [...document.querySelectorAll('main > section')].find((s) => s.getBoundingClientRect().bottom > 120),
      top = seen?.getBoundingClientRect().top;
    work();
    const moved = seen ? seen.getBoundingClientRect().top - top : 0;
    if (Math.abs(moved) > 1 && top < 0) window.scrollBy({ top: moved, behavior: 'instant' });
  };
  const show = () => keepPlace(showAll);
  const showAll = () => {
    if (!live.after) return page.show(page.files);
    if (!before || before.of !== live.base()) before = Object.assign(named(live.base(), 'before'), { of: live.base() });
    const both = page.results()[1]?.role === 'after';
    page.show([before, live.after]);
    if (!both) page.set('result', 1);
  };
  /* Better numbers of what flies keep its paths, crowns and air. */
  const take = (text, paths, flown) => {
    const result = page.parse(text),
      former = live.after;
    if (!paths) {
      result.canopy = { ...former.canopy, voxels: result.canopy.voxels };
      result.air = former.air;
    }
    result.droplets = flown;
    live.after = named(page.openResult(result, paths ? null : former.paths), 'after');
    show();
  };

  let due = 0;
  const fly = async () => {
    try {
      live.stage = 'air';
      live.trouble = '';
      page.emit('live');
      await ready();
      const flying = crew.fly(live.scenario(), ({ text, paths, done, ...how }) => {
        live.told = how;
        live.stage = done ? 'done' : 'flying';
        if (text) take(text, paths, how.flown);
        page.emit('live');
      });
      if (crew.members.length < coreCount()) crew.grow(coreCount()); /* they take part from the next change on */
      const ended = await flying;
      if (!ended) return;
      live.workers = crew.members.length;
      live.memory = await crew.memory();
      page.emit('live');
    } catch (error) {
      live.stage = 'failed';
      live.trouble = error.message;
      page.emit('live');
    }
  };
  const changed = () => {
    clearTimeout(due);
    crew?.stop();
    const none = Object.keys(live.changes).length === 0;
    history.replaceState(null, '', none ? location.pathname + location.search : `#${live.fragment()}`);
    if (none) {
      live.after = null;
      live.stage = 'idle';
      show();
      page.emit('live');
      return;
    }
    live.stage = 'air';
    page.emit('live');
    due = setTimeout(fly, PAUSE_MS);
  };
  live.fragment = () => settings.fragment(live.changes, live.index);
  live.link = () => `${location.href.split('#')[0]}#${live.fragment()}`;

  /** Sets one thing; undefined: as it was. A slider on its way makes one step of all. */
  let last = { name: '', at: 0 };
  live.set = (name, value) => {
    const now = performance.now();
    if (last.name !== name || now - last.at > 1500) live.past.push(live.changes);
    last = { name, at: now };
    const { [name]: _, ...others } = live.changes;
    const empty = value === undefined || (Array.isArray(value) && value.length === 0);
    live.changes = empty ? others : { ...others, [name]: value };
    changed();
  };
  live.undo = () => {
    if (live.past.length === 0) return;
    live.changes = live.past.pop();
    last = { name: '', at: 0 };
    changed();
  };
  live.reset = () => {
    if (Object.keys(live.changes).length > 0) live.past.push(live.changes);
    live.changes = {};
    changed();
  };
  /** Another file of the page to try from. */
  live.from = (index) => {
    live.index = index;
    live.changes = {};
    live.past = [];
    before = null;
    live.warmed = false;
    changed();
    live.warm();
  };
  live.restore = (fragment) => {
    const said = live.why() ? null : settings.ofFragment(fragment);
    if (!said) return false;
    live.index = said.index;
    live.past.push(live.changes);
    live.changes = said.changes;
    live.open = true;
    changed();
    return true;
  };
  page.on('language units', () => before && page.emit('live'));
}
