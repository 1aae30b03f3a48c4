/* tests/page/checks.mjs - a small list of named checks with one line each, and a closing line that counts. */
let passed = 0,
  failed = 0;

export const check = async (name, work) => {
  try {
    const said = await work();
    console.log(`ok - ${name}${said ? ` (${said})` : ''}`);
    passed++;
  } catch (error) {
    console.log(
      `not ok - ${name}\n    ${String(error.stack || error)
        .split('\n')
        .slice(0, 6)
        .join('\n    ')}`,
    );
    failed++;
  }
};
export const must = (truth, words) => {
  if (!truth) throw new Error(words);
};
export const near = (a, b, tolerance, words) => must(Math.abs(a - b) <= tolerance, `${words}: ${a} and ${b}`);
export const close = () => {
  console.log(`${passed} passed, ${failed} failed`);
  return failed === 0 && passed > 0 ? 0 : 1;
};
/** The first number in a text of the page. */
export const number = (text) => Number(/[−-]?[\d.]+/.exec(text.replaceAll(',', ''))[0].replace('−', '-'));
