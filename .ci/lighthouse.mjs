// Lighthouse on the built page, as on a mobile phone: the median of five runs. The bars are those of the project: performance 95, accessibility 100.
import { spawn } from 'node:child_process';
import { createServer } from 'node:http';
import { mkdtempSync, readFileSync, existsSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';

const RUNS = 5;
const { default: lighthouse } = await import(pathToFileURL(createRequire(new URL('../tests/lighthouse/', import.meta.url)).resolve('lighthouse')).href);
// As a plain static host serves it: gzip, and no more.
const types = { '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.wasm': 'application/wasm', '.png': 'image/png', '.svg': 'image/svg+xml', '.webmanifest': 'application/manifest+json' };
const packed = new Map();
const server = createServer((request, response) => {
  const name = new URL(request.url, 'http://localhost').pathname.replace(/^\/$/, '/index.html').slice(1);
  if (name.includes('..') || !existsSync(join('dist', name))) { response.writeHead(404).end(); return; }
  if (!packed.has(name)) packed.set(name, gzipSync(readFileSync(join('dist', name)), { level: 9 }));
  response.writeHead(200, { 'content-type': types[extname(name)] || 'application/octet-stream', 'content-encoding': 'gzip', 'cache-control': 'no-cache' }).end(packed.get(name));
});
await new Promise((r) => server.listen(0, '127.0.0.1', r));

const home = mkdtempSync(join(tmpdir(), 'stillbright-lighthouse-'));
const chrome = spawn(process.env.CHROMIUM, ['--headless=new', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync',
  '--remote-debugging-port=0', `--user-data-dir=${home}`, 'about:blank'], { stdio: 'ignore' });
const portFile = join(home, 'DevToolsActivePort');
try {
  for (let i = 0; !existsSync(portFile); i++) { if (i > 300) throw new Error('Chromium did not start'); await new Promise((r) => setTimeout(r, 100)); }
  const port = Number(readFileSync(portFile, 'utf8').split('\n')[0]);
  const runs = [];
  for (let i = 0; i < RUNS; i++) {
    const { lhr } = await lighthouse(`http://127.0.0.1:${server.address().port}/`, { port, output: 'json', logLevel: 'error', onlyCategories: ['performance', 'accessibility'] });
    if (lhr.runtimeError) throw new Error(lhr.runtimeError.message);
    const number = (audit) => lhr.audits[audit].numericValue;
    runs.push({ performance: 100 * lhr.categories.performance.score, accessibility: 100 * lhr.categories.accessibility.score,
      'first paint, ms': number('first-contentful-paint'), 'largest paint, ms': number('largest-contentful-paint'), 'blocked, ms': number('total-blocking-time'),
      'shift, thousandths': 1000 * number('cumulative-layout-shift'), 'usable, ms': number('interactive') });
    if (i === 0) for (const { id } of lhr.categories.accessibility.auditRefs) if (lhr.audits[id].score === 0) console.log(`accessibility: ${lhr.audits[id].title}`);
  }
  const row = (name, ...cells) => console.log(name.padEnd(34), ...cells.map((c) => String(c).padStart(14)));
  row(`Lighthouse, mobile, ${RUNS} runs`, 'least', 'median', 'most');
  const medians = {};
  for (const key of Object.keys(runs[0])) {
    const all = runs.map((r) => r[key]).sort((a, b) => a - b);
    medians[key] = all[RUNS >> 1];
    row(key, ...[all[0], all[RUNS >> 1], all[RUNS - 1]].map((n) => Math.round(n)));
  }
  for (const [key, least] of [['performance', 95], ['accessibility', 100]]) {
    if (medians[key] < least) { console.error(`error: ${key} is ${Math.round(medians[key])}, under ${least}`); process.exitCode = 1; }
  }
} finally {
  await new Promise((r) => { chrome.once('exit', r); chrome.kill('SIGKILL'); });
  server.closeAllConnections();
  server.close();
  rmSync(home, { recursive: true, force: true, maxRetries: 5 });
}
