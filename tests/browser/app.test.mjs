// The whole path on a phone of 360x740, in Chromium.
import { test, before, after } from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, writeFileSync, readFileSync, readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startServer, launch, newPage, ready, axe, save } from './lib.mjs';

let site, browser;
before(async () => { site = await startServer(); browser = await launch(); });
after(async () => { await browser?.close(); await site?.stop(); });
const chip = (page, name) => page.getByRole('button', { name, exact: true });
const root = new URL('../..', import.meta.url).pathname;

test('from a cold start to a ranked, legal list, and back after a reload', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'New wine' }).click();
  await chip(page, 'White').click();
  await chip(page, 'Fermentation over').click();
  await chip(page, 'Protein instability').click();
  await page.getByRole('group', { name: 'Sold in' }).getByRole('button', { name: 'European Union' }).click();
  await chip(page, 'Vegan').click();
  await page.getByRole('link', { name: 'See treatments' }).click();
  await page.waitForSelector('.ranked li');
  assert.match(await page.locator('.answer').innerText(), /measure first.*Bentonite/s);
  const names = await page.locator('.ranked strong').allInnerTexts();
  assert.ok(names.includes('Bentonite, sodium'));
  for (const animal of ['Gelatin', 'Isinglass', 'Casein or potassium caseinate', 'Egg white (albumin)']) assert.ok(!names.includes(animal), animal);
  await page.locator('details.left-out summary').click();
  assert.match(await page.locator('details.left-out').innerText(), /Gelatin\s+Claim Vegan/);
  await page.locator('.ranked a').first().click();
  await page.waitForSelector('h1:has-text("Bentonite, sodium")');
  assert.match(await page.locator('main').innerText(), /Bench ladder[^]*Silica|Cautions[^]*silica/i);
  assert.match(await page.locator('main').innerText(), /Confirm with the authority/);
  await page.goBack();
  await page.waitForSelector('.ranked li');
  await page.reload();
  await page.waitForSelector('.ranked li');
  page.assertClean();
  await context.close();
});

test('what is typed is kept, readable or not, and mending is explained', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'New wine' }).click();
  await page.getByText('Analyses', { exact: true }).click();
  await page.getByLabel('pH', { exact: true }).fill('3,25');
  await page.getByLabel('Free SO₂ (mg/L)').fill('much');
  assert.match(await page.locator('#field-analyses-free_so2-hint').innerText(), /Write a number in mg\/L/);
  await page.reload();
  await ready(page);
  await page.getByText('Analyses', { exact: true }).click();
  assert.equal(await page.getByLabel('pH', { exact: true }).inputValue(), '3,25');
  assert.equal(await page.getByLabel('Free SO₂ (mg/L)').inputValue(), 'much');
  page.assertClean();
  await context.close();
});

test('weights move the list, and advice equals the example to the byte for every demo wine', async () => {
  const { page, context } = await newPage(browser);
  const today = await page.evaluate(() => { const d = new Date(); return [d.getFullYear(), d.getMonth() + 1, d.getDate()].map((n) => String(n).padStart(2, '0')).join('-'); });
  for (const [i, file] of readdirSync(join(root, 'demo-data')).filter((f) => /^\d.*\.json$/.test(f)).sort().entries()) {
    await page.goto(site.address);
    await ready(page);
    await page.locator('section .chip').nth(i).click();
    await page.waitForSelector('.ranked');
    const shown = await save(page, () => page.locator('#save-advice').click());
    const native = execFileSync(join(root, 'target/release/examples/advise'), ['--today', today, join(root, 'demo-data', file)], { encoding: 'utf8' }).trim();
    assert.equal(shown, native, file);
  }
  await page.locator('details.weights summary').click();
  const before = await page.locator('.ranked .soft').nth(1).innerText();
  await page.getByRole('button', { name: 'Effect: less' }).click();
  await page.waitForFunction((t) => document.querySelectorAll('.ranked .soft')[1].innerText !== t, before);
  page.assertClean();
  await context.close();
});

