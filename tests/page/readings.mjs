/* tests/page/readings.mjs - what a reader could read wrong: scales side by side, numbers in another language, zeros
 * that mean "nothing to tell", amounts too small to matter, one quantity told twice.
 *     await readings({ each })   as browser.mjs has it */
import { press, scrollThrough, words } from './browser.mjs';
import { check, must, near, number } from './checks.mjs';

/* All texts, folded ones as well, one a line; versions are no numbers. */
const everything = (page) =>
  page.evaluate(() => {
    const walker = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT),
      lines = [];
    while (walker.nextNode()) lines.push(walker.currentNode.data);
    return lines.join('\n').replaceAll(/drupelet \d+\.\d+\.\d+/g, '');
  });
/* The decimal mark of a number, null if it has none or could have none: 54,232 may be thousands, 1,234 is not, as the
 * page groups from five digits on. */
const markOf = (token) => {
  const marks = token.replaceAll(/\d/g, '');
  if (marks.length > 1) return marks.at(-1) === marks[0] ? null : marks.at(-1);
  const [whole, rest] = token.split(marks);
  return rest.length === 3 && whole.length > 1 ? null : marks;
};
const decimals = (text, mark) => (text.match(/\d[\d.,]*[.,]\d+/g) || []).filter((token) => markOf(token) === mark);

