// A cellar book of 1,000 wines, kept as the app keeps them: the demo wines are added and edited through the page, so that both slots
// are filled, and what it wrote is multiplied under further identifiers, names and days. Opened is counted from the first thing the wasm does (it marks
// #app) to the first painted frame with wines in the list, since what comes before, fetching and compiling, is the same for an empty book;
// the whole way from the start of the navigation stands beside it.
import { PHONE, RUNS, atMost, eyes, host, launch, often, row, spread } from './measure.mjs';

const WINES = 1000;
const MOST = 200;
const site = await host('/tmp/dn');
const browser = await launch();
const open = async (entries) => {
  const context = await browser.newContext(PHONE);
  const page = await context.newPage();
  await page.addInitScript(eyes);
  if (entries) {
    // Storage of this origin, before the page itself is there.
    await page.goto(`${site.address}manifest.webmanifest`);
    await page.evaluate((all) => { for (const [k, v] of all) localStorage.setItem(k, v); }, entries);
  }
  return { context, page };
};
const ready = (page) => page.waitForSelector('#app[data-ready] main');

const { context: first, page: source } = await open();
await source.goto(site.address);
await ready(source);
const demos = await source.locator('section .chip').allInnerTexts();
for (const demo of demos) {
  await source.getByRole('button', { name: demo, exact: true }).click();
  await source.waitForSelector('.ranked li');
  const id = source.url().match(/wine\/([^/]+)/)[1];
  await source.evaluate((h) => { location.hash = h; }, `#/wine/${id}`);
  await source.locator('#field-name').fill(`${demo}, tank`);
  await source.evaluate(() => { location.hash = '#/'; });
  await source.waitForSelector('.wines a');
}
const kept = await source.evaluate(() => Object.entries(localStorage).filter(([k]) => k.startsWith('stillbright/wine/')));
await first.close();
const ids = [...new Set(kept.map(([k]) => k.split('/')[2]))];
if (ids.length < 6 || kept.length !== 2 * ids.length) throw new Error(`${ids.length} wines in ${kept.length} slots`);
const entries = Array.from({ length: WINES }, (_, n) => kept.filter(([k]) => k.split('/')[2] === ids[n % ids.length]).map(([k, text]) => {
  const slot = JSON.parse(text);
  // Days apart, in an order of its own.
  slot.saved -= ((n * 389) % WINES) * 86_400_000;
  slot.wine.name += ` ${n + 1}`;
  const [a, b, id, name] = k.split('/');
  return [[a, b, `${id}${String(n).padStart(4, '0')}`, name].join('/'), JSON.stringify(slot)];
})).flat();

const found = await often(async () => {
  const { context, page } = await open(entries);
  await page.addInitScript((wines) => {
    const set = Element.prototype.setAttribute;
    Element.prototype.setAttribute = function (name, value) { if (name === 'data-ready') window.began ??= performance.now(); return set.call(this, name, value); };
    window.painted('.wines a').then((at) => { window.opened = at; });
    window.painted('.wines a', '', wines).then((at) => { window.whole = at; });
  }, WINES);
  const cdp = await context.newCDPSession(page); await cdp.send('Profiler.enable'); await cdp.send('Profiler.setSamplingInterval', { interval: 200 }); await cdp.send('Profiler.start');
  await page.goto(site.address);
  await page.waitForFunction(() => window.opened && window.whole, null, { timeout: 60000 });
  const times = await page.evaluate(() => ({ opened: window.opened - window.began, whole: window.whole - window.began, start: window.opened }));
  const { profile } = await cdp.send('Profiler.stop');
  const byId = new Map(profile.nodes.map((n) => [n.id, n])); const self = new Map(); const total = new Map();
  for (const n of profile.nodes) for (const c of n.children ?? []) byId.get(c).parent = n;
  profile.samples.forEach((s, i) => { const dt = profile.timeDeltas[i] / 1000; const n = byId.get(s); const name = (x) => x.callFrame.functionName.replace(/\[[0-9a-f]{8,}\]/g, '').slice(0, 110) || x.callFrame.url; self.set(name(n), (self.get(name(n)) ?? 0) + dt); const seen = new Set(); for (let x = n; x; x = x.parent) if (!seen.has(name(x))) { seen.add(name(x)); total.set(name(x), (total.get(name(x)) ?? 0) + dt); } });
  for (const [t, m] of [['self', self], ['total', total]]) { console.log('--', t); for (const [k, v] of [...m].sort((a, b) => b[1] - a[1]).slice(0, 32)) console.log(v.toFixed(1).padStart(8), k); }
  await page.waitForTimeout(500);
  // From a wine back to the book.
  await page.locator('.wines a').nth(3).click();
  await page.waitForSelector('fieldset');
  times.back = await page.evaluate(async () => { const from = performance.now(); location.hash = '#/'; return await window.painted('.wines a') - from; });
  // One wine of the thousand, by its name.
  times.find = await page.evaluate(async () => {
    const field = document.querySelector('#main .sieve input');
    if (!field) return NaN;
    const shown = () => [...document.querySelectorAll('.wines a')].filter((a) => a.checkVisibility()).length;
    const from = performance.now();
    field.value = 'tank 77';
    field.dispatchEvent(new Event('input', { bubbles: true }));
    const at = await window.frame();
    // 77 and 770 to 779.
    return shown() === 11 ? at - from : NaN;
  });
  await context.close();
  return times;
});
await browser.close();
await site.stop();
row(`a book of ${WINES} wines, ms, ${RUNS} runs`, 'least', 'median', 'most');
for (const [key, what, bar] of [['opened', 'opened, from the wasm\'s start', true], ['whole', 'the whole list, from the wasm\'s start', false], ['start', 'opened, from the navigation', false], ['back', 'from a wine back to the book', true], ['find', 'a name typed to find it', true]]) {
  const ms = spread(what, found.map((f) => f[key]));
  if (bar) atMost(`a book of ${WINES} wines, ${what}`, ms, MOST);
}
