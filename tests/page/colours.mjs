/* tests/page/colours.mjs - what has a colour can be told apart by everybody: in all colours, with each of three kinds
 * of colour blindness, and in grey, two things of one key look different, or a pattern, dash or shape tells them apart,
 * in the key and in the picture. Scales get lighter from end to end; droplets stand out from the air.
 *     await colours({ each })   as browser.mjs has it */
import { check, must, near } from './checks.mjs';
import { EYES, ciede2000, labOf } from './colour_space.mjs';

/* Colours this far apart are told apart at a glance, also in small marks: four times what is just noticed, 2.3 (M.
 * Mahy, L. Van Eycken, A. Oosterlinck, Color Res. Appl. 19 (1994) 105-121; memory). Four times: choice. */
const APART = 10;
/* A scale that grows lighter by this much of L* in each twentieth of its way is read the right way round (choice). */
const LIGHTER = 1;

const rgbOf = (css) =>
  css
    .match(/[\d.]+/g)
    .slice(0, 3)
    .map((v) => v / 255);
const distance = (a, b, eyes) => ciede2000(labOf(rgbOf(a), eyes), labOf(rgbOf(b), eyes));
/** The eyes to which two colours look most alike, and how far apart they are to these. */
const worst = (a, b) =>
  Object.keys(EYES)
    .map((eyes) => [distance(a, b, eyes), eyes])
    .reduce((least, one) => (one[0] < least[0] ? one : least));

/* Of each key on the page its items: text, colour, what else marks them, and whether the picture has the same mark. */
const keysOf = (page) =>
  page.evaluate(() => {
    const form = (d) => (d || '').replaceAll(/[\d.,\s-]+/g, ''),
      fillOf = (e) => /#fill-([\w-]+)/.exec(getComputedStyle(e).fill)?.[1],
      dashOf = (e) => e.getAttribute('stroke-dasharray') || '';
    return [...document.querySelectorAll('main .legend')].map((legend) => {
      const figure = legend.closest('figure, section'),
        marks = [...figure.querySelectorAll('svg *')].filter((e) => !e.closest('.legend')),
        items = [...legend.children].map((li) => {
          const [curve, shape] = ['path.curve', 'path:not(.curve)'].map((name) => li.querySelector(name)),
            swatch = li.querySelector('.swatch rect, rect.swatch'),
            fill = swatch && fillOf(swatch);
          if (fill) {
            const pattern = document.getElementById(`fill-${fill}`),
              mark = pattern.querySelector('path');
            return {
              text: li.textContent,
              colour: getComputedStyle(pattern.querySelector('rect')).fill,
              cue: mark ? mark.getAttribute('d') : 'plain',
              mark: mark && getComputedStyle(mark).stroke,
              drawn: marks.some((e) => fillOf(e) === fill),
            };
          }
          if (curve || shape)
            return {
              text: li.textContent,
              colour: curve ? getComputedStyle(curve).stroke : getComputedStyle(shape).fill,
              cue: `${curve ? `dash ${dashOf(curve)}` : ''} ${shape ? form(shape.getAttribute('d')) : ''}`,
              drawn:
                (!curve || marks.some((e) => e.matches('.curve') && dashOf(e) === dashOf(curve))) &&
                (!shape || marks.some((e) => form(e.getAttribute('d')) === form(shape.getAttribute('d')))),
            };
          return {
            text: li.textContent,
            colour: getComputedStyle(li.querySelector('.swatch')).backgroundColor,
            cue: '',
            drawn: true,
          };
        });
      return { name: figure.dataset.figure || figure.id, items };
    });
  });

const ofBothThemes = (each, names, work) =>
  each(names, async (page, name) => {
    for (const theme of ['light', 'dark']) {
      await page.evaluate((to) => (page.set('theme', to), page.freshen()), theme);
      await work(page, `${name}, ${theme}`);
    }
  });