export const readings = async ({ each }) => {
  await check('bars side by side stand on one axis, and its ends are written', () =>
    each(['two.html', 'mixed.html'], async (page, name) => {
      const cards = await page.$$eval('.glance-card', (all) =>
        all.map((card) => ({
          ticks: [...card.querySelectorAll('.share-axis text')].map((t) => t.textContent),
          width: [...card.querySelectorAll('.share:not(.share-axis) .share-bar')].map((bar) => {
            const rect = bar.querySelector('rect');
            return parseFloat(rect.getAttribute('width'));
          }),
        })),
      );
      const values = await page.evaluate(() =>
        page.results().map((r) =>
          page
            .groupsOf(r)
            .filter((g) => g.value > 0 || g.name !== 'aloft')
            .map((g) => g.value),
        ),
      );
      must(new Set(cards.map((c) => c.ticks.join())).size === 1, `${name}: axes differ`);
      const ticks = cards[0].ticks,
        top = Math.max(...ticks.map(Number).filter(Number.isFinite));
      must(ticks[0] === '0' && ticks.at(-1) === 'L of 100 L', `${name}: axis ${ticks}`);
      cards.forEach((card, r) =>
        card.width.forEach((w, g) => near((w / 100) * top, values[r][g], 0.01, `${name}: bar ${g} of result ${r}`)),
      );
    }),
  );

  await check('one scale of colours for the deposits of all results', () =>
    each(['four.html', 'mixed.html'], async (page, name) => {
      await page.locator('#crowns').scrollIntoViewIfNeeded();
      await scrollThrough(page);
      await page.waitForFunction(() => page.voxelViews.some((v) => v.count > 0), null, { timeout: 20000 });
      must((await page.locator('.deposit-scale').count()) === 1, `${name}: not one scale`);
      /* spray per leaf area of every cell, from the bytes of the data block, beside the colour that it has */
      const cells = await page.evaluate(() =>
        page.voxelViews
          .filter((v) => v.count > 0)
          .map((view) => {
            const voxels = JSON.parse(document.getElementById('data').textContent).results[view.result.index].canopy
                .voxels,
              mean = page.at(view.result, 'canopy/deposit_per_leaf_area_all')[0],
              bytes = page.bytesOf(voxels.bytes).filter((b) => b > 0),
              colour = view.mesh.instanceColor.array;
            return [...bytes].map((b, i) => [
              mean * voxels.most * ((b - 1) / 254) ** 2,
              colour[3 * i],
              colour[3 * i + 1],
            ]);
          }),
      );
      must(cells.length >= 2, `${name}: ${cells.length} results with leaves`);
      let pairs = 0;
      for (const [value, red, green] of cells[0].filter((_, i) => i % 40 === 0))
        for (const other of cells.slice(1)) {
          const [v, r, g] = other.reduce((a, b) => (Math.abs(b[0] - value) < Math.abs(a[0] - value) ? b : a));
          if (Math.abs(v - value) > 0.01 * value) continue;
          must(Math.hypot(r - red, g - green) < 0.02, `${name}: ${value} and ${v} uL/cm2 have different colours`);
          pairs++;
        }
      must(pairs > 20, `${name}: only ${pairs} cells alike`);
    }),
  );

  await check('decimals have one mark: a point, but a comma in Spanish with metric units', () =>
    each(['one.html', 'two.html', 'sweep.html', 'drawn.html'], async (page, name) => {
      for (const [language, units, mark] of [
        ['en', 'metric', '.'],
        ['en', 'us', '.'],
        ['es', 'metric', ','],
        ['es', 'us', '.'],
      ]) {
        await press(page, `language-${language}`);
        await press(page, `units-${units}`);
        const text = await everything(page),
          wrong = decimals(text, mark === '.' ? ',' : '.');
        must(wrong.length === 0, `${name}, ${language} ${units}: ${wrong.slice(0, 5).join(' ')}`);
        must(decimals(text, mark).length > 20, `${name}, ${language} ${units}: hardly a number`);
      }
    }),
  );
  await check('a Spanish reader whose country writes a decimal point gets one', () =>
    each(
      ['one.html'],
      async (page) => {
        await press(page, 'language-es');
        const wrong = decimals(await everything(page), ',');
        must(wrong.length === 0, wrong.slice(0, 5).join(' '));
      },
      { own: true, locale: 'es-MX' },
    ),
  );

  await check('the share below 100 um is one number, and says of what', () =>
    each(['one.html', 'four.html'], async (page, name) => {
      const [set, told, bands] = await page.evaluate(() => [
        document.querySelector('.settings').textContent.match(/([\d.]+)\s*% of its volume below 100/)[1],
        document
          .querySelector('[data-figure="litres-by-size"] figcaption')
          .textContent.match(/([\d.]+)\s*% of the volume/)[1],
        [0, 1].map((i) =>
          parseFloat(document.querySelector(`[data-key="band-${i}"]`).parentElement.textContent.match(/: ([\d.]+)/)[1]),
        ),
      ]);
      must(set === told, `${name}: ${set} and ${told} %`);
      near(
        bands[0] + bands[1],
        Number(set),
        1.01,
        `${name}: the bands below 100 um`,
      ); /* each rounded to 1 or 2 digits */
    }),
  );

  await check('amounts too small to matter are said to be less than something', async () => {
    await each(['one.html', 'two.html', 'bare.html', 'mixed.html', 'sweep.html'], async (page, name) => {
      const text = await everything(page),
        small = /(?<![\d.])0\.0000*[1-9]\d*/.exec(text);
      must(!small, `${name}: ${small}`);
    });
    await each(['mixed.html'], async (page) => {
      must((await everything(page)).includes('< 0.001'), 'nothing is less than a thousandth');
      const said = await page.evaluate(() => [
        page.amount('per_100_L', 0.000098, 2),
        page.pm('per_100_L', 0.000098, NaN),
        page.pm('per_100_L', 0.000098, 0.000098),
        page.pm('per_100_L', -0.0002, 0.0014),
        page.pm('per_100_L', 1.5, 0.00001),
        page.pm('per_100_L', 0, 0),
      ]);
      must(
        said.map((s) => s.replaceAll('\u00a0', ' ')).join('; ') ===
          '< 0.001 L; < 0.001 L; < 0.001 L; 0.000 ± 0.001 L; 1.500 ± < 0.001 L; 0 L',
        said.join('; '),
      );
    });
  });

  await check('no leaves: said in words, in place of empty pictures', () =>
    each(['bare.html', 'mixed.html'], async (page, name) => {
      const alone = name === 'bare.html';
      if (!alone) await press(page, 'numbers-result-1');
      const text = await words(page);
      must(text.includes('There are no leaves in this orchard: what lands on the trees lies on wood'), name);
      must(/wide; no leaves/.test(text) && !/leaf area index 0/.test(text), `${name}: leaf area index`);
      must((await page.locator('[data-bare]').count()) === 1, `${name}: no words under Numbers`);
      for (const key of ['height-and-side', 'rows', 'leaf-sides'])
        must((await page.locator(`[data-figure="${key}"]`).count()) === 0, `${name}: ${key}`);
      if (alone) must((await page.locator('#crowns canvas, .deposit-scale').count()) === 0, 'an empty 3-D picture');
      else {
        const cells = await page.$$eval('#compare .differences tbody tr', (rows) =>
          rows
            .filter((r) => /^(On leaves|Cover|Droplets|Deposit)/.test(r.textContent))
            .map((r) => r.cells[2].textContent),
        );
        must(cells.length === 5 && cells.every((c) => c === 'no leaves'), `cells ${cells}`);
      }
    }),
  );

  await check('no wind: zero drift is not told as none', () =>
    each(['bare.html', 'mixed.html'], async (page, name) => {
      const text = await words(page);
      must(/There is no wind: this result does not tell how far spray drifts/.test(text), name);
      must(
        /Still aloft when the flight ends/.test(text) || name === 'bare.html',
        `${name}: no warning of what is aloft`,
      );
      must(!/0 m\/s at/.test(text), `${name}: a direction of no wind`);
      if (name === 'bare.html') {
        must((await page.locator('[data-figure="flux"] .picture').count()) === 0, 'an empty picture of what flies');
        must((await page.locator('.drift-sentence').count()) === 0, 'a sentence of drift without wind');
        return;
      }
      const said = await page.textContent('[data-comparison="C"]');
      must(/C has no wind: how far its spray would drift is not known/.test(said), said);
      must(!/less drift away/.test(said) && /drifting or still aloft/.test(said), said);
      const cells = await page.$$eval('#compare .differences tbody tr', (rows) =>
        rows
          .filter((r) => /^(Airborne drift|Passing|Ground.*\s[1-5]\d\sm)/.test(r.textContent))
          .map((r) => r.cells[3].textContent),
      );
      must(cells.length > 5 && cells.every((c) => c === 'not known: no wind'), `cells ${cells}`);
      const aloft = await page.evaluate(() => page.groupsOf(page.results()[2])[4].value);
      must(aloft > 1 && text.includes('still in the air when the run ends'), `${aloft} aloft`);
    }),
  );

  await check('effects of a sweep have one axis for an output, from zero', () =>
    each(['sweep.html', 'drawn.html'], async (page, name) => {
      const axes = await page.$$eval('[data-figure^="effect-"]', (figures) =>
        figures.map((f) =>
          [...f.querySelectorAll('.chart')].map((c) =>
            [...c.querySelectorAll('.axes text[text-anchor="end"]:not(.name)')].map((t) => t.textContent).join(' '),
          ),
        ),
      );
      must(axes.length >= 2 && axes.every((row) => row.length === 3), `${name}: ${axes.length} factors`);
      for (const k of [0, 1, 2]) {
        must(
          new Set(axes.map((pair) => pair[k])).size === 1,
          `${name}: axes ${axes.map((pair) => pair[k]).join(' | ')}`,
        );
        must(axes[0][k].split(' ')[0] === '0', `${name}: from ${axes[0][k]}`);
      }
    }),
  );

  await check('stretches of a drawn factor follow units and language', () =>
    each(['drawn.html'], async (page) => {
      const levels = () => page.$$eval('[data-figure="effect-0"] tbody th', (all) => all.map((c) => c.textContent));
      const metric = await levels();
      must(
        metric.every((l) => /^[\d.]+\sbar to [\d.]+\sbar$/.test(l)),
        metric.join('; '),
      );
      await press(page, 'units-us');
      await press(page, 'language-es');
      const us = await levels();
      must(
        us.every((l) => /^[\d.]+\spsi a [\d.]+\spsi$/.test(l)),
        us.join('; '),
      );
      near(number(us[0]), 14.5038 * number(metric[0]), 0.1, 'the same pressure');
    }),
  );
};
