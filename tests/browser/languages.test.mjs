// Other languages: the speaker by itself, then the page in French and Spanish.
import { before, after } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { speaker } from '../../languages/speak.mjs';
import { finder } from '../../glossary/explain.mjs';
import { test, measured, startServer, launch, newPage, ready, axe } from './lib.mjs';

let site, browser;
before(async () => { site = await startServer(); browser = await launch(); });
after(async () => { await browser?.close(); await site?.stop(); });
const button = (page, name) => page.getByRole('button', { name, exact: true });
const plain = (text) => text.replaceAll('\u00a0', ' ');

test('the speaker puts whole texts, forms, lists and labels together, and leaves what it does not know', () => {
  const say = speaker({ 'Free SO₂': 'SO₂ libre', Protein: 'Protéines', 'Casein or gluten': 'Caséine ou gluten', Gelatin: 'Gélatine', Yes: 'Oui', or: 'ou', Law: 'Loi',
    '{} days': '{} jours', 'Begin with {}.': 'Commencez par : {}.', 'Take {} after {}.': 'Prenez {} après {}.', '{}: {}': '{} : {}', pH: 'pH' });
  assert.equal(say('Protein'), 'Protéines');
  assert.equal(say('protein'), 'protéines');
  assert.equal(say('free SO₂'), 'SO₂ libre');
  assert.equal(say(' Yes '), ' Oui ');
  assert.equal(say('3–10 days'), '3–10 jours');
  assert.equal(say('12.5 mg/L'), '12.5 mg/L');
  assert.equal(say('Begin with protein, casein or gluten or gelatin.'), 'Commencez par : protéines, caséine ou gluten ou gélatine.');
  assert.equal(say('Take gelatin after 3 days.'), 'Prenez gélatine après 3 jours.');
  assert.equal(say('Protein (mg/L)'), 'Protéines (mg/L)');
  assert.equal(say('Law: 3 days'), 'Loi : 3 jours');
  assert.equal(say('Yes. Something nobody said.'), 'Oui. Something nobody said.');
  assert.equal(say('Protein · 5 days'), 'Protéines · 5 jours');
  // Texts that stand together in the table stay together, a name is known beside its figures, its brackets and its label.
  const more = speaker({ 'Wear a mask. Stay out.': 'Masque. Restez dehors.', 'common practice': 'usage courant', Tartrate: 'Tartrate', Protein: 'Protéines', tartrate: 'tartrate',
    'The way is {}.': 'La voie : {}.', ', then': ', puis', '{} left': 'il reste {}', 'no day': 'sans jour', 'Limit {} ({}).': 'Limite {} ({}).', '{}: {}': '{} : {}', 'Reg. 9 row 3': 'Règl. 9 ligne 3' });
  assert.equal(more('Wear a mask. Stay out. (common practice)'), 'Masque. Restez dehors. (usage courant)');
  assert.equal(more('Protein: Wear a mask. Stay out.'), 'Protéines : Masque. Restez dehors.');
  assert.equal(more('protein (12 NTU (no day)), tartrate 3 %'), 'protéines (12 NTU (sans jour)), tartrate 3 %');
  assert.equal(more('The way is protein, then tartrate.'), 'La voie : protéines, puis tartrate.');
  assert.equal(more('Limit 5 (Reg. 9 row 3).'), 'Limite 5 (Règl. 9 ligne 3).');
  assert.equal(more('common practice · B1; common practice · B2'), 'usage courant · B1 ; usage courant · B2');
  assert.equal(more('Some of the protein: three left'), undefined);
  // A whole text stands before a form that would take its beginning, a sentence may begin with a unit, and a list is said piece by piece.
  const sure = speaker({ 'A list is positive: what is missing is not allowed.': 'Liste positive.', '{}: {} is not allowed.': '{} : {} est interdit.', '{}: {}': '{} : {}', 'Old World': 'Ancien Monde',
    Milk: 'Lait', Copper: 'Cuivre', Rack: 'Soutirer', Wait: 'Attendre', '{}: adds {}': '{} : ajoute {}', '{}: adds {} per dose.': '{} : ajoute {} par dose.', 'mg/L left over.': 'mg/L restants.',
    'Trial: {}': 'Essai : {}', 'Again: {}; then copper': 'De nouveau : {} ; puis le cuivre', 'Fit: {}.': 'Apte : {}.', '{} steps left': '{} étapes restent' });
  assert.equal(sure('Old World: A list is positive: what is missing is not allowed.'), 'Ancien Monde : Liste positive.');
  assert.equal(sure('Old World: milk is not allowed.'), 'Ancien Monde : lait est interdit.');
  assert.equal(sure('Copper: adds 3 mg/L per dose. mg/L left over.'), 'Cuivre : ajoute 3 mg/L par dose. mg/L restants.');
  assert.equal(sure('Trial: milk; Wait; Rack; Again: milk, copper; then copper; Wait'), 'Essai : lait ; Attendre ; Soutirer ; De nouveau : lait, cuivre ; puis le cuivre ; Attendre');
  assert.equal(sure('Copper (rack; wait); Milk'), 'Cuivre (soutirer ; attendre) ; Lait');
  assert.equal(sure('Fit: 3 steps left; milk.'), 'Apte : 3 étapes restent ; lait.');
  for (const unknown of ['Château', 'Something nobody said.', 'gelatin, ink', 'Ink: 3 days']) assert.equal(say(unknown), undefined, unknown);
  assert.equal(say('Begin with $& ink.'), 'Commencez par : $& ink.');
});

