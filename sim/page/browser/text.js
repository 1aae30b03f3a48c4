/* sim/page/browser/text.js - every word of the page comes from text.LANGUAGE.json; this finds it and fills it in. */
{
  const texts = {
    en: JSON.parse(document.getElementById('text-en').textContent),
    es: JSON.parse(document.getElementById('text-es').textContent),
  };
  page.languages = Object.keys(texts);

  const find = (key, values) => {
    const from = texts[page.state.language];
    if (values && typeof values.n === 'number') {
      /* key.one, key.other: by the language's own rule */
      const form = new Intl.PluralRules(page.state.language).select(values.n);
      const text = from[`${key}.${form}`] ?? from[`${key}.other`];
      if (text !== undefined) return text;
    }
    return from[key];
  };

  const cut = (key, values) => {
    const text = find(key, values);
    if (text === undefined) throw new Error(`no text for ${key}`);
    return text.split(/\{(\w+)\}/);
  };

  /** The text of a key, with {names} replaced by values. */
  page.t = (key, values) =>
    cut(key, values)
      .map((part, i) => (i % 2 ? String(values[part]) : part))
      .join('');
  /** The same as a list of nodes: values may be elements. */
  page.nodes = (key, values) => cut(key, values).map((part, i) => (i % 2 ? values[part] : part));
  /** What the program itself says in English and what comes with the data: the page's own words for it (said.KEY), and
   *  the English ones where it has none. */
  page.said = (key, english, values) =>
    find(`said.${key}`, values) === undefined ? english : page.t(`said.${key}`, values);

  /** "a, b and c" in the language. */
  page.list = (words) => new Intl.ListFormat(page.state.language, { type: 'conjunction' }).format(words);
}
