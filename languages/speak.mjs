// Says the page's English texts in another language. The table of a language has whole texts for keys, and texts with {}
// where something stands in between, whose own words are said in turn. What is not found stays English.

/** Units, numbers and signs alone have nothing to translate. */
const UNITS =
  /\b(?:mg|g|kg|lb|L|hL|mL|gal|NTU|EUR|USD|kWh|kW|h|min|s|pH|vol|mol|mmol|mS|cm|mm|nm|NTU|w|v|Cu|K|CO|SO|EU|GB|US|NZ|CMC|PVPP)\b/g;
const plain = (text) => !/\p{L}{2}|^\p{L}$/u.test(text.replace(UNITS, ""));
const escape = (text) => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
const size = (key) => key.replaceAll("{}", "").length;
const first = (text, change) => text.charAt(0)[change]() + text.slice(1);

/** The end of a sentence: a point, a gap, and what begins one, a unit too. No citation ends at its “Reg.”. */
const END = "(?<=[.!?])(?<!\\b(?:Reg|cl|Art)\\.) (?=[\\p{Lu}\\d“]|mg/L )";
const ENDS = new RegExp(END, "u");
/** What a gap takes, and a form as a pattern: neither reaches over the end of a sentence, nor does a space beside a gap. */
const GAP = `((?:(?!${END}).)+?)`;
const pattern = (key) => {
  const parts = key.split("{}").map((part) => escape(part).replace(/^ /, () => `(?!${END}) `));
  return new RegExp(`^${parts.join(GAP)}$`, "u");
};
/** How a thing is known, and the keys of its sources. */
const CITED = /^[\p{L} ]+ · [\p{Lu}\d.,() -]+$/u;