test('in every language each form of its table says its own example, and names stay inside their gaps', () => {
  for (const code of ['fr', 'es']) {
    const table = JSON.parse(readFileSync(new URL(`../../languages/${code}.json`, import.meta.url), 'utf8'));
    const say = speaker(table);
    for (const [key, value] of Object.entries(table).filter(([k]) => k.includes('{}') && !/^[{}: ]+$/.test(k))) {
      const filled = (text) => { let n = 10; return text.replaceAll('{}', () => n++); };
      assert.equal(say(filled(key)), filled(value), key);
    }
  }
});

test('what the pages put together is said whole by the real tables, as one says it', () => {
  const chain = 'Measure: mini-contact test drop; Bench trial: Potassium polyaspartate; Potassium polyaspartate; Measure again: clarity, protein; and free SO₂, then correct it';
  const copper = 'Copper: adds 0.3–1 mg/L per unit of dose. mg/L left per mg/L added, until it is taken out again.';
  const list = 'European Union: The EU list is positive: what is not on it is not allowed.';
  const expected = {
    fr: [[chain, 'Mesurer : chute au test du mini-contact ; Essai de traitement : Polyaspartate de potassium ; Polyaspartate de potassium ; Mesurer de nouveau : limpidité, protéines ; et le SO₂ libre, puis le corriger'],
      [copper, 'Cuivre : ajoute 0.3–1 mg/L par unité de dose. mg/L restant par mg/L ajouté, jusqu’à ce qu’on l’enlève.'],
      [list, 'Union européenne : La liste de l’UE est positive : ce qui n’y est pas n’est pas permis.'],
      ['below 1 cells/mL', 'moins de 1 cellules/mL'], ['Glass 2', 'Verre 2'], ['Label in United States', 'Étiquette : États-Unis'],
      ['By 1000 draws (±3): Sodium bentonite is first in 61 of 100.', 'Sur 1000 tirages (±3) : Bentonite sodique vient en tête dans 61 sur 100.']],
    es: [[chain, 'Medir: caída en la prueba de minicontacto; Ensayo de tratamiento: Poliaspartato de potasio; Poliaspartato de potasio; Medir de nuevo: limpidez, proteínas; y el SO₂ libre, y luego corregirlo'],
      [copper, 'Cobre: añade 0.3–1 mg/L por unidad de dosis. mg/L que queda por mg/L añadido, hasta que se retira.'],
      [list, 'Unión Europea: La lista de la UE es positiva: lo que no está en ella no está permitido.'],
      ['below 1 cells/mL', 'menos de 1 células/mL'], ['Glass 2', 'Copa 2'], ['Label in United States', 'Etiqueta: Estados Unidos'],
      ['By 1000 draws (±3): Sodium bentonite is first in 61 of 100.', 'Con 1000 sorteos (±3): Bentonita sódica va en cabeza en 61 de 100.']],
  };
  for (const [code, texts] of Object.entries(expected)) {
    const say = speaker(JSON.parse(readFileSync(new URL(`../../languages/${code}.json`, import.meta.url), 'utf8')));
    for (const [text, said] of texts) assert.equal(plain(say(text)), said);
  }
});

