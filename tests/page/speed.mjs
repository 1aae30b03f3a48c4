/* tests/page/speed.mjs - what a page takes: until it stands, for a picture of its scenes, and for the first answer to a
 * change of a setting. scripts/page-speed calls it; nothing here is a check.
 *     node speed.mjs FOLDER CHROMIUM      FOLDER holds one.html and two.html */
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { crewOf, dataOf, scripts } from './node_crew.mjs';

const [folder, chromium] = process.argv.slice(2),
  require = createRequire(join(process.cwd(), 'package.json')),
  { chromium: driver } = require('playwright-core');
const median = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
const ms = (v) => `${v.toFixed(0)} ms`;

/* ---- in the browser ---- */
const browser = await driver.launch({
  executablePath: chromium,
  args: ['--no-sandbox', '--disable-gpu', '--enable-unsafe-swiftshader'],
});
const system = await browser.newBrowserCDPSession();
const processes = async () =>
  (await system.send('SystemInfo.getProcessInfo')).processInfo.reduce(
    (all, p) => ({ ...all, [p.type]: (all[p.type] || 0) + 1000 * p.cpuTime }),
    {},
  );
const WORK = ['TaskDuration', 'ScriptDuration', 'LayoutDuration', 'RecalcStyleDuration'];
const metricsOf = async (page) => {
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable');
  return async () => {
    const { metrics } = await session.send('Performance.getMetrics'),
      of = Object.fromEntries(metrics.map((m) => [m.name, 1000 * m.value]));
    return { ...Object.fromEntries(WORK.map((name) => [name, of[name]])), ...(await processes()) };
  };
};
const openPage = async (name) => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 720 } }),
    page = await context.newPage(),
    began = await processes();
  await page.goto(`file://${join(folder, name)}`);
  await page.waitForFunction(() => document.documentElement.dataset.openedMs !== undefined);
  const ended = await processes(),
    paint = await page.evaluate(() => [
      performance.getEntriesByName('first-contentful-paint')[0].startTime,
      Number(document.documentElement.dataset.openedMs),
    ]);
  return { page, context, paint, cpu: ended.renderer - (began.renderer || 0) };
};
for (const name of ['one.html', 'two.html']) {
  const opened = [];
  for (let i = 0; i < 7; i++) {
    const { context, paint, cpu } = await openPage(name);
    opened.push([...paint, cpu]);
    await context.close();
  }
  const [first, whole] = [0, 1].map((k) => median(opened.map((o) => o[k])));
  console.log(`${name}: first paint after ${ms(first)}, whole after ${ms(whole)} (medians of ${opened.length})`);
}
for (const name of ['one.html', 'two.html']) {
  const { page, context } = await openPage(name);
  await page.waitForTimeout(8000); /* the simulator has warmed up */
  const look = await metricsOf(page);
  await page.locator('canvas.stage').last().scrollIntoViewIfNeeded();
  await page.evaluate(() => {
    page.flight.set(0);
    page.flight.play(true);
  });
  const before = await look(),
    [n, took] = await page.evaluate(
      () =>
        new Promise((done) => {
          let frames = 0;
          const began = performance.now();
          page.on('frame', () => {
            frames++;
            if (page.flight.t > 4) done([frames, performance.now() - began]);
          });
        }),
    ),
    after = await look();
  const each = Object.keys(after).map((key) => `${key} ${((after[key] - (before[key] || 0)) / n).toFixed(1)}`);
  console.log(`${name}: ${((1000 * n) / took).toFixed(1)} pictures a second; ms of each: ${each.join(', ')}`);
  await context.close();
}
await browser.close();

/* ---- the simulator, in node: processor time of one worker until the first answer ---- */
const html = join(folder, 'one.html'),
  page = scripts(dataOf(html)),
  crew = await crewOf(page, html, 1),
  lead = crew.members[0];
const used = () => Object.values(process.cpuUsage()).reduce((a, b) => a + b) / 1000;
const answer = async (changes) => {
  const root = page.settingsOf.toFly(page.files[0], changes),
    times = [used()];
  await lead.ask('open', page.tree.bytes(root));
  times.push(used());
  const round = await lead.ask('next');
  await lead.ask('fly', { from: 0, to: 32 * round.perBatch, record: true });
  times.push(used());
  await lead.ask('look');
  await lead.ask('tell', { atEnd: false, paths: true });
  times.push(used());
  return times.slice(1).map((t, i) => t - times[i]);
};
await answer({});
const all = [];
for (const [what, list, wanted] of [
  ['fan, pressure, travel, air', [{ fan: 500 }, { pressure: 9 }, { travel: 8 }, { temperature: 25 }, { humidity: 40 }]],
  ['wind, leaves', [{ wind: 2.5 }, { wind: 3.5 }, { wind: 2 }, { leaf: 1.5 }, { leaf: 1.2 }]],
  ['wind, leaves, foreseen', [{ wind: 4 }, { wind: 1.5 }, { leaf: 1 }, { leaf: 0.5 }], true],
]) {
  const parts = [];
  for (const changes of list) {
    if (wanted) await crew.foresee([page.settingsOf.toFly(page.files[0], changes)]);
    parts.push(await answer(changes));
  }
  const sums = parts.map((p) => p.reduce((a, b) => a + b));
  all.push(...(wanted ? [] : sums));
  const [air, flight, telling] = [0, 1, 2].map((k) => ms(median(parts.map((p) => p[k]))));
  console.log(`${what}: ${ms(median(sums))} to the first answer (air ${air}, droplets ${flight}, result ${telling})`);
}
console.log(`all that is not foreseen: median ${ms(median(all))}`);
process.exit(0);
