/* tests/page/digits.mjs - the page's simulator has the digits of the program: in node and in Debian's Chromium, with
 * one to four workers.
 *     node digits.mjs write FOLDER SCENARIO...      each a page each; writes SCENARIO.yaml, its settings changed
 *     node digits.mjs compare FOLDER CHROMIUM SCENARIO...   also SCENARIO-native.html, of a run of SCENARIO.yaml */
import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { check, close, must } from './checks.mjs';
import { crewOf, dataOf, scripts } from './node_crew.mjs';

const [task, folder, ...rest] = process.argv.slice(2);

/* Settings as a reader changes them, and a run that ends after some rounds. */
const CHANGES = { fan: 430, tip: 'air_induction_hollow_cone 015', temperature: 27, shut: ['0L'] };
const changedTree = (page) => {
  const root = page.settingsOf.apply(page.files[0].live.tree, CHANGES);
  page.tree.put(root, ['run', 'target_error'], '3 %');
  page.tree.put(root, ['run', 'target'], 'airborne_5_m');
  page.tree.put(root, ['run', 'droplets'], '6000');
  return root;
};

if (task === 'write') {
  for (const name of rest) {
    const page = scripts(dataOf(join(folder, `${name}.html`)));
    writeFileSync(join(folder, `${name}.yaml`), page.tree.yaml(changedTree(page), ['settings\nof a test']));
  }
} else {
  const [chromium, ...names] = rest,
    require = createRequire(join(process.cwd(), 'package.json')),
    { chromium: driver } = require('playwright-core');
  const browser = await driver.launch({ executablePath: chromium, args: ['--no-sandbox', '--disable-gpu'] });
  process.on('exit', () => browser.close());

  /* All that the table of quantities has for pages: fates, curve, sizes and everything else. */
  const same = (text, native) => {
    const found = JSON.parse(text);
    let n = 0;
    for (const [group, quantities] of Object.entries(native.quantities))
      for (const [name, quantity] of Object.entries(quantities)) {
        const a = JSON.stringify(quantity),
          b = JSON.stringify(found.quantities[group][name]);
        must(a === b, `${group}/${name}: the program has ${a.slice(0, 200)}, the page ${b?.slice(0, 200)}`);
        n++;
      }
    must(JSON.stringify(found.canopy.voxels) === JSON.stringify(native.canopy.voxels), 'the deposit by voxel differs');
    must(JSON.stringify(found.warnings) === JSON.stringify(native.warnings), 'the warnings differ');
    must(n > 100, `${n} quantities`);
    return n;
  };

  for (const name of names) {
    const html = join(folder, `${name}.html`),
      native = dataOf(join(folder, `${name}-native.html`)).results[0],
      page = scripts(dataOf(html)),
      root = changedTree(page);
    await check(`${name}: in node one to four workers have the digits of the program`, async () => {
      const crew = await crewOf(page, html, 1);
      let n = 0;
      await crew.foresee([root, page.settingsOf.apply(page.files[0].live.tree, { wind: 2 })]);
      for (let workers = 1; workers <= 4; workers++) {
        await crew.grow(workers); /* those that are there keep their air, each new one makes its own */
        let last = null,
          told = 0;
        const flight = crew.fly(root, (state) => {
          told += state.text !== undefined;
          if (state.text) last = state;
        });
        const asked = crew.members[0].n;
        await crew.foresee([page.settingsOf.apply(page.files[0].live.tree, { wind: 1 })]);
        must(crew.members[0].n === asked, 'what flies is disturbed by what may be asked for next');
        await flight;
        must(crew.members.length === workers, `${crew.members.length} workers`);
        must(last.done && last.flown === native.droplets, `${last.flown} droplets, the program ${native.droplets}`);
        must(told >= 2, 'nothing was told before the end');
        n = same(last.text, native);
      }
      for (const member of crew.members) member.worker.terminate();
      return `${n} quantities, ${native.droplets} droplets`;
    });
    await check(`${name}: in Chromium, too`, async () => {
      const context = await browser.newContext(),
        tab = await context.newPage(),
        complaints = [];
      tab.on('console', (m) => /error|warning/.test(m.type()) && complaints.push(m.text()));
      tab.on('pageerror', (e) => complaints.push(e.message));
      await tab.goto(`file://${html}`);
      for (let workers = 1; workers <= 4; workers++) {
        const text = await tab.evaluate(
          async ([tree, n]) => {
            const crew = (window.crew ||= await page.live.crew(1));
            let last;
            await crew.grow(n);
            await crew.fly(tree, (state) => (last = state));
            return crew.members.length === n ? last.text : '{}';
          },
          [root, workers],
        );
        same(text, native);
      }
      must(complaints.length === 0, complaints.join(' | '));
      await context.close();
    });
  }
}
if (task !== 'write') process.exit(close());
