// Reads what the browser's own PDF says: its text by the fonts' tables of characters, and how many pages it has. Enough for
// what Chromium writes, no more.
import { inflateSync } from 'node:zlib';

const streamOf = (body) => {
  const at = body.indexOf('stream');
  if (at < 0) return '';
  const from = body[at + 6] === '\r' ? at + 8 : at + 7;
  const raw = Buffer.from(body.slice(from, body.lastIndexOf('endstream')), 'latin1');
  return /\/FlateDecode/.test(body.slice(0, at)) ? inflateSync(raw).toString('latin1') : raw.toString('latin1');
};

// Glyph to characters, from a ToUnicode table.
const characters = (table) => {
  const map = new Map();
  const text = (hex) => hex.match(/.{4}/g).map((u) => String.fromCharCode(parseInt(u, 16))).join('');
  for (const [, block] of table.matchAll(/beginbfchar([^]*?)endbfchar/g)) {
    for (const [, glyph, to] of block.matchAll(/<(\w+)>\s*<(\w+)>/g)) map.set(parseInt(glyph, 16), text(to));
  }
  for (const [, block] of table.matchAll(/beginbfrange([^]*?)endbfrange/g)) {
    for (const [, low, high, to] of block.matchAll(/<(\w+)>\s*<(\w+)>\s*<(\w+)>/g)) {
      for (let g = parseInt(low, 16); g <= parseInt(high, 16); g++) map.set(g, String.fromCharCode(parseInt(to, 16) + g - parseInt(low, 16)));
    }
  }
  return map;
};

/// What is written on a page: each piece with its size in points and its colour. Follows the matrices and the colours that stand
/// around it, since a picture has its own.
const written = (content, characters) => {
  const times = ([a, b, c, d, e, f], [g, h, i, j, k, l]) => [a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + l];
  const all = [];
  let [now, stack, line] = [{ at: [1, 0, 0, 1, 0, 0], fill: '0 0 0' }, [], [1, 0, 0, 1, 0, 0]];
  let operands = [];
  for (const [token] of content.matchAll(/<[0-9A-Fa-f]*>|\[|\]|\/[^\s/[\]<>()]+|[^\s/[\]<>()]+/g)) {
    if (/^[-+.\d<\/[\]]/.test(token)) { operands.push(token); continue; }
    const numbers = operands.filter((o) => /^[-+.\d]/.test(o)).map(Number);
    if (token === 'q') stack.push({ ...now });
    else if (token === 'Q') now = stack.pop() ?? now;
    else if (token === 'cm') now = { ...now, at: times(numbers, now.at) };
    else if (token === 'rg') now = { ...now, fill: numbers.join(' ') };
    else if (token === 'g') now = { ...now, fill: [numbers[0], numbers[0], numbers[0]].join(' ') };
    else if (token === 'Tf') now = { ...now, font: operands[0].slice(1), size: numbers.at(-1) };
    else if (token === 'Tm') line = numbers;
    else if (token === 'Tj' || token === 'TJ') {
      const [, , c, d] = times(line, now.at);
      const text = operands.filter((o) => o.startsWith('<')).map((hex) => characters(now.font, hex.slice(1, -1))).join('');
      all.push({ text: text.normalize('NFKC'), points: now.size * Math.hypot(c, d), colour: now.fill });
    }
    operands = [];
  }
  return all;
};

/// Pages and text of a PDF, without any white space: lines are broken where the paper ends. Its pieces with size and colour.
export const readPdf = (buffer) => {
  const objects = new Map();
  for (const [, number, body] of buffer.toString('latin1').matchAll(/(\d+) 0 obj\b([^]*?)\bendobj/g)) objects.set(Number(number), body);
  const pages = [...objects.values()].filter((o) => /\/Type\s*\/Page\b(?!s)/.test(o));
  const fonts = new Map();
  const font = (number) => {
    if (!fonts.has(number)) {
      const table = objects.get(number).match(/\/ToUnicode\s+(\d+) 0 R/);
      fonts.set(number, table ? characters(streamOf(objects.get(Number(table[1])))) : new Map());
    }
    return fonts.get(number);
  };
  let [text, pieces] = ['', []];
  for (const page of pages) {
    const names = new Map([...page.matchAll(/\/(F\d+)\s+(\d+) 0 R/g)].map(([, name, number]) => [name, font(Number(number))]));
    const content = streamOf(objects.get(Number(page.match(/\/Contents\s+(\d+) 0 R/)[1])));
    const say = (map, hex) => hex.match(/.{4}/g).map((g) => map.get(parseInt(g, 16)) ?? '\uFFFD').join('');
    pieces.push(...written(content, (font, hex) => say(names.get(font) ?? new Map(), hex)));
    let now = new Map();
    for (const [, name, hex] of content.matchAll(/\/(F\d+)\s+[\d.]+\s+Tf|<([0-9A-Fa-f]+)>/g)) {
      if (name) now = names.get(name) ?? new Map();
      else text += say(now, hex);
    }
  }
  return { pages: pages.length, text: text.normalize('NFKC').replaceAll(/\s/g, ''), pieces };
};

/// Paper sizes with what the margin of 15 mm leaves, px.
export const PAPERS = [['A4', 680], ['Letter', 702]];

/// Text of the page that would be cut on paper: beyond its edge, in a box that hides what is too long, or in a field.
export const cutText = (page) => page.evaluate(() => {
  const cut = [];
  const walker = document.createTreeWalker(document.querySelector('#main'), NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    if (!node.textContent.trim() || !node.parentElement.checkVisibility()) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    if ([...range.getClientRects()].some((r) => r.width > 1 && (r.left < -1 || r.right > innerWidth + 1))) cut.push(node.textContent);
  }
  for (const e of document.querySelectorAll('#main *')) {
    const hides = !['visible', ''].includes(getComputedStyle(e).overflowX) || e.tagName === 'INPUT';
    if (hides && e.checkVisibility() && e.clientWidth > 1 && e.scrollWidth > e.clientWidth + 1) cut.push(e.value || e.textContent);
  }
  return cut;
});
