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

/// Pages and text of a PDF, without any white space: lines are broken where the paper ends.
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
  let text = '';
  for (const page of pages) {
    const names = new Map([...page.matchAll(/\/(F\d+)\s+(\d+) 0 R/g)].map(([, name, number]) => [name, font(Number(number))]));
    const content = streamOf(objects.get(Number(page.match(/\/Contents\s+(\d+) 0 R/)[1])));
    let now = new Map();
    for (const [, name, hex] of content.matchAll(/\/(F\d+)\s+[\d.]+\s+Tf|<([0-9A-Fa-f]+)>/g)) {
      if (name) now = names.get(name) ?? new Map();
      else text += hex.match(/.{4}/g).map((g) => now.get(parseInt(g, 16)) ?? '\uFFFD').join('');
    }
  }
  return { pages: pages.length, text: text.normalize('NFKC').replaceAll(/\s/g, '') };
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
