/* sim/page/browser/colour.js - colours that say something: droplet size, where spray ended, deposit, and the results
 * side by side. Both scales are of this page (choices): they get lighter at every step, to all eyes and in grey, which
 * tests/page/colours.mjs works out. Ends that would vanish on the ground in use are cut off. Every colour is said a
 * second time: by place, label, shape, size or dash. */
{
  const dark = window.matchMedia('(prefers-color-scheme: dark)');
  dark.addEventListener('change', () => page.emit('theme'));
  page.isDark = () => (page.state.theme === 'auto' ? dark.matches : page.state.theme === 'dark');

  page.css = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

  /* Diameters from 10 to 500 um, by the logarithm. */
  const SMALL = Math.log(10),
    LARGE = Math.log(500);
  page.sizeShare = (um) => page.clamp((Math.log(um) - SMALL) / (LARGE - SMALL), 0, 1);
  const between = (...colours) => d3.piecewise(d3.interpolateLab, colours),
    ofSize = between('#08303a', '#463a80', '#ad5484', '#df9a5e', '#f5e8b0') /* pine, plum, berry, straw */,
    ofDeposit = between('#33261d', '#6e5638', '#7d8f52', '#a9c7a0', '#e3f4ee'); /* bark, leaf, wet shine */
  page.sizeColour = (um) => ofSize(page.isDark() ? 0.34 + 0.66 * page.sizeShare(um) : 0.82 * page.sizeShare(um));
  page.depositColour = (u) => ofDeposit(page.isDark() ? 0.2 + 0.8 * u : 0.94 * u);

  page.GROUPS = ['trees', 'orchard_floor', 'ground_beyond', 'airborne', 'aloft'];
  page.groupColour = (group) => `var(--${group.replace('_', '-')})`;
  /* Bands of the emitted diameter that a reader can switch on and off, um. */
  page.BANDS = [
    [0, 50],
    [50, 100],
    [100, 150],
    [150, 250],
    [250, Infinity],
  ];
  page.bandOf = (um) => page.BANDS.findIndex(([, high]) => um < high);
  page.bandName = (i) => {
    const [low, high] = page.BANDS[i];
    if (i === 0) return page.t('band.below', { size: page.q('size_um', high) });
    if (high === Infinity) return page.t('band.above', { size: page.q('size_um', low) });
    return page.t('band.between', { low: page.plain(low), high: page.q('size_um', high) });
  };
  page.bandMiddle = (i) => [30, 71, 122, 194, 340][i];
  page.RESULT_LETTERS = ['A', 'B', 'C', 'D'];
  page.resultColour = (i) => `var(--result-${i})`;
  page.RESULT_DASH = ['', '7 4', '2 4', '9 3 2 3'];
}