test('copy, delete with undo, export and import', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'Hard young red' }).click();
  await page.waitForSelector('.ranked');
  await page.goto(site.address + '#/');
  await page.waitForSelector('.wines li');
  await page.getByRole('button', { name: /^Copy/ }).click();
  assert.equal(await page.locator('.wines li').count(), 2);
  const text = await save(page, () => page.getByRole('button', { name: /^Export Demo/ }).click());
  await page.getByRole('button', { name: /^Delete Demo/ }).click();
  assert.equal(await page.locator('.wines li').count(), 1);
  await page.getByRole('button', { name: 'Undo' }).click();
  assert.equal(await page.locator('.wines li').count(), 2);
  const dir = mkdtempSync(join(tmpdir(), 'wines-'));
  writeFileSync(join(dir, 'good.json'), text);
  await page.getByLabel('Import a file').setInputFiles(join(dir, 'good.json'));
  await page.getByRole('button', { name: 'Add them to the book' }).click();
  assert.equal(await page.locator('.wines li').count(), 3);
  writeFileSync(join(dir, 'bad.json'), text.replace('"red"', '"blue"'));
  await page.getByLabel('Import a file').setInputFiles(join(dir, 'bad.json'));
  await page.waitForSelector('[role=alert]:has-text("colour")');
  assert.match(await page.locator('.field [role=alert]').innerText(), /blue[^]*white/);
  assert.equal(await page.locator('.wines li').count(), 3);
  page.assertClean();
  await context.close();
});

test('works with the network cut after one load', async () => {
  const own = await startServer();
  const { page, context } = await newPage(browser);
  await page.goto(own.address);
  await ready(page);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await own.stop();
  await context.setOffline(true);
  await page.reload();
  await ready(page);
  await page.getByRole('button', { name: 'Browning organic rosé' }).click();
  await page.waitForSelector('.ranked li');
  page.assertClean();
  await context.close();
});

test('denied and full storage lose nothing on screen and say so', async () => {
  for (const [storage, words] of [['denied', /last until you close it/], ['full', /Storage on this device is full/]]) {
    const { page, context } = await newPage(browser, { storage });
    await page.goto(site.address);
    await ready(page);
    await page.getByRole('button', { name: 'New wine' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Kept on screen');
    assert.match(await page.locator('.banner').innerText(), words);
    await page.goto(site.address + '#/');
    await page.waitForSelector('.wines strong:has-text("Kept on screen")');
    page.assertClean();
    await context.close();
  }
});

test('unreadable data is set aside and can be saved, never overwritten', async () => {
  const { page, context } = await newPage(browser, { seed: { 'stillbright/wine/x/a': '{broken', 'stillbright/wine/y/a': '{"schema":99,"later":1}' } });
  await page.goto(site.address);
  await ready(page);
  await page.waitForSelector('h2:has-text("Set aside")');
  const text = await save(page, () => page.getByRole('button', { name: /^Save as a file/ }).click());
  assert.equal(text, '{broken');
  assert.equal(await page.evaluate(() => localStorage.getItem('stillbright/wine/y/a')), '{"schema":99,"later":1}');
  page.assertClean();
  await context.close();
});

test('a recovery screen shows when the page cannot start', async () => {
  const { page, context } = await newPage(browser);
  await page.route('**/*.wasm', (r) => r.fulfill({ status: 200, contentType: 'application/wasm', body: 'no' }));
  await page.goto(site.address);
  await page.waitForSelector('.recovery');
  assert.match(await page.locator('.recovery').innerText(), /kept on this device/);
  await context.close();
});

test('two to four treatments side by side, differences first, and the address says which', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'Heat-unstable white' }).click();
  await page.waitForSelector('.ranked li');
  await page.getByRole('link', { name: /^Put beside another/ }).first().click();
  await page.waitForSelector('h1:has-text("Side by side")');
  await page.locator('.chips a').first().click();
  await page.waitForSelector('h2:has-text("Where they differ")');
  assert.match(page.url(), /compare\/protein\/bentonite_sodium\+/);
  const text = await page.locator('main').innerText();
  assert.ok(text.indexOf('Takes away') < text.indexOf('Where they are alike'), 'differences first');
  await page.locator('.chips a').first().click();
  await page.locator('.chips a').first().click();
  await page.waitForFunction(() => document.querySelectorAll('.compare thead th').length === 4);
  assert.equal(await page.locator('.chips a').count(), 0, 'four at most');
  await page.getByRole('link', { name: /^Take out/ }).first().click();
  await page.waitForFunction(() => document.querySelectorAll('.compare thead th').length === 3);
  await page.reload();
  await page.waitForSelector('.compare');
  page.assertClean();
  await context.close();
});

