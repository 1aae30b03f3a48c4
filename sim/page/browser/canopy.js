/* sim/page/browser/canopy.js - the deposit in the crowns, voxel by voxel, in three dimensions (three.js). Drawn when it
 * comes into view, and again only when something changes: a page that stands still costs nothing. */
{
  let row = 'all',
    cut = 1,
    deposit = 0;

  /* One scale of colours for all results on the page: the same colour is the same deposit. It ends where the richest
   * result has its 99th of 100 cells; in spray per leaf area where all files tell that, else in times the mean. */
  const leafy = () => page.results().filter((r) => r.canopy.voxels && !page.leafless(r));
  const meanOf = (result) => page.at(result, 'canopy/deposit_per_leaf_area_all')[0];
  const inTimes = () => leafy().some((r) => !Number.isFinite(meanOf(r)));
  const unitOf = (result) => (inTimes() ? 1 : meanOf(result));
  const scaleTop = () => Math.max(...leafy().map((r) => r.canopy.voxels.top * unitOf(r)));
  page.voxelScale = () => ({ top: scaleTop(), times: inTimes() });

  /* Cells of a result that hold leaves: place of the middle and deposit over the mean of the result. */
  const cellsOf = (result) => {
    const voxels = result.canopy.voxels;
    if (!voxels) return [];
    if (voxels.cells) return voxels.cells;
    const [rows, nz, ny, nx] = voxels.shape,
      bytes = page.bytesOf(voxels.bytes),
      cells = [],
      edge = voxels.edge_m,
      along = voxels.edge_along_m;
    for (let r = 0, i = 0; r < rows; r++) {
      const centre = result.rows[r],
        sign = result.sign;
      for (let z = 0; z < nz; z++)
        for (let y = 0; y < ny; y++)
          for (let x = 0; x < nx; x++, i++)
            if (bytes[i] > 0)
              cells.push({
                r,
                x: centre + sign * (x + 0.5 - nx / 2) * edge,
                across: (sign * (x + 0.5 - nx / 2)) / (nx / 2),
                y: (y + 0.5 - ny / 2) * along,
                z: (z + 0.5) * edge,
                times: voxels.most * ((bytes[i] - 1) / 254) ** 2,
              });
    }
    return (voxels.cells = cells);
  };

  class View {
    constructor(result) {
      this.result = result;
      this.canvas = page.el('canvas', { class: 'voxels', tabindex: 0, role: 'img' });
      this.marks = page.svg('svg', { class: 'voxel-marks', 'aria-hidden': 'true' });
      this.box = page.el('div', { class: 'voxel-box' }, this.canvas, this.marks);
      this.canvas.addEventListener('keydown', (e) => {
        const work = {
          ArrowLeft: () => this.turn(-0.15, 0),
          ArrowRight: () => this.turn(0.15, 0),
          ArrowUp: () => this.turn(0, -0.12),
          ArrowDown: () => this.turn(0, 0.12),
          '+': () => this.near(0.85),
          '-': () => this.near(1.18),
        }[e.key];
        if (!work) return;
        e.preventDefault();
        work();
      });
      new IntersectionObserver(
        (entries) => {
          this.nearby = entries.at(-1).isIntersecting;
          if (this.nearby) this.open();
        },
        { rootMargin: '200px' },
      ).observe(this.canvas);
      new ResizeObserver(() => this.size()).observe(this.canvas);
    }

    /* Another result, in the same view where the block is the same. Cells are drawn when the plate is. */
    take(result) {
      if (this.result === result) return;
      this.result = result;
      if (this.nearby) this.open();
    }

    /* The picture, or why there is none. */
    show() {
      const why = page.leafless(this.result) ? 'voxels.bare' : this.failed ? 'voxels.none' : null;
      this.box.replaceChildren(...(why ? [page.el('p', { class: 'hint' }, page.t(why))] : [this.canvas, this.marks]));
    }

    open() {
      if (this.renderer || this.failed || page.leafless(this.result)) return;
      try {
        this.renderer = new THREE.WebGLRenderer({
          canvas: this.canvas,
          antialias: true,
          alpha: true,
          powerPreference: 'low-power',
        });
      } catch (error) {
        this.failed = true;
        this.show();
        return;
      }
      this.scene = new THREE.Scene();
      this.camera = new THREE.PerspectiveCamera(32, 2, 0.1, 1000);
      this.controls = new THREE.OrbitControls(this.camera, this.canvas);
      this.controls.enableDamping = false;
      this.controls.maxPolarAngle = 0.495 * Math.PI;
      this.controls.enableZoom = false; /* the wheel scrolls the page; buttons and keys zoom */
      this.controls.addEventListener('change', () => this.draw());
      this.canvas.style.touchAction = 'pan-y';
      this.scene.add(new THREE.AmbientLight(0xffffff, 1.9));
      const sun = new THREE.DirectionalLight(0xffffff, 1.7);
      sun.position.set(2, 5, 3);
      this.scene.add(sun);
      this.fill();
      this.home();
    }

    /* A browser keeps few WebGL contexts. */
    close() {
      this.renderer?.dispose();
      this.renderer?.forceContextLoss();
      this.renderer = null;
    }

    /* three has y up and z towards the reader: across is x, height is y, along the rows is -z. */
    fill() {
      if (!this.renderer) return;
      const old = this.mesh,
        voxels = this.result.canopy.voxels;
      if (!voxels) return;
      const ofScale = unitOf(this.result) / scaleTop(),
        share = (c) => Math.min(c.times * ofScale, 1);
      const cells = cellsOf(this.result).filter(
        (c) => (row === 'all' || c.r === Number(row)) && c.across <= 2 * cut - 1 + 1e-6 && share(c) >= deposit,
      );
      const box = new THREE.BoxGeometry(voxels.edge_m * 0.92, voxels.edge_m * 0.92, voxels.edge_along_m * 0.95);
      const mesh = new THREE.InstancedMesh(box, new THREE.MeshLambertMaterial(), Math.max(cells.length, 1)),
        m = new THREE.Matrix4(),
        colour = new THREE.Color();
      cells.forEach((cell, i) => {
        m.setPosition(cell.x, cell.z, -cell.y);
        mesh.setMatrixAt(i, m);
        mesh.setColorAt(i, colour.set(page.depositColour(share(cell))));
      });
      mesh.count = cells.length;
      this.count = cells.length;
      if (old) {
        this.scene.remove(old);
        old.geometry.dispose();
        old.material.dispose();
        old.dispose();
      }
      this.scene.add((this.mesh = mesh));
      if (this.floor) {
        this.scene.remove(this.floor);
        this.floor.geometry.dispose();
      }
      const all = cellsOf(this.result),
        period = voxels.shape[2] * voxels.edge_along_m,
        xs = all.map((c) => c.x);
      this.low = Math.min(...xs);
      this.high = Math.max(...xs);
      const wide = this.high - this.low + 4;
      this.floor = new THREE.Mesh(
        new THREE.PlaneGeometry(wide, period + 1),
        new THREE.MeshBasicMaterial({
          color: new THREE.Color(page.css('--stage-low')),
          transparent: true,
          opacity: 0.6,
        }),
      );
      this.floor.rotation.x = -Math.PI / 2;
      this.floor.position.set((this.low + this.high) / 2, -0.02, 0);
      this.scene.add(this.floor);
      this.draw();
    }

    home() {
      if (!this.renderer) return;
      const voxels = this.result.canopy.voxels,
        period = voxels.shape[2] * voxels.edge_along_m,
        top = voxels.shape[1] * voxels.edge_m;
      const one = row !== 'all',
        at = one ? this.result.rows[Number(row)] : (this.low + this.high) / 2;
      const half = one ? 0.5 * voxels.shape[3] * voxels.edge_m : 0.5 * (this.high - this.low) + voxels.edge_m;
      this.size();
      /* As near as all corners allow, and the canvas no higher than they need: no empty sky. */
      const target = new THREE.Vector3(at, 0.45 * top, 0),
        towards = new THREE.Vector3(0.42, 0.36, 0.83).normalize(),
        right = new THREE.Vector3(0, 1, 0).cross(towards).normalize(),
        up = towards.clone().cross(right),
        corner = new THREE.Vector3(),
        tall = Math.tan((0.5 * 32 * Math.PI) / 180);
      let far = 2 * half + period;
      for (let n = 0; n < 8; n++) {
        this.camera.position.copy(target).addScaledVector(towards, far);
        this.camera.lookAt(target);
        this.camera.updateMatrixWorld();
        const low = [Infinity, Infinity],
          high = [-Infinity, -Infinity];
        for (const x of [-1, 1])
          for (const y of [0, 1.45])
            /* the wind's arrow is above the crowns */
            for (const z of [-0.5, 0.5]) {
              corner.set(at + x * half, y * top, z * period + (z > 0 ? 1.5 : 0)).project(this.camera);
              low[0] = Math.min(low[0], corner.x);
              low[1] = Math.min(low[1], corner.y);
              high[0] = Math.max(high[0], corner.x);
              high[1] = Math.max(high[1], corner.y);
            }
        const wide = (high[0] - low[0]) / 2,
          deep = (high[1] - low[1]) / 2,
          w = this.canvas.clientWidth;
        target.addScaledVector(right, 0.5 * (low[0] + high[0]) * far * tall * this.camera.aspect);
        target.addScaledVector(up, 0.5 * (low[1] + high[1]) * far * tall);
        if (n === 3 && w > 0) {
          const need = (w * deep * 0.93) / (0.88 * wide * this.camera.aspect);
          const most = Math.min(0.62 * w, 30 * page.rem());
          this.canvas.style.height = `${Math.round(page.clamp(need, 10 * page.rem(), most))}px`;
          this.size();
        }
        far *= Math.max(wide / 0.93, deep / 0.88);
      }
      this.controls.target.copy(target);
      this.camera.position.copy(target).addScaledVector(towards, far);
      this.controls.update();
      this.draw();
    }

    turn(sideways, up) {
      if (!this.renderer) return;
      const offset = this.camera.position.clone().sub(this.controls.target),
        s = offset.length();
      const angle = Math.atan2(offset.x, offset.z) + sideways,
        high = page.clamp(Math.acos(page.clamp(offset.y / s, -1, 1)) + up, 0.05, 0.49 * Math.PI);
      this.camera.position.set(
        this.controls.target.x + s * Math.sin(high) * Math.sin(angle),
        this.controls.target.y + s * Math.cos(high),
        this.controls.target.z + s * Math.sin(high) * Math.cos(angle),
      );
      this.controls.update();
      this.draw();
    }

    near(by) {
      if (!this.renderer) return;
      this.camera.position.sub(this.controls.target).multiplyScalar(by).add(this.controls.target);
      this.controls.update();
      this.draw();
    }

    size() {
      if (!this.renderer) return;
      const w = this.canvas.clientWidth,
        h = this.canvas.clientHeight;
      if (w < 10 || h < 10) return;
      this.renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
      this.renderer.setSize(w, h, false);
      this.camera.aspect = w / h;
      this.camera.updateProjectionMatrix();
      this.draw();
    }

    /* Row numbers, metres across, the height of the crowns and the wind, over the picture where they are in it. */
    drawMarks() {
      const w = this.canvas.clientWidth,
        h = this.canvas.clientHeight,
        voxels = this.result.canopy.voxels,
        front = 0.5 * voxels.shape[2] * voxels.edge_along_m,
        top = this.result.inputs.canopy_height,
        spot = new THREE.Vector3();
      const at = (x, y, z) => {
        spot.set(x, y, z).project(this.camera);
        return { x: (0.5 + 0.5 * spot.x) * w, y: (0.5 - 0.5 * spot.y) * h, seen: spot.z < 1 };
      };
      const font = 0.78 * page.rem(),
        marks = [],
        word = (p, text, anchor = 'middle', bold = false) =>
          p.seen &&
          marks.push(
            page.svg('text', { x: p.x, y: p.y, 'text-anchor': anchor, class: bold ? 'voxel-row' : null }, text),
          );
      const rows = this.result.rows;
      let last = -Infinity;
      rows.forEach((x, i) => {
        if (row !== 'all' && i !== Number(row)) return;
        const p = at(x, 0, front + 0.5);
        if (Math.abs(p.x - last) < 1.4 * font && row === 'all') return;
        last = p.x;
        word(
          { ...p, y: p.y + font },
          i === 0 || row !== 'all' ? page.t('row.n', { row: page.whole(i + 1) }) : page.whole(i + 1),
          'middle',
          true,
        );
      });
      const perUnit = page.convert('length_m', 1, true),
        ticks = d3.scaleLinear([this.low * perUnit, this.high * perUnit], [0, 1]).ticks(5);
      for (const v of row === 'all' ? ticks : []) {
        const p = at(v / perUnit, 0, front + 1.5);
        word({ ...p, y: p.y + 1.6 * font }, `${page.plain(v)}\u00a0${page.unit('length_m')}`);
      }
      const side = row === 'all' ? this.low - 0.8 : rows[Number(row)] - 0.5 * this.result.inputs.canopy_width - 0.8,
        foot = at(side, 0, front),
        head = at(side, top, front);
      marks.push(page.svg('line', { x1: foot.x, x2: head.x, y1: foot.y, y2: head.y, class: 'voxel-line' }));
      word({ ...head, x: head.x - 4 }, page.q('length_m', top, 2), 'end');
      if (!page.windless(this.result)) {
        const angle = (this.result.inputs.wind_angle * Math.PI) / 180,
          ux = Math.cos(angle) * this.result.sign,
          uz = -Math.sin(angle),
          middle = row === 'all' ? 0.5 * (this.low + this.high) : rows[Number(row)],
          long = row === 'all' ? 0.12 * (this.high - this.low) : 1,
          a = at(middle - long * ux, 1.35 * top, -long * uz),
          b = at(middle + long * ux, 1.35 * top, long * uz),
          turn = (180 / Math.PI) * Math.atan2(b.y - a.y, b.x - a.x);
        marks.push(
          page.svg('line', { x1: a.x, y1: a.y, x2: b.x, y2: b.y, class: 'voxel-wind' }),
          page.svg('path', {
            d: 'M0,0L-11,-5V5Z',
            transform: `translate(${b.x},${b.y}) rotate(${turn})`,
            class: 'voxel-head',
          }),
        );
        word(
          { ...b, x: b.x + 10, y: b.y + 4 },
          page.t('stage.wind', { speed: page.q('wind_m_s', this.result.inputs.wind_speed) }),
          'start',
          true,
        );
      }
      this.marks.setAttribute('viewBox', `0 0 ${w} ${h}`);
      this.marks.setAttribute('font-size', font);
      this.marks.replaceChildren(...marks);
    }

    draw() {
      if (!this.mesh || this.due) return;
      this.due = true;
      requestAnimationFrame(() => {
        this.due = false;
        this.renderer.render(this.scene, this.camera);
        this.drawMarks();
        this.canvas.dataset.drawn = String(Number(this.canvas.dataset.drawn || 0) + 1);
      });
    }
  }

  const views = [];
  page.voxelViews = views;
  const take = () => {
    const results = page.results();
    for (const view of views.splice(results.length)) view.close();
    results.forEach((result, i) => (views[i] ? views[i].take(result) : (views[i] = new View(result))));
    if (row !== 'all' && !results.some((r) => Number(row) < r.rows.length)) row = 'all';
  };
  page.on('results refined', take);
  take();
  const each = (work) => {
    for (const view of views) work(view);
  };

  const key = () => {
    const top = scaleTop(),
      write = (v) =>
        inTimes() ? page.t('voxels.times', { times: page.plain(v, 2) }) : page.q('per_leaf_uL_cm2', v, 2);
    return page.el(
      'div',
      { 'data-scales': 1 },
      page.el(
        'p',
        { class: 'note' },
        page.many() ? `${page.t('voxels.key')} ${page.t('voxels.one_scale')}` : page.t('voxels.key'),
      ),
      page.el(
        'div',
        { class: 'deposit-scale' },
        page.el('span', {}, write(0)),
        page.svg(
          'svg',
          { viewBox: '0 0 200 10', preserveAspectRatio: 'none', height: 12, 'aria-hidden': 'true' },
          Array.from({ length: 50 }, (_, i) =>
            page.svg('rect', { x: 4 * i, width: 4.2, height: 10, style: { fill: page.depositColour(i / 49) } }),
          ),
        ),
        page.el('span', {}, page.t('voxels.and_more', { value: write(top) })),
      ),
    );
  };

  const describe = (view) => {
    const result = view.result,
      sides = page.points(result, 'canopy/side'),
      share = (third) => sides.map((side) => page.at(result, 'canopy/deposit_of_third', { third, side })[0]),
      part = (third) => page.q('per_100_L', 100 * page.sum(share(third)), 2);
    return page.t('voxels.words', {
      name: page.nameOf(result),
      top: part('top'),
      middle: part('middle'),
      bottom: part('bottom'),
    });
  };

  const content = () => {
    const button = (text, label, work) =>
      page.el('button', { type: 'button', class: 'icon', 'aria-label': label, title: label, onclick: work }, text);
    const rows = Math.max(...page.results().map((r) => r.rows.length));
    each((view) => {
      view.canvas.setAttribute('aria-label', describe(view));
      view.show();
      view.fill();
    });
    if (leafy().length === 0) return [page.el('p', {}, page.t('voxels.bare'))];
    return [
      page.el(
        'div',
        { class: 'watch-top' },
        page.select({
          key: 'voxel-row',
          label: page.t('voxels.row'),
          value: row,
          options: [
            ['all', page.t('voxels.all')],
            ...Array.from({ length: rows }, (_, i) => [i, page.t('row.n', { row: page.whole(i + 1) })]),
          ],
          change: (v) => {
            row = v;
            each((view) => {
              view.fill();
              view.home();
            });
          },
        }),
        page.el(
          'label',
          { class: 'slider' },
          page.el('span', {}, page.t('voxels.cut')),
          page.el('input', {
            type: 'range',
            min: 0,
            max: 1,
            step: 0.05,
            value: cut,
            'data-key': 'cut',
            oninput: (e) => {
              cut = Number(e.target.value);
              each((view) => view.fill());
            },
          }),
        ),
        page.el(
          'label',
          { class: 'slider' },
          page.el('span', {}, page.t('voxels.least')),
          page.el('input', {
            type: 'range',
            min: 0,
            max: 0.9,
            step: 0.05,
            value: deposit,
            'data-key': 'least',
            oninput: (e) => {
              deposit = Number(e.target.value);
              each((view) => view.fill());
            },
          }),
        ),
        page.el(
          'div',
          { class: 'presets', role: 'group', 'aria-label': page.t('voxels.turn') },
          button('↺', page.t('voxels.left'), () => each((v) => v.turn(-0.3, 0))),
          button('↻', page.t('voxels.right'), () => each((v) => v.turn(0.3, 0))),
          button('↑', page.t('voxels.up'), () => each((v) => v.turn(0, -0.2))),
          button('↓', page.t('voxels.down'), () => each((v) => v.turn(0, 0.2))),
          button('+', page.t('look.in'), () => each((v) => v.near(0.8))),
          button('−', page.t('look.out'), () => each((v) => v.near(1.25))),
          page.el(
            'button',
            { type: 'button', class: 'small', 'data-key': 'voxel-home', onclick: () => each((v) => v.home()) },
            page.t('voxels.home'),
          ),
        ),
      ),
      page.el(
        'div',
        { class: `stages of-${views.length}` },
        views.map((view) => page.el('div', { class: 'stage-box' }, page.headOf(view.result), view.box)),
      ),
      key(),
    ];
  };
  page.canopy = () =>
    page.plate('crowns', 'crowns', 'language units theme results refined', content, 'crowns.lead', page.hasLeaves);
}
