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
      this.box = page.el('div', { class: 'voxel-box' }, this.canvas);
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
      this.box.replaceChildren(why ? page.el('p', { class: 'hint' }, page.t(why)) : this.canvas);
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
      /* As near as all corners allow. */
      const target = new THREE.Vector3(at, 0.45 * top, 0),
        towards = new THREE.Vector3(0.62, 0.42, 0.8).normalize();
      const right = new THREE.Vector3(0, 1, 0).cross(towards).normalize(),
        up = towards.clone().cross(right),
        corner = new THREE.Vector3();
      const tall = Math.tan((0.5 * 32 * Math.PI) / 180) * 0.9,
        wide = tall * this.camera.aspect;
      let far = 1;
      for (const x of [-1, 1])
        for (const y of [0, 1])
          for (const z of [-1, 1]) {
            corner.set(at + x * half, y * top, z * 0.5 * period).sub(target);
            far = Math.max(
              far,
              corner.dot(towards) + Math.abs(corner.dot(right)) / wide,
              corner.dot(towards) + Math.abs(corner.dot(up)) / tall,
            );
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

    draw() {
      if (!this.mesh || this.due) return;
      this.due = true;
      requestAnimationFrame(() => {
        this.due = false;
        this.renderer.render(this.scene, this.camera);
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