test('my cellar fills new wines, and an own price changes the cost', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address + '#/defaults');
  await ready(page);
  await page.getByRole('group', { name: 'Made in' }).getByRole('button', { name: 'Canada' }).click();
  await page.getByLabel('Labour (per hour)').fill('40');
  await page.getByRole('group', { name: 'Chiller' }).getByRole('button', { name: 'Chiller: Not to be had' }).click();
  await page.goto(site.address + '#/');
  await page.reload();
  await ready(page);
  assert.equal(await page.locator('.wines li').count(), 0, 'the defaults are no wine');
  await page.getByRole('button', { name: 'New wine' }).click();
  await chip(page, 'White').click();
  await chip(page, 'Crystals, or their risk').click();
  assert.equal(await page.getByRole('group', { name: 'Made in' }).getByRole('button', { name: 'Canada' }).getAttribute('aria-pressed'), 'true');
  await page.getByRole('link', { name: 'See treatments' }).click();
  await page.waitForSelector('.ranked li');
  await page.locator('details.left-out summary').click();
  assert.match(await page.locator('details.left-out').innerText(), /Static chilling\s+Kit Chiller: not to be had/);
  const cost = () => page.locator('.ranked li', { hasText: 'Metatartaric acid' }).locator('dd').nth(1).innerText();
  const before = await cost();
  await page.locator('.ranked a', { hasText: 'Metatartaric acid' }).first().click();
  await page.getByLabel(/^Metatartaric acid \(per/).fill('50');
  await page.goBack();
  await page.waitForSelector('.ranked li');
  assert.notEqual(await cost(), before);
  page.assertClean();
  await context.close();
});

test('the page about the figures counts what is there', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address + '#/figures');
  await ready(page);
  assert.match(await page.locator('.answer').innerText(), /78 treatments, 193 rules of law, 225 works cited/);
  const shown = await page.locator('section').first().locator('.facts li').allInnerTexts();
  assert.deepEqual(shown.map((t) => Number(t.match(/\d+$/)[0])), [580, 41, 588, 163, 531]);
  page.assertClean();
  await context.close();
});

test('what follows from the analyses: values with their how, the chart, before and after', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'Sparkling base for two markets' }).click();
  await page.getByRole('link', { name: 'What follows from the analyses' }).click();
  await page.waitForSelector('svg.chart');
  assert.match(await page.locator('svg.chart').getAttribute('aria-label'), /saturation: [\d.]+ °C\. storage: 10 °C/);
  assert.match(await page.locator('main').innerText(), /Saturation temperature\s+[\d.]+ °C, ±3 °C/);
  await page.locator('details.how summary').first().click();
  assert.match(await page.locator('details.how[open]').innerText(), /1\.81/);
  const rows = await page.locator('.compare .count').allInnerTexts();
  assert.ok(rows.includes('As it is') && rows.includes('Cation exchange of a tenth'), rows.join());
  page.assertClean();
  await context.close();
});

test('a few answers move the causes, can be taken back, and lead to treatments', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'New wine' }).click();
  await page.getByRole('link', { name: 'Find the cause' }).click();
  await page.waitForSelector('h2:has-text("What tells most")');
  assert.match(await page.locator('.answer').innerText(), /Not settled/);
  const open = () => page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  await open();
  const answer = (question, yes) => page.locator('details').getByRole('button', { name: `${question}: ${yes}` }).click();
  await answer('Are there crystals that glitter or sink at once?', 'Yes');
  await answer('Under the microscope: boat or lens shaped crystals?', 'Yes');
  assert.match(await page.locator('.answer').innerText(), /Most likely potassium bitartrate/);
  await page.reload();
  await ready(page);
  assert.match(await page.locator('.answer').innerText(), /Most likely potassium bitartrate/);
  await open();
  await answer('Under the microscope: boat or lens shaped crystals?', 'Yes');
  await answer('Are there crystals that glitter or sink at once?', 'Yes');
  assert.match(await page.locator('.answer').innerText(), /Not settled/);
  await answer('Has it turned brown?', 'Yes');
  await page.getByRole('link', { name: 'Treatments: Browning' }).click();
  await page.waitForSelector('h1:has-text("Browning")');
  page.assertClean();
  await context.close();
});

