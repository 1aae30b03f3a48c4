/* tests/page/browser.mjs - pages in Debian's Chromium, opened and used as a reader would. One browser serves all checks
 * of a test. A page costs seconds of a core to open, so that checks which only look at one share it.
 *     const { open, each, ... } = await browse(FOLDER-OF-PAGES, CHROMIUM) */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { must } from './checks.mjs';

const require = createRequire(join(process.cwd(), 'package.json'));
const { chromium: driver } = require('playwright-core');
const axeSource = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8').replace(/^\uFEFF/, '');

/* How long a page may take to do what it does in a second: other work may hold the machine. */
export const SLOW = { timeout: 120000 };
/* Each open page keeps a process with its memory. */
const MOST_KEPT = 8;
const ACCESSIBLE = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** Controls are worked by keys, as everybody must be able to. */
export const press = async (page, key, ...keys) => {
  await page.focus(`[data-key="${key}"]`);
  for (const one of keys.length ? keys : ['Space']) await page.keyboard.press(one);
};
/** The page has complained of nothing, has asked nothing of a network, and no dialog came up. */
export const quiet = (seen) => {
  must(seen.complaints.length === 0, `the page complained: ${seen.complaints.slice(0, 3).join(' | ')}`);
  must(seen.requests.length === 0, `the page asked for ${seen.requests.join(', ')}`);
  must(seen.dialogs === 0, 'a dialog came up');
};
export const words = (page) =>
  page.evaluate(() => document.querySelector('main').innerText + document.querySelector('.head').innerText);
/** Brings every part of the page into sight once, as parts out of sight draw themselves when they come there. */
export const scrollThrough = async (page) => {
  const [high, screen] = await page.evaluate(() => [document.body.scrollHeight, innerHeight]);
  for (let y = 0; y < high; y += 0.9 * screen) {
    await page.evaluate((to) => window.scrollTo({ top: to, behavior: 'instant' }), y);
    await page.waitForTimeout(40);
  }
};
/** What axe-core finds on a page: no violation, and how many rules held. @param how { within: selectors of the parts of
 *  the page that are looked at, else all; rules: those that are asked, else all; but: not these } */
export const accessible = async (page, { within, rules, but = [] } = {}) => {
  await page.evaluate(axeSource);
  const [violations, held] = await page.evaluate(
    async ([include, runOnly, without]) => {
      const found = await globalThis.axe.run(include ? { include } : document, {
        runOnly,
        rules: Object.fromEntries(without.map((rule) => [rule, { enabled: false }])),
        resultTypes: ['violations'],
      });
      return [
        found.violations.map(
          ({ id, nodes }) =>
            `${id}: ${nodes
              .slice(0, 4)
              .map((n) => `${n.target.join(' ')} ${n.any[0]?.message || ''}`)
              .join('; ')}`,
        ),
        found.passes.length,
      ];
    },
    [within, rules ? { type: 'rule', values: rules } : { type: 'tag', values: ACCESSIBLE }, but],
  );
  must(violations.length === 0, violations.join('\n'));
  must(held > 0, 'no rule was tried');
  return held;
};

export const browse = async (folder, chromium) => {
  /* A container has no user namespaces for the sandbox; WebGL is drawn by the processor. */
  const browser = await driver.launch({
    executablePath: chromium,
    args: ['--no-sandbox', '--disable-gpu', '--enable-unsafe-swiftshader'],
  });
  process.on('exit', () => browser.close());

  /** Opens a page and watches it: complaints, requests and dialogs. */
  const open = async (name, how = {}) => {
    const context = await browser.newContext({
      viewport: { width: how.width || 1280, height: how.height || 900 },
      colorScheme: how.scheme || 'light',
      locale: how.locale || 'en-US',
      reducedMotion: how.calm ? 'reduce' : 'no-preference',
      acceptDownloads: true,
      javaScriptEnabled: how.scripts !== false,
    });
    const page = await context.newPage(),
      seen = { complaints: [], requests: [], dialogs: 0 };
    page.on('console', (m) => {
      if (/error|warning/.test(m.type()) && !/GPU stall|GL Driver Message/.test(m.text()))
        seen.complaints.push(m.text());
    });
    page.on('pageerror', (e) => seen.complaints.push(e.message));
    page.on('request', (r) => {
      if (!/^(file:\/\/|blob:|data:)/.test(r.url()) || (r.isNavigationRequest() && !r.url().includes(name)))
        seen.requests.push(r.url());
    });
    page.on('dialog', (d) => {
      seen.dialogs++;
      d.dismiss();
    });
    if (how.before) await page.addInitScript(how.before);
    await page.goto(`file://${join(folder, name)}${how.fragment || ''}`);
    if (how.scripts !== false)
      await page.waitForFunction(() => document.documentElement.dataset.openedMs !== undefined, null, SLOW);
    return { page, seen, context };
  };

  const kept = new Map();
  /** A page without motion that checks share. Language, units, theme, the result that is shown, the clock and the place
   *  on the page are those that it opened with; what else a check changes is no other check's business. */
  const share = async (name, how) => {
    const key = JSON.stringify([name, how]);
    let one = kept.get(key);
    kept.delete(key);
    if (!one) {
      one = await open(name, { calm: true, ...how });
      await one.page.evaluate(() => (window.asOpened = { ...page.state, t: page.flight?.t }));
    }
    kept.set(key, one); /* the last of them is the one used last */
    if (kept.size > MOST_KEPT) {
      const [oldest, { context }] = kept.entries().next().value;
      kept.delete(oldest);
      await context.close();
    }
    await one.page.evaluate(() => {
      const { t, ...state } = window.asOpened;
      for (const [part, value] of Object.entries(state)) page.set(part, value);
      if (page.flight?.followed) page.flight.follow(null, null);
      page.flight?.set(t);
      page.freshen(); /* parts out of sight would keep the words of before */
      window.scrollTo({ top: 0, behavior: 'instant' });
    });
    return one;
  };
  /** Does work(page, name) with each of the named pages. @param own an own page instead of one that is shared */
  const each = async (names, work, { own, ...how } = {}) => {
    for (const name of names) {
      const { page, seen, context } = await (own ? open(name, { calm: true, ...how }) : share(name, how));
      await work(page, name);
      quiet(seen);
      if (own) await context.close();
    }
  };
  const close = () => browser.close();
  return { open, each, close };
};
