/* tests/page/csv.mjs - reads comma-separated values (RFC 4180). */
export const readCsv = (text) => {
  const rows = [[]];
  let field = '',
    quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i];
    if (quoted) {
      if (c === '"' && text[i + 1] === '"') {
        field += '"';
        i++;
      } else if (c === '"') quoted = false;
      else field += c;
    } else if (c === '"') quoted = true;
    else if (c === ',') {
      rows.at(-1).push(field);
      field = '';
    } else if (c === '\r') continue;
    else if (c === '\n') {
      rows.at(-1).push(field);
      field = '';
      rows.push([]);
    } else field += c;
  }
  rows.pop();
  return rows;
};
