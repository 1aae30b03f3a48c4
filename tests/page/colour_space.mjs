/* tests/page/colour_space.mjs - how far apart two colours look: CIEDE2000, to eyes of three kinds of colour blindness,
 * and in grey. Colours are sRGB, [red, green, blue] from 0 to 1. */

/* Protanopia, deuteranopia, tritanopia, on linear RGB: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, A
 * physiologically-based model for simulation of color vision deficiency, IEEE Trans. Vis. Comput. Graph. 15 (2009)
 * 1291-1298, severity 1.0 (memory). */
const BLIND = {
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritanopia: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};
/* Rec. ITU-R BT.709: what each primary of sRGB adds to luminance. */
const LUMINANCE = [0.2126, 0.7152, 0.0722];

/* IEC 61966-2-1: the transfer of sRGB. */
const linear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const times = (m, v) => m.map((row) => row.reduce((sum, a, i) => sum + a * v[i], 0));
const clamp = (v) => Math.min(Math.max(v, 0), 1);

/** The eyes by their names: each makes linear RGB of what they see. */
export const EYES = {
  'all colours': (v) => v,
  ...Object.fromEntries(Object.entries(BLIND).map(([name, m]) => [name, (v) => times(m, v).map(clamp)])),
  grey: (v) => Array(3).fill(LUMINANCE.reduce((sum, a, i) => sum + a * v[i], 0)),
};

/* CIE 15: CIELAB under D65, with the matrix of IEC 61966-2-1. */
const labOfLinear = (v) => {
  const xyz = times(
    [
      [0.4124, 0.3576, 0.1805],
      [0.2126, 0.7152, 0.0722],
      [0.0193, 0.1192, 0.9505],
    ],
    v,
  );
  const [x, y, z] = [xyz[0] / 0.9505, xyz[1], xyz[2] / 1.089].map((t) =>
    t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29,
  );
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
};
/** CIELAB of a colour as the eyes see it. */
export const labOf = (rgb, eyes = 'all colours') => labOfLinear(EYES[eyes](rgb.map(linear)));

/** G. Sharma, W. Wu, E. N. Dalal, The CIEDE2000 color-difference formula, Color Res. Appl. 30 (2005) 21-30. */
export const ciede2000 = ([l1, a1, b1], [l2, a2, b2]) => {
  const rad = Math.PI / 180,
    c = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2,
    g = 0.5 * (1 - Math.sqrt(c ** 7 / (c ** 7 + 25 ** 7))),
    p1 = (1 + g) * a1,
    p2 = (1 + g) * a2,
    c1 = Math.hypot(p1, b1),
    c2 = Math.hypot(p2, b2),
    hue = (p, b) => (p === 0 && b === 0 ? 0 : (Math.atan2(b, p) / rad + 360) % 360),
    h1 = hue(p1, b1),
    h2 = hue(p2, b2);
  let turn = 0;
  if (c1 * c2 !== 0) turn = ((h2 - h1 + 540) % 360) - 180;
  const dl = l2 - l1,
    dc = c2 - c1,
    dh = 2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * rad),
    l = (l1 + l2) / 2,
    cm = (c1 + c2) / 2;
  let h = h1 + h2;
  if (c1 * c2 !== 0) h = Math.abs(h1 - h2) <= 180 ? h / 2 : h < 360 ? (h + 360) / 2 : (h - 360) / 2;
  const t =
      1 -
      0.17 * Math.cos((h - 30) * rad) +
      0.24 * Math.cos(2 * h * rad) +
      0.32 * Math.cos((3 * h + 6) * rad) -
      0.2 * Math.cos((4 * h - 63) * rad),
    sl = 1 + (0.015 * (l - 50) ** 2) / Math.sqrt(20 + (l - 50) ** 2),
    sc = 1 + 0.045 * cm,
    sh = 1 + 0.015 * cm * t,
    rc = 2 * Math.sqrt(cm ** 7 / (cm ** 7 + 25 ** 7)),
    rt = -Math.sin(60 * Math.exp(-(((h - 275) / 25) ** 2)) * rad) * rc;
  return Math.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh / sh) ** 2 + rt * (dc / sc) * (dh / sh));
};