test('each stability stands against its limit, and a voided reading no longer passes', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'Sparkling base for two markets' }).click();
  await page.getByRole('link', { name: 'How stable it is' }).click();
  await page.waitForSelector('.bar.limit');
  assert.match(await page.locator('.answer').innerText(), /^Not stable: clarity, protein/);
  const malic = page.locator('.facts').first().locator('> li', { hasText: 'Malolactic fermentation in bottle' });
  assert.match(await malic.innerText(), /stable · 100 % inside/);
  await page.getByRole('group', { name: /Measured before/ }).getByRole('button', { name: 'Malic acid' }).click();
  assert.match(await malic.innerText(), /unknown: measure[^]*Measure again/);
  await page.getByText('Sheet for the laboratory').click();
  const sheet = await save(page, () => page.getByRole('button', { name: 'Save as a file' }).click());
  assert.match(sheet, /^Wine: Demo: sparkling base[^]*Malolactic fermentation in bottle: Malic acid[^]*Copper/);
  page.assertClean();
  await context.close();
});

test('from a wine over a treatment to the printed record', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'Heat-unstable white' }).click();
  await page.waitForSelector('.ranked');
  await page.locator('.ranked a', { hasText: 'Bentonite, sodium' }).first().click();
  await page.getByRole('button', { name: 'Put on the work order' }).click();
  await page.waitForSelector('h1:has-text("Work order")');
  const sheet = page.locator('.sheet');
  // No mass without a bench reading, whatever dose stands in the plan.
  await page.getByLabel('1. Bentonite, sodium (g/hL)').fill('60');
  assert.match(await sheet.innerText(), /First a bench trial of this wine/);
  assert.doesNotMatch(await sheet.innerText(), /Weigh [\d.]+ k?g/);
  await page.getByRole('button', { name: /Not trialled/ }).click();
  assert.match(await sheet.innerText(), /Weigh 2\.52 kg in all: 60 g\/hL[^]*NOT TRIALLED on the bench[^]*Caution\. Bentonite/);
  const text = await save(page, () => page.getByRole('button', { name: /Share/ }).click());
  assert.match(text, /^Work order\n[^]*Confirmed as not trialled on the bench: Bentonite, sodium[^]*Weigh 2\.52 kg/);

  // The log: a day that cannot be read is not taken, an entry is marked and stays.
  await page.getByRole('link', { name: 'What was done' }).click();
  await page.waitForSelector('h1:has-text("What was done")');
  await page.getByLabel('What was done').selectOption('bentonite_sodium');
  assert.equal(await page.getByLabel('Dose given').inputValue(), '60');
  const day = page.getByLabel('Day (year-month-day)');
  const today = await day.inputValue();
  await day.fill('today');
  await page.getByRole('button', { name: 'Add to the log' }).click();
  assert.match(await page.locator('#log-wrong').innerText(), /year-month-day/);
  await day.fill(today);
  await page.getByLabel('Batch of the material').fill('L 7');
  await page.getByRole('button', { name: 'Add to the log' }).click();
  assert.match(await sheet.innerText(), /1\. 20\d\d-\d\d-\d\d: Bentonite, sodium, 60 g\/hL, batch L 7/);
  await page.reload();
  await ready(page);
  assert.match(await sheet.innerText(), /Bentonite, sodium, 60 g\/hL, batch L 7[^]*counts as: fined[^]*no longer counted: turbidity, heat test, rise/);
  // It voids the heat test, which had no day.
  await page.getByRole('link', { name: 'Fit to bottle' }).click();
  await page.waitForSelector('h1:has-text("Fit to bottle")');
  assert.match(await sheet.innerText(), /Not shown fit: [^.]*protein/);
  assert.match(await sheet.innerText(), /Bentonite, sodium \(20[\d-]+\) came after it, or may have/);
  await page.getByText('Looked at, passed or failed').click();
  await page.getByRole('button', { name: 'Clean line: Failed' }).click();
  assert.match(await sheet.innerText(), /Not fit as it stands: [^.]*clean line/);
  await page.getByRole('link', { name: 'What was done' }).click();
  await page.waitForSelector('h1:has-text("What was done")');
  await page.getByText('Mark as an error').click();
  await page.getByRole('button', { name: /^1\. Bentonite, sodium/ }).click();
  assert.match(await sheet.innerText(), /marked as an error: it counts no more[^]*2\. [\d-]+: entry 1 was an error/);
  page.assertClean();

  // Each paper on A4 and on Letter: pages of the browser's own PDF, and only the sheet on them.
  for (const [kind, most, part] of [['order', 4, /Weigh 2\.52 kg/], ['log', 1, /entry 1 was an error/], ['ready', 5, /Clean line: failed/], ['laboratory', 2, /Please measure/], ['summary', 3, /Planned/]]) {
    await page.evaluate((k) => { location.hash = location.hash.replace(/[a-z]+$/, k); }, kind);
    await page.waitForFunction((t) => new RegExp(t).test(document.querySelector('.sheet')?.innerText), part.source);
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    const printed = await page.evaluate(() => document.body.innerText);
    assert.match(printed, part);
    assert.doesNotMatch(printed, /My cellar|Share, or save|Works with no signal|Take out/);
    const colours = await page.evaluate(() => [getComputedStyle(document.documentElement).backgroundColor, getComputedStyle(document.querySelector('.sheet p')).color]);
    assert.deepEqual(colours, ['rgb(255, 255, 255)', 'rgb(0, 0, 0)']);
    for (const format of ['A4', 'Letter']) {
      const pdf = (await page.pdf({ format, preferCSSPageSize: false })).toString('latin1');
      const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g).length;
      assert.ok(pages >= 1 && pages <= most, `${kind} ${format}: ${pages} pages`);
    }
    await page.emulateMedia({ media: 'screen', colorScheme: 'light' });
  }
  await context.close();
});