test('French is set as French: its own apostrophe, and no mark that stands apart from its word', () => {
  const table = JSON.parse(readFileSync(new URL('../../languages/fr.json', import.meta.url), 'utf8'));
  const wrong = (text) => /'| [:;?!»]|« /.test(text);
  assert.deepEqual(Object.values(table).filter(wrong), []);
  // “1,234” is a mark between thousands in English and a comma of decimals in French and Spanish.
  const spanish = JSON.parse(readFileSync(new URL('../../languages/es.json', import.meta.url), 'utf8'));
  assert.deepEqual([...Object.values(table), ...Object.values(spanish)].filter((text) => /\d,\d{3}/.test(text)), []);
});

test('French from the book on: chosen by a tap, a wine, the ranked list, a treatment, and back to English with all that was typed', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const fetched = [];
  page.on('request', (r) => fetched.push(r.url()));
  assert.equal(await page.getAttribute('html', 'lang'), 'en');
  await button(page, 'Français').click();
  await page.waitForSelector('h1:has-text("Cahier de cave")');
  assert.equal(await page.getAttribute('html', 'lang'), 'fr');
  assert.equal(await page.title(), 'Cahier de cave – Stillbright');
  assert.ok(fetched.some((u) => /languages\/fr-\w+\.json$/.test(u)));
  assert.ok(!fetched.some((u) => /languages\/es-/.test(u)));
  assert.equal(await page.locator('.chip[lang=fr]').getAttribute('aria-pressed'), 'true');
  assert.match(plain(await page.locator('main').innerText()), /non relue par un praticien/);
  assert.deepEqual(await axe(page), []);
  await button(page, 'Nouveau vin').click();
  await page.getByRole('link', { name: 'Tout sur une fiche' }).click();
  await button(page, 'Blanc').click();
  await button(page, 'Fermentation finie').click();
  await button(page, 'Instabilité protéique').click();
  await page.getByRole('group', { name: 'Vendu en' }).getByRole('button', { name: 'Union européenne' }).click();
  await page.getByLabel('Nom', { exact: true }).fill('Red');
  await page.getByText('Analyses', { exact: true }).click();
  await page.getByLabel('SO₂ libre (mg/L)').fill('beaucoup');
  assert.match(plain(await page.locator('#field-analyses-free_so2-hint').innerText()), /Écrivez un nombre en mg\/L/);
  // On the page of the wine nothing is left in English.
  assert.deepEqual(await page.locator('#main [lang=en]').allInnerTexts(), []);
  assert.deepEqual(await axe(page), []);
  await page.getByRole('link', { name: 'Voir les traitements' }).click();
  await page.waitForSelector('.ranked li');
  assert.match(plain(await page.locator('.answer').innerText()), /mesurez d’abord[^]*bentonite sodique/);
  assert.ok((await page.locator('.ranked strong').allInnerTexts()).includes('Bentonite sodique'));
  const marked = (selector) => page.locator(selector).evaluateAll((all) => all.map((e) => e.textContent));
  assert.deepEqual(await marked('.ranked > li > :is(dl, p, a) [lang=en], .ranked > li > p[lang=en]:not(.mark)'), []);
  // Numbers have the comma of the language.
  const figures = await page.locator('.ranked > li > dl').allInnerTexts();
  assert.ok(figures.some((t) => /\d,\d/.test(t)), figures.join());
  assert.deepEqual(figures.filter((t) => /\d\.\d/.test(t)), []);
  // The wine keeps the name it was given, though the word is in the table.
  assert.equal(await page.locator('.crumb').innerText(), 'Red');
  assert.deepEqual(await axe(page), []);
  await page.locator('.ranked a').first().click();
  await page.waitForSelector('h1:has-text("Bentonite sodique")');
  assert.match(plain(await page.locator('.cautions').innerText()), /Précautions[^]*silice cristalline[^]*non relue par un praticien/);
  assert.deepEqual(await marked('#main [lang=en]'), []);
  assert.deepEqual(await axe(page), []);
  await page.reload();
  await page.waitForSelector('h1:has-text("Bentonite sodique")');
  // What is not translated, the titles of works, says that it is English.
  await page.goto(site.address + '#/figures');
  await page.waitForSelector('h1:has-text("À propos des chiffres")');
  assert.ok((await marked('#main details [lang=en]')).length > 150);
  assert.deepEqual(await axe(page), []);
  await page.goto(site.address + '#/');
  await page.waitForSelector('h1:has-text("Cahier de cave")');
  assert.equal(await page.locator('.wines strong').innerText(), 'Red');
  await button(page, 'English').click();
  await page.waitForSelector('h1:has-text("Cellar book")');
  assert.equal(await page.getAttribute('html', 'lang'), 'en');
  assert.equal(await page.locator('[lang=en]:not(html, .chip)').count(), 0);
  assert.ok(!(await page.locator('body').innerText()).includes('not reviewed by a practitioner'));
  await page.locator('a.wine').click();
  await page.getByText('Analyses', { exact: true }).click();
  assert.equal(await page.getByLabel('Free SO₂ (mg/L)').inputValue(), 'beaucoup');
  page.assertClean();
  await context.close();
});