/** From a table to a function that says a text: the text in the language, or undefined where it is not known. */
export const speaker = (table) => {
  const whole = new Map(Object.entries(table));
  const forms = [...whole.keys()]
    .filter((key) => key.includes("{}") && key !== "{}: {}")
    .sort((a, b) => size(b) - size(a))
    .map((key) => ({
      // Made when first tried.
      made: undefined,
      get match() {
        return (this.made ??= pattern(key));
      },
      leads: key.startsWith("{}"),
      ends: key.endsWith("."),
      // A short form that begins with a gap would take the end of any sentence: it needs words it knows there.
      strict: key.startsWith("{}") && size(key) < 20,
      // Tried only where its longest fixed part stands.
      part: key.split("{}").sort((a, b) => b.length - a.length)[0],
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
  // As the language sets its colon.
  const semicolon = (whole.get("{}: {}") ?? "").replaceAll("{}", "").replace(":", ";") || "; ";
  const pieces = (text, by, all) => {
    const parts = text.split(by);
    if (parts.length < 2) return undefined;
    const said = parts.map(say);
    const enough = all
      ? said.every((s) => s !== undefined)
      : said.some((s, i) => s !== undefined && s !== parts[i]);
    return enough
      ? said.map((s, i) => s ?? parts[i]).join(by === "; " ? semicolon : by)
      : undefined;
  };
  // What stands between “; ”, but for what stands together in the table, in a text or a form that has a “; ” of its own.
  const listing = (text) => {
    const parts = text.split(/; (?![^([]*[)\]])/);
    if (parts.length < 2 || ENDS.test(text) || text.includes(" · ")) return undefined;
    const all = [];
    for (let i = 0; i < parts.length;) {
      let to = parts.length + 1,
        said;
      while (said === undefined && --to > i + 1) {
        const run = parts.slice(i, to).join("; ");
        said = exact(run) ?? formed(run, true);
      }
      said ??= say(parts[i]);
      if (said === undefined) return undefined;
      all.push(said);
      i = to;
    }
    return all.join(semicolon);
  };
  const exact = (text) => {
    if (whole.has(text)) return whole.get(text);
    // A name inside a sentence has a small letter, a word that begins one a large one; what is all capitals keeps them.
    const large = first(text, "toUpperCase"),
      small = first(text, "toLowerCase");
    if (large !== text && whole.has(large)) {
      const value = whole.get(large);
      return /^\p{Lu}(\p{Ll}|$)/u.test(value) && value !== large
        ? first(value, "toLowerCase")
        : value;
    }
    return small !== text && whole.has(small) ? first(whole.get(small), "toUpperCase") : undefined;
  };
  // With `one`, no gap takes more than one piece of a list, but in a sentence, nor a label where the form begins with a gap.
  const wide = (form, gaps) =>
    gaps.some((gap) => (!form.ends && gap.includes("; ")) || (form.leads && gap.includes(": ")));
  const formed = (text, one) => {
    for (const form of forms) {
      const found = text.includes(form.part) && text.match(form.match);
      if (
        found &&
        !(one && wide(form, found.slice(1))) &&
        !(form.strict && named(found[1]) === undefined)
      ) {
        let i = 0;
        return form.value.replaceAll("{}", () => or(found[++i]));
      }
    }
    return undefined;
  };
  // A name with figures behind or before it.
  const counted = (text) => {
    const [, name, behind] = text.match(/^(\D+?)( [±≤≥<>−-]?\d[^\p{L}]*)$/u) ?? [];
    const [, before, of] = text.match(/^([±≤≥<>−-]?\d[\d.,–−-]* )(\D+)$/u) ?? [];
    const said = exact(name ?? of ?? "");
    return said && (before ?? "") + said + (behind ?? "");
  };
  // A name with something in brackets, which may hold brackets itself.
  const bracketed = (text) => {
    const [, name, inner] = text.match(/^([^(]+?) \((.+)\)$/) ?? [];
    let depth = 0;
    const even = inner && [...inner].every((c) => (depth += (c === "(") - (c === ")")) >= 0);
    const said = even && exact(name);
    return said ? `${said} (${or(inner)})` : undefined;
  };
  const named = (text) =>
    plain(text)
      ? text
      : (exact(text) ?? counted(text) ?? bracketed(text) ?? listed(text) ?? formed(text));
  const link = (by) => (by === ", " ? by : by === ", then " ? `${or(", then")} ` : ` ${or("or")} `);
  // “a, b or c”, where a name may hold such a word itself: the longest known name counts.
  const listed = (text) => {
    const parts = text.split(/(, then |, | or )/);
    let [said, i] = ["", 0];
    while (i < parts.length) {
      let [to, name] = [parts.length, undefined];
      for (; to > i && name === undefined; to -= 2) {
        const part = parts.slice(i, to).join("");
        name =
          part === text
            ? undefined
            : plain(part)
              ? part
              : (exact(part) ?? counted(part) ?? bracketed(part));
      }
      if (name === undefined) return undefined;
      i = to + 3;
      said += name;
      if (i <= parts.length) said += link(parts[i - 1]);
    }
    return said;
  };
  // Sentences one by one, but those that stand together in the table; some are enough.
  const sentences = (text) => {
    const parts = text.split(ENDS);
    if (parts.length < 2) return undefined;
    const all = [];
    let known = false;
    for (let i = 0; i < parts.length;) {
      let to = parts.length + 1,
        said;
      while (said === undefined && --to > i + 1) said = exact(parts.slice(i, to).join(" "));
      said ??= say(parts[i]);
      known ||= said !== undefined && said !== parts[i];
      all.push(said ?? parts[i]);
      i = to;
    }
    return known ? all.join(" ") : undefined;
  };
  const labelled = (name, text) =>
    (whole.get("{}: {}") ?? "{}: {}").replace("{}", () => name).replace("{}", () => text);
  // “name: text” by the first name that is known; with `all`, only where the text stands in the table too.
  const label = (text, all) => {
    for (let at = text.indexOf(": "); at > 0; at = text.indexOf(": ", at + 1)) {
      const [name, rest] = [text.slice(0, at), text.slice(at + 2)];
      const said =
        all && !exact(rest) ? undefined : (exact(name) ?? (at <= 60 ? say(name) : undefined));
      if (said !== undefined) return labelled(said, or(rest));
    }
    return undefined;
  };
  const aside = (text, shape, by) => {
    const [, before, open, inner, close] = text.match(shape) ?? [];
    const said = before && by(before);
    return said === undefined ? undefined : `${said} ${open}${or(inner)}${close}`;
  };
  const work = (text) => {
    const edges = text.match(/^(\s*(?:[!:·;] )?)([^]*?)((?: ·)?\s*)$/u);
    if (edges[1] || edges[3]) {
      const inner = say(edges[2]);
      return inner === undefined ? undefined : edges[1] + inner + edges[3];
    }
    if (plain(text)) return text;
    // What stands whole in the table, and a list, come before a form that would take them into one gap.
    const simple =
      exact(text) ?? formed(text, true) ?? label(text, true) ?? listing(text) ?? formed(text);
    if (simple !== undefined) return simple;
    if (/[^.]\.$/.test(text)) {
      const said = exact(text.slice(0, -1));
      if (said !== undefined) return `${said}.`;
    }
    return (
      aside(text, /^([^]+[.!?]) ([([])([^()[\]]+)([)\]])$/, say) ??
      (text.split("; ").every((part) => CITED.test(part)) ? pieces(text, "; ", true) : undefined) ??
      pieces(text, " · ", false) ??
      sentences(text) ??
      pieces(text, " → ", true) ??
      listed(text) ??
      counted(text) ??
      bracketed(text) ??
      pieces(text, ", ", true) ??
      aside(text, /^([^]+?) ([([])([^()[\]]+)([)\]]\.?)$/, exact) ??
      label(text) ??
      aside(text, /^([^]+) ([([])([^()[\]]+)([)\]]\.?)$/, say)
    );
  };
  return say;
};