test('a sheet goes to the share sheet of the device where there is one', async () => {
  const { page, context } = await newPage(browser);
  await page.addInitScript(() => { navigator.share = (d) => { globalThis.shared = d; return Promise.reject(new DOMException('closed', 'AbortError')); }; });
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'Heat-unstable white' }).click();
  await page.waitForSelector('.ranked');
  await page.evaluate(() => { location.hash = location.hash.replace('treatments', 'laboratory'); });
  await page.getByRole('button', { name: /Share/ }).click();
  assert.match(await page.evaluate(() => globalThis.shared.text), /^Sheet for the laboratory\n/);
  page.assertClean();
  await context.close();
});

test('a wine goes over in a link, which asks before it keeps anything and says when it is cut', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'Hard young red' }).click();
  await page.waitForSelector('.ranked');
  await page.evaluate(() => { location.hash = location.hash.replace(/\/treatments.*/, ''); });
  await page.getByText('Hand this wine over').click();
  await page.getByRole('button', { name: 'Make a link' }).click();
  const link = await page.getByLabel('Link with the wine in it').inputValue();
  assert.ok(link.startsWith(`${site.address}#/add/`) && link.length < 4000, String(link.length));
  await page.getByText(`${link.length} characters.`).waitFor();
  // Noise does not pack: refused.
  let seed = 1;
  const noise = Array.from({ length: 12000 }, () => { seed = (seed * 48271) % 2147483647; return String.fromCharCode(33 + (seed % 94)); }).join('');
  await page.getByText('Day and note').click();
  await page.getByLabel('Note').fill(noise);
  await page.getByRole('button', { name: 'Make a link' }).click();
  await page.getByText('too long for a link').waitFor();
  page.assertClean();
  await context.close();

  const other = await newPage(browser);
  await other.page.goto(link);
  await ready(other.page);
  await other.page.getByText('Demo: ').waitFor();
  assert.deepEqual(await axe(other.page), []);
  assert.equal(await other.page.evaluate(() => Object.keys(localStorage).filter((k) => k.includes('/wine/')).length), 0);
  await other.page.getByRole('button', { name: 'Add them to the book' }).click();
  await other.page.waitForSelector('fieldset');
  assert.match(await other.page.getByLabel('Name').inputValue(), /young red|Demo: /);
  for (const bad of [link.slice(0, -40), `${site.address}#/add/!!`, `${site.address}#/add/AAAA`]) {
    await other.page.evaluate((a) => { location.href = a; }, bad);
    await other.page.getByText('This link holds no wine').waitFor();
  }
  other.page.assertClean();
  await other.context.close();
});

