/* sim/page/browser/live/crew.js - workers with a simulator each, who fly the droplets of one scenario together.
 *
 * The first, the lead, keeps the accounts: it flies the first round alone, whose paths are recorded, asks after every
 * round whether enough is known, and tells the result. Of later rounds whole batches are dealt out, each of them a
 * sample of the whole spray, and what the others have booked comes to the lead now and then. Sums of whole numbers do
 * not care who flew what, so neither numbers nor rounds depend on how many workers there are. */
{
  const RANGE_MS = 60 /* a worker flies about so long, then looks whether the scenario is still wanted; choice */,
    TELL_MS = 400; /* at least so long passes from one telling to the next; choice */

  class Member {
    constructor(worker) {
      this.worker = worker;
      this.waiting = new Map();
      this.n = 0;
      worker.onmessage = ({ data: { id, value, error } }) => {
        const { good, bad } = this.waiting.get(id);
        this.waiting.delete(id);
        if (error === undefined) good(value);
        else bad(new Error(error));
      };
      /* A script that cannot be read, or memory that ran out: nothing will be answered. */
      worker.onerror = (event) => {
        event.preventDefault?.();
        this.fail(event.message || 'the worker stopped');
      };
    }

    fail(words) {
      for (const { bad } of this.waiting.values()) bad(new Error(words));
      this.waiting.clear();
    }

    ask(what, given, transfer = []) {
      const id = ++this.n;
      return new Promise((good, bad) => {
        this.waiting.set(id, { good, bad });
        this.worker.postMessage({ id, what, with: given }, transfer);
      });
    }
  }

  page.Crew = class {
    /** @param makeWorker starts the script of a worker  @param module compiled WebAssembly, or its bytes */
    constructor(makeWorker, module) {
      this.makeWorker = makeWorker;
      this.module = module;
      this.members = [];
      this.turn = 0;
      this.flying = 0;
      this.msPerDroplet = 0.2; /* until one has flown */
    }

    /** Has so many workers; those that cannot start, for want of memory, are left out, but for the lead. */
    async grow(n) {
      if (this.growing) return;
      this.growing = true;
      try {
        await this.start(n);
      } finally {
        this.growing = false;
      }
    }

    async start(n) {
      while (this.members.length < n) {
        const member = new Member(this.makeWorker());
        this.members.push(member);
        try {
          await member.ask('begin', this.module);
        } catch (error) {
          this.members.pop();
          member.worker.terminate();
          if (this.members.length === 0) throw error;
          return;
        }
      }
    }

    /** Stops what flies: within the range in hand. */
    stop() {
      this.turn++;
    }

    /** Flies a scenario until its own stopping rule is content, or another is asked for. @param tell called with {
     *  text, paths, done, flown, most, error, asked }: the result as JSON, with paths the first time, and how far it
     *  is; undefined `text`: the air is made and droplets begin to fly @return true, or false where another scenario
     *  came. An error is that of the scenario, or of the machine */
    async fly(tree, tell) {
      this.flying++;
      try {
        return await this.flyAll(tree, tell);
      } finally {
        this.flying--;
      }
    }

    /** Opens scenarios that may be asked for next, while nothing flies, and forgets them but for their winds, which the
     *  lead keeps: solving for one takes longer than all else until the first answer. Ends when something flies. */
    async foresee(trees) {
      const turn = this.turn;
      for (const tree of trees) {
        if (this.flying > 0 || turn !== this.turn) return;
        await this.members[0].ask('open', page.tree.bytes(tree)).catch(() => {}); /* told when it is asked for */
      }
    }

    async flyAll(tree, tell) {
      const turn = ++this.turn,
        wanted = () => turn === this.turn,
        bytes = page.tree.bytes(tree),
        [lead, ...others] = this.members,
        opening = lead.ask('open', bytes);
      /* They make their air while the lead flies the first round. One that fails takes no part. */
      const ready = others.map((member) =>
        member.ask('open', bytes).then(
          () => true,
          () => false,
        ),
      );
      const { most, asked } = await opening;
      if (!wanted()) return false;
      tell({ flown: 0, most, asked, error: NaN });
      let round,
        flown = 0,
        error = NaN,
        told = 0;
      const telling = async (atEnd) => {
        const paths = told === 0,
          text = await lead.ask('tell', { atEnd, paths });
        if (!wanted()) return;
        tell({ text, paths, done: atEnd, flown, most, error, asked });
        told = performance.now();
      };
      while ((round = await lead.ask('next')) && wanted()) {
        const first = round.first === 0,
          members = first ? [lead] : [lead, ...others],
          jobs = Array.from({ length: 32 }, (_, batch) => batch * round.perBatch);
        const work = async (member) => {
          if (member !== lead) {
            if (!(await ready[others.indexOf(member)])) return;
            await member.ask('round', round);
          }
          let owed = false,
            gave = performance.now();
          const give = async () => {
            const given = await member.ask('give');
            await lead.ask('add', given, [given.buffer]);
            owed = false;
            gave = performance.now();
          };
          while (jobs.length > 0 && wanted()) {
            const from = jobs.shift();
            await this.flyRange(member, from, from + round.perBatch, first, wanted);
            flown += round.perBatch;
            owed = member !== lead;
            const now = performance.now();
            if (owed && now - gave > TELL_MS) await give();
            if (member === lead && told > 0 && now - told > TELL_MS && jobs.length > 0 && wanted())
              await telling(false);
          }
          if (owed && wanted()) await give();
        };
        await Promise.all(members.map(work));
        if (!wanted()) return false;
        error = (await lead.ask('look')).error;
        if (told === 0) await telling(false);
      }
      if (!wanted()) return false;
      await telling(true);
      return wanted();
    }

    /* In pieces, so that a change does not wait long. Only whole batches count, but nobody asks between. */
    async flyRange(member, from, to, record, wanted) {
      for (let at = from; at < to && wanted();) {
        const next = Math.min(to, at + Math.max(16, Math.round(RANGE_MS / this.msPerDroplet))),
          began = performance.now();
        await member.ask('fly', { from: at, to: next, record });
        this.msPerDroplet = 0.7 * this.msPerDroplet + (0.3 * (performance.now() - began)) / (next - at);
        at = next;
      }
    }

    /** Bytes that all simulators have taken. */
    async memory() {
      return page.sum(await Promise.all(this.members.map((member) => member.ask('memory'))));
    }
  };
}
