/* tests/page/live.mjs - other settings are tried on pages in Debian's Chromium, as a reader would.
 *     node live.mjs FOLDER CHROMIUM
 * The folder holds one.html, two.html (two results), canopy.html (a measured canopy), left-out.html (without the
 * simulator) and changed.html (its file does not tell all that its run was set to). */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { SLOW, accessible, browse, press, quiet } from './browser.mjs';
import { check, close, must } from './checks.mjs';
import { dataOf } from './node_crew.mjs';

const [folder, chromium] = process.argv.slice(2);
const browser = await browse(folder, chromium),
  open = (name, how) => browser.open(name, { calm: true, ...how });

const done = (page) =>
  page.waitForFunction(() => page.live.stage === 'done' || page.live.stage === 'failed', null, SLOW);
const state = (page) =>
  page.evaluate(() => {
    page.freshen();
    return {
      cards: [...document.querySelectorAll('.glance-card')].map((card) => card.querySelector('.sentence').textContent),
      names: page.results().map((r) => r.name),
      drops: document.querySelectorAll('.glance-card .drop').length,
      scenes: document.querySelectorAll('#watch canvas').length,
      stage: page.live.stage,
      status: document.querySelector('.live-status')?.textContent,
    };
  });

{
  const { page, seen, context } = await open('one.html');
  const first = await state(page);
  await check('a control is moved by key: the new setting flies, the former stays beside it', async () => {
    await press(page, 'live-head', 'Enter');
    await page.evaluate(() => {
      window.errors = [];
      page.on('results refined', () => {
        const after = page.results()[1];
        if (after) window.errors.push(page.groupsOf(after)[0].error);
      });
    });
    await press(page, 'live-fan', 'ArrowLeft', 'ArrowLeft', 'ArrowLeft', 'ArrowLeft');
    await done(page);
    const after = await state(page);
    must(after.stage === 'done', after.status);
    must(after.cards.length === 2 && after.cards[0] === first.cards[0], 'the former result has changed');
    must(after.cards[1] !== first.cards[0], 'the new result is that of the file');
    must(after.drops === 200 && after.scenes === 2, `${after.drops} drops, ${after.scenes} scenes`);
    must(/^Before: /.test(after.names[0]) && /Fan speed: 500\srpm/.test(after.names[1]), after.names.join(' | '));
    const errors = await page.evaluate(() => window.errors);
    must(errors.length >= 2 && errors.at(-1) < errors[0], `errors ${errors}`);
    must(/Done: .* droplets/.test(after.status), after.status);
    quiet(seen);
    return `${errors.length} states`;
  });
  await check('the panel says which air, how much memory, and how well it is known', async () => {
    await page.waitForFunction(() => page.live.memory > 0, null, SLOW);
    const text = await page.textContent('#live');
    must(/same air model: the wind (computed|by assumed)/.test(text), text);
    must(/memory: \d+\sMB/.test(text), text);
  });
  await check('a scenario file of the setting runs in the program and has the numbers of the page', async () => {
    const [download] = await Promise.all([page.waitForEvent('download'), press(page, 'live-save', 'Enter')]);
    const file = join(folder, 'saved.yaml');
    await download.saveAs(file);
    const program = process.env.DRUPELET_PROGRAM;
    execFileSync(program, ['run', file, '--output', join(folder, 'saved.h5'), '--force', '--quiet'], { stdio: 'pipe' });
    execFileSync(program, ['report', join(folder, 'saved.h5'), '--output', join(folder, 'saved.html'), '--force'], {
      stdio: 'pipe',
    });
    const native = dataOf(join(folder, 'saved.html')).results[0],
      live = await page.evaluate(() => page.results()[1].quantities);
    for (const name of ['fates', 'ground', 'airborne', 'canopy'])
      must(JSON.stringify(native.quantities[name]) === JSON.stringify(live[name]), `${name} differs`);
    return `${native.droplets} droplets`;
  });
  await check('steps are undone one by one, and all at once', async () => {
    await press(page, 'live-wind', 'ArrowRight');
    await page.waitForTimeout(1700); /* another step, not the same one */
    await press(page, 'live-wind', 'ArrowRight');
    must((await page.evaluate(() => Object.keys(page.live.changes).join())) === 'fan,wind', 'two changes');
    await press(page, 'live-undo', 'Enter', 'Enter');
    must((await page.evaluate(() => JSON.stringify(page.live.changes))) === '{"fan":500}', 'not undone');
    await press(page, 'live-reset', 'Enter');
    const back = await state(page);
    must(back.cards.length === 1 && back.cards[0] === first.cards[0], 'the page is not as it was');
    must(!(await page.url()).includes('#'), 'the link still has the setting');
  });
  await check('who is at the slider of the wind has the winds of the next steps solved for', async () => {
    await page.focus('[data-key="live-wind"]');
    must(
      JSON.stringify(await page.evaluate(() => page.live.foreseen)) === '{"name":"wind","values":[3.25,2.75]}',
      'not',
    );
    await page.focus('[data-key="live-fan"]');
    must((await page.evaluate(() => page.live.foreseen.name)) === 'wind', 'no wind depends on the fan');
    await press(page, 'live-wind', 'ArrowLeft');
    /* A step that the page has taken is flown before the next winds are asked for. */
    await page.waitForFunction(() => page.live.foreseen.values.join() === '2.5,3', null, SLOW);
    await done(page);
    must((await page.evaluate(() => page.live.stage)) === 'done', 'not flown');
    await press(page, 'live-reset', 'Enter');
    quiet(seen);
  });
  await check('tips, nozzles, weather and leaves can be set; what cannot be is told', async () => {
    await page.evaluate(() => {
      document.querySelector('.live-nozzles').open = true;
    });
    await page.selectOption('[data-key="live-tip"]', 'air_induction_hollow_cone 02');
    await press(page, 'live-nozzle-6L', 'Space');
    await press(page, 'live-leaf', 'ArrowLeft');
    await press(page, 'live-temperature', 'ArrowRight');
    await press(page, 'live-humidity', 'ArrowLeft');
    await press(page, 'live-pressure', 'ArrowRight');
    await press(page, 'live-travel', 'ArrowRight');
    await done(page);
    const names = (await state(page)).names[1];
    for (const word of [
      'air-induction hollow cone, size 02',
      '1 nozzle shut',
      'leaf area index',
      'Humidity',
      'Travel speed',
    ])
      must(names.includes(word), `${word}: ${names}`);
    const tip = await page.evaluate(() => page.results()[1].sprays[0].tip);
    must(tip === 'air_induction_hollow_cone 02', tip);
    for (let i = 0; i < 7; i++)
      for (const side of ['L', 'R']) if (`${i}${side}` !== '6L') await press(page, `live-nozzle-${i}${side}`, 'Space');
    await done(page);
    const said = await state(page);
    must(said.stage === 'failed' && /cannot be simulated: .*nozzle/.test(said.status), said.status);
    await press(page, 'live-reset', 'Enter');
    quiet(seen);
  });
  await context.close();
}

