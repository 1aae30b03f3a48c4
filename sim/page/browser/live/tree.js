/* sim/page/browser/live/tree.js - the scenario as a tree of values: found and changed by paths, for the simulator as
 * bytes (sim/live/tree.c), for a file as YAML.
 *
 * A value is a text, one in quotes { q: text }, a group { g: [[key, node], ...] }, a list { l: [node, ...] }. */
{
  const tree = (page.tree = {});

  const step = (node, part) =>
    node === undefined ? undefined : node.g ? node.g.find(([key]) => key === part)?.[1] : node.l?.[part];
  /** What stands at a path, ['sprayer', 'nozzles', 0, 'tip'], or undefined. */
  tree.find = (root, path) => path.reduce(step, root);
  /** The text of a value, or undefined. */
  tree.text = (root, path) => {
    const node = tree.find(root, path);
    return typeof node === 'string' ? node : node?.q;
  };
  /** Puts a node at a path; groups on the way are made where there are none. */
  tree.put = (root, path, node) => {
    let at = root;
    path.forEach((part, i) => {
      const last = i === path.length - 1;
      if (at.l) {
        if (last) at.l[part] = node;
        at = at.l[part];
        return;
      }
      let entry = at.g.find(([key]) => key === part);
      if (!entry) at.g.push((entry = [part, { g: [] }]));
      if (last) entry[1] = node;
      else if (typeof entry[1] === 'string') entry[1] = { g: [] }; /* a key with nothing behind it */
      at = entry[1];
    });
  };
  tree.remove = (root, path) => {
    const group = tree.find(root, path.slice(0, -1));
    if (group?.g) group.g = group.g.filter(([key]) => key !== path.at(-1));
  };
  tree.copy = (root) => structuredClone(root);

  const flat = (node) =>
    typeof node === 'string'
      ? `V${node}\0`
      : node.q !== undefined
        ? `Q${node.q}\0`
        : node.g
          ? `G${node.g.map(([key, entry]) => `K${key}\0${flat(entry)}`).join('')}.`
          : `L${node.l.map(flat).join('')}.`;
  tree.bytes = (root) => new TextEncoder().encode(flat(root));

  /* What JSON leaves as it is and YAML does not take. */
  const quoted = (text) =>
    JSON.stringify(text).replace(
      /[\u007f-\u009f\u2028\u2029\ufeff]/g,
      (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
    );
  const keyText = (key) => (/^[A-Za-z_][\w ]*$/.test(key) ? key : quoted(key));
  const isValue = (node) => typeof node === 'string' || node.q !== undefined;
  const valueText = (node) => (typeof node === 'string' ? node : quoted(node.q));
  const lines = (node, pad) => {
    if (node.g)
      return node.g.flatMap(([key, entry]) =>
        isValue(entry)
          ? [`${pad}${keyText(key)}: ${valueText(entry)}`.trimEnd()]
          : [`${pad}${keyText(key)}:`, ...lines(entry, `${pad}  `)],
      );
    return node.l.flatMap((entry) => {
      if (isValue(entry)) return [`${pad}- ${valueText(entry)}`];
      const [first, ...rest] = lines(entry, `${pad}  `);
      return [`${pad}- ${first.slice(pad.length + 2)}`, ...rest];
    });
  };
  /** A scenario file that reads as the same tree. @param remarks lines that stand on top */
  tree.yaml = (root, remarks) =>
    [...remarks.map((remark) => `# ${remark.replace(/\s+/g, ' ')}`), ...lines(root, ''), ''].join('\n');
}