test('numbers of a language are written as its country writes them', async () => {
  for (const [locale, written, other] of [['es-MX', /\d\.\d/, /\d,\d/], ['es-ES', /\d,\d/, /\d\.\d/], ['fr-CA', /\d,\d/, /\d\.\d/]]) {
    const { page, context } = await newPage(browser, { locale });
    await page.goto(site.address);
    await ready(page);
    await page.locator('section .chip').first().click();
    await page.waitForSelector('.ranked li');
    const figures = (await page.locator('.ranked > li > dl').allInnerTexts()).join();
    assert.match(figures, written, locale);
    assert.doesNotMatch(figures, other, locale);
    page.assertClean();
    await context.close();
  }
});

measured('the first start follows the browser, the papers too, and no page is wider than the phone', async () => {
  const { page, context } = await newPage(browser, { locale: 'es-AR', width: 320 });
  await page.goto(site.address);
  await page.waitForSelector('h1:has-text("Cuaderno de bodega")');
  assert.equal(await page.getAttribute('html', 'lang'), 'es');
  await button(page, 'Blanco inestable al calor').click();
  await page.waitForSelector('.ranked li');
  const wine = (await page.evaluate(() => location.hash)).match(/#\/wine\/[^/]+/)[0];
  for (const [path, title] of [['', 'El vino'], ['/stability', 'Su estabilidad'], ['/cause', 'Buscar la causa'], ['/routes', 'Recorridos'], ['/follows', 'Lo que se deduce de los análisis'],
    ['/order', 'Orden de trabajo'], ['/log', 'Lo que se hizo'], ['/ready', 'Apto para embotellar'], ['/summary', 'Resumen para el dueño']]) {
    await page.evaluate((hash) => { location.hash = hash; }, wine + path);
    await page.waitForSelector(`h1:has-text("${title}")`);
    assert.equal(await page.title(), `${title} – Stillbright`);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${title} is too wide`);
    assert.deepEqual(await axe(page), [], title);
  }
  assert.match(await page.locator('main .sheet').innerText(), /no revisada por un profesional/);
  page.assertClean();
  await context.close();
});

/** English words that no French or Spanish text has, but in the name of a book or an authority. */
const ENGLISH = /\b(?:the|of|and|with|is|are|not|before|after|from|below|above|wine|read|measure)\b/i;
const NAMES = /Handbook of Enology|University of California|Wine Australia|Food Standards \w+|Alcohol and Tobacco Tax and Trade Bureau|“?[Oo]rganic”?/g;

test('what one must understand to act is said whole, in both languages: facts, bench, order, law, causes, what follows', async () => {
  for (const [code, demo] of [['fr', 'Blanc instable à la chaleur'], ['es', 'Tinto joven y duro']]) {
    const { page, context } = await newPage(browser, { locale: code });
    await page.goto(site.address);
    await ready(page);
    await button(page, demo).click();
    await page.waitForSelector('.ranked li');
    const wine = (await page.evaluate(() => location.hash)).match(/#\/wine\/[^/]+/)[0];
    const english = [];
    let seen = 0;
    const look = async (path, wait = '#main h1') => {
      await page.evaluate((hash) => { location.hash = hash; }, path);
      await page.waitForSelector(wait);
      await page.waitForTimeout(300);
      const texts = await page.evaluate(() => {
        const walk = document.createTreeWalker(document.querySelector('#main'), NodeFilter.SHOW_TEXT);
        const all = [];
        while (walk.nextNode()) if (!walk.currentNode.parentElement.closest('textarea, option')) all.push(walk.currentNode.data);
        return all;
      });
      seen += texts.length;
      english.push(...texts.filter((t) => ENGLISH.test(t.replace(NAMES, ''))).map((t) => `${path.replace(wine, '')}: ${t}`));
    };
    await look('#/defaults');
    await look(wine);
    await look(`${wine}/treatments`, '.ranked li');
    const links = await page.locator('.ranked a[href*="/treatments/"]').evaluateAll((all) => all.map((a) => a.getAttribute('href')));
    for (const link of links.slice(0, 6)) await look(link);
    for (const key of ['bentonite_sodium', 'gelatin', 'copper_sulfate']) await look(`${wine}/trial/${key}`, '.rung');
    await look(`${wine}/routes`, '.ranked a');
    await look(await page.locator('.ranked a').first().getAttribute('href'), 'svg');
    await page.getByRole('button', { name: code === 'fr' ? 'Prendre ce parcours' : 'Tomar este recorrido' }).click();
    await page.waitForSelector('.undo');
    for (const part of ['order', 'ready', 'laboratory', 'summary', 'stability', 'cause', 'follows', 'log']) await look(`${wine}/${part}`);
    assert.ok(seen > 1500, `${seen} texts`);
    // A step in the calendar is cut to its room before it is said.
    assert.deepEqual(english.filter((t) => !t.endsWith('…')), [], code);
    page.assertClean();
    await context.close();
  }
});

test('the first pages are French before the rest of the language is here, and stay so where it cannot be had', async () => {
  const { page, context } = await newPage(browser, { locale: 'fr-FR' });
  // The rest of the table; its first part has “first” in its name.
  await page.route(/languages\/fr-(?!first)/, (r) => r.abort());
  await page.goto(site.address);
  await page.waitForSelector('#app[data-ready] h1:has-text("Cahier de cave")');
  const english = () => page.locator('[lang=en]:not(html, .chip)').allInnerTexts();
  assert.deepEqual(await english(), []);
  await button(page, 'Nouveau vin').click();
  for (let i = 1; i <= 9; i++) {
    await page.waitForSelector(`h1:has-text("Question ${i}")`);
    assert.deepEqual(await english(), [], `question ${i}`);
    await page.evaluate((n) => { location.hash = location.hash.replace(/\d+$/, n); }, i + 1);
  }
  // The second part of the page works; what it lacks words for is marked as English.
  await page.evaluate(() => { location.hash = location.hash.replace(/ask.*/, 'stability'); });
  await page.waitForSelector('#main [lang=en]');
  await context.close();
});

test('a language that cannot be fetched leaves the page as it was', async () => {
  const { page, context } = await newPage(browser, { locale: 'fr-FR' });
  await page.route(/languages\/fr-/, (route) => route.fulfill({ status: 404, body: 'not here' }));
  await page.goto(site.address);
  await ready(page);
  assert.equal(await page.locator('h1').innerText(), 'Cellar book');
  assert.equal(await page.getAttribute('html', 'lang'), 'en');
  await context.close();
});

test('terms are found whole, the longest first', () => {
  const find = finder([{ term: 'SO₂', also: [] }, { term: 'Free SO₂', also: ['free sulfur'] }, { term: 'pH', also: [] }], (t) => (t === 'pH' ? 'acidité réelle' : undefined));
  const named = (text) => find(text)?.term.term;
  assert.equal(named('Free SO₂ (mg/L)'), 'Free SO₂');
  assert.equal(named('the free sulfur of it'), 'Free SO₂');
  assert.equal(named('Acidité réelle'), 'pH');
  for (const none of ['phase', 'SO₂4', 'pre-pH', 'nothing']) assert.equal(named(none), undefined, none);
});

test('a tap on a marked word explains it in place; Escape takes one back to it', async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await button(page, 'Heat-unstable white').click();
  await page.waitForSelector('.ranked li');
  await page.waitForSelector('h1 + .term');
  const open = page.locator('dialog[open]');
  await button(page, 'What it means: Protein haze').click();
  assert.match(await open.innerText(), /Protein haze[^]*unfolds in warmth[^]*common practice/);
  assert.equal(await open.getAttribute('aria-labelledby'), 'explained-term');
  assert.deepEqual(await axe(page), []);
  await page.keyboard.press('Escape');
  assert.equal(await open.count(), 0);
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-label')), 'What it means: Protein haze');
  // In the text of a treatment: each word once, the text itself unchanged.
  await page.locator('.ranked a').first().click();
  await page.waitForSelector('.facts .term');
  const words = await page.locator('#main .term:not(.ask)').evaluateAll((all) => all.map((b) => b.dataset.term));
  assert.ok(words.length >= 3 && new Set(words).size === words.length, words.join());
  assert.match(await page.locator('main').innerText(), /Clay platelets carry a negative charge; wine proteins are positive at wine pH/);
  assert.deepEqual(await axe(page), []);
  const wine = (await page.evaluate(() => location.hash)).match(/#\/wine\/[^/]+/)[0];
  await page.evaluate((hash) => { location.hash = hash; }, wine);
  await page.getByText('Analyses', { exact: true }).click();
  // A field keeps its name; the question mark stands beside its label.
  await page.getByLabel('Turbidity (NTU)', { exact: true }).waitFor();
  await page.locator('label:has-text("Turbidity") + .term').click();
  assert.match(await open.innerText(), /How cloudy a wine is/);
  await page.getByRole('button', { name: 'Close' }).click();
  assert.deepEqual(await axe(page), []);
  await page.evaluate((hash) => { location.hash = `${hash}/stability`; }, wine);
  await page.locator('details.stability summary').first().click();
  await page.waitForSelector('details.stability[open] > .term');
  assert.deepEqual(await axe(page), []);
  page.assertClean();
  await context.close();
});

measured('the page of words: all of them, filtered, in French as well', async () => {
  const { page, context } = await newPage(browser, { width: 320 });
  await page.goto(site.address);
  await ready(page);
  await page.getByRole('link', { name: 'Trade words' }).click();
  await page.waitForSelector('#glossary li');
  const all = await page.locator('#glossary li').count();
  assert.equal(all, JSON.parse(readFileSync(new URL('../../glossary/terms.json', import.meta.url), 'utf8')).length);
  await page.getByLabel('Find a word').fill('vinegar');
  assert.deepEqual(await page.locator('#glossary strong').allInnerTexts(), ['Volatile acidity']);
  assert.equal(await page.locator('#glossary [role=status]').innerText(), '1 word');
  assert.deepEqual(await axe(page), []);
  await page.evaluate(() => localStorage.setItem('language', 'fr'));
  await page.reload();
  await page.waitForSelector('#glossary li');
  await page.getByLabel('Chercher un mot').fill('ouillage');
  assert.deepEqual(await page.locator('#glossary strong').allInnerTexts(), ['Creux']);
  assert.equal(await page.locator('#glossary [lang=en]').count(), 0);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  assert.deepEqual(await axe(page), []);
  page.assertClean();
  await context.close();
});

test('the one file opened from a disk speaks French and explains its words, with no request at all', async () => {
  const { page, context } = await newPage(browser);
  const asked = [];
  page.on('request', (r) => asked.push(r.url()));
  await page.goto(new URL('../../dist/stillbright.html', import.meta.url).href);
  await ready(page);
  await button(page, 'Français').click();
  await page.waitForSelector('h1:has-text("Cahier de cave")');
  await page.getByRole('link', { name: 'Mots du métier' }).click();
  await page.getByLabel('Chercher un mot').fill('ouillage');
  assert.deepEqual(await page.locator('#glossary strong').allInnerTexts(), ['Creux']);
  assert.deepEqual(asked.filter((u) => !u.startsWith('data:') && !u.includes('stillbright.html')), []);
  await context.close();
});
