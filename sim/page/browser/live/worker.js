/* sim/page/browser/live/worker.js - one worker of the page, with a simulator of its own (sim/live/exports.c). A message
 * { id, what, with } is answered by { id, value } or { id, error }, in the order that they come. */
{
  let sim = null;
  const bytes = () => new Uint8Array(sim.memory.buffer);
  const text = (from) => {
    const all = bytes();
    let to = from;
    while (all[to] !== 0) to++;
    return new TextDecoder().decode(all.subarray(from, to));
  };
  const check = (code) => {
    if (code !== 0) throw new Error(text(sim.message()));
  };
  /* Puts bytes into the module's memory while work() needs them. */
  const lend = (given, work) => {
    const room = sim.room(given.length);
    if (room === 0) throw new Error('no memory');
    bytes().set(given, room);
    try {
      return work(room);
    } finally {
      sim.end_room(room);
    }
  };

  const tasks = {
    /** Readies the simulator. @param module compiled, or its bytes */
    async begin(module) {
      const made = await WebAssembly.instantiate(module, {});
      sim = (made.instance || made).exports;
    },
    /** Opens a scenario and makes its air. */
    open(tree) {
      lend(tree, (room) => check(sim.open(room, tree.length)));
      return { most: sim.most(), asked: sim.asked(), memory: sim.memory.buffer.byteLength };
    },
    /** The round that flies next, or null: enough has flown. */
    next() {
      const more = sim.next();
      if (more < 0) throw new Error('no memory');
      if (more === 0) return null;
      return { first: sim.round_first(), n: sim.round_n(), weight: sim.round_weight(), perBatch: sim.per_batch() };
    },
    round({ first, n, weight }) {
      check(sim.take_round(first, n, weight));
    },
    fly({ from, to, record }) {
      check(sim.fly(from, to, record ? 1 : 0));
    },
    /** Accounts since the last time, for another worker. */
    give() {
      const n = 8 * sim.numbers(),
        room = sim.room(n);
      if (room === 0) throw new Error('no memory');
      sim.give(room);
      const given = bytes().slice(room, room + n);
      sim.end_room(room);
      return given;
    },
    add(given) {
      lend(given, (room) => sim.add(room));
    },
    look() {
      sim.look();
      return { error: sim.error(), asked: sim.asked() };
    },
    /** The result so far, as text that is JSON. */
    tell({ atEnd, paths }) {
      check(sim.tell(atEnd ? 1 : 0, paths ? 1 : 0));
      const from = sim.told();
      return new TextDecoder().decode(bytes().subarray(from, from + sim.n_told()));
    },
    memory() {
      return sim.memory.buffer.byteLength;
    },
  };

  self.onmessage = async ({ data }) => {
    try {
      const value = await tasks[data.what](data.with);
      self.postMessage({ id: data.id, value }, value instanceof Uint8Array ? [value.buffer] : []);
    } catch (error) {
      const words = sim && error instanceof WebAssembly.RuntimeError ? text(sim.complaint()) : '';
      self.postMessage({ id: data.id, error: words || String(error.message || error) });
    }
  };
}
