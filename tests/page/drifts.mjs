/* tests/page/drifts.mjs - the two drifts of a page beside what the program itself says of the same run; warnings; what
 * is said of the fan; bouncing and shattering on leaves against size and fan speed.
 *     await drifts({ each, folder })   as browser.mjs has them */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { press, words } from './browser.mjs';
import { check, must, near } from './checks.mjs';

const pair = (text) => text.replaceAll(',', '').replaceAll('\u2212', '-').split('±').map(parseFloat);

/* Half of the last digit of a number as it is written. */
const last = (text) => 0.5 * 10 ** -(/\.(\d+)/.exec(text)?.[1].length ?? 0);

export const drifts = async ({ each, folder }) => {
  const summary = JSON.parse(readFileSync(join(folder, 'fine.json'), 'utf8'));
  const table = (page, key) =>
    page.$$eval(`[data-figure="${key}"] tbody tr`, (rows) => rows.map((r) => [...r.cells].map((c) => c.textContent)));
  const as_said = (cell, { amount, standard_error: error }, what) => {
    const [v, e] = pair(cell);
    near(v, amount, 0.06 * error + 0.0006 + last(cell), what);
    if (Number.isFinite(e)) near(e, error, 0.06 * error + 0.0006 + last(cell), `error of ${what}`);
  };

  await check('the headline tells the ground curve and what passes in the air, and never their sum', () =>
    each(['one.html'], async (page) => {
      const glance = await page.textContent('#glance'),
        ground = summary.ground_percent_of_rate,
        air = summary.airborne_percent_of_output;
      for (const key of ['drift-A', 'two-drifts']) {
        const rows = await table(page, key);
        must(rows.map((r) => r[0]).join() === '1,3,5,10,15,20,30,50', `distances ${rows.map((r) => r[0])}`);
        for (const [m, on_ground, in_air, ...bands] of rows) {
          as_said(on_ground, ground[`ground_${m}_m`], `ground at ${m} m`);
          if (in_air === '') {
            must(air[`airborne_${m}_m`] === undefined && bands.every((b) => b === ''), `no airborne at ${m} m`);
            continue;
          }
          as_said(in_air, air[`airborne_${m}_m`], `airborne at ${m} m`);
          const own = summary.airborne_by_height_percent_of_output.filter((b) => b.distance_m === Number(m));
          must(own.length === 4 && bands.length === 4, `${own.length} and ${bands.length} bands`);
          own.forEach((b, i) =>
            near(pair(bands[i])[0], b.passes.amount, 0.001 + last(bands[i]), `${m} m, from ${b.from_m} m high`),
          );
        }
      }
      const sentence = await page.textContent('.drift-sentence');
      must(
        /^At 5.m downwind, [\d.]+( ± [\d.]+)?.% of the application rate lies on the ground/.test(
          sentence.replaceAll('\u00a0', ' '),
        ),
        sentence,
      );
      must(!/\bsum\b/i.test(glance) && !glance.includes('beyond'), 'a sum at a glance');
      const sum = await page.textContent('[data-figure="drift-sum"]');
      must(/The sum of both drifts/.test(sum) && /decide by the two above/.test(sum), sum);
      must((await page.locator('[data-figure="drift-sum"] .picture').count()) === 0, 'a picture of the sum');
    }),
  );

  await check('what left above, upwind, or is still aloft is told beside drift', () =>
    each(['one.html', 'mixed.html'], async (page, name) => {
      const said = await page.$$eval('[data-stray]', (all) => all.map((p) => p.textContent.replaceAll('\u00a0', ' '))),
        fates = await page.evaluate(() =>
          page
            .results()
            .map((r) =>
              ['air_above', 'air_upwind', 'ground_upwind', 'aloft'].map(
                (f) => 100 * page.at(r, 'fates/active_ingredient', { fate: f })[0],
              ),
            ),
        );
      must(said.length === fates.length, `${name}: ${said.length} of ${fates.length}`);
      said.forEach((text, i) => {
        const [above, upwind, ground, aloft] =
          /: (.*?) left through the top, (.*?) left upwind in the air, (.*?) fell upwind, and (.*?) were still aloft/
            .exec(text)
            .slice(1, 5)
            .map((s) => (s.startsWith('<') ? 0 : parseFloat(s)));
        [above, upwind, ground, aloft].forEach((v, k) =>
          near(v, fates[i][k], 0.005 + 0.01 * fates[i][k], `${name} ${k}`),
        );
      });
    }),
  );

  await check('warnings of the result stand under its sentence, in both languages and units', () =>
    each(['inversion.html'], async (page) => {
      const said = () =>
        page.$$eval('.glance-card .warnings li', (all) => all.map((l) => [l.dataset.warning, l.textContent]));
      const metric = await said(),
        names = metric.map(([n]) => n);
      must(names.includes('calm') && names.includes('inversion'), `warnings ${names}`);
      const file = await page.evaluate(() => page.result().warnings.map((w) => w.text));
      must(metric.map(([, t]) => t).join() === file.join(), 'not the words of the program');
      await press(page, 'units-us');
      const us = Object.fromEntries(await said());
      must(/\d.mph; common practice/.test(us.calm) && !/m\/s/.test(us.calm), us.calm);
      await press(page, 'language-es');
      const es = Object.fromEntries(await said());
      must(/^Calma: .*\d.mph/.test(es.calm) && /^Inversión/.test(es.inversion), es.calm);
    }),
  );
  await check('a result that has nothing to warn of shows no warning', () =>
    each(['one.html'], async (page) => must((await page.locator('.warnings').count()) === 0, 'a warning')),
  );

  await check(
    'where the fan differs, the page says what that means for both drifts, as drupelet tradeoff does',
    async () => {
      await each(['sweep.html'], async (page) => {
        const note = await page.textContent('#sweep [data-fan-note]'),
          said = JSON.parse(readFileSync(join(folder, 'sweep.json'), 'utf8')).fan;
        const bias = /Beside field trials the model is biased against less air.*$/.exec(said.note)[0];
        must(note.endsWith(bias) && note.startsWith('Fan speed sets the fan'), note);
        must(!/ground_5_m|airborne_\d|air_downwind/.test(note), note);
        await press(page, 'language-es');
        must(/^Con «fan speed».*sesgo/.test(await page.textContent('#sweep [data-fan-note]')), 'not in Spanish');
      });
      await each(['two.html', 'fans.html'], async (page, name) => {
        const note = await page.textContent('#versus [data-fan-note]');
        must(/^The fan's air differs.*look at both.*biased against less air/.test(note), `${name}: ${note}`);
      });
      await each(['same.html'], async (page) =>
        must((await page.locator('[data-fan-note]').count()) === 0, 'a note where the fan is the same'),
      );
    },
  );

  await check('a sweep with calm cases says that their drift lacks what is aloft', () =>
    each(['calm.html'], async (page) => {
      const [n, all] = await page.evaluate(() => [page.data.sweep.aloft.length, page.data.sweep.point.length]);
      must(n > 0 && n < all, `${n} of ${all} points`);
      must((await page.textContent('[data-aloft]')).startsWith(`At ${n} of these settings`), 'not at a glance');
      const calm = await page.evaluate(() => page.data.sweep.aloft.map((i) => page.data.sweep.point[i])),
        front = (await table(page, 'trade-off')).map((r) => Number(r[0]));
      must(front.length > 0 && !front.some((p) => calm.includes(p)), `front ${front}, calm ${calm}`);
      const said = (await page.textContent('[data-left-out]')).replaceAll('\u00a0', ' ');
      must(/hollow in the picture.*points 1 \([\d.]+ ± [\d.]+ L\)/.test(said), said);
      must((await page.locator('[data-figure="trade-off"] .dot.hollow').count()) === n, 'not hollow');
      await page.locator('[data-key="limit"]').fill('200');
      const best = await page.textContent('[data-best]');
      must(!calm.some((p) => best.includes(`point ${p} `)), best);
    }),
  );

  await check('points of the front that noise does not tell apart share a letter', () =>
    each(['drawn.html'], async (page) => {
      const rows = await table(page, 'trade-off'),
        numbers = rows.map((r) => [pair(r.at(-4)), pair(r.at(-3)), r.at(-1)]); /* gain, loss, letter */
      const alike = (a, b) =>
        [0, 1].every((k) => Math.abs(a[k][0] - b[k][0]) <= 2 * Math.hypot(a[k][1] || 0, b[k][1] || 0) + 1e-3);
      let groups = 0;
      numbers.forEach((a, i) =>
        numbers.slice(i + 1).forEach((b) => {
          if (a[2] === '' || a[2] !== b[2]) return;
          must(alike(a, b), `rows with letter ${a[2]} differ`);
          groups++;
        }),
      );
      numbers.slice(1).forEach((b, i) => {
        if (numbers[i][2] === '' && b[2] === '') must(!alike(numbers[i], b), `rows ${i} and ${i + 1} are equal`);
      });
      must(groups > 0, 'no two points are equal in a sweep of few droplets');
      must(/Points with one letter are equal/.test(await page.textContent('[data-figure="trade-off"]')), 'no words');
    }),
  );

  await check('larger droplets stick less to leaves, and less in more air, as the lead says', async () => {
    await each(['one.html', 'two.html', 'four.html'], async (page, name) => {
      must(/Large ones.*fewer of their hits on a leaf stick/.test(await page.textContent('#why .lead')), 'the lead');
      const shares = await page.evaluate(() =>
        page.results().map((r) => {
          /* of the impacts on leaves by size: from the data, not by way of the plate */
          const bins = r.quantities.fates.emitted.v
            .map((e, size) => [
              e,
              1 - page.at(r, 'fates/outcome_by_size', { target: 'leaf', size, outcome: 'adhered' })[0],
            ])
            .filter(([e, l]) => e > 0.01 && l !== 1);
          const mean = (list) => list.reduce((s, [e, l]) => s + e * l, 0) / list.reduce((s, [e]) => s + e, 0);
          const half = Math.floor(bins.length / 2);
          const [adhered, error] = page.at(r, 'fates/outcome_share', { target: 'leaf', outcome: 'adhered' });
          return [mean(bins.slice(0, half)), mean(bins.slice(-half)), 1 - adhered, error];
        }),
      );
      for (const [small, large, all, error] of shares) {
        must(large > small + 0.05, `${name}: ${small} of the small and ${large} of the large do not stick`);
        must(small < all + 3 * error && all < large + 3 * error, `${name}: ${all} of all is not between them`);
      }
    });
    await each(['fans.html'], async (page) => {
      const rows = await table(page, 'loose-by-fan');
      must(rows.map((r) => r[1]).join() === '300,420,540', `fan speeds ${rows.map((r) => r[1])}`);
      const loose = rows.map((r) => [100 - pair(r[2])[0], pair(r[2])[1]]);
      for (const i of [1, 2])
        must(
          loose[i][0] > loose[i - 1][0] + 3 * Math.hypot(loose[i][1], loose[i - 1][1]),
          `not more: ${loose.map(([v]) => v)}`,
        );
      for (const row of rows)
        near(pair(row[2])[0] + pair(row[3])[0] + pair(row[4])[0], 100, 0.2, 'all impacts together');
    });
  });
};
