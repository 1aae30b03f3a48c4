/* sim/page/browser/palm.js - a droplet in the reader's hand: of a size that a slider chooses, how it falls, how far the
 * wind takes it meanwhile, how long its water lasts, and what a leaf does to it. All numbers and the path come from the
 * simulator (the quantities alone/...); the sliders go among the sizes and speeds that it has worked out, and never
 * between them. */
{
  let size = null /* the reader's choices, by the ordinals of the simulator's points */,
    speed = null,
    falling = 0; /* of the animation: its number, so that an older one ends */

  const sizes = (result) => page.points(result, 'alone/size');
  const speeds = (result) => page.points(result, 'alone/speed');
  /** Does the result know of droplets alone? Older files do not. */
  page.hasPalm = (result) => Number.isFinite(sizes(result)[0]);

  const nearest = (points, value) =>
    points.reduce(
      (best, p, i) => (Math.abs(Math.log(p / value)) < Math.abs(Math.log(points[best] / value)) ? i : best),
      0,
    );
  const sizeOf = (result) => {
    if (size !== null) return Math.min(size, sizes(result).length - 1);
    const drift = page.driftSizes(result);
    return nearest(sizes(result), drift ? drift.crown.middle : Math.sqrt(sizes(result)[0] * sizes(result).at(-1)));
  };
  /* What the middle leaf feels as the sprayer passes: the median of the air's slice over the crowns beside it. */
  const crownAir = (result) => {
    const air = result.air;
    if (!air) return NaN;
    const bytes = page.bytesOf(air.bytes),
      middle = air.x_m + 0.5 * (air.nx - 1) * air.dx_m,
      { canopy_base: base, canopy_height: top, canopy_width: wide } = result.inputs,
      rows = page.points(result, 'canopy/row').map((_, row) => page.at(result, 'canopy/row_x', { row })),
      near = Math.min(...rows.map((x) => Math.abs(x - middle))),
      felt = [];
    for (let z = 0; z < air.nz; z++)
      for (let x = 0; x < air.nx; x++) {
        const at = air.x_m + x * air.dx_m,
          up = air.z_m + z * air.dz_m;
        if (up < base || up > top) continue;
        if (rows.some((row) => Math.abs(row - middle) < near + 0.1 && Math.abs(at - row) <= 0.5 * wide))
          felt.push((bytes[z * air.nx + x] / 255) * air.most_m_s);
      }
    return felt.length ? felt.sort((a, b) => a - b)[felt.length >> 1] : NaN;
  };
  const speedOf = (result) => {
    if (speed !== null) return Math.min(speed, speeds(result).length - 1);
    const felt = crownAir(result);
    return nearest(speeds(result), felt > 0 ? felt : speeds(result)[speeds(result).length >> 1]);
  };

  /** The path of a size: [{ t, x, z, d }]. */
  page.palmPath = (result, i) =>
    page.points(result, 'alone/point').map((_, point) => {
      const at = (name) => page.at(result, `alone/${name}`, { size: i, point });
      return { t: at('time'), x: at('distance'), z: at('height'), d: at('diameter') };
    });
  /* Where it is dry: the first point with the size of the last, where that is a speck. */
  const dryPoint = (result, i, path) => {
    const life = page.at(result, 'alone/dry_after', { size: i });
    return Number.isFinite(life) && life <= path.at(-1).t ? path.find((p) => p.t >= life * 0.999) || path.at(-1) : null;
  };

  const time = (t) => page.q('time_s', t, 2);
  const away = (m) => page.q('length_m', m, 2);
  const facts = (result, i, path) => {
    const dry = dryPoint(result, i, path),
      end = path.at(-1),
      landed = end.z <= 0,
      life = page.at(result, 'alone/dry_after', { size: i });
    return {
      fall: page.q('speed_m_s', page.at(result, 'alone/fall_speed', { size: i }), 2),
      carried: landed
        ? page.t('palm.lands', { distance: away(end.x), time: time(end.t) })
        : page.t('palm.aloft', { distance: away(end.x), height: away(end.z), time: time(end.t) }),
      water: !Number.isFinite(life)
        ? page.t('palm.never')
        : dry
          ? page.t('palm.dries', { time: time(dry.t), distance: away(dry.x), speck: page.q('size_um', end.d, 2) })
          : page.t('palm.lasts', {
              time: time(life),
              left: page.q('percent', 100 * page.clamp(waterLeft(result, path[0].d, end.d), 0, 1), 2),
            }),
    };
  };
  const waterLeft = (result, whole, d) => {
    const stays = (result.inputs.nonvolatile || 0) / 100;
    return ((d / whole) ** 3 - stays) / (1 - stays);
  };
  /** What becomes of a size: { fall, carried, water } in words. */
  page.palmFacts = (result, i) => facts(result, i, page.palmPath(result, i));
  /** The chosen droplet in a few sentences. */
  page.palmWords = (result) => {
    const i = sizeOf(result),
      path = page.palmPath(result, i),
      f = facts(result, i, path);
    return page.t('palm.words', { size: page.q('size_um', sizes(result)[i]), ...f });
  };

  /* ---- the picture: across is the way with the wind, up the height; all sizes faint, the chosen one strong ---- */
  const picture = (result) => {
    const chosen = sizeOf(result),
      paths = sizes(result).map((_, i) => page.palmPath(result, i)),
      path = paths[chosen],
      end = path.at(-1),
      top = path[0].z,
      reach = Math.max(1.25 * (dryPoint(result, chosen, path) || end).x, 2 * top),
      far = page.clamp(reach, 2 * top, Math.max(...paths.map((p) => p.at(-1).x), 2 * top));
    const g = page.svg;
    const draw = (width) => {
      const rem = page.rem(),
        font = rem * (width < 420 ? 0.7 : 0.78),
        height = rem * (width < 600 ? 16 : 18),
        ground = height - 3.7 * font,
        left = 2.6 * font,
        X = (m) => left + (m / far) * (width - left - 10),
        Z = (m) => ground - (m / (1.15 * top)) * (ground - 1.5 * font);
      const root = g('svg', {
        class: 'chart palm',
        width,
        height,
        viewBox: `0 0 ${width} ${height}`,
        'font-size': font,
      });
      const clip = page.id('palm');
      root.append(g('clipPath', { id: clip }, g('rect', { x: 0, y: 0, width: width - 4, height })));
      const at = result.inputs,
        tall = at.canopy_height,
        half = Math.min(1.4 * font, 0.5 * left);
      root.append(
        g('rect', { x: 0, y: ground, width, height: 3, class: 'palm-ground' }),
        g('line', { x1: left - half, x2: left - half, y1: ground, y2: Z(0.8 * tall), class: 'palm-trunk' }),
        g('rect', {
          x: left - 2 * half,
          width: 2 * half,
          y: Z(tall),
          height: Z(at.canopy_base) - Z(tall),
          rx: half,
          class: 'palm-crown',
        }),
      );
      const line = (p, attributes) =>
        g('polyline', { points: p.map((o) => `${X(o.x).toFixed(1)},${Z(o.z).toFixed(1)}`).join(' '), ...attributes });
      const inside = g('g', { 'clip-path': `url(#${clip})` });
      paths.forEach((p, i) => i !== chosen && inside.append(line(p, { class: 'palm-other' })));
      inside.append(line(path, { class: 'palm-path', style: { stroke: page.sizeColour(path[0].d) } }));
      /* beads of the size that is left, at equal times */
      const radius = (d) => 1.5 + (0.5 * font * d) / path[0].d,
        last = page.palmAt(path, Infinity, far).t;
      for (let k = 0; k <= 12; k++) {
        const p = page.palmAt(path, (last * k) / 12);
        inside.append(
          g('circle', {
            cx: X(p.x),
            cy: Z(p.z),
            r: radius(p.d),
            class: 'palm-bead',
            style: { fill: page.sizeColour(p.d) },
          }),
        );
      }
      const dry = dryPoint(result, chosen, path);
      if (dry && dry.x <= far)
        inside.append(
          g('line', { x1: X(dry.x), x2: X(dry.x), y1: Z(dry.z) + 8, y2: Z(dry.z) + 26, class: 'palm-dry' }),
          g('text', { x: X(dry.x), y: Z(dry.z) + 26 + font, 'text-anchor': 'end', class: 'name' }, page.t('palm.dry')),
        );
      inside.append(g('circle', { r: 0.55 * font, class: 'palm-now', cx: X(0), cy: Z(top), visibility: 'hidden' }));
      root.append(inside);
      const perUnit = page.convert('length_m', 1, true);
      for (const v of d3.scaleLinear([0, far * perUnit], [0, 1]).ticks(Math.max(3, Math.round(width / 120)))) {
        const m = v / perUnit;
        root.append(
          g('line', { x1: X(m), x2: X(m), y1: ground + 3, y2: ground + 8, class: 'palm-tick' }),
          g('text', { x: X(m), y: ground + 8 + font, 'text-anchor': m === 0 ? 'start' : 'middle' }, page.plain(v)),
        );
      }
      root.append(
        g(
          'text',
          { x: width - 4, y: height - 3, 'text-anchor': 'end', class: 'name' },
          page.t('palm.axis', { unit: page.unit('length_m') }),
        ),
        g('text', { x: 2, y: font + 1, class: 'name' }, page.q('length_m', tall, 2)),
        g(
          'text',
          { x: width - 4, y: font + 1, 'text-anchor': 'end', class: 'name' },
          page.windless(result)
            ? page.t('stage.wind.none')
            : `→ ${page.t('stage.wind', { speed: page.q('wind_m_s', at.wind_speed) })}`,
        ),
      );
      root.X = X;
      root.Z = Z;
      return root;
    };
    const box = page.el('div', { class: 'chart-box' });
    let drawn = 0;
    new ResizeObserver(() => {
      const width = Math.floor(box.clientWidth);
      if (width < 60 || width === drawn) return;
      drawn = width;
      box.replaceChildren(draw(width));
    }).observe(box);
    box.far = far;
    return box;
  };
  /** Where it is at a time, or where it passes a distance. */
  page.palmAt = (path, t, far = Infinity) => {
    for (let k = 1; k < path.length; k++) {
      const a = path[k - 1],
        b = path[k];
      if (b.t < t && b.x < far) continue;
      const u = Math.min(b.t > a.t ? (t - a.t) / (b.t - a.t) : 1, b.x > a.x ? (far - a.x) / (b.x - a.x) : 1),
        mix = (key) => a[key] + page.clamp(u, 0, 1) * (b[key] - a[key]);
      return { t: mix('t'), x: mix('x'), z: mix('z'), d: mix('d') };
    }
    return path.at(-1);
  };

  /* It falls in real time, ten times faster where that takes long. */
  const letFall = (box, path) => {
    const mine = ++falling,
      svg = box.firstElementChild,
      now = svg.querySelector('.palm-now'),
      end = page.palmAt(path, Infinity, box.far).t,
      pace = end > 15 ? 10 : 1,
      began = performance.now();
    now.setAttribute('visibility', 'visible');
    const tick = () => {
      const t = ((performance.now() - began) / 1000) * pace,
        p = page.palmAt(path, Math.min(t, end));
      now.setAttribute('cx', svg.X(p.x));
      now.setAttribute('cy', svg.Z(p.z));
      if (t < end && mine === falling && svg.isConnected) requestAnimationFrame(tick);
    };
    tick();
  };

  /* ---- at a leaf ---- */
  const leafTable = (result, i, k) => {
    const many = speeds(result),
      outcomes = page.points(result, 'fates/outcome'),
      cell = (v, ...inside) => page.el('td', { class: v === k ? 'number chosen' : 'number' }, ...inside);
    const row = (name, ...cells) => page.el('tr', {}, page.el('th', { scope: 'row' }, name), cells);
    const outcome = (side) =>
      row(
        page.t(`palm.${side}`),
        many.map((_, v) => {
          const name = page.at(result, 'alone/outcome', { leaf_side: side, size: i, speed: v });
          return cell(v, page.swatch(`outcome-${outcomes.indexOf(name)}`), ` ${page.said(`palm.${name}`, name)}`);
        }),
      );
    return page.el(
      'div',
      { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': page.t('palm.leaf') },
      page.el(
        'table',
        { class: 'palm-leaf' },
        page.el('caption', { class: 'unseen' }, page.t('palm.leaf')),
        page.el(
          'thead',
          {},
          page.el(
            'tr',
            {},
            page.el('th', { scope: 'col' }, page.t('palm.speed', { unit: page.unit('speed_m_s') })),
            many.map((v, n) =>
              page.el(
                'th',
                { scope: 'col', class: n === k ? 'number chosen' : 'number' },
                page.plain(page.convert('speed_m_s', v), 2),
              ),
            ),
          ),
        ),
        page.el(
          'tbody',
          {},
          row(
            page.t('palm.hit'),
            many.map((_, v) =>
              cell(v, page.plain(Math.round(100 * page.at(result, 'alone/hits', { size: i, speed: v })), 3)),
            ),
          ),
          outcome('upper'),
          outcome('lower'),
        ),
      ),
    );
  };
  const leafWords = (result, i, k) => {
    const what = (side) => {
      const name = page.at(result, 'alone/outcome', { leaf_side: side, size: i, speed: k });
      return page.said(`palm.${name}`, name);
    };
    const hits = Math.round(100 * page.at(result, 'alone/hits', { size: i, speed: k }));
    return page.t('palm.leaf.words', {
      speed: page.q('speed_m_s', speeds(result)[k], 2),
      hits: page.whole(hits),
      upper: what('upper'),
      lower: what('lower'),
    });
  };

  const slider = (key, label, value, of, text, change) =>
    page.el(
      'label',
      { class: 'slider wide' },
      page.el('span', {}, label),
      page.el('input', {
        type: 'range',
        min: 0,
        max: of - 1,
        step: 1,
        value,
        'data-key': key,
        'aria-valuetext': text,
        oninput: (e) => change(Number(e.target.value)),
      }),
      page.el('output', {}, text),
    );

  const atLeaf = (result, i, k) => [
    page.el('h3', {}, page.t('palm.leaf')),
    page.el('p', { 'data-palm-leaf': true }, leafWords(result, i, k)),
    slider(
      'palm-speed',
      page.t('palm.air'),
      k,
      speeds(result).length,
      page.q('speed_m_s', speeds(result)[k], 2),
      (v) => {
        speed = v;
        page.emit('palm');
      },
    ),
    leafTable(result, i, k),
    page.el('p', { class: 'note' }, page.t('palm.leaf.note')),
  ];
  const content = () => {
    const result = page.result();
    if (!page.hasPalm(result)) return [page.el('p', {}, page.t('palm.none'))];
    const i = sizeOf(result),
      k = speedOf(result),
      path = page.palmPath(result, i),
      f = facts(result, i, path),
      all = sizes(result),
      box = picture(result);
    const fact = (key) => page.el('div', {}, page.el('dt', {}, page.t(`palm.${key}`)), page.el('dd', {}, f[key]));
    return [
      page.resultChoice('palm'),
      slider('palm-size', page.t('palm.size'), i, all.length, page.q('size_um', all[i]), (v) => {
        size = v;
        page.emit('palm');
      }),
      page.el(
        'div',
        { class: 'palm-pair' },
        page.figure({
          key: 'palm-path',
          of: result,
          title: page.t('palm.title', { size: page.q('size_um', all[i]) }),
          note: page.t('palm.note', { height: away(path[0].z) }),
          words: page.palmWords(result),
          picture: box,
          controls: page.el(
            'button',
            { type: 'button', class: 'small', 'data-key': 'palm-fall', onclick: () => letFall(box, path) },
            page.t('palm.letgo'),
          ),
          table: {
            columns: [
              { name: page.t('palm.t'), kind: 'time_s' },
              { name: page.t('axis.distance.wind'), kind: 'length_m' },
              { name: page.t('height'), kind: 'length_m' },
              { name: page.t('follow.diameter'), kind: 'size_um' },
            ],
            rows: path.map((p) => [p.t, p.x, p.z, p.d]),
          },
        }),
        page.el('dl', { class: 'settings palm-facts', 'aria-live': 'polite' }, ['fall', 'carried', 'water'].map(fact)),
      ),
      ...(page.leafless(result) ? [] : atLeaf(result, i, k)),
    ];
  };
  page.palm = () =>
    page.plate('palm', 'palm', 'language units theme result results refined palm', content, 'palm.lead');
}
