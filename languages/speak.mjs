// Says the page's English texts in another language. The table of a language has whole texts for keys, and texts with {}
// where something stands in between, whose own words are said in turn. What is not found stays English.

/** Units, numbers and signs alone have nothing to translate. */
const UNITS = /\b(?:mg|g|kg|lb|L|hL|mL|gal|NTU|EUR|USD|kWh|kW|h|min|s|pH|vol|mol|mmol|mS|cm|mm|nm|NTU|w|v|Cu|K|CO|SO|EU|GB|US|NZ|CMC|PVPP)\b/g;
const plain = (text) => !/\p{L}{2}|^\p{L}$/u.test(text.replace(UNITS, ''));
const escape = (text) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
const size = (key) => key.replaceAll('{}', '').length;
const first = (text, change) => text.charAt(0)[change]() + text.slice(1);

/** From a table to a function that says a text: the text in the language, or undefined where it is not known. */
export const speaker = (table) => {
  const whole = new Map(Object.entries(table));
  const forms = [...whole.keys()].filter((key) => key.includes('{}') && key !== '{}: {}').sort((a, b) => size(b) - size(a)).map((key) => ({
    // No form reaches over the end of a sentence.
    match: new RegExp(`^${key.split('{}').map(escape).join('((?:(?![.!?] ).)+?)')}$`, 'u'),
    // A short form that begins with a gap would take the end of any sentence: it needs words it knows there.
    strict: key.startsWith('{}') && size(key) < 20,
    // Tried only where its longest fixed part stands.
    part: key.split('{}').sort((a, b) => b.length - a.length)[0],
    value: whole.get(key),
  }));
  const known = new Map();

  const say = (text) => {
    if (!known.has(text)) {
      if (known.size > 5000) known.clear();
      known.set(text, work(text));
    }
    return known.get(text);
  };
  const or = (text) => say(text) ?? text;
  const pieces = (text, by, all) => {
    const parts = text.split(by);
    if (parts.length < 2) return undefined;
    const said = parts.map(say);
    const enough = all ? said.every((s) => s !== undefined) : said.some((s, i) => s !== undefined && s !== parts[i]);
    return enough ? said.map((s, i) => s ?? parts[i]).join(by) : undefined;
  };
  const exact = (text) => {
    if (whole.has(text)) return whole.get(text);
    // A name inside a sentence has a small letter, a word that begins one a large one; what is all capitals keeps them.
    const large = first(text, 'toUpperCase'), small = first(text, 'toLowerCase');
    if (large !== text && whole.has(large)) {
      const value = whole.get(large);
      return /^\p{Lu}(\p{Ll}|$)/u.test(value) && value !== large ? first(value, 'toLowerCase') : value;
    }
    return small !== text && whole.has(small) ? first(whole.get(small), 'toUpperCase') : undefined;
  };
  const formed = (text) => {
    for (const { match, part, value, strict } of forms) {
      const found = text.includes(part) && text.match(match);
      if (found && !(strict && say(found[1]) === undefined)) {
        let i = 0;
        return value.replaceAll('{}', () => or(found[++i]));
      }
    }
    return undefined;
  };
  // “a, b or c”, where a name may hold such a word itself: the longest known name counts.
  const listed = (text) => {
    const parts = text.split(/(, | or )/);
    let [said, i] = ['', 0];
    while (i < parts.length) {
      let [to, name] = [parts.length, undefined];
      for (; to > i && name === undefined; to -= 2) {
        const part = parts.slice(i, to).join('');
        name = part === text ? undefined : plain(part) ? part : exact(part);
      }
      if (name === undefined) return undefined;
      i = to + 3;
      said += name;
      if (i <= parts.length) said += parts[i - 1] === ', ' ? ', ' : ` ${whole.get('or') ?? 'or'} `;
    }
    return said;
  };
  const work = (text) => {
    const edges = text.match(/^(\s*(?:[!:] )?)([^]*?)(\s*)$/u);
    if (edges[1] || edges[3]) {
      const inner = say(edges[2]);
      return inner === undefined ? undefined : edges[1] + inner + edges[3];
    }
    if (plain(text)) return text;
    const simple = exact(text) ?? formed(text);
    if (simple !== undefined) return simple;
    if (/[^.]\.$/.test(text)) {
      const said = exact(text.slice(0, -1));
      if (said !== undefined) return `${said}.`;
    }
    if (/[.!?] (?=[\p{Lu}\d])/u.test(text)) {
      const parts = text.split(/(?<=[.!?]) (?=[\p{Lu}\d])/u);
      const said = parts.map(say);
      return said.some((s, i) => s !== undefined && s !== parts[i]) ? said.map((s, i) => s ?? parts[i]).join(' ') : undefined;
    }
    const dots = pieces(text, ' · ', false) ?? pieces(text, ' → ', true);
    if (dots !== undefined) return dots;
    const list = listed(text) ?? pieces(text, '; ', true) ?? pieces(text, ', ', true);
    if (list !== undefined) return list;
    const label = text.match(/^([^:]{1,60}): ([^]+)$/);
    if (label) {
      const said = say(label[1]);
      if (said !== undefined) return (whole.get('{}: {}') ?? '{}: {}').replace('{}', said).replace('{}', () => or(label[2]));
    }
    const aside = text.match(/^(.+) \(([^()]+)\)(\.?)$/);
    if (aside) {
      const said = say(aside[1]);
      if (said !== undefined) return `${said} (${or(aside[2])})${aside[3]}`;
    }
    return undefined;
  };
  return say;
};
