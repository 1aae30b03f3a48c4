/* tests/page/quantities.mjs - the scripts find what they ask for: values by name and by the words of their axes are
 * those that drupelet run tells of the same result, and a name that is not there is an error, not an empty picture. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, must, near } from './checks.mjs';

export const quantities = async ({ each, folder }) => {
  const summary = JSON.parse(readFileSync(join(folder, 'fine.json'), 'utf8'));

  await check('quantities are found by their names and the words of their axes', () =>
    each(['one.html'], async (page) => {
      const found = await page.evaluate(() => {
        const result = page.result(),
          sides = page.points(result, 'canopy/side'),
          sum = (third, row) =>
            page.sum(sides.map((side) => page.at(result, 'canopy/row_deposit', { row, third, side })[0]));
        const refused = (name, where) => {
          try {
            page.at(result, name, where);
            return false;
          } catch {
            return true;
          }
        };
        return {
          fates: page
            .points(result, 'fates/fate')
            .map((fate) => [
              fate,
              page.at(result, 'fates/active_ingredient', { fate }),
              page.sum(page.sizesOf(result).map((_, size) => page.at(result, 'fates/by_size', { size, fate })[0])),
            ]),
          thirds: result.rows.map((_, row) =>
            Object.fromEntries(page.points(result, 'canopy/third').map((third) => [third, sum(third, row)])),
          ),
          refused: [
            refused('fates/nothing'),
            refused('nothing/fate'),
            refused('fates/by_size', { size: 0 }),
            refused('fates/by_size', { size: 0, fate: 'nowhere' }),
            refused('fates/by_size', { size: 1000, fate: 'leaf' }),
          ],
        };
      });
      must(found.fates.length === Object.keys(summary.fates_L_of_100_L).length, `${found.fates.length} fates`);
      for (const [fate, [value, error], of_sizes] of found.fates) {
        const { amount, standard_error } = summary.fates_L_of_100_L[fate];
        near(100 * value, amount, 1e-6, fate);
        near(100 * error, standard_error, 1e-4 * standard_error + 1e-9, `error of ${fate}`);
        near(100 * of_sizes, amount, 2e-3, `${fate}, all sizes`);
      }
      must(found.thirds.length === summary.leaves_by_row_L_of_100_L.length, `${found.thirds.length} rows`);
      found.thirds.forEach((thirds, i) => {
        for (const [third, value] of Object.entries(thirds))
          near(100 * value, summary.leaves_by_row_L_of_100_L[i][third].amount, 1e-3, `${third} of row ${i + 1}`);
      });
      must(found.refused.every(Boolean), `not refused: ${found.refused}`);
    }),
  );
};