export const colours = async ({ each }) => {
  await check('distances of colours are those that the authors of CIEDE2000 give', () => {
    /* Sharma, Wu, Dalal 2005, table 1, pairs 1, 7, 17, 21 and 34 (memory) */
    for (const [a, b, told] of [
      [[50, 2.6772, -79.7751], [50, 0, -82.7485], 2.0425],
      [[50, 0, 0], [50, -1, 2], 2.3669],
      [[50, 2.5, 0], [73, 25, -18], 27.1492],
      [[6.7747, -0.2908, -2.4247], [5.8714, -0.0985, -2.2286], 0.6377],
      [[2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082],
    ])
      near(ciede2000(a, b), told, 5e-5, `${a} and ${b}`);
    for (const eyes of Object.keys(EYES)) near(labOf([1, 1, 1], eyes)[0], 100, 0.01, `white to ${eyes}`);
  });

  await check('what a key tells apart is told apart by all eyes, or by a mark', async () => {
    let pairs = 0,
      marked = 0;
    await ofBothThemes(each, ['one.html', 'two.html', 'four.html', 'fans.html', 'sweep.html'], async (page, where) => {
      const keys = await keysOf(page);
      must(keys.length > 0, `${where}: no key`);
      for (const { name, items } of keys)
        items.forEach((a, i) => {
          must(a.drawn, `${where}, ${name}: the picture has not the mark of "${a.text}" (${a.cue})`);
          if (a.mark) {
            const [least, eyes] = worst(a.colour, a.mark);
            must(least >= APART, `${where}, ${name}: the mark of "${a.text}" is ${least} from its colour to ${eyes}`);
          }
          for (const b of items.slice(i + 1)) {
            const [least, eyes] = worst(a.colour, b.colour);
            pairs++;
            if (least >= APART) continue;
            marked++;
            must(a.cue !== b.cue, `${where}, ${name}: "${a.text}" and "${b.text}" are ${least} apart to ${eyes}`);
          }
        });
    });
    must(pairs > 100, `${pairs} pairs`);
    return `${pairs} pairs, of which ${marked} need their mark`;
  });

  await check('scales of size and of deposit get lighter to all eyes; droplets stand out from the air', async () => {
    const closest = { all: Infinity };
    await ofBothThemes(each, ['one.html'], async (page, where) => {
      const { scales, bands, air, dots } = await page.evaluate(() => {
        const steps = Array.from({ length: 21 }, (_, i) => i / 20);
        return {
          scales: { size: steps.map((u) => page.sizeColour(10 * 50 ** u)), deposit: steps.map(page.depositColour) },
          bands: page.BANDS.map((_, i) => page.sizeColour(page.bandMiddle(i))),
          dots: page.BANDS.map((_, i) => page.stages[0].dotOf(page.bandMiddle(i))),
          air: ['--stage-sky', '--stage-low'].map((name) => {
            const paper = document.createElement('i');
            paper.style.color = page.css(name);
            document.body.append(paper);
            const colour = getComputedStyle(paper).color;
            paper.remove();
            return colour;
          }),
        };
      });
      for (const [name, list] of Object.entries(scales))
        for (const eyes of Object.keys(EYES)) {
          const light = list.map((c) => labOf(rgbOf(c), eyes)[0]);
          light
            .slice(1)
            .forEach((l, i) =>
              must(l - light[i] >= LIGHTER, `${where}: ${name} to ${eyes}: L* ${light[i]} and then ${l}`),
            );
        }
      dots.slice(1).forEach((r, i) => must(r > 1.15 * dots[i], `${where}: dots of ${dots}`));
      bands.forEach((colour, i) =>
        air.forEach((behind) => {
          const [least, eyes] = worst(colour, behind);
          must(least >= APART, `${where}: band ${i} is ${least} from the air to ${eyes}`);
          closest.all = Math.min(closest.all, least);
        }),
      );
    });
    return `at least ${closest.all.toFixed(1)} from the air`;
  });
};
