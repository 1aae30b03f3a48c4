/* sim/page/browser/core.js - the one global name of the page, its state, and short ways to make elements.
 *
 * No text ever goes through a parser: elements are made by name and texts are set as text, so that a name with markup
 * in it shows as it is written. */
'use strict';
const page = {
  state: { language: 'en', units: 'metric', theme: 'auto', result: 0 },
  /* Marks that turn the direction of writing or nest it would reach beyond the name that holds them: they go. */
  parse: (text) => JSON.parse(text.replace(/[\u202a-\u202e\u2066-\u2069]|\\u(202[a-e]|206[6-9])/gi, '')),
  measured: {},
};
page.data = page.parse(document.getElementById('data').textContent);

{
  const listeners = new Map();

  /** Calls work() whenever one of the named parts of the state changes. */
  page.on = (names, work) => {
    for (const name of names.split(' ')) {
      if (!listeners.has(name)) listeners.set(name, new Set());
      listeners.get(name).add(work);
    }
  };
  page.emit = (name) => {
    for (const work of listeners.get(name) || []) work();
  };
  /** Changes a part of the state. */
  page.set = (name, value) => {
    if (page.state[name] === value) return;
    page.state[name] = value;
    page.emit(name);
  };

  const fill = (node, attributes, children) => {
    for (const [key, value] of Object.entries(attributes || {})) {
      if (value === null || value === undefined || value === false) continue;
      if (key.startsWith('on')) node.addEventListener(key.slice(2), value);
      else if (key === 'style') for (const [k, v] of Object.entries(value)) node.style.setProperty(k, v);
      else if (key === 'value' || key === 'checked' || key === 'disabled') node[key] = value;
      else node.setAttribute(key, value === true ? '' : String(value));
    }
    node.append(...children.flat(3).filter((c) => c !== null && c !== undefined && c !== false));
    return node;
  };
  /** An element: el('p', {class: 'note'}, 'text', other, [more]). */
  page.el = (name, attributes, ...children) => fill(document.createElement(name), attributes, children);
  page.svg = (name, attributes, ...children) =>
    fill(document.createElementNS('http://www.w3.org/2000/svg', name), attributes, children);

  /** A name of somebody's own choice: it keeps its direction of writing to itself. */
  page.bdi = (text) => page.el('bdi', {}, text);
  /** The same inside a text. */
  page.apart = (text) => `\u2068${text}\u2069`;

  let ids = 0;
  page.id = (stem) => `${stem}-${++ids}`;

  page.clamp = (x, low, high) => Math.min(Math.max(x, low), high);
  page.sum = (numbers) => numbers.reduce((a, b) => a + b, 0);
  /** A number from 0 to 1 that belongs to a whole number (the finalizer of MurmurHash3; public domain). */
  page.hash = (i) => {
    let h = (i + 0x9e3779b9) | 0;
    h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
    h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
    return ((h ^ (h >>> 16)) >>> 0) / 4294967296;
  };
}
