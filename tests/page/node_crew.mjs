/* tests/page/node_crew.mjs - the workers of a page, started by node: the same scripts, the same module. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import vm from 'node:vm';
import { Worker } from 'node:worker_threads';

const BROWSER = join(process.env.DRUPELET_SOURCE, 'sim/page/browser');

/** What a page's data block holds. */
export const dataOf = (html) =>
  JSON.parse(/<script type="application\/json" id="data">(.*)<\/script>/.exec(readFileSync(html, 'utf8'))[1]);
const blockOf = (html, id) =>
  new RegExp(`<script type="[a-z/]+" id="${id}">([^]*?)</script>`).exec(readFileSync(html, 'utf8'))[1];

/** The scripts of a page that need no browser, with `page` as they have it. */
export const scripts = (data) => {
  const page = { data, files: data.results, sum: (numbers) => numbers.reduce((a, b) => a + b, 0) };
  const context = vm.createContext({ page, TextEncoder, structuredClone, performance, URLSearchParams });
  for (const name of ['tree', 'crew', 'settings'])
    vm.runInContext(readFileSync(join(BROWSER, `live/${name}.js`), 'utf8'), context, { filename: name });
  return page;
};

/** A crew of n workers with the simulator that a page holds. */
export const crewOf = async (page, html, n) => {
  const module = new WebAssembly.Module(Buffer.from(JSON.parse(blockOf(html, 'simulator')).module, 'base64'));
  const prelude = `const { parentPort } = require('node:worker_threads');
    const self = { postMessage: (message, transfer) => parentPort.postMessage(message, transfer) };
    parentPort.on('message', (data) => self.onmessage({ data }));`;
  const crew = new page.Crew(() => {
    const worker = new Worker(prelude + blockOf(html, 'worker'), { eval: true }),
      face = {
        postMessage: (message, transfer) => worker.postMessage(message, transfer),
        terminate: () => worker.terminate(),
      };
    worker.on('message', (data) => face.onmessage({ data }));
    worker.on('error', (error) => face.onerror({ message: error.message }));
    return face;
  }, module);
  await crew.grow(n);
  return crew;
};