{
  const { page, seen, context } = await open('one.html', {
    fragment: '#try:fan=430&pressure=9&tip=hollow_cone+015&shut=0L.99R&wind=1e9&humidity=%3Cimg%3E',
    locale: 'es-MX',
  });
  await check('a link opens the page with its settings; what it has no right to is left out; Spanish', async () => {
    await done(page);
    const changes = await page.evaluate(() => JSON.stringify(page.live.changes));
    must(changes === '{"fan":430,"pressure":9,"tip":"hollow_cone 015","shut":["0L"]}', changes);
    const text = await page.textContent('#live');
    for (const word of [
      'Velocidad del ventilador',
      'cono hueco, tamaño 015',
      'Listo',
      'Deshacer',
      'Guardar como escenario',
    ])
      must(text.includes(word), `${word}: ${text}`);
    must(!/\b(the|Fan|Undo|droplets)\b/.test(text), `English: ${text}`);
    quiet(seen);
  });
  for (const [scheme, width, height] of [
    ['light', 1280, 720],
    ['dark', 390, 844],
  ])
    await check(`axe-core finds nothing beside the panel (${scheme}, ${width} by ${height})`, async () => {
      await page.emulateMedia({ colorScheme: scheme });
      await page.setViewportSize({ width, height });
      await page.evaluate(() => page.freshen());
      await page.waitForTimeout(400);
      await accessible(page);
    });
  await check('units of the US move in steps of their own', async () => {
    await page.evaluate(() => page.set('units', 'us'));
    await press(page, 'live-pressure', 'ArrowRight');
    const text = await page.getAttribute('[data-key="live-pressure"]', 'aria-valuetext'),
      bar = await page.evaluate(() => page.live.changes.pressure);
    must(/psi/.test(text) && Math.abs(((bar * 14.503773773 + 2.5) % 5) - 2.5) < 0.01, `${text}, ${bar} bar`);
    await page.evaluate(() => page.live.reset());
  });
  await context.close();
}

{
  const { page, seen, context } = await open('two.html');
  await check('of two results either can be tried from', async () => {
    const before = await state(page);
    await press(page, 'live-head', 'Enter');
    await page.selectOption('[data-key="live-from"]', '1');
    await press(page, 'live-fan', 'ArrowLeft');
    await done(page);
    const after = await state(page);
    must(after.cards[0] === before.cards[1] && after.names.length === 2, 'it was not tried from the second');
    must(/result=1/.test(page.url()), page.url());
    await press(page, 'live-reset', 'Enter');
    must(JSON.stringify((await state(page)).cards) === JSON.stringify(before.cards), 'the page is not as it was');
    quiet(seen);
  });
  await context.close();
}

for (const [name, why] of [
  ['left-out.html', 'was made without its simulator'],
  ['canopy.html', 'comes from a file of its own'],
  ['resolved.html', 'solved for in three dimensions'],
  ['changed.html', 'does not hold all that its run was set to'],
])
  await check(`${name} says why nothing can be tried`, async () => {
    const { page, seen, context } = await open(name);
    must((await page.textContent('.live-why')).includes(why), await page.textContent('.live-why'));
    must((await page.$('[data-key="live-head"]')) === null, 'there is a button');
    quiet(seen);
    await context.close();
  });
for (const [what, before, why] of [
  ['WebAssembly', 'delete window.WebAssembly', 'has no WebAssembly'],
  [
    'SIMD',
    'WebAssembly.compile = async () => { throw new WebAssembly.CompileError("no SIMD"); }',
    'has no WebAssembly',
  ],
  [
    'memory',
    `window.Worker = class {
      postMessage() {
        setTimeout(() => this.onerror({ message: 'out of memory' }));
      }
      terminate() {}
    }`,
    'not enough memory',
  ],
])
  await check(`without ${what} the page stays as it was and says so`, async () => {
    const { page, seen, context } = await open('one.html', { before });
    await page.waitForSelector('.live-why', SLOW);
    must((await page.textContent('.live-why')).includes(why), await page.textContent('.live-why'));
    const is = await state(page);
    must(is.cards.length === 1 && is.drops === 100 && is.scenes === 1, JSON.stringify(is));
    quiet(seen);
    await context.close();
  });

process.exit(close());