test('an analysis keeps the day it is typed for, and loses it when it is typed anew', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('button', { name: 'New wine' }).click();
  await page.getByText('Analyses', { exact: true }).click();
  const measured = page.getByLabel('Measured on (year-month-day)');
  await measured.fill('2026-11-20');
  await page.getByLabel('Turbidity (NTU)').fill('0.6');
  await page.getByText('The day of each analysis').click();
  const day = (value) => page.waitForFunction((v) => document.querySelector('#day-turbidity')?.value === v, value, { timeout: 5000 });
  await day('2026-11-20');
  await page.locator('#day-turbidity').fill('soon');
  assert.match(await page.locator('#day-turbidity-hint').innerText(), /year-month-day/);
  await page.getByText('The day of each analysis').click();
  await measured.fill('');
  await page.getByLabel('Turbidity (NTU)').fill('0.7');
  await page.getByText('The day of each analysis').click();
  await day('');
  page.assertClean();
  await context.close();
});

test('axe finds nothing on any page, light and dark, phone and desktop; nothing scrolls sideways', async () => {
  for (const [colorScheme, width] of [['light', 360], ['dark', 360], ['light', 1280], ['dark', 320]]) {
    const { page, context } = await newPage(browser, { colorScheme, width, height: 740 });
    await page.goto(site.address);
    await ready(page);
    const found = [];
    const check = async (name) => {
      found.push(...(await axe(page)).map((v) => `${name} ${colorScheme} ${width}: ${v}`));
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (wide > 0) found.push(`${name} ${width}: ${wide} px too wide`);
    };
    await check('book');
    await page.getByRole('button', { name: 'Heat-unstable white' }).click();
    await page.waitForSelector('.ranked');
    await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    await check('treatments');
    await page.locator('.ranked a').first().click();
    await page.waitForSelector('table');
    await check('treatment');
    await page.goto(site.address + '#/');
    await page.waitForSelector('.wines a');
    await check('book with a wine');
    await page.locator('.wines a').first().click();
    await page.waitForSelector('fieldset');
    await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    await check('wine');
    await page.goto(site.address + '#/figures');
    await page.waitForSelector('.facts li');
    await check('figures');
    await page.goto(site.address + '#/defaults');
    await page.waitForSelector('fieldset');
    await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    await check('defaults');
    await page.goto(site.address + '#/');
    await page.getByRole('button', { name: 'Organic vegan red' }).click();
    await page.waitForSelector('.ranked');
    const four = ['pasteurisation', 'crossflow_filtration', 'chitosan', 'electrodialysis'].join('+');
    await page.evaluate((keys) => { location.hash = location.hash.replace(/treatments.*/, 'compare/brettanomyces/') + keys; }, four);
    await page.waitForSelector('.compare');
    await check('compare');
    await page.goto(site.address + '#/');
    await page.getByRole('button', { name: 'Sparkling base for two markets' }).click();
    await page.getByRole('link', { name: 'What follows from the analyses' }).click();
    await page.waitForSelector('svg.chart');
    await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    await check('follows');
    await page.evaluate(() => { location.hash = location.hash.replace('follows', 'cause'); });
    await page.waitForSelector('h2:has-text("What tells most")');
    await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    await check('cause');
    await page.evaluate(() => { location.hash = location.hash.replace('cause', 'stability'); });
    await page.waitForSelector('.bar.limit');
    await check('stability');
    for (const kind of ['order', 'log', 'ready', 'laboratory', 'summary']) {
      await page.evaluate((k) => { location.hash = location.hash.replace(/[a-z]+$/, k); }, kind);
      await page.waitForSelector('.sheet h2');
      if (kind === 'log') {
        await page.getByLabel('What was done').selectOption('racking');
        await page.getByRole('button', { name: 'Add to the log' }).click();
      }
      await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
      await check(kind);
    }
    await page.evaluate(() => { location.hash = location.hash.replace(/summary$/, 'treatments/protein/bentonite_sodium'); });
    await page.getByRole('button', { name: 'Put on the work order' }).click();
    await page.waitForSelector('.edit input');
    await check('order with a step');
    assert.deepEqual(found, []);
    page.assertClean();
    await context.close();
  }
});
