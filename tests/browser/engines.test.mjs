// The main ways through the page in three engines, on a phone of 360x740 and on a screen of 1280x800.
import { test, before, after, describe } from 'node:test';
import assert from 'node:assert/strict';
import { mkdtempSync, writeFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startServer } from './lib.mjs';
import { found } from './engines/wire.mjs';
import { hand } from './engines/hand.mjs';

const sizes = [[360, 740], [1280, 800]];
const wanted = (process.env.ENGINES || 'chromium firefox webkit').split(' ');
const missing = wanted.filter((e) => !found[e]());

test('the engines are there', { skip: missing.length > 0 && !process.env.CI && `not found, left out: ${missing.join(', ')}` }, () => {
  assert.deepEqual(missing, []);
});

for (const engine of wanted.filter((e) => !missing.includes(e))) describe(engine, () => {
  let site, me;
  before(async () => { site = await startServer(); me = await hand(engine); });
  after(async () => { await me?.close(); await site?.stop(); });

  const fresh = async (width = 360, height = 740) => {
    await me.goto(site.address);
    await me.eval(() => { localStorage.clear(); location.hash = '#/'; });
    await me.reload();
    await me.size(width, height);
    await me.there('button', 'New wine');
  };
  const demo = async (name) => { await me.tap('button', name); await me.see(/1\.|Bentonite|first/, '.ranked'); };
  // Axe once a page, on the phone; the width and the errors at both sizes.
  const look = async (where, width) => { if (width === 360) await me.axe(where); await me.clean(); };

  for (const [width, height] of sizes) {
    const at = `${width}x${height}`;

    test(`${at}: a new wine to its ranked list, one treatment, two side by side`, async () => {
      await fresh(width, height);
      await look('book', width);
      await me.tap('button', 'New wine');
      for (const chip of ['White', 'Fermentation over', 'Protein instability']) await me.tap('button', chip);
      await me.tap('summary', 'Analyses');
      await me.type('pH', '3,25');
      await me.type('Free SO₂ (mg/L)', 'much');
      await me.see(/Write a number in mg\/L/);
      await look('wine', width);
      await me.tap('link', 'See treatments');
      await me.see(/Bentonite, sodium/, '.ranked');
      await look('treatments', width);
      await me.tap('link', 'Put beside another…');
      await me.tap('css', '.chips a');
      await me.heading('Where they differ');
      await look('side by side', width);
      await me.back();
      await me.back();
      await me.tap('link', '…Bentonite, sodium…');
      await me.heading('Bentonite, sodium');
      await me.see(/Confirm with the authority/);
      await look('treatment', width);
      // What was typed is there after a new start, readable or not.
      await me.hash((h) => h.replace(/\/treatments.*/, ''));
      await me.heading('The wine');
      await me.reload();
      await me.tap('summary', 'Analyses');
      assert.deepEqual([await me.value('pH'), await me.value('Free SO₂ (mg/L)')], ['3,25', 'much']);
      await me.clean();
    });

    test(`${at}: answers find a cause`, async () => {
      await fresh(width, height);
      await me.tap('button', 'New wine');
      await me.tap('link', 'Find the cause');
      await me.see(/Not settled/, '.answer');
      await me.eval(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
      await me.tap('button', 'Are there crystals that glitter or sink at once?: Yes');
      await me.tap('button', 'Under the microscope: boat or lens shaped crystals?: Yes');
      await me.see(/Most likely potassium bitartrate/, '.answer');
      await look('cause', width);
    });

    test(`${at}: routes, and one is taken`, async () => {
      await fresh(width, height);
      await demo('Heat-unstable white');
      await me.tap('link', 'Routes');
      await me.see(/cheapest way/, '.answer');
      await look('routes', width);
      await me.tap('css', '.ranked a');
      await me.heading('Calendar');
      await me.tap('button', 'Take this route');
      await me.see(/You chose a route\. It still holds/);
      await me.reload();
      await me.see(/You chose a route\. It still holds/);
      await look('one route', width);
    });

    test(`${at}: a bench trial is typed, its rung is read, and only then is there a mass`, async () => {
      await fresh(width, height);
      await demo('Heat-unstable white');
      await me.tap('link', '…Bentonite, sodium…');
      await me.tap('button', 'Put on the work order');
      await me.heading('Work order');
      await me.see(/First a bench trial of this wine/, '.sheet');
      assert.doesNotMatch(await me.text('.sheet'), /Weigh [\d.]+ k?g/);
      await me.hash((h) => h.replace(/\/order.*/, '/trial/bentonite_sodium'));
      await me.heading('Bench trial…');
      await me.type('Test or method…', '80 °C, 2 h');
      for (const [i, reading] of ['15', '7', '3', '1,9', '1,0', 'clear'].entries()) await me.type('Reading (NTU)', reading, i);
      const rung = await me.eval(() => document.querySelectorAll('.rung legend')[4].innerText);
      await me.see(new RegExp(`^${rung.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}`), '.answer');
      for (let i = 0; i < 6; i++) await me.type('Score…', '7', i);
      await look('bench trial', width);
      await me.hash((h) => h.replace(/\/trial.*/, '/order'));
      await me.see(/Weigh [\d.]+ k?g/, '.sheet');
      await look('work order', width);
    });

    test(`${at}: what was done is logged, fit to bottle follows, the other papers open`, async () => {
      await fresh(width, height);
      await demo('Heat-unstable white');
      await me.hash((h) => h.replace(/\/treatments.*/, '/log'));
      await me.heading('What was done');
      await me.choose('What was done', 'bentonite_sodium');
      await me.type('Dose given', '60');
      await me.type('Batch of the material', 'L 7');
      await me.tap('button', 'Add to the log');
      await me.see(/1\. 20\d\d-\d\d-\d\d: Bentonite, sodium, 60 g\/hL, batch L 7/, '.sheet');
      await look('log', width);
      await me.tap('link', 'Fit to bottle');
      await me.see(/Not shown fit: [^.]*protein/, '.sheet');
      await look('fit to bottle', width);
      for (const [page, words] of [['laboratory', /Please measure/], ['summary', /Demo:/], ['stability', /Not stable/], ['follows', /Molecular SO₂/]]) {
        await me.eval(`() => { location.hash = location.hash.replace(/[a-z]+$/, '${page}'); }`);
        await me.see(words);
        await look(page, width);
      }
      for (const [page, words] of [['defaults', /Made in/], ['figures', /rules of law/]]) {
        await me.eval(`() => { location.hash = '#/${page}'; }`);
        await me.see(words);
        await look(page, width);
      }
    });
  }

  test('a wine goes out as a file and comes back', async () => {
    await fresh();
    await demo('Hard young red');
    await me.goto(`${site.address}#/`);
    const text = await me.saved(() => me.tap('button', 'Export Demo…'));
    assert.equal(JSON.parse(text).wines.length, 1);
    const folder = mkdtempSync(join(tmpdir(), 'stillbright-wine-'));
    try {
      writeFileSync(join(folder, 'good.json'), text);
      writeFileSync(join(folder, 'bad.json'), text.replace('"red"', '"blue"'));
      await me.upload('Import a file', join(folder, 'good.json'));
      await me.tap('button', 'Add them to the book');
      assert.equal(await me.eval(() => document.querySelectorAll('.wines li').length), 2);
      await me.upload('Import a file', join(folder, 'bad.json'));
      await me.see(/blue[^]*white/, '.field [role=alert]');
      assert.equal(await me.eval(() => document.querySelectorAll('.wines li').length), 2);
    } finally { rmSync(folder, { recursive: true }); }
    await me.clean();
  });

  test('a wine goes over in a link', async () => {
    await fresh();
    await demo('Hard young red');
    await me.hash((h) => h.replace(/\/treatments.*/, ''));
    await me.tap('summary', 'Hand this wine over');
    await me.tap('button', 'Make a link');
    await me.see(/\d+ characters\./);
    const link = await me.value('Link with the wine in it');
    await fresh();
    await me.eval('(l) => { location.href = l; }', link);
    await me.tap('button', 'Add them to the book');
    await me.heading('The wine');
    assert.equal(await me.eval(() => Object.keys(localStorage).filter((k) => k.includes('/wine/')).length), 1);
    await me.clean();
  });

  test('storage that is truly full loses nothing on screen and says so', async () => {
    await fresh();
    const letters = await me.eval(() => {
      let n = 0;
      for (let part = 1 << 22; part >= 1; part >>= 1) for (;;) { try { localStorage.setItem(`filler${n++}`, 'x'.repeat(part)); } catch { break; } }
      return Object.keys(localStorage).reduce((sum, k) => sum + localStorage[k].length, 0);
    });
    assert.ok(letters > 1e6, `only ${letters} letters went in`);
    await me.tap('button', 'New wine');
    await me.type('Name', 'Kept on screen');
    await me.see(/Storage on this device is full/, '.banner');
    await me.hash(() => '#/');
    await me.see(/Kept on screen/, '.wines');
    await me.eval(() => localStorage.clear());
    await me.clean();
  });

  test('storage that the user refuses: the page works and says so', { skip: engine !== 'firefox' && 'only Firefox can be told so here' }, async () => {
    await me.wire.deny(true);
    try {
      await me.goto(site.address);
      await me.reload();
      await me.see(/last until you close it/, '.banner');
      await me.tap('button', 'New wine');
      await me.type('Name', 'Kept on screen');
      await me.hash(() => '#/');
      await me.see(/Kept on screen/, '.wines');
      // All that is refused is the copy for no signal.
      for (const e of await me.wire.errors()) assert.match(e, /Failed to register\/update a ServiceWorker/);
    } finally { await me.wire.deny(false); }
  });

  test('opens with the server gone', async () => {
    const own = await startServer();
    try {
      await me.goto(own.address);
      for (let i = 0; !(await me.eval(() => navigator.serviceWorker?.controller?.state === 'activated')); i++) {
        assert.ok(i < 300, 'no service worker took the page over');
        await new Promise((r) => setTimeout(r, 50));
      }
    } finally { await own.stop(); }
    await assert.rejects(fetch(own.address), 'the server is gone');
    await me.reload();
    await me.tap('button', 'Browning organic rosé');
    await me.see(/./, '.ranked li');
    await me.clean();
  });
});
