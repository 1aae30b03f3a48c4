/* sim/page/browser/chart.js - plots as SVG at the width they get, so that letters keep their size from phone to wall.
 * Scales and shapes are d3's. Values come in the unit in use.
 *
 * spec: { x: axis, y: axis, layers: [layer], height, label, under: { label, items: [{ x, text }] } } a line of numbers
 *         below the axis across
 * axis: { type: 'linear' | 'log' | 'band', domain, label, ticks, format, grid }
 * layers: { type: 'bars', at: 'x' | 'y', items: [{ at, from, to, colour, hatch }] }  along the other axis
 *         { type: 'steps', items: [{ low, high, to, colour }] }                       upright bars from low to high
 *         { type: 'whiskers', at: 'x' | 'y', items: [{ at, value, error, shift }] }
 *         { type: 'band', items: [{ x, low, high }], colour }   { type: 'line', items: [{ x, y }], colour, dash }
 *         { type: 'dots', items: [{ x, y, shift, hollow }], colour, shape }   { type: 'mark', x or y, label }
 *         { type: 'crown', x, y, label }                              points down at a place, with a word above */
{
  const SHAPES = [
    (r) => `M${-r},0a${r},${r} 0 1,0 ${2 * r},0a${r},${r} 0 1,0 ${-2 * r},0Z`,
    (r) => `M${-r},${-r}H${r}V${r}H${-r}Z`,
    (r) => `M0,${-1.3 * r}L${1.2 * r},${r}H${-1.2 * r}Z`,
    (r) => `M0,${-1.35 * r}L${1.35 * r},0L0,${1.35 * r}L${-1.35 * r},0Z`,
  ];
  page.shape = (i, r) => SHAPES[i % SHAPES.length](r);

  const scaleOf = (axis, range) => {
    if (axis.type === 'band')
      return d3
        .scaleBand(axis.domain, range)
        .paddingInner(axis.padding ?? 0.3)
        .paddingOuter(0.15);
    return (axis.type === 'log' ? d3.scaleLog(axis.domain, range) : d3.scaleLinear(axis.domain, range)).clamp(true);
  };
  const centre = (scale, axis, value) => scale(value) + (axis.type === 'band' ? scale.bandwidth() / 2 : 0);
  const ticksOf = (axis, scale, room) => {
    if (axis.type === 'band') return axis.domain;
    if (axis.ticks) return axis.ticks;
    if (axis.type !== 'log') {
      const span = Math.abs(axis.domain[1] - axis.domain[0]);
      return scale.ticks(room).map((v) => (Math.abs(v) < 1e-9 * span ? 0 : v)); /* and no -0 */
    }
    const [low, high] = axis.domain,
      decades = Math.log10(high / low),
      all = [];
    const within = decades <= 1.3 ? [1, 2, 3, 5] : decades <= 2.6 && room > 5 ? [1, 2, 5] : [1];
    for (let p = Math.floor(Math.log10(low)); p <= Math.ceil(Math.log10(high)); p++)
      for (const m of within) all.push(m * 10 ** p);
    return all.filter((v) => v >= low * 0.999 && v <= high * 1.001);
  };
  const tickText = (axis, value) => {
    if (axis.format) return axis.format(value);
    if (axis.type === 'band') return String(value);
    if (value === 0) return page.plain(0);
    const size = Math.abs(value);
    if (size >= 1e5 || size < 1e-3) {
      const p = Math.floor(Math.log10(size) + 1e-9),
        lift = (n) => String(n).replace(/./g, (c) => '⁰¹²³⁴⁵⁶⁷⁸⁹'[c] || '⁻');
      return `${value < 0 ? '\u2212' : ''}10${lift(p)}`;
    }
    return page.plain(value, 12);
  };

  /** Size of the page's letters, pixels: plots and scenes grow with them on a large screen. */
  page.rem = () => parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;

  /* A rough width of letters: text is laid out before it is on the page. */
  const widthOf = (text, size) => String(text).length * size * 0.55;

  /* As much of a text as there is room for. */
  const shortened = (text, room, font) => {
    const most = Math.max(Math.floor(room / (0.55 * font)), 4);
    return [...text].length > most ? `${[...text].slice(0, most - 1).join('')}…` : text;
  };

  /** Draws into a new svg element of so many pixels. */
  page.drawChart = (spec, width) => {
    const { x, y } = spec,
      rem = page.rem(),
      font = spec.font || rem * (width < 420 ? 0.7 : 0.78);
    const height = (spec.height || 260) * (spec.font ? 1 : rem / 16);
    const g = (name, attributes, ...children) => page.svg(name, attributes, ...children);
    const yScale0 = scaleOf(y, [100, 0]);
    const yTicks = ticksOf(y, yScale0, Math.max(3, Math.round(height / 55)));
    const left =
      Math.min(Math.max(30, 14 + Math.max(...yTicks.map((v) => widthOf(tickText(y, v), font)))), width * 0.45) +
      (y.label && y.type === 'band' ? 0 : 0);
    const under = spec.under ? 2.6 * font : 0,
      top = y.label ? font + 14 : 10,
      bottom = height - (x.label ? 2.9 : 1.6) * font - 8 - under,
      right = width - (spec.right || 14);
    const root = g('svg', {
      class: 'chart',
      width,
      height,
      viewBox: `0 0 ${width} ${height}`,
      'aria-hidden': 'true',
      focusable: 'false',
      'font-size': font,
    });
    const xs = scaleOf(x, [left, right]),
      ys = scaleOf(y, y.type === 'band' ? [top, bottom] : [bottom, top]);
    let xTicks = ticksOf(x, xs, Math.max(3, Math.round((right - left) / 85)));
    const widest = Math.max(...xTicks.map((v) => widthOf(tickText(x, v), font)));
    const every = x.type === 'band' ? Math.ceil((widest + 6) / Math.max(xs.step(), 1)) : 1;
    if (x.type !== 'band') {
      /* labels must not run into one another */
      let last = -Infinity;
      xTicks = xTicks.filter((v) => {
        const at = xs(v);
        if (at - last < widthOf(tickText(x, v), font) + 8) return false;
        last = at;
        return true;
      });
    }
    const grid = g('g', { class: 'grid' }),
      axes = g('g', { class: 'axes' }),
      marks = g('g', {});
    for (const v of yTicks) {
      const at = centre(ys, y, v);
      if (y.type !== 'band') grid.append(g('line', { x1: left, x2: right, y1: at, y2: at }));
      axes.append(
        g(
          'text',
          { x: left - 8, y: at, dy: '0.34em', 'text-anchor': 'end' },
          shortened(tickText(y, v), left - 8, font),
        ),
      );
    }
    for (const [i, v] of xTicks.entries()) {
      const at = centre(xs, x, v);
      if (x.type !== 'band' && (x.grid || y.type === 'band'))
        grid.append(g('line', { x1: at, x2: at, y1: top, y2: bottom }));
      if (x.type !== 'band') axes.append(g('line', { x1: at, x2: at, y1: bottom, y2: bottom + 5 }));
      if (i % every === 0)
        axes.append(g('text', { x: at, y: bottom + 8 + font, 'text-anchor': 'middle' }, tickText(x, v)));
    }
    axes.append(g('line', { class: 'base', x1: left, x2: right, y1: bottom, y2: bottom }));
    if (y.type === 'band') axes.append(g('line', { class: 'base', x1: left, x2: left, y1: top, y2: bottom }));
    if (x.label)
      axes.append(g('text', { class: 'name', x: right, y: height - 5 - under, 'text-anchor': 'end' }, x.label));
    if (spec.under) {
      axes.append(
        g('text', { class: 'name', x: right, y: height - 5 - 1.3 * font, 'text-anchor': 'end' }, spec.under.label),
      );
      let last = -Infinity;
      for (const item of spec.under.items) {
        const half = 0.5 * widthOf(item.text, font) + 2;
        if (xs(item.x) - half < last) continue;
        last = xs(item.x) + half;
        axes.append(g('text', { x: xs(item.x), y: height - 5, 'text-anchor': 'middle' }, item.text));
      }
    }
    if (y.label) axes.append(g('text', { class: 'name', x: 2, y: font + 1 }, y.label));

    const put = (value, scale) => scale(value);
    for (const layer of spec.layers) {
      if (layer.type === 'bars') {
        for (const item of layer.items) {
          const band = layer.at === 'x' ? xs : ys,
            along = layer.at === 'x' ? ys : xs;
          const thick = band.bandwidth() / (layer.of || 1),
            at = band(item.at) + thick * (layer.shift || 0);
          const a = put(item.from || 0, along),
            b = put(item.to, along);
          const box =
            layer.at === 'x'
              ? { x: at, width: thick, y: Math.min(a, b), height: Math.max(Math.abs(a - b), 0.5) }
              : { y: at, height: thick, x: Math.min(a, b), width: Math.max(Math.abs(a - b), 0.5) };
          marks.append(g('rect', { ...box, style: { fill: item.colour || layer.colour }, class: 'bar' }));
        }
      } else if (layer.type === 'steps') {
        for (const item of layer.items) {
          const a = xs(item.low),
            b = xs(item.high),
            base = ys(item.from || 0),
            to = ys(item.to);
          marks.append(
            g('rect', {
              x: a + 0.75,
              width: Math.max(b - a - 1.5, 0.5),
              y: Math.min(to, base),
              class: 'bar',
              height: Math.abs(base - to),
              style: { fill: item.colour || layer.colour },
            }),
          );
        }
      } else if (layer.type === 'whiskers') {
        for (const item of layer.items) {
          if (!(item.error > 0) || !Number.isFinite(item.value)) continue;
          const across = layer.at === 'x',
            scale = across ? xs : ys,
            along = across ? ys : xs;
          const band = scale.bandwidth ? scale.bandwidth() / (layer.of || 1) : 0;
          const at =
            (scale.bandwidth ? scale(item.at) + band * ((layer.shift || 0) + 0.5) : scale(item.at)) + (item.shift || 0);
          const a = along(item.value - item.error),
            b = along(item.value + item.error),
            c = layer.cap ?? 3.5;
          marks.append(
            g('path', {
              class: 'whisker',
              style: { stroke: layer.colour || 'var(--ink)' },
              d: across
                ? `M${at},${a}V${b}M${at - c},${a}h${2 * c}M${at - c},${b}h${2 * c}`
                : `M${a},${at}H${b}M${a},${at - c}v${2 * c}M${b},${at - c}v${2 * c}`,
            }),
          );
        }
      } else if (layer.type === 'band') {
        const d = d3
          .area()
          .x((p) => xs(p.x))
          .y0((p) => ys(p.low))
          .y1((p) => ys(p.high))(layer.items);
        if (d) marks.append(g('path', { class: 'error-band', d, style: { fill: layer.colour } }));
      } else if (layer.type === 'line') {
        const d = d3
          .line()
          .defined((p) => Number.isFinite(p.y))
          .x((p) => xs(p.x))
          .y((p) => ys(p.y))(layer.items);
        if (d)
          marks.append(
            g('path', { class: 'curve', d, style: { stroke: layer.colour }, 'stroke-dasharray': layer.dash || null }),
          );
      } else if (layer.type === 'dots') {
        for (const p of layer.items) {
          if ((!Number.isFinite(p.x) && x.type !== 'band') || (!Number.isFinite(p.y) && y.type !== 'band')) continue;
          const px = centre(xs, x, p.x) + (p.shift && y.type !== 'band' ? p.shift : 0);
          const py = centre(ys, y, p.y) + (p.shift && y.type === 'band' ? p.shift : 0);
          marks.append(
            g(
              'path',
              {
                class: p.hollow ? 'dot hollow' : 'dot',
                d: page.shape(layer.shape || 0, (layer.radius || 4) * (p.grown || 1)),
                transform: `translate(${px.toFixed(1)},${py.toFixed(1)})`,
                style: { [p.hollow ? 'stroke' : 'fill']: p.colour || layer.colour },
              },
              p.title ? g('title', {}, p.title) : null,
            ),
          );
        }
      } else if (layer.type === 'crown') {
        const at = page.clamp(xs(layer.x), left + 6, right - 6),
          y0 = ys(layer.y) - 4,
          half = 0.5 * widthOf(layer.label, font);
        marks.append(
          g('path', { class: 'crown', d: `M${at},${y0}l-5,-8h10Z` }),
          g(
            'text',
            { class: 'crown-label', x: page.clamp(at, left + half, right - half), y: y0 - 12, 'text-anchor': 'middle' },
            layer.label,
          ),
        );
      } else if (layer.type === 'mark') {
        const upright = layer.x !== undefined,
          at = upright ? xs(layer.x) : ys(layer.y);
        marks.append(
          g('line', {
            class: 'mark',
            ...(upright ? { x1: at, x2: at, y1: top, y2: bottom } : { x1: left, x2: right, y1: at, y2: at }),
          }),
        );
        if (layer.label)
          marks.append(
            g(
              'text',
              {
                class: 'mark-label',
                ...(upright ? { x: at + 5, y: top + font } : { x: right, y: at - 5, 'text-anchor': 'end' }),
              },
              layer.label,
            ),
          );
      }
    }
    root.append(grid, marks, axes);
    return root;
  };

  /** A box that draws its chart whenever its width changes. @param spec the spec, or a function of the width */
  page.chart = (spec) => {
    const box = page.el('div', { class: 'chart-box' });
    let drawn = 0;
    const draw = () => {
      const width = Math.floor(box.clientWidth);
      if (width < 60 || width === drawn) return;
      drawn = width;
      box.replaceChildren(page.drawChart(typeof spec === 'function' ? spec(width) : spec, width));
    };
    new ResizeObserver(draw).observe(box);
    return box;
  };
  /** Round numbers above the largest. */
  page.topOf = (values) => {
    const most = Math.max(...values.filter(Number.isFinite), 0) || 1;
    return d3.scaleLinear([0, most], [0, 1]).nice(4).domain()[1];
  };
}
