/* tests/page/show.mjs - other results, and the same ones with better numbers, come onto an open page. */
import { quiet } from './browser.mjs';
import { check, must } from './checks.mjs';

/** @param open as in browser.mjs; two.html has two results */
export const shows = async (open) => {
  const { page, seen, context } = await open('two.html');
  const state = () =>
    page.evaluate(() => {
      page.freshen(); /* plates out of sight wait until they are seen */
      return {
        cards: document.querySelectorAll('.glance-card').length,
        scenes: document.querySelectorAll('#watch canvas').length,
        compare: !document.getElementById('compare').hidden && document.querySelectorAll('#compare figure').length > 0,
        link: document.querySelector('nav a[href="#compare"]') !== null,
        sentence: document.querySelector('.glance-card .sentence').textContent,
      };
    });
  await check('a page takes other results in: one, then two again', async () => {
    const two = await state();
    must(two.cards === 2 && two.scenes === 2 && two.compare && two.link, JSON.stringify(two));
    await page.evaluate(() => {
      window.both = page.results();
      page.show([window.both[1]]);
    });
    const one = await state();
    must(one.cards === 1 && one.scenes === 1 && !one.compare && !one.link, JSON.stringify(one));
    must(one.sentence !== two.sentence, 'the second result has the sentence of the first');
    await page.evaluate(() => page.show(window.both));
    must(JSON.stringify(await state()) === JSON.stringify(two), JSON.stringify(await state()));
  });
  await check('better numbers of the same results leave scenes and focus where they are', async () => {
    await page.focus('[data-key="stage-A"]');
    const before = await state();
    await page.evaluate(() => {
      const [a, b] = page.results(),
        better = structuredClone({ ...a, downwind: null, paths: null });
      Object.assign(better, { downwind: a.downwind, paths: a.paths });
      better.quantities.fates.together.v = [0.1, 0.2, 0.3, 0.4, 0];
      page.show([better, b]);
    });
    const after = await state();
    must(after.sentence !== before.sentence, 'the sentence stayed');
    must(await page.evaluate(() => document.activeElement.dataset.key === 'stage-A'), 'the focus went');
    quiet(seen);
  });
  await context.close();
};
