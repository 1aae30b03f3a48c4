/* sim/page/browser/pattern.js - fills that are told apart without their colour: where spray ended and what an impact
 * became. Each is a colour with a pattern of its own in the colour of the paper, so that it stays what it is in grey
 * print and to colour-blind eyes. */
{
  const TILE = 7;
  /* What is drawn on a tile of TILE pixels; none: plain. */
  const MARK = {
    plain: null,
    dots: 'M1.75,1.75h0.01M5.25,5.25h0.01',
    level: 'M0,1.75H7M0,5.25H7',
    upright: 'M1.75,0V7M5.25,0V7',
    rising: 'M-1,1L1,-1M0,7L7,0M6,8L8,6',
    falling: 'M-1,6L1,8M0,0L7,7M6,-1L8,1',
    crossed: 'M0,0L7,7M7,0L0,7',
  };
  const FILLS = {
    trees: ['--trees', 'plain'],
    leaf: ['--trees', 'plain'],
    wood: ['--wood', 'upright'],
    orchard_floor: ['--orchard-floor', 'level'],
    ground_beyond: ['--ground-beyond', 'rising'],
    airborne: ['--airborne', 'dots'],
    aloft: ['--aloft', 'crossed'],
    'outcome-0': ['--trees', 'plain'],
    'outcome-1': ['--outcome-1', 'dots'],
    'outcome-2': ['--outcome-2', 'rising'],
    'outcome-3': ['--orchard-floor', 'level'],
    'outcome-4': ['--aloft', 'crossed'],
    'side-0': ['--side-0', 'falling'],
    'side-1': ['--side-1', 'plain'],
  };

  const pattern = ([name, [colour, mark]]) =>
    page.svg(
      'pattern',
      { id: `fill-${name}`, width: TILE, height: TILE, patternUnits: 'userSpaceOnUse' },
      page.svg('rect', { width: TILE, height: TILE, style: { fill: `var(${colour})` } }),
      MARK[mark] ? page.svg('path', { d: MARK[mark], class: `fill-mark fill-${mark}` }) : null,
    );
  document.body.append(
    page.svg(
      'svg',
      { class: 'fills', width: 0, height: 0, 'aria-hidden': 'true', focusable: 'false' },
      page.svg('defs', {}, Object.entries(FILLS).map(pattern)),
    ),
  );

  /** A small square beside words. */
  page.swatch = (name) =>
    page.svg(
      'svg',
      { class: 'swatch', width: 15, height: 15, viewBox: '0 0 15 15', 'aria-hidden': 'true' },
      page.svg('rect', { width: 15, height: 15, style: { fill: page.fill(name) } }),
    );
  /** Of a group of fates, a fate of its own, "outcome-N" or "side-N". */
  page.fill = (name) => `url(#fill-${FILLS[name] ? name : 'outcome-4'})`;
}
