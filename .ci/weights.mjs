// What each library and each file of data weighs. A second build of the page keeps the names of its functions (dist is not touched):
// bytes of code are added up by the library that a name begins with. Calls put in place of a function count where they stand,
// and of functions that came out alike one is left, so a small library may weigh more or less than is said.
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { features, optimise } from './optimise.mjs';
import { row } from './measure.mjs';
import { knowledge, sizes } from './sizes.mjs';
import { trim } from './trim.mjs';

const LEAST = 500;
const NAMED = 'target/bench/named';

// The little of the binary format that is needed: sections, vectors, numbers of seven bits a byte.
const reader = (bytes, at = 0, end = bytes.length) => {
  const r = {
    get at() { return at; },
    get more() { return at < end; },
    number: () => { let n = 0; for (let shift = 0; ; shift += 7) { const byte = bytes[at++]; n += (byte & 127) * 2 ** shift; if (byte < 128) return n; } },
    byte: () => bytes[at++],
    skip: (n) => { at += n; },
    text: () => { const n = r.number(); at += n; return bytes.toString('utf8', at - n, at); },
    part: () => { const n = r.number(); at += n; return reader(bytes, at - n, at); },
    size: () => end - at,
  };
  return r;
};
const limits = (r) => { if (r.number() & 1) r.number(); r.number(); };
/** Functions with their names and bytes of code, and the sections with theirs. */
export const anatomy = (bytes) => {
  const [functions, sections, names] = [[], {}, new Map()];
  let imported = 0;
  for (const all = reader(bytes, 8); all.more;) {
    const id = all.byte();
    const part = all.part();
    const name = id === 0 ? part.text() : ['', 'types', 'imports', 'functions', 'tables', 'memory', 'globals', 'exports', 'start', 'elements', 'code', 'data', 'data count', 'tags'][id] ?? `section ${id}`;
    sections[name] = (sections[name] ?? 0) + part.size();
    if (id === 2) {
      for (let n = part.number(); n > 0; n--) {
        part.text(); part.text();
        const kind = part.byte();
        if (kind === 0) { imported += 1; part.number(); } else if (kind === 1) { part.byte(); limits(part); } else if (kind === 2) limits(part); else part.skip(2);
      }
    } else if (id === 10) {
      for (let n = part.number(); n > 0; n--) { const from = part.at; part.part(); functions.push(part.at - from); }
    } else if (name === 'name') {
      while (part.more) {
        const what = part.byte();
        const inner = part.part();
        if (what === 1) for (let n = inner.number(); n > 0; n--) names.set(inner.number(), inner.text());
      }
    }
  }
  return { sections, functions: functions.map((size, i) => ({ name: names.get(imported + i) ?? '', size })) };
};

const STANDARD = new Set(['core', 'alloc', 'std', 'compiler_builtins', 'hashbrown', 'dlmalloc', '__rustc']);
/** The library of a name, and of our own its room. What the standard library does with a type of another library is brought by that type. */
export const library = (name) => {
  // Behind a library's name stands a number that tells two versions apart.
  const all = [...name.replace(/\[[0-9a-f]{8,}\]/g, '').matchAll(/(?<![\w:])([A-Za-z_]\w*)::(\w+)/g)].map(([, crate, room]) => (crate === 'stillbright' ? `${crate}::${room}` : crate));
  const first = all.find((crate) => !STANDARD.has(crate));
  if (all.length) return STANDARD.has(all[0]) ? first ?? 'std' : all[0];
  return /^<?[*&(]*(str|char|bool|[fiu]\d+|[iu]size|\[)/.test(name) ? 'std' : 'glue, and what has no name';
};

export const named = () => {
  rmSync(NAMED, { recursive: true, force: true });
  mkdirSync(NAMED, { recursive: true });
  execFileSync('wasm-bindgen', ['--target', 'web', '--no-typescript', '--out-dir', NAMED, 'target/web/wasm32-unknown-unknown/release/stillbright.wasm'], { stdio: 'inherit' });
  const wasm = join(NAMED, 'stillbright_bg.wasm');
  trim(wasm, join(NAMED, 'stillbright.js'), [...features, '-g']);
  optimise(wasm, { names: true });
  return wasm;
};

const file = (name, path) => row(name, ...sizes(typeof path === 'string' ? readFileSync(path) : path));
const within = (dir) => readdirSync(dir).map((f) => join(dir, f));
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { functions, sections } = anatomy(readFileSync(named()));
  const nameless = functions.filter((f) => !f.name).length;
  if (nameless > functions.length / 20) throw new Error(`${nameless} of ${functions.length} functions have no name`);
  const libraries = new Map();
  for (const { name, size } of functions) libraries.set(library(name), (libraries.get(library(name)) ?? 0) + size);
  const code = functions.reduce((n, f) => n + f.size, 0);
  const share = (n) => `${(100 * n / code).toFixed(1)} %`;
  row('code by library, bytes', 'raw', 'of the code');
  const [big, small] = [[], []];
  for (const entry of [...libraries].sort((a, b) => b[1] - a[1])) (entry[1] >= LEAST ? big : small).push(entry);
  for (const [name, size] of big) row(name, size, share(size));
  const rest = small.reduce((n, [, size]) => n + size, 0);
  row(`${small.length} others, each under ${LEAST}`, rest, share(rest));
  row(`${functions.length} functions in all`, code, share(code));
  row('beside the code', '');
  for (const [name, size] of Object.entries(sections)) if (size >= LEAST && !['code', 'name'].includes(name)) row(`  ${name}`, size);
  row('files, bytes', 'raw', 'gzip -9', 'brotli -11');
  const wasms = readdirSync('dist', { recursive: true }).filter((f) => f.endsWith('.wasm'));
  for (const f of wasms) file(f, join('dist', f));
  file('knowledge, in the wasm', knowledge());
  file('demo wines, in the wasm', Buffer.concat(within('demo-data').filter((f) => /\/\d\d-.*\.json$/.test(f)).map((f) => readFileSync(f))));
  for (const f of ['languages', 'glossary'].flatMap((dir) => within(join('dist', dir)))) file(f.replace('dist/', ''), f);
}
