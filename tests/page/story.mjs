/* tests/page/story.mjs - the parts of the page that tell why droplets drift: which sizes bring the drift, what a hit on
 * a leaf becomes, and a droplet in the reader's hand. What they say is worked out here from the quantities alone.
 *     await story({ open, each })   as browser.mjs has them */
import { press } from './browser.mjs';
import { check, must, near, number } from './checks.mjs';

export const story = async ({ open, each }) => {
  await check('the key picture adds up, and crowns the size that brings most drift', () =>
    each(['one.html', 'four.html'], async (page, name) => {
      const { told, bins, dried, evaporated, table, crowned } = await page.evaluate(() => {
        const r = page.result(),
          air = page.fatesOf(r, 'airborne').concat(page.fatesOf(r, 'aloft'));
        return {
          told: page.driftSizes(r),
          bins: page.points(r, 'fates/size').map((_, size) => ({
            low: page.at(r, 'fates/size_low', { size }),
            high: page.at(r, 'fates/size_high', { size }),
            drift: 100 * page.sum(air.map((fate) => page.at(r, 'fates/by_size', { size, fate })[0])),
          })),
          dried: page.sum(
            page.points(r, 'fates/size').map((_, size) => page.at(r, 'fates/evaporated_by_size', { size })[0]),
          ),
          evaporated: page.at(r, 'fates/evaporated')[0],
          table: page.litresBySize(r).map((b) => [b.litres, ...b.parts]),
          crowned: document.querySelector('[data-figure="litres-by-size"] .crown-label') !== null,
        };
      });
      const all = bins.reduce((s, b) => s + b.drift, 0),
        most = bins.reduce((a, b) => (b.drift > a.drift ? b : a)),
        inside = bins.filter((b) => b.low >= told.low && b.high <= told.high);
      must(told.crown.low === most.low && crowned, `${name}: ${told.crown.low} is crowned, ${most.low} brings most`);
      near(
        told.sum,
        inside.reduce((s, b) => s + b.drift, 0),
        1e-6,
        `${name}: what the sizes bring`,
      );
      must(told.sum >= 0.8 * told.all, `${name}: ${told.sum} of ${told.all}`);
      near(told.all, all, 0.01 * all, `${name}: all drift`); /* classes that hold next to nothing are not shown */
      for (let from = 0; from + inside.length - 1 <= bins.length; from++)
        must(
          bins.slice(from, from + inside.length - 1).reduce((s, b) => s + b.drift, 0) < 0.8 * told.all,
          `${name}: fewer classes bring as much`,
        );
      near(dried, evaporated, 1e-4, `${name}: water evaporated, all sizes`);
      for (const [sprayed, ...parts] of table)
        near(
          parts.reduce((a, b) => a + b),
          sprayed,
          0.012 * sprayed + 0.002,
          `${name}: the parts of a bar`,
        );
      return `${told.low.toFixed(0)} to ${told.high.toFixed(0)} um`;
    }),
  );

  await check('hits on leaves make 100 % in every size', () =>
    each(['one.html'], async (page) => {
      const rows = await page.$$eval('[data-figure="bounce-by-size"] tbody tr', (all) =>
        all.map((r) => [...r.cells].slice(1).map((c) => parseFloat(c.textContent))),
      );
      must(rows.length > 5, `${rows.length} sizes`);
      for (const row of rows)
        near(
          row.reduce((a, b) => a + b),
          100,
          1.5,
          'hits of a size',
        );
    }),
  );

  await check('what ends differently has a pattern of its own, not a colour alone', () =>
    each(['one.html'], async (page) => {
      const marks = await page.evaluate(() =>
        page.GROUPS.map((g) => {
          const id =
            /#([\w-]+)/.exec(getComputedStyle(document.querySelector(`.drop-${g}`) || document.body).fill)?.[1] ||
            `fill-${g}`;
          return document.getElementById(id).querySelector('path')?.getAttribute('d') || 'plain';
        }),
      );
      must(new Set(marks).size === marks.length, `patterns ${marks}`);
    }),
  );

  await check('outside "The numbers" no amount has more than three digits', () =>
    each(['one.html', 'two.html', 'mixed.html'], async (page, name) => {
      const found = await page.evaluate(() =>
        ['glance', 'compare', 'why'].flatMap((id) => {
          const plate = document.getElementById(id);
          if (!plate) return [];
          return [...plate.innerText.matchAll(/([\d.,]+)\s±\s([\d.,]+)/g)].map((m) => [m[0], m[1]]);
        }),
      );
      must(found.length > 5, `${name}: hardly an error is told`);
      const long = found.filter(([, value]) => value.replace(/[.,]/g, '').replace(/^0+/, '').length > 3);
      must(long.length === 0, `${name}: ${long.slice(0, 4).map((l) => l[0])}`);
    }),
  );

  await check('sprayers and their air leave when spraying ends; then time runs faster; words stay on top', () =>
    each(['one.html'], async (page) => {
      const seen = await page.evaluate(async () => {
        const stage = page.stages[0],
          shows = () => {
            /* do they come onto the scene: is it another one without their layer? */
            const read = () => (stage.draw(), stage.canvas.toDataURL()),
              kept = stage.machines,
              all = read();
            stage.machines = document.createElement('canvas');
            stage.machines.width = stage.machines.height = 1;
            const without = read();
            stage.machines = kept;
            return all !== without;
          };
        const at = (t) => {
          page.flight.set(t);
          return [shows(), page.flight.rate()];
        };
        return [at(2), at(4.5), at(6), at(40)];
      });
      must(seen[0][0] && seen[1][0], 'no sprayers while they spray');
      must(!seen[2][0] && !seen[3][0], 'sprayers stay where they have left');
      must(seen[0][1] === 1 && seen[3][1] > 4, `pace ${seen.map((s) => s[1])}`);
    }),
  );
  await check('a phone opens at the edge of the orchard with drift in view, both sides of a comparison at once', () =>
    each(
      ['one.html', 'two.html'],
      async (page, name) => {
        await page.locator('canvas.stage').first().scrollIntoViewIfNeeded();
        const views = await page.evaluate(() =>
          page.stages.map((s) => ({ from: s.from, to: s.from + s.width / s.k, box: s.canvas.getBoundingClientRect() })),
        );
        for (const { from, to } of views) must(from < -3 && to > 10, `${name}: from ${from} to ${to} m`);
        if (views.length > 1)
          must(
            views[1].box.bottom - views[0].box.top < 600,
            `scenes are ${views[1].box.bottom - views[0].box.top} px high`,
          );
      },
      { own: true, width: 390, height: 844 },
    ),
  );

  await check(
    'class mode: the scene first, steps that stop by themselves, keys of a presenter, words of a size',
    async () => {
      await each(
        ['one.html', 'bare.html', 'two.html'],
        async (page, name) => {
          await press(page, 'class', 'Enter');
          await page.waitForFunction(() => page.lesson.steps().length > 0 && document.querySelector('.lesson-caption'));
          await page.waitForTimeout(200);
          const facts = await page.evaluate(() => {
            const stage = page.stages[0].canvas.getBoundingClientRect(),
              style = getComputedStyle(document.querySelector('.lesson-caption'));
            return {
              keys: page.lesson.steps().map((s) => s.key),
              width: stage.width,
              top: stage.top,
              letter: parseFloat(style.fontSize),
              low: document.querySelector('.lesson').getBoundingClientRect().bottom,
              over: document.documentElement.scrollWidth - document.documentElement.clientWidth,
            };
          });
          const told =
            name === 'bare.html'
              ? ['nozzle', 'air', 'sticks', 'drifts']
              : ['nozzle', 'air', 'sticks', 'bounces', 'shatters', 'dries', 'drifts'];
          for (const key of told) must(facts.keys.includes(key), `${name}: no step ${key} in ${facts.keys}`);
          must(facts.width >= 1250 && facts.top < 60, `${name}: scene ${facts.width} px wide, ${facts.top} px down`);
          must(facts.letter >= 32 && facts.low <= 720, `${name}: letters of ${facts.letter} px, down to ${facts.low}`);
          must(facts.over <= 0, `${name}: ${facts.over} px too wide`);
          const said = new Set();
          for (let i = 0; i < facts.keys.length; i++) {
            const at = await page.evaluate(() => {
              const step = page.lesson.steps()[page.lesson.at()],
                stage = page.stages[0],
                one = step.one;
              const p =
                one &&
                stage.spot(
                  one,
                  page.flight.place(
                    one && step.result.paths,
                    one,
                    Math.max(0, Math.min(page.flight.t - one.release, one.end)),
                    {},
                  ),
                );
              return {
                t: page.flight.t,
                to: step.to,
                inside: !p || (p.px > 0 && p.px < stage.width && p.py > 0 && p.py < stage.height),
              };
            });
            near(at.t, at.to, 1e-6, `${name}: step ${i} without motion shows its end`);
            must(at.inside, `${name}: the droplet of step ${i} is out of view`);
            said.add(await page.textContent('.lesson-caption'));
            await page.keyboard.press('PageDown');
          }
          must(said.size === facts.keys.length, `${name}: captions ${[...said]}`);
          await page.keyboard.press('PageUp');
          must((await page.evaluate(() => page.lesson.at())) === facts.keys.length - 2, 'page up');
          await page.keyboard.press('b');
          must(
            await page.evaluate(() => document.documentElement.hasAttribute('data-blank')),
            'the screen is not blank',
          );
          await page.keyboard.press('b');
          await page.keyboard.press('Escape');
          must(await page.evaluate(() => !document.documentElement.hasAttribute('data-classroom')), 'it does not end');
        },
        { own: true, width: 1280, height: 720 },
      );
      await each(
        ['one.html'],
        async (page) => {
          await press(page, 'class', 'Enter');
          await page.waitForFunction(() => page.flight.playing);
          await page.waitForFunction(() => !page.flight.playing, null, { timeout: 20000 });
          const [t, to] = await page.evaluate(() => [page.flight.t, page.lesson.steps()[0].to]);
          near(t, to, 1e-6, 'the step does not stop at its end');
        },
        { own: true, calm: false, width: 1280, height: 720 },
      );
    },
  );
  await check('exercises print with their answers on sheets of their own, in both languages', () =>
    each(
      ['one.html', 'bare.html'],
      async (page, name) => {
        for (const language of ['en', 'es']) {
          await press(page, `language-${language}`);
          const [n, text] = await page.evaluate(() => {
            window.print = () => {};
            page.printExercises();
            return [page.drawExercises().length, document.querySelector('.exercises').textContent];
          });
          must(n >= (name === 'bare.html' ? 2 : 7), `${name}: ${n} questions`);
          must(!/NaN|undefined|\{\w+\}/.test(text), text);
          const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
          must(pdf.match(/\/Type\s*\/Page\b/g).length === 2, `${name}: not two pages`);
        }
      },
      { own: true },
    ),
  );

  await check(
    'differences of one seed have the errors of their batches; names say what differs; the film is first',
    () =>
      each(['two.html'], async (page) => {
        const facts = await page.evaluate(() => {
          const [a, b] = page.results(),
            /* drift in the air: out of the batches, and as if the two were independent */
            names = page.fatesOf(a, 'airborne'),
            of = (r, batch) => page.sum(names.map((number) => page.at(r, 'batches/percent', { number, batch }))),
            off = Array.from({ length: 32 }, (_, i) => of(b, i) - of(a, i)),
            mean = off.reduce((s, v) => s + v) / 32,
            pair = (r) => [page.groupsOf(r)[3].value, page.groupsOf(r)[3].error],
            told = page.difference(pair(a), pair(b), { a, b, names });
          return {
            seeds: [a.seed, b.seed],
            own: Math.sqrt(off.reduce((s, v) => s + (v - mean) ** 2, 0) / 31 / 32),
            mean,
            told,
            apart: page.difference(pair(a), pair(b)),
            other: page.difference(pair(a), pair(b), { a, b: { ...b, seed: '2' }, names }),
            labels: page.results().map(page.labelOf),
            plates: [...document.querySelectorAll('main > section')].map((s) => s.id),
            said: document.querySelector('[data-comparison="B"]').innerText,
          };
        });
        must(
          facts.seeds[0] === facts.seeds[1] && facts.told.paired && !facts.other.paired,
          'paired where seeds are equal',
        );
        near(facts.told.error, facts.own, 1e-3 * facts.own, 'the error of the batches');
        near(facts.told.value, facts.mean, 0.02 * Math.abs(facts.mean), 'the difference of the batches');
        near(facts.other.error, facts.apart.error, 1e-9, 'other seeds: as if independent');
        must(facts.labels[0] !== facts.labels[1] && facts.labels.every((l) => /rpm/.test(l)), `labels ${facts.labels}`);
        must(facts.plates.indexOf('versus') === 0 && facts.plates.indexOf('watch') === 1, `plates ${facts.plates}`);
        return facts.said.replaceAll('\n', ' ');
      }),
  );

  await check('bare trees show their wood, and no control that does nothing', () =>
    each(['bare.html'], async (page) => {
      const facts = await page.evaluate(() => {
        const r = page.result(),
          side = page.bytesOf(r.canopy.side.bytes);
        return {
          bare: page.leafless(r),
          wood: side.some((b) => b > 0),
          crowns: document.getElementById('crowns').hidden,
          link: document.querySelector('nav a[href="#crowns"]'),
          title: document.querySelector('[data-figure="bounce-by-size"] h3')?.textContent,
          head: [...document.querySelectorAll('table.sizes thead th')].at(-1).textContent,
          example: document.querySelector('[data-example="wood"]') !== null,
          leaf: document.querySelector('[data-palm-leaf]'),
        };
      });
      must(facts.bare && facts.wood, 'no wood to be seen');
      must(facts.crowns && !facts.link && !facts.leaf, 'a part about leaves');
      must(/on the wood/.test(facts.title) && /Hits on wood/.test(facts.head) && facts.example, JSON.stringify(facts));
    }),
  );
  await check('long names stay inside, and turn no direction of writing but their own', async () => {
    for (const width of [360, 1280])
      await each(
        ['long.html'],
        async (page) => {
          const found = await page.evaluate(() => {
            const over = [...document.querySelectorAll('main *, .head *')].filter((e) => {
              const box = e.getBoundingClientRect();
              return box.width > 0 && box.right > innerWidth + 1 && !e.closest('.scroll, nav, .unseen, svg, .skip');
            });
            return {
              wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
              over: over.slice(0, 3).map((e) => `${e.tagName}.${e.className?.baseVal ?? e.className}`),
              turned: /[\u202a-\u202e\u2066\u2067]/.test(document.body.innerText),
              place: document.querySelector('.place').innerText,
            };
          });
          must(found.wide <= 0 && found.over.length === 0, `${width} px: ${found.wide} too wide, ${found.over}`);
          must(!found.turned && /turned place/.test(found.place), `a mark of direction is left: ${found.place}`);
        },
        { own: true, width, height: 800 },
      );
  });

  await check('sliders of a sweep step among its points; drops and words follow', async () => {
    await each(['sweep.html', 'drawn.html'], async (page, name) => {
      const factors = await page.evaluate(() => page.data.sweep.factors.length),
        seen = new Set(),
        look = () =>
          page.evaluate(() => {
            const i = page.sweepPoint(),
              of = (fate) => page.data.sweep.outputs.find((o) => o.name === fate).v[i];
            return {
              i,
              drops: document.querySelectorAll('#step .drop-trees').length,
              all: document.querySelectorAll('#step .drop').length,
              trees: of('leaf') + of('wood'),
              said: document.querySelector('[data-step]').innerText,
              change: document.querySelector('[data-step-change]').innerText,
            };
          });
      for (let f = 0; f < factors; f++)
        for (const to of ['End', 'ArrowLeft', 'Home']) {
          await press(page, `step-${f}`, to);
          const at = await look();
          seen.add(at.i);
          must(at.all === 100, `${name}: ${at.all} drops`);
          near(at.drops, at.trees, 1, `${name}: drops on the trees at point ${at.i}`);
          must(at.said.startsWith(`Point ${at.i + 1}: `) && /on the leaves/.test(at.said), at.said);
        }
      must(seen.size >= 4, `${name}: ${seen.size} points seen`);
      await press(page, 'step-0', 'End');
      must(/^Against point \d+: (You gain|You lose|No difference)/.test((await look()).change), (await look()).change);
      await press(page, 'step-keep', 'Enter');
      must(/compared with this one/.test((await look()).change), (await look()).change);
    });
  });

  await check('without scripts: sentence, bars, curve and cautions, as text', async () => {
    for (const [name, most] of [
      ['one.html', 1],
      ['two.html', 2],
      ['markup.html', 1],
      ['spanish.html', 1],
    ]) {
      const { page, context } = await open(name, { scripts: false, calm: true });
      const text = await page.innerText('body'),
        told = (await page.locator('.noscript .sentence').allInnerTexts()).map((s) =>
          [...s.matchAll(/(\d+) (?:L|gal)/g)].slice(1).map((m) => Number(m[1])),
        );
      must(told.length === most, `${name}: ${told.length} sentences`);
      for (const amounts of told)
        near(
          amounts.reduce((a, b) => a + b),
          100,
          1,
          `${name}: ${amounts}`,
        );
      must((await page.locator('.noscript rect').count()) >= 4 * most, `${name}: no bars`);
      must((await page.locator('.noscript path.curve').count()) === most, `${name}: no curve`);
      must(/product label|etiqueta del producto/.test(text), `${name}: no caution`);
      if (name === 'markup.html') must(text.includes('<img src=x onerror=alert(1)>'), 'the name is not text');
      if (name === 'spanish.html') must(/Adónde fue el caldo/.test(text) && /gal/.test(text), text.slice(0, 300));
      await context.close();
    }
  });

  await check('the 3-D view tells rows, metres and wind, without an empty sky', () =>
    each(['one.html'], async (page) => {
      await page.locator('canvas.voxels').scrollIntoViewIfNeeded();
      await page.waitForFunction(() => document.querySelectorAll('.voxel-marks text').length > 0, null, {
        timeout: 15000,
      });
      const facts = await page.evaluate(() => {
        const view = page.voxelViews[0],
          box = view.canvas.getBoundingClientRect(),
          inside = [...document.querySelectorAll('.voxel-marks text')].filter((t) => {
            const b = t.getBoundingClientRect();
            return (
              b.left >= box.left - 1 && b.right <= box.right + 1 && b.top >= box.top - 1 && b.bottom <= box.bottom + 1
            );
          });
        return {
          rows: [...document.querySelectorAll('.voxel-marks .voxel-row')].map((t) => t.textContent),
          inside: inside.map((t) => t.textContent),
          arrow: document.querySelector('.voxel-marks .voxel-head').getBoundingClientRect().top - box.top,
          high: box.height,
        };
      });
      must(facts.rows.length >= 9 && facts.inside.length >= 12, JSON.stringify(facts));
      must(facts.inside.some((t) => /\sm$/.test(t)) && facts.inside.some((t) => /Wind/.test(t)), JSON.stringify(facts));
      must(facts.arrow < 0.35 * facts.high, `the arrow is ${facts.arrow} of ${facts.high} px down`);
    }),
  );
  await check('handouts show paths of one pass, and four results can be read', async () => {
    await each(
      ['one.html', 'four.html'],
      async (page, name) => {
        await page.waitForTimeout(1200);
        const facts = await page.evaluate(() => {
          window.dispatchEvent(new Event('beforeprint'));
          return {
            paths: document.querySelectorAll('.handout .still-path').length,
            fits: [...document.querySelectorAll('.handout .hand-page')].map((p) =>
              Number(p.style.getPropertyValue('--fit') || 1),
            ),
          };
        });
        must(name === 'four.html' || (facts.paths > 8 && facts.paths <= 36), `${name}: ${facts.paths} paths`);
        must(
          facts.fits.length === 2 && facts.fits.every((f) => f >= (name === 'four.html' ? 0.85 : 0.8)),
          `${name}: shrunk to ${facts.fits}`,
        );
      },
      { own: true },
    );
  });

  await check('a droplet in the hand: size by size, what the simulator worked out', async () => {
    await each(['one.html'], async (page) => {
      const ends = [];
      for (const size of [100, 300]) {
        const facts = await page.evaluate((um) => {
          const r = page.result(),
            i = page.points(r, 'alone/size').indexOf(um),
            slider = document.querySelector('[data-key="palm-size"]');
          slider.value = i;
          slider.dispatchEvent(new Event('input', { bubbles: true }));
          const path = page.palmPath(r, i);
          return {
            said: document.querySelector('.palm-facts').innerText,
            fall: page.at(r, 'alone/fall_speed', { size: i }),
            end: path.at(-1),
            focus: document.activeElement?.dataset.key,
          };
        }, size);
        near(number(/falls\s+([\d.]+)/.exec(facts.said)[1]), facts.fall, 0.06 * facts.fall, `${size} um: fall`);
        ends.push(facts.end.x);
        if (size === 300) {
          near(number(/lands\s+([\d.]+)/.exec(facts.said)[1]), facts.end.x, 0.06 * facts.end.x, 'where it lands');
        }
      }
      must(ends[0] > 3 * ends[1], `a small droplet goes no farther: ${ends}`);
      await press(page, 'palm-size', 'ArrowLeft');
      must(
        (await page.evaluate(() => document.activeElement.dataset.key)) === 'palm-size',
        'the slider loses the focus',
      );
      must(/250\sµm/.test(await page.textContent('[data-figure="palm-path"] h3')), 'the slider does not step');
      const leaf = await page.textContent('[data-palm-leaf]');
      must(/of 100 such droplets/.test(leaf) && /(sticks|bounces|shatters) on the upper side/.test(leaf), leaf);
      await press(page, 'palm-speed', 'End');
      must(/shatters on the upper side/.test(await page.textContent('[data-palm-leaf]')), 'a large one at a fan');
      await press(page, 'palm-fall', 'Enter');
      await page.waitForTimeout(300);
      must(Number(await page.getAttribute('.palm-now', 'cx')) > 30, 'it does not fall');
    });
    await each(['old.html'], async (page) => {
      const known = await page.evaluate(() => page.hasPalm(page.result()));
      must(known || /older program/.test(await page.textContent('#palm')), 'an old file does not say so');
    });
  });
};
