/* sim/page/browser/stage.js - one scene on a canvas, to scale: rows, sprayers, fan air, wind and the droplets of a
 * result, across the rows or from above. What stands still is drawn once: the orchard below all else, the sprayers with
 * their air over it until they have gone, and all words on top. */
{
  const BINS = 28,
    FONT = '"Segoe UI", Roboto, "Helvetica Neue", "Noto Sans", Arial, sans-serif';
  const TAIL_S = 0.045;
  const binOf = (um) => Math.floor(page.sizeShare(um) * (BINS - 1e-6));
  const sizeOfBin = (b) => 10 * 50 ** ((b + 0.5) / BINS);
  const niceStep = (rough) => {
    const p = 10 ** Math.floor(Math.log10(rough));
    return p * [1, 2, 5, 10].find((m) => m * p >= rough * 0.999);
  };

  page.Stage = class {
    constructor(result) {
      this.mode = 'across';
      this.seen = true;
      this.segments = Array.from({ length: BINS }, () => []);
      this.dots = Array.from({ length: BINS }, () => []);
      this.canvas = page.el('canvas', { class: 'stage', tabindex: 0, role: 'img' });
      this.still = document.createElement('canvas');
      this.machines = document.createElement('canvas'); /* sprayers and their air */
      this.words = document.createElement('canvas');
      this.take(result);
      this.watchSize();
      this.watchPointer();
    }

    /** Shows another result in the same view. */
    take(result) {
      if (this.result === result) return;
      const refined = this.result?.paths === result.paths;
      this.result = result;
      if (refined) return; /* what stands and flies is the same */
      this.rows = result.rows;
      this.passes = result.passes.map((p) => ({
        s: result.downwind(p.pass_x),
        alley: p.pass_alley,
        heading: p.pass_heading,
        left: p.pass_left_open,
        right: p.pass_right_open,
        x: p.pass_x,
      }));
      this.headings = null;
      this.sign = result.sign;
      this.airPass = null;
      if (result.air) {
        const middle = result.downwind(result.air.x_m + 0.5 * (result.air.nx - 1) * result.air.dx_m);
        this.airPass = this.passes.reduce(
          (a, p) => (Math.abs(p.s - middle) < Math.abs(a.s - middle) ? p : a),
          this.passes[0],
        );
      }
      if (this.k) this.settle();
    }

    watchSize() {
      new ResizeObserver(() => this.layOut()).observe(this.canvas);
      new IntersectionObserver((entries) => {
        this.seen = entries.at(-1).isIntersecting;
        page.flight.redraw();
      }).observe(this.canvas);
    }

    layOut() {
      const width = this.canvas.clientWidth,
        height = this.canvas.clientHeight;
      if (width < 40 || height < 40) return;
      this.ratio = Math.min(window.devicePixelRatio || 1, 2);
      this.width = width;
      this.height = height;
      this.rem = page.rem();
      this.foot = 2.1 * this.rem;
      for (const c of [this.canvas, this.still, this.machines, this.words]) {
        c.width = Math.round(width * this.ratio);
        c.height = Math.round(height * this.ratio);
      }
      this.look(this.preset || 'orchard');
    }

    /** Chooses what is in view. */
    look(preset) {
      const at = this.result.inputs,
        block = this.result.block,
        high = (this.height || 300) - this.foot;
      const narrow = at.row_spacing;
      let from, to;
      if (preset === 'own') {
        [from, to] = this.own;
      } else if (preset === 'sprayer') {
        const s = (this.airPass || this.passes[Math.floor(this.passes.length / 2)]).s;
        const half = Math.max(1.9 * narrow, (0.5 * 1.45 * at.canopy_height * this.width) / high);
        from = s - half;
        to = s + half;
      } else if (preset === 'far') {
        from = -1.6 * narrow;
        to = 100;
      } else {
        /* The edge of the orchard, with drift in view: on a phone two rows, so that trees are not too small to see. */
        const small = this.width < 620;
        from = -Math.min(block, (small ? 1.6 : 5) * narrow) - 0.4 * narrow;
        to = small ? 14 : 21;
      }
      this.preset = preset;
      this.from = from;
      this.k = this.width / (to - from);
      this.settle();
    }

    /** Puts a stretch across into view, m downwind of the edge. */
    show(from, to) {
      this.own = [from, to];
      this.look('own');
    }

    zoom(by, at) {
      const s = this.from + at / this.k;
      this.k = page.clamp(this.k * by, this.width / 200, this.width / 2);
      this.from = s - at / this.k;
      this.settle();
    }

    pan(pixels) {
      this.from -= pixels / this.k;
      this.settle();
    }

    settle() {
      const at = this.result.inputs;
      this.from = page.clamp(this.from, -this.result.block - 60, 105 - (0.3 * this.width) / this.k);
      this.ground = this.height - this.foot;
      this.middle = 0.5 * this.ground; /* place of y = 0 from above */
      this.colours = Array.from({ length: BINS }, (_, b) => page.sizeColour(sizeOfBin(b)));
      this.radius = Array.from({ length: BINS }, (_, b) => this.dotOf(sizeOfBin(b)));
      this.speed = at.travel_speed / 3.6;
      this.drawStill();
      this.draw(); /* a canvas of a new size is empty, also where nobody sees it now */
      page.flight.redraw();
    }

    /* Half of a dot's width: it grows with the size, with the zoom, and for a class. */
    dotOf(um) {
      const zoomed = page.clamp(Math.sqrt(this.k / 22), page.state.classroom ? 1.6 : 0.75, 2.2);
      return (page.state.classroom ? 1.7 : 1) * zoomed * (0.65 + 1.1 * Math.sqrt(um / 150));
    }

    px(s) {
      return (s - this.from) * this.k;
    }
    pz(z) {
      return this.ground - z * this.k;
    }
    py(y) {
      return this.middle - y * this.k;
    }

    /* ---- what stands still ---- */
    drawStill() {
      const c = this.still.getContext('2d'),
        css = (n) => page.css(n);
      this.ink = {
        sky: css('--stage-sky'),
        low: css('--stage-low'),
        soil: css('--stage-soil'),
        leaf: css('--stage-leaf'),
        wood: css('--stage-wood'),
        text: css('--stage-text'),
        line: css('--stage-line'),
        metal: css('--stage-metal'),
        air: css('--stage-air'),
        follow: css('--stage-follow'),
      };
      const [m, w] = [this.machines, this.words].map((canvas) => {
        const context = canvas.getContext('2d');
        context.setTransform(1, 0, 0, 1, 0, 0);
        context.clearRect(0, 0, canvas.width, canvas.height);
        return context;
      });
      for (const context of [c, m, w]) {
        context.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
        context.lineCap = context.lineJoin = 'round';
      }
      const sky = c.createLinearGradient(0, 0, 0, this.height);
      sky.addColorStop(0, this.ink.sky);
      sky.addColorStop(1, this.ink.low);
      c.fillStyle = this.mode === 'across' ? sky : this.ink.low;
      c.fillRect(0, 0, this.width, this.height);
      if (this.mode === 'across') {
        this.drawAcross(c);
        this.drawAir(m);
        for (const pass of this.passes) if (this.shown(pass)) this.drawSprayer(m, pass);
      } else this.drawAbove(c);
      this.drawEdge(c);
      this.drawWind(w);
      this.drawScale(w);
      this.drawKey(w);
    }

    /* Leaf area as a soft picture: one pixel a voxel, drawn larger. */
    drawCrowns(c, above) {
      const canopy = this.result.canopy,
        view = above ? canopy.above : canopy.side,
        bytes = view.open || (view.open = page.bytesOf(view.bytes));
      const nu = above ? canopy.ny : canopy.nz,
        nx = canopy.nx,
        edge = above ? canopy.edge_along_m : canopy.edge_m;
      const small = document.createElement('canvas');
      small.width = nx + 2;
      small.height = nu + 2;
      const s = small.getContext('2d');
      const [r, g, b] = this.ink[canopy.bare ? 'wood' : 'leaf'].match(/\w\w/g).map((h) => parseInt(h, 16));
      this.rows.forEach((row, i) => {
        const image = s.createImageData(nx + 2, nu + 2);
        for (let u = 0; u < nu; u++)
          for (let x = 0; x < nx; x++) {
            const share = bytes[(i * nu + u) * nx + x] / 255,
              column = this.sign > 0 ? x : nx - 1 - x;
            const p = 4 * ((nu - u) * (nx + 2) + column + 1);
            image.data.set([r, g, b, share > 0 ? 40 + 165 * share : 0], p);
          }
        s.putImageData(image, 0, 0);
        const wide = (nx + 2) * canopy.edge_m * this.k,
          high = (nu + 2) * edge * this.k;
        c.imageSmoothingEnabled = true;
        c.imageSmoothingQuality = 'high';
        if (!above) {
          c.drawImage(small, this.px(row) - wide / 2, this.pz(nu * edge) - edge * this.k, wide, high);
        } else {
          const period = nu * edge,
            tall = this.ground / this.k;
          c.save();
          c.beginPath();
          c.rect(0, 0, this.width, this.ground);
          c.clip();
          for (let y = -Math.ceil(tall / period) * period; y < tall; y += period)
            c.drawImage(
              small,
              1,
              1,
              nx,
              nu,
              this.px(row) - (nx * canopy.edge_m * this.k) / 2,
              this.py(y + period),
              nx * canopy.edge_m * this.k,
              period * this.k,
            );
          c.restore();
        }
      });
    }

    drawAir(c) {
      const air = this.result.air;
      if (!air || !page.flight.air) return;
      const bytes = air.open || (air.open = page.bytesOf(air.bytes)),
        small = document.createElement('canvas');
      small.width = air.nx;
      small.height = air.nz;
      const s = small.getContext('2d'),
        image = s.createImageData(air.nx, air.nz);
      const [r, g, b] = this.ink.air.match(/\w\w/g).map((h) => parseInt(h, 16));
      for (let z = 0; z < air.nz; z++)
        for (let x = 0; x < air.nx; x++) {
          /* what the fan adds to the wind at that height, as it blows at the slice's ends */
          const wind = Math.max(bytes[z * air.nx], bytes[(z + 1) * air.nx - 1]) / 255;
          const share = Math.max(0, bytes[z * air.nx + x] / 255 - 1.08 * wind),
            column = this.sign > 0 ? x : air.nx - 1 - x;
          image.data.set([r, g, b, 205 * share ** 0.75], 4 * ((air.nz - 1 - z) * air.nx + column));
        }
      s.putImageData(image, 0, 0);
      const a = this.result.downwind(air.x_m),
        b2 = this.result.downwind(air.x_m + (air.nx - 1) * air.dx_m);
      const left = Math.min(a, b2) - air.dx_m / 2,
        wide = air.nx * air.dx_m;
      c.imageSmoothingEnabled = true;
      c.imageSmoothingQuality = 'high';
      c.drawImage(
        small,
        this.px(left),
        this.pz(air.z_m + (air.nz - 0.5) * air.dz_m),
        wide * this.k,
        air.nz * air.dz_m * this.k,
      );
    }

    drawAcross(c) {
      const at = this.result.inputs,
        g = this.ground,
        grass = Math.max(2, at.grass_height * this.k);
      c.strokeStyle = this.ink.wood;
      c.lineWidth = Math.max(1.5, 0.08 * this.k);
      for (const row of this.rows) {
        c.beginPath();
        c.moveTo(this.px(row), g);
        c.lineTo(this.px(row), this.pz(0.72 * at.canopy_height));
        c.stroke();
      }
      this.drawCrowns(c, false);
      c.fillStyle = this.ink.soil;
      c.fillRect(0, g, this.width, this.height - g);
      c.fillStyle = this.ink.leaf;
      c.globalAlpha = 0.55;
      c.fillRect(0, g - grass, this.width, grass);
      c.globalAlpha = 1;
    }

    shown(pass) {
      return page.flight.alley === 'all' || pass.alley === Number(page.flight.alley);
    }

    /* From behind: wheels, tank, the ring of the fan, and a dot for each nozzle. */
    drawSprayer(c, pass) {
      const k = this.k,
        x = this.px(pass.s),
        g = this.ground,
        nozzles = this.result.nozzles;
      const tallest = Math.max(...nozzles.map((n) => n.nozzle_height)),
        line = Math.max(1, 0.035 * k);
      c.fillStyle = this.ink.metal;
      c.strokeStyle = this.ink.text;
      c.lineWidth = line;
      for (const side of [-1, 1]) {
        c.beginPath();
        c.roundRect(x + side * 0.62 * k - 0.13 * k, g - 0.7 * k, 0.26 * k, 0.7 * k, 0.08 * k);
        c.fill();
        c.stroke();
      }
      c.beginPath();
      c.roundRect(x - 0.5 * k, g - 1.25 * k, k, 0.95 * k, 0.3 * k);
      c.fill();
      c.stroke();
      if (tallest > 1.7) {
        c.beginPath();
        c.moveTo(x, g - 1.2 * k);
        c.lineTo(x, g - tallest * k);
        c.lineWidth = 3 * line;
        c.stroke();
      }
      c.lineWidth = line;
      c.beginPath();
      c.arc(x, g - 0.85 * k, 0.34 * k, 0, 7);
      c.stroke();
      for (const n of nozzles) {
        const side = n.nozzle_side,
          outward = side * pass.heading * this.sign,
          open = (side < 0 ? pass.left : pass.right) && n.nozzle_flow > 0;
        c.beginPath();
        c.arc(x + outward * n.nozzle_offset * k, g - n.nozzle_height * k, Math.max(1.1, 0.05 * k), 0, 7);
        c.fillStyle = open ? this.ink.follow : this.ink.metal;
        c.fill();
        if (k > 40) c.stroke();
      }
    }

    drawAbove(c) {
      c.fillStyle = this.ink.leaf;
      c.globalAlpha = 0.16;
      c.fillRect(0, 0, this.width, this.ground);
      c.globalAlpha = 1;
      c.fillStyle = this.ink.soil;
      c.globalAlpha = 0.25;
      c.fillRect(this.px(0), 0, this.width, this.ground);
      c.globalAlpha = 1;
      this.drawCrowns(c, true);
      c.fillStyle = this.ink.soil;
      c.fillRect(0, this.ground, this.width, this.height - this.ground);
    }

    /* The arrow lies as the wind does: across the rows its part along them does not show. */
    drawWind(c) {
      const at = this.result.inputs,
        angle = (at.wind_angle * Math.PI) / 180,
        x = 18,
        y = 30;
      const across = Math.cos(angle) * this.sign,
        along = this.mode === 'above' ? Math.sin(angle) : 0;
      const length = 44 * Math.max(0.25, Math.hypot(across, along)),
        ux = across / (Math.hypot(across, along) || 1),
        uy = along / (Math.hypot(across, along) || 1);
      if (at.wind_speed > 0) {
        const x0 = x + (ux < 0 ? 44 : 0),
          y0 = y + (uy > 0 ? 10 : 0),
          x1 = x0 + ux * length,
          y1 = y0 - uy * length;
        c.strokeStyle = c.fillStyle = this.ink.text;
        c.lineWidth = 2.2;
        c.beginPath();
        c.moveTo(x0, y0);
        c.lineTo(x1 - ux * 6, y1 + uy * 6);
        c.stroke();
        c.beginPath();
        c.moveTo(x1, y1);
        c.lineTo(x1 - ux * 10 - uy * 5, y1 + uy * 10 - ux * 5);
        c.lineTo(x1 - ux * 10 + uy * 5, y1 + uy * 10 + ux * 5);
        c.fill();
      }
      c.fillStyle = this.ink.text;
      c.font = `600 ${0.8 * this.rem}px ${FONT}`;
      c.textAlign = 'left';
      c.textBaseline = 'middle';
      const none = page.windless(this.result);
      c.fillText(
        none ? page.t('stage.wind.none') : page.t('stage.wind', { speed: page.q('wind_m_s', at.wind_speed) }),
        none ? x : x + 54,
        y,
      );
    }

    /* The edge of the treated area. */
    drawEdge(c) {
      const g = this.ground;
      c.save();
      c.lineWidth = 1.4;
      c.setLineDash([5, 4]);
      c.strokeStyle = this.ink.line;
      c.beginPath();
      c.moveTo(
        this.px(0),
        this.mode === 'across' ? this.pz(Math.min(1.6 * this.result.inputs.canopy_height, g / this.k)) : 0,
      );
      c.lineTo(this.px(0), g);
      c.stroke();
      c.restore();
    }

    /** Which colour and dot is which size, inside the scene: for those who sit too far off to read beside it. */
    drawKey(c) {
      if (!page.state.classroom) return;
      c.font = `600 ${0.72 * this.rem}px ${FONT}`;
      c.textBaseline = 'middle';
      c.textAlign = 'left';
      const line = 1.15 * this.rem,
        names = page.BANDS.map((_, i) => page.bandName(i)),
        wide = Math.max(...names.map((n) => c.measureText(n).width)) + 2.2 * this.rem,
        x = this.width - wide - 3.4 * this.rem,
        y = 0.5 * this.rem;
      c.globalAlpha = 0.82;
      c.fillStyle = this.ink.sky;
      c.fillRect(x, y, wide, names.length * line + 0.5 * this.rem);
      c.globalAlpha = 1;
      names.forEach((name, i) => {
        const um = page.bandMiddle(i),
          at = y + 0.25 * this.rem + (i + 0.5) * line;
        c.fillStyle = page.sizeColour(um);
        c.beginPath();
        c.arc(x + 0.9 * this.rem, at, this.dotOf(um) * 1.5, 0, 7);
        c.fill();
        c.fillStyle = this.ink.text;
        c.fillText(name, x + 1.8 * this.rem, at);
      });
    }

    drawScale(c) {
      const perUnit = page.convert('length_m', 1, true),
        step = niceStep((78 / this.k) * perUnit) / perUnit,
        g = this.ground;
      c.strokeStyle = c.fillStyle = this.ink.text;
      c.lineWidth = 1;
      c.font = `${0.75 * this.rem}px ${FONT}`;
      c.textBaseline = 'alphabetic';
      for (let i = Math.ceil(this.from / step); i * step < this.from + this.width / this.k; i++) {
        const x = this.px(i * step),
          text = page.plain(i * step * perUnit, 4);
        c.beginPath();
        c.moveTo(x, g + 1);
        c.lineTo(x, g + 6);
        c.stroke();
        c.textAlign = 'center';
        if (x > 14 && x < this.width - 26) c.fillText(text, x, g + 1.15 * this.rem);
      }
      c.textAlign = 'right';
      c.fillText(page.unit('length_m'), this.width - 6, g + 1.15 * this.rem);
      c.font = `${0.7 * this.rem}px ${FONT}`;
      c.textAlign = 'center';
      if (this.px(0) > 5 * this.rem && this.px(0) < this.width - 5 * this.rem)
        c.fillText(page.t('stage.edge'), this.px(0), g + 1.93 * this.rem);
      if (this.mode !== 'across') return;
      c.font = `${0.75 * this.rem}px ${FONT}`;
      c.textAlign = 'right';
      const up = niceStep((64 / this.k) * perUnit) / perUnit;
      for (let i = 1; this.pz(i * up) > 52; i++) {
        const y = this.pz(i * up);
        c.globalAlpha = 0.35;
        c.beginPath();
        c.moveTo(this.width - 6, y);
        c.lineTo(this.width, y);
        c.stroke();
        c.globalAlpha = 1;
        c.fillText(page.q('length_m', i * up, 3), this.width - 10, y + 4);
      }
    }

    /* ---- what moves ---- */
    /* Place on the canvas of a droplet at a time since its release. */
    spot(one, p) {
      const s = this.result.downwind(p.x);
      p.px = (s - this.from) * this.k;
      if (this.mode === 'across') p.py = this.ground - p.z * this.k;
      else {
        const pass = this.headings || (this.headings = new Map(this.passes.map((q) => [q.alley, q.heading])));
        p.py =
          this.middle - ((pass.get(one.alley) || 1) * this.speed * (one.release - page.flight.emit / 2) + p.y) * this.k;
      }
      return p;
    }

    draw() {
      if (!this.k) return;
      const c = this.canvas.getContext('2d'),
        flight = page.flight,
        paths = this.result.paths,
        p = {},
        q = {};
      c.setTransform(1, 0, 0, 1, 0, 0);
      c.drawImage(this.still, 0, 0);
      const here = flight.machines();
      if (here > 0) {
        c.globalAlpha = here;
        c.drawImage(this.machines, 0, 0);
        c.globalAlpha = 1;
      }
      c.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
      if (this.mode === 'above' && here > 0) this.drawSprayersAbove(c, here);
      for (let b = 0; b < BINS; b++) this.segments[b].length = this.dots[b].length = 0;
      let aloft = 0;
      for (const one of paths.track) {
        const tau = flight.t - one.release;
        if (tau < 0 || !flight.shows(one)) continue;
        const ended = tau >= one.end;
        if (ended && one.flies) continue;
        this.spot(one, flight.place(paths, one, Math.min(tau, one.end), p));
        if (!ended) aloft++;
        if (p.px < -20 || p.px > this.width + 20 || p.py < -20) continue;
        const bin = binOf(p.d);
        if (ended) {
          this.dots[bin].push(p.px, p.py);
        } else {
          this.spot(one, flight.place(paths, one, Math.max(0, tau - TAIL_S), q));
          this.segments[bin].push(q.px, q.py, p.px, p.py);
        }
      }
      /* A class looks at the droplet that is followed: the others stand back. */
      const all = page.state.classroom && flight.followed ? 0.35 : 1;
      for (let b = 0; b < BINS; b++) {
        const dots = this.dots[b],
          r = this.radius[b] * 0.85;
        c.fillStyle = this.colours[b];
        c.globalAlpha = 0.8 * all;
        for (let i = 0; i < dots.length; i += 2) c.fillRect(dots[i] - r, dots[i + 1] - r, 2 * r, 2 * r);
      }
      c.lineCap = 'round';
      for (let b = 0; b < BINS; b++) {
        const s = this.segments[b];
        if (s.length === 0) continue;
        c.strokeStyle = this.colours[b];
        c.globalAlpha = 0.4 * all;
        c.lineWidth = this.radius[b] * 1.2;
        c.beginPath();
        for (let i = 0; i < s.length; i += 4) {
          c.moveTo(s[i], s[i + 1]);
          c.lineTo(s[i + 2], s[i + 3]);
        }
        c.stroke();
        c.globalAlpha = all;
        c.lineWidth = 2 * this.radius[b];
        c.beginPath();
        for (let i = 0; i < s.length; i += 4) {
          c.moveTo(s[i + 2], s[i + 3]);
          c.lineTo(s[i + 2] + 0.01, s[i + 3]);
        }
        c.stroke();
      }
      c.globalAlpha = 1;
      this.aloft = aloft;
      this.layWords(c);
      if (flight.followed && flight.followed.result === this.result) this.drawFollowed(c, flight.followed.one);
    }

    /* Words lie over all that moves: those at the top, at the foot, and the heights at the right. */
    layWords(c) {
      const r = this.ratio,
        { width, height } = this.words,
        top = Math.min(Math.round((page.state.classroom ? 8 : 3) * this.rem * r), height),
        foot = Math.min(Math.round((this.foot + 4) * r), height),
        side = Math.min(Math.round(4.5 * this.rem * r), width),
        parts = [
          [0, 0, width, top],
          [0, height - foot, width, foot],
          [width - side, top, side, height - foot - top],
        ];
      c.setTransform(1, 0, 0, 1, 0, 0);
      for (const [x, y, w, h] of parts) if (w > 0 && h > 0) c.drawImage(this.words, x, y, w, h, x, y, w, h);
      c.setTransform(r, 0, 0, r, 0, 0);
    }

    drawSprayersAbove(c, here) {
      const t = Math.min(page.flight.t, page.flight.emit),
        k = this.k;
      c.globalAlpha = here;
      for (const pass of this.passes) {
        if (!this.shown(pass)) continue;
        const x = this.px(pass.s),
          y = this.py(pass.heading * this.speed * (t - page.flight.emit / 2)),
          d = pass.heading;
        c.fillStyle = this.ink.metal;
        c.strokeStyle = this.ink.text;
        c.lineWidth = 1;
        c.beginPath();
        c.roundRect(x - 0.6 * k, y - (d > 0 ? 3 * k : 0), 1.2 * k, 3 * k, 0.2 * k); /* nozzles at its rear end */
        c.fill();
        c.stroke();
        c.beginPath();
        c.moveTo(x, y - d * 2.6 * k);
        c.lineTo(x - 0.3 * k, y - d * 2 * k);
        c.lineTo(x + 0.3 * k, y - d * 2 * k);
        c.closePath();
        c.stroke();
      }
      c.globalAlpha = 1;
    }

    drawFollowed(c, one) {
      const paths = this.result.paths,
        p = {},
        tau = page.flight.t - one.release,
        bold = page.state.classroom ? 1.7 : 1;
      c.strokeStyle = this.ink.follow;
      for (const [ahead, alpha] of [
        [false, 1],
        [true, 0.45],
      ]) {
        c.globalAlpha = alpha;
        c.lineWidth = bold * (ahead ? 1 : 1.8);
        c.setLineDash(ahead ? [3, 3] : []);
        c.beginPath();
        const points = [];
        for (let k = one.first; k < one.first + one.n; k++)
          if (paths.t[k] > tau === ahead) points.push({ x: paths.x[k], y: paths.y[k], z: paths.z[k] });
        const now = flightPoint(paths, one, tau);
        if (ahead) points.unshift(now);
        else points.push(now);
        points.forEach((point, i) => {
          this.spot(one, Object.assign(p, point));
          if (i === 0) c.moveTo(p.px, p.py);
          else c.lineTo(p.px, p.py);
        });
        c.stroke();
      }
      c.setLineDash([]);
      c.globalAlpha = 1;
      this.spot(one, Object.assign(p, flightPoint(paths, one, tau)));
      if (page.state.classroom) {
        c.fillStyle = page.sizeColour(flightPoint(paths, one, tau).d);
        c.beginPath();
        c.arc(p.px, p.py, 7, 0, 7);
        c.fill();
      }
      c.lineWidth = 2.2 * bold;
      c.beginPath();
      c.arc(p.px, p.py, 9 * bold, 0, 7);
      c.stroke();
    }

    /** The droplet nearest to a place on the canvas, within a finger's width. */
    nearest(x, y) {
      const flight = page.flight,
        p = {};
      let best = null,
        least = 22;
      for (const one of this.result.paths.track) {
        const tau = flight.t - one.release;
        if (tau < 0 || !flight.shows(one) || (tau >= one.end && one.flies)) continue;
        this.spot(one, flight.place(this.result.paths, one, Math.min(tau, one.end), p));
        const off = Math.hypot(p.px - x, p.py - y) + (tau >= one.end ? 5 : 0); /* rather one that flies */
        if (off < least) {
          least = off;
          best = one;
        }
      }
      return best;
    }

    watchPointer() {
      let from = null;
      const canvas = this.canvas;
      canvas.addEventListener('pointerdown', (e) => {
        from = { x: e.clientX, y: e.clientY, at: e.clientX, moved: false };
      });
      canvas.addEventListener('pointermove', (e) => {
        if (!from || e.buttons === 0) return;
        if (Math.hypot(e.clientX - from.x, e.clientY - from.y) > 6) from.moved = true;
        if (!from.moved) return;
        canvas.setPointerCapture(e.pointerId);
        page.flight.eachStage((stage) => stage.pan(e.clientX - from.at));
        from.at = e.clientX;
      });
      canvas.addEventListener('pointerup', (e) => {
        if (from && !from.moved) {
          const box = canvas.getBoundingClientRect(),
            one = this.nearest(e.clientX - box.left, e.clientY - box.top);
          page.flight.follow(this.result, one);
        }
        from = null;
      });
      canvas.addEventListener(
        'wheel',
        (e) => {
          if (!e.ctrlKey && !e.metaKey) return; /* the page scrolls */
          e.preventDefault();
          const at = e.clientX - canvas.getBoundingClientRect().left;
          page.flight.eachStage((stage) => stage.zoom(Math.exp(-0.003 * e.deltaY), at));
        },
        { passive: false },
      );
    }
  };

  const flightPoint = (paths, one, tau) => page.flight.place(paths, one, page.clamp(tau, 0, one.end), {});
  page.flight.eachStage = (work) => {
    for (const stage of page.flight.drawn) if (stage.width) work(stage);
  };
  page.flight.air = true;
}
