// Other languages: the speaker by itself, then the page in French and Spanish.
import { before, after } from "node:test";
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { speaker } from "../../languages/speak.mjs";
import { finder } from "../../glossary/explain.mjs";
import { DEMOS, test, measured, startServer, launch, newPage, ready, axe } from "./lib.mjs";

let site, browser;
before(async () => {
  site = await startServer();
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await site?.stop();
});
const button = (page, name) => page.getByRole("button", { name, exact: true });
const plain = (text) => text.replaceAll("\u00a0", " ");

test("the speaker puts whole texts, forms, lists and labels together, and leaves what it does not know", () => {
  const say = speaker({
    "Free SO₂": "SO₂ libre",
    Protein: "Protéines",
    "Casein or gluten": "Caséine ou gluten",
    Gelatin: "Gélatine",
    Yes: "Oui",
    or: "ou",
    Law: "Loi",
    "{} days": "{} jours",
    "Begin with {}.": "Commencez par : {}.",
    "Take {} after {}.": "Prenez {} après {}.",
    "{}: {}": "{} : {}",
    pH: "pH",
  });
  assert.equal(say("Protein"), "Protéines");
  assert.equal(say("protein"), "protéines");
  assert.equal(say("free SO₂"), "SO₂ libre");
  assert.equal(say(" Yes "), " Oui ");
  assert.equal(say("3–10 days"), "3–10 jours");
  assert.equal(say("12.5 mg/L"), "12.5 mg/L");
  assert.equal(
    say("Begin with protein, casein or gluten or gelatin."),
    "Commencez par : protéines, caséine ou gluten ou gélatine.",
  );
  assert.equal(say("Take gelatin after 3 days."), "Prenez gélatine après 3 jours.");
  assert.equal(say("Protein (mg/L)"), "Protéines (mg/L)");
  assert.equal(say("Law: 3 days"), "Loi : 3 jours");
  assert.equal(say("Yes. Something nobody said."), "Oui. Something nobody said.");
  assert.equal(say("Protein · 5 days"), "Protéines · 5 jours");
  // Texts that stand together in the table stay together, a name is known beside its figures, its brackets and its label.
  const more = speaker({
    "Wear a mask. Stay out.": "Masque. Restez dehors.",
    "common practice": "usage courant",
    Tartrate: "Tartrate",
    Protein: "Protéines",
    tartrate: "tartrate",
    "The way is {}.": "La voie : {}.",
    ", then": ", puis",
    "{} left": "il reste {}",
    "no day": "sans jour",
    "Limit {} ({}).": "Limite {} ({}).",
    "{}: {}": "{} : {}",
    "Reg. 9 row 3": "Règl. 9 ligne 3",
  });
  assert.equal(
    more("Wear a mask. Stay out. (common practice)"),
    "Masque. Restez dehors. (usage courant)",
  );
  assert.equal(more("Protein: Wear a mask. Stay out."), "Protéines : Masque. Restez dehors.");
  assert.equal(
    more("protein (12 NTU (no day)), tartrate 3 %"),
    "protéines (12 NTU (sans jour)), tartrate 3 %",
  );
  assert.equal(more("The way is protein, then tartrate."), "La voie : protéines, puis tartrate.");
  assert.equal(more("Limit 5 (Reg. 9 row 3)."), "Limite 5 (Règl. 9 ligne 3).");
  assert.equal(
    more("common practice · B1; common practice · B2"),
    "usage courant · B1 ; usage courant · B2",
  );
  assert.equal(more("Some of the protein: three left"), undefined);
  // A whole text stands before a form that would take its beginning, a sentence may begin with a unit, and a list is said piece by piece.
  const sure = speaker({
    "A list is positive: what is missing is not allowed.": "Liste positive.",
    "{}: {} is not allowed.": "{} : {} est interdit.",
    "{}: {}": "{} : {}",
    "Old World": "Ancien Monde",
    Milk: "Lait",
    Copper: "Cuivre",
    Rack: "Soutirer",
    Wait: "Attendre",
    "{}: adds {}": "{} : ajoute {}",
    "{}: adds {} per dose.": "{} : ajoute {} par dose.",
    "mg/L left over.": "mg/L restants.",
    "Trial: {}": "Essai : {}",
    "Again: {}; then copper": "De nouveau : {} ; puis le cuivre",
    "Fit: {}.": "Apte : {}.",
    "{} steps left": "{} étapes restent",
  });
  assert.equal(
    sure("Old World: A list is positive: what is missing is not allowed."),
    "Ancien Monde : Liste positive.",
  );
  assert.equal(sure("Old World: milk is not allowed."), "Ancien Monde : lait est interdit.");
  assert.equal(
    sure("Copper: adds 3 mg/L per dose. mg/L left over."),
    "Cuivre : ajoute 3 mg/L par dose. mg/L restants.",
  );
  assert.equal(
    sure("Trial: milk; Wait; Rack; Again: milk, copper; then copper; Wait"),
    "Essai : lait ; Attendre ; Soutirer ; De nouveau : lait, cuivre ; puis le cuivre ; Attendre",
  );
  assert.equal(sure("Copper (rack; wait); Milk"), "Cuivre (soutirer ; attendre) ; Lait");
  assert.equal(sure("Fit: 3 steps left; milk."), "Apte : 3 étapes restent ; lait.");
  for (const unknown of ["Château", "Something nobody said.", "gelatin, ink", "Ink: 3 days"])
    assert.equal(say(unknown), undefined, unknown);
  assert.equal(say("Begin with $& ink."), "Commencez par : $& ink.");
});

test("in every language each form of its table says its own example, and names stay inside their gaps", () => {
  for (const code of ["fr", "es"]) {
    const table = JSON.parse(
      readFileSync(new URL(`../../languages/${code}.json`, import.meta.url), "utf8"),
    );
    const say = speaker(table);
    for (const [key, value] of Object.entries(table).filter(
      ([k]) => k.includes("{}") && !/^[{}: ]+$/.test(k),
    )) {
      const filled = (text) => {
        let n = 10;
        return text.replaceAll("{}", () => n++);
      };
      assert.equal(say(filled(key)), filled(value), key);
    }
  }
});

test("two sentences that stand together are both said, whatever they are", () => {
  for (const code of ["fr", "es"]) {
    const table = JSON.parse(
      readFileSync(new URL(`../../languages/${code}.json`, import.meta.url), "utf8"),
    );
    const say = speaker(table);
    const filled = (text) => {
      let n = 10;
      return text.replaceAll("{}", () => n++);
    };
    const all = Object.keys(table)
      .filter((key) => key.includes("{}") && /^\p{Lu}.*[\p{Ll}L%)]\.$/u.test(key))
      .map(filled);
    assert.ok(all.length > 80, `${all.length} sentences`);
    for (const one of all)
      for (const other of all) assert.equal(say(`${one} ${other}`), `${say(one)} ${say(other)}`);
  }
});

test("what the pages put together is said whole by the real tables, as one says it", () => {
  const chain =
    "Measure: mini-contact test drop; Bench trial: Potassium polyaspartate; Potassium polyaspartate; Measure again: clarity, protein; and free SO₂, then correct it";
  const copper =
    "Copper: adds 0.3–1 mg/L per unit of dose. mg/L left per mg/L added, until it is taken out again.";
  const list = "European Union: The EU list is positive: what is not on it is not allowed.";
  const expected = {
    fr: [
      [
        chain,
        "Mesurer : chute au test du mini-contact ; Essai de traitement : Polyaspartate de potassium ; Polyaspartate de potassium ; Mesurer de nouveau : limpidité, protéines ; et le SO₂ libre, puis le corriger",
      ],
      [
        copper,
        "Cuivre : ajoute 0.3–1 mg/L par unité de dose. mg/L restant par mg/L ajouté, jusqu’à ce qu’on l’enlève.",
      ],
      [
        list,
        "Union européenne : La liste de l’UE est positive : ce qui n’y est pas n’est pas permis.",
      ],
      ["below 1 cells/mL", "moins de 1 cellules/mL"],
      ["Glass 2", "Verre 2"],
      ["Label in United States", "Étiquette : États-Unis"],
      [
        "By 1000 draws (±3): Sodium bentonite is first in 61 of 100.",
        "Sur 1000 tirages (±3) : Bentonite sodique vient en tête dans 61 sur 100.",
      ],
    ],
    es: [
      [
        chain,
        "Medir: caída en la prueba de minicontacto; Ensayo de tratamiento: Poliaspartato de potasio; Poliaspartato de potasio; Medir de nuevo: limpidez, proteínas; y el SO₂ libre, y luego corregirlo",
      ],
      [
        copper,
        "Cobre: añade 0.3–1 mg/L por unidad de dosis. mg/L que queda por mg/L añadido, hasta que se retira.",
      ],
      [
        list,
        "Unión Europea: La lista de la UE es positiva: lo que no está en ella no está permitido.",
      ],
      ["below 1 cells/mL", "menos de 1 células/mL"],
      ["Glass 2", "Copa 2"],
      ["Label in United States", "Etiqueta: Estados Unidos"],
      [
        "By 1000 draws (±3): Sodium bentonite is first in 61 of 100.",
        "Con 1000 sorteos (±3): Bentonita sódica va en cabeza en 61 de 100.",
      ],
    ],
  };
  for (const [code, texts] of Object.entries(expected)) {
    const say = speaker(
      JSON.parse(readFileSync(new URL(`../../languages/${code}.json`, import.meta.url), "utf8")),
    );
    for (const [text, said] of texts) assert.equal(plain(say(text)), said);
  }
});

test("French is set as French: its own apostrophe, and no mark that stands apart from its word", () => {
  const table = JSON.parse(
    readFileSync(new URL("../../languages/fr.json", import.meta.url), "utf8"),
  );
  const wrong = (text) => /'| [:;?!»]|« /.test(text);
  assert.deepEqual(Object.values(table).filter(wrong), []);
  const words = readFileSync(new URL("../../languages/fr.ftl", import.meta.url), "utf8");
  assert.deepEqual(
    words.split("\n").filter((line) => !line.startsWith("#") && wrong(line)),
    [],
  );
  // “1,234” is a mark between thousands in English and a comma of decimals in French and Spanish.
  const spanish = JSON.parse(
    readFileSync(new URL("../../languages/es.json", import.meta.url), "utf8"),
  );
  assert.deepEqual(
    [...Object.values(table), ...Object.values(spanish)].filter((text) => /\d,\d{3}/.test(text)),
    [],
  );
});

test("French from the book on: chosen by a tap, a wine, the ranked list, a treatment, and back to English with all that was typed", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const fetched = [];
  page.on("request", (r) => fetched.push(r.url()));
  assert.equal(await page.getAttribute("html", "lang"), "en");
  await button(page, "Français").click();
  await page.waitForSelector('h1:has-text("Cahier de cave")');
  assert.equal(await page.getAttribute("html", "lang"), "fr");
  assert.equal(await page.title(), "Cahier de cave – Stillbright");
  assert.ok(fetched.some((u) => /languages\/fr-\w+\.json$/.test(u)));
  assert.ok(!fetched.some((u) => /languages\/es-/.test(u)));
  assert.equal(await page.locator(".chip[lang=fr]").getAttribute("aria-pressed"), "true");
  assert.match(plain(await page.locator("main").innerText()), /non relue par un praticien/);
  assert.deepEqual(await axe(page), []);
  await button(page, "Nouveau vin").click();
  await page.getByRole("link", { name: "Tout sur une fiche" }).click();
  await button(page, "Blanc").click();
  await button(page, "Fermentation finie").click();
  await button(page, "Instabilité protéique").click();
  await page
    .getByRole("group", { name: "Vendu en" })
    .getByRole("button", { name: "Union européenne" })
    .click();
  await page.getByLabel("Nom", { exact: true }).fill("Red");
  await page.getByText("Analyses", { exact: true }).click();
  await page.getByLabel("SO₂ libre (mg/L)").fill("beaucoup");
  assert.match(
    plain(await page.locator("#field-analyses-free_so2-hint").innerText()),
    /Écrivez un nombre en mg\/L/,
  );
  // On the page of the wine nothing is left in English.
  assert.deepEqual(await page.locator("#main [lang=en]").allInnerTexts(), []);
  assert.deepEqual(await axe(page), []);
  await page.getByRole("link", { name: "Voir les traitements" }).click();
  await page.waitForSelector(".ranked li");
  assert.match(
    plain(await page.locator(".answer").innerText()),
    /mesurez d’abord[^]*bentonite sodique/,
  );
  assert.ok((await page.locator(".ranked strong").allInnerTexts()).includes("Bentonite sodique"));
  const marked = (selector) =>
    page.locator(selector).evaluateAll((all) => all.map((e) => e.textContent));
  assert.deepEqual(
    await marked(".ranked > li > :is(dl, p, a) [lang=en], .ranked > li > p[lang=en]:not(.mark)"),
    [],
  );
  // Numbers have the comma of the language.
  const figures = await page.locator(".ranked > li > dl").allInnerTexts();
  assert.ok(
    figures.some((t) => /\d,\d/.test(t)),
    figures.join(),
  );
  assert.deepEqual(
    figures.filter((t) => /\d\.\d/.test(t)),
    [],
  );
  // The wine keeps the name it was given, though the word is in the table.
  assert.equal(await page.locator(".crumb").innerText(), "Red");
  assert.deepEqual(await axe(page), []);
  await page.locator(".ranked a").first().click();
  await page.waitForSelector('h1:has-text("Bentonite sodique")');
  assert.match(
    plain(await page.locator(".cautions").innerText()),
    /Précautions[^]*silice cristalline[^]*non relue par un praticien/,
  );
  assert.deepEqual(await marked("#main [lang=en]"), []);
  assert.deepEqual(await axe(page), []);
  await page.reload();
  await page.waitForSelector('h1:has-text("Bentonite sodique")');
  // What is not translated, the titles of works, says that it is English.
  await page.goto(site.address + "#/figures");
  await page.waitForSelector('h1:has-text("À propos des chiffres")');
  assert.ok((await marked("#main details [lang=en]")).length > 150);
  assert.deepEqual(await axe(page), []);
  await page.goto(site.address + "#/");
  await page.waitForSelector('h1:has-text("Cahier de cave")');
  assert.equal(await page.locator(".wines strong").innerText(), "Red");
  await button(page, "English").click();
  await page.waitForSelector('h1:has-text("Cellar book")');
  assert.equal(await page.getAttribute("html", "lang"), "en");
  assert.equal(await page.locator("[lang=en]:not(html, .chip)").count(), 0);
  assert.ok(!(await page.locator("body").innerText()).includes("not reviewed by a practitioner"));
  await page.locator("a.wine").click();
  await page.getByText("Analyses", { exact: true }).click();
  assert.equal(await page.getByLabel("Free SO₂ (mg/L)").inputValue(), "beaucoup");
  page.assertClean();
  await context.close();
});

test("numbers of a language are written as its country writes them", async () => {
  for (const [locale, written, other] of [
    ["es-MX", /\d\.\d/, /\d,\d/],
    ["es-ES", /\d,\d/, /\d\.\d/],
    ["fr-CA", /\d,\d/, /\d\.\d/],
  ]) {
    const { page, context } = await newPage(browser, { locale });
    await page.goto(site.address);
    await ready(page);
    await page.locator("section .chip").first().click();
    await page.waitForSelector(".ranked li");
    const figures = (await page.locator(".ranked > li > dl").allInnerTexts()).join();
    assert.match(figures, written, locale);
    assert.doesNotMatch(figures, other, locale);
    page.assertClean();
    await context.close();
  }
});

measured(
  "the first start follows the browser, the papers too, and no page is wider than the phone",
  async () => {
    const { page, context } = await newPage(browser, { locale: "es-AR", width: 320 });
    await page.goto(site.address);
    await page.waitForSelector('h1:has-text("Cuaderno de bodega")');
    assert.equal(await page.getAttribute("html", "lang"), "es");
    await button(page, "Blanco inestable al calor").click();
    await page.waitForSelector(".ranked li");
    const wine = (await page.evaluate(() => location.hash)).match(/#\/wine\/[^/]+/)[0];
    for (const [path, title] of [
      ["", "El vino"],
      ["/stability", "Su estabilidad"],
      ["/cause", "Buscar la causa"],
      ["/routes", "Recorridos"],
      ["/follows", "Lo que se deduce de los análisis"],
      ["/order", "Orden de trabajo"],
      ["/log", "Lo que se hizo"],
      ["/ready", "Listo para la línea"],
      ["/summary", "Resumen para el dueño"],
    ]) {
      await page.evaluate((hash) => {
        location.hash = hash;
      }, wine + path);
      await page.waitForSelector(`h1:has-text("${title}")`);
      assert.equal(await page.title(), `${title} – Stillbright`);
      assert.ok(
        await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth),
        `${title} is too wide`,
      );
      assert.deepEqual(await axe(page), [], title);
    }
    assert.match(await page.locator("main .sheet").innerText(), /no revisada por un profesional/);
    page.assertClean();
    await context.close();
  },
);

/** Names of books and authorities, which stay as they are, as do words of a file between marks, keys of sources and what is all capitals. */
const NAMES =
  /Handbook of Enology|University of California|Australian Wine Research Institute|Wine Australia|Food Standards \w+|Alcohol and Tobacco Tax and Trade Bureau|“?[Oo]rganic”?/g;
const wordsOf = (text) =>
  text
    .replace(NAMES, "")
    .replace(/`[^`]*`|(?<!\p{L})\p{Lu}[\p{Lu}\d.-]+(?!\p{L})/gu, "")
    .toLowerCase()
    .match(/\p{L}+/gu) ?? [];
/** The words of the pages in a language: what its messages say, without their names and gaps. */
const pageWords = (code) =>
  readFileSync(new URL(`../../languages/${code}.ftl`, import.meta.url), "utf8")
    .split("\n")
    .filter((line) => !line.startsWith("#"))
    .map((line) =>
      line
        .replace(/^[a-z\d-]+ = /, "")
        .replace(/\{ \$[\w-]+ (->|\})/g, "")
        .replace(/^ *\*?\[[\w-]+\]/, ""),
    );
/** Finds in a text the words that only the English texts of a language's table have: none of them stands in what is said in it. */
const englishWords = (code) => {
  const table = JSON.parse(
    readFileSync(new URL(`../../languages/${code}.json`, import.meta.url), "utf8"),
  );
  const said = new Set([...Object.values(table), ...pageWords(code)].flatMap(wordsOf));
  const english = new Set(
    [...Object.keys(table), ...pageWords("en")]
      .flatMap(wordsOf)
      .filter((w) => w.length > 1 && !said.has(w)),
  );
  assert.ok(
    english.size > 1500 &&
      ["the", "of", "wine", "taken", "worth", "expected", "value"].every((w) => english.has(w)),
    `${english.size} words`,
  );
  return (text) => wordsOf(text).filter((w) => english.has(w));
};
/** Every text on the page and in the names of its parts, but pieces of files, and what is marked as English where that may stand. */
const allTexts = (page, unmarked = "") =>
  page.evaluate((not) => {
    const all = [document.title];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walk.nextNode())
      if (!walk.currentNode.parentElement.closest(`script, textarea, code, .chips [lang]${not}`))
        all.push(walk.currentNode.data);
    for (const e of document.querySelectorAll("[aria-label], [placeholder]"))
      if (!e.closest(`code${not}`))
        all.push(e.getAttribute("aria-label") ?? "", e.getAttribute("placeholder") ?? "");
    return all.filter((t) => t.trim());
  }, unmarked);

test("what one must understand to act is said whole, in both languages: facts, bench, order, law, causes, what follows", async () => {
  for (const [code, demo] of [
    ["fr", "Blanc instable à la chaleur"],
    ["es", "Tinto joven y duro"],
  ]) {
    const { page, context } = await newPage(browser, { locale: code });
    await page.goto(site.address);
    await ready(page);
    await button(page, demo).click();
    await page.waitForSelector(".ranked li");
    const wine = (await page.evaluate(() => location.hash)).match(/#\/wine\/[^/]+/)[0];
    // The wine keeps the name it was given.
    await page.evaluate((hash) => {
      location.hash = hash;
    }, wine);
    await page.locator("#field-name").fill("Qq 1");
    const english = [];
    const words = englishWords(code);
    let seen = 0;
    const look = async (path, wait = "#main h1") => {
      await page.evaluate((hash) => {
        location.hash = hash;
      }, path);
      await page.waitForSelector(wait);
      await page.waitForTimeout(300);
      const texts = await allTexts(page);
      seen += texts.length;
      english.push(
        ...texts
          .filter((t) => words(t).length)
          .map((t) => `${path.replace(wine, "")}: ${t} (${words(t)})`),
      );
    };
    await look("#/defaults");
    await look(wine);
    await look(`${wine}/treatments`, ".ranked li");
    const links = await page
      .locator('.ranked a[href*="/treatments/"]')
      .evaluateAll((all) => all.map((a) => a.getAttribute("href")));
    for (const link of links.slice(0, 6)) await look(link);
    for (const key of ["bentonite_sodium", "gelatin", "copper_sulfate"])
      await look(`${wine}/trial/${key}`, ".rung");
    await look(`${wine}/routes`, ".ranked a");
    await look(await page.locator(".ranked a").first().getAttribute("href"), "svg");
    await page
      .getByRole("button", { name: code === "fr" ? "Prendre ce parcours" : "Tomar este recorrido" })
      .click();
    await page.waitForSelector(".undo");
    for (const part of [
      "order",
      "ready",
      "laboratory",
      "summary",
      "stability",
      "cause",
      "follows",
      "log",
    ])
      await look(`${wine}/${part}`);
    assert.ok(seen > 1500, `${seen} texts`);
    // A step in the calendar is cut to its room before it is said.
    assert.deepEqual(
      english.filter((t) => !t.includes("… (")),
      [],
      code,
    );
    page.assertClean();
    await context.close();
  }
});

/** The demo wines as they are kept, with names that are in no language and without what their users wrote; each once more with nothing
 * known but what is wrong with it, for the words on what is not known. */
const demoWines = () => {
  const folder = new URL("../../demo-data/", import.meta.url);
  const own = ["note", "by", "batch", "test", "day"];
  const quiet = (thing) =>
    Array.isArray(thing)
      ? thing.map(quiet)
      : thing && typeof thing === "object"
        ? Object.fromEntries(
            Object.entries(thing).map(([k, v]) => [k, own.includes(k) ? "" : quiet(v)]),
          )
        : thing;
  const files = readdirSync(folder)
    .filter((f) => /^\d/.test(f))
    .sort();
  const wines = files.map((f, i) => ({
    ...quiet(JSON.parse(readFileSync(new URL(f, folder), "utf8")).wines[0]),
    name: `Qq ${i}`,
  }));
  assert.equal(wines.length, DEMOS.length);
  return wines.flatMap((wine, i) => [
    [`d${i}`, wine],
    [
      `b${i}`,
      {
        name: `Qqq ${i}`,
        problems: wine.problems,
        colour: wine.colour,
        stage: wine.stage,
        weights: wine.weights,
      },
    ],
  ]);
};

test(
  "no sentence is left in English on any page of the demo wines, nor of wines of which little is known",
  { timeout: 900_000 },
  async () => {
    const wines = demoWines();
    const seed = Object.fromEntries(
      wines.map(([id, wine], i) => [
        `stillbright/wine/${id}/a`,
        JSON.stringify({ schema: 1, revision: 1, saved: 99 - i, wine }),
      ]),
    );
    for (const [code, some] of [
      ["fr", wines],
      ["es", wines.filter((_, i) => i % 4 < 2)],
    ]) {
      const { page, context } = await newPage(browser, { locale: code, seed });
      await page.goto(site.address);
      await page.waitForSelector("#app[data-settled][data-whole] .wines");
      const words = englishWords(code);
      const left = new Set();
      let seen = 0;
      const look = async (path, { wait = "#main h1", may = "" } = {}) => {
        await page.evaluate((hash) => {
          location.hash = hash;
        }, path);
        await page.waitForSelector(wait);
        await page.waitForTimeout(120);
        for (const text of await allTexts(page, may)) {
          seen += 1;
          // A step in the calendar is cut to its room before it is said.
          if (words(text).length && !text.trim().endsWith("…"))
            left.add(`${path}: ${text} (${words(text)})`);
        }
      };
      await look("#/", { wait: ".wines" });
      for (const path of ["#/defaults", "#/words", "#/nowhere", "#/wine/nowhere", "#/add/nothing"])
        await look(path);
      // The list of works, with what was read of each, is English and marked so.
      await look("#/figures", { may: ", #main details li" });
      for (const [id, wine] of some) {
        const at = `#/wine/${id}`;
        await look(at);
        for (const problem of wine.problems)
          await look(`${at}/treatments/${problem}`, { wait: ".ranked" });
        // The order by more draws comes in at rest.
        await page.waitForFunction(() => document.querySelector("#fine").textContent);
        const links = await page
          .locator('.ranked > li > a[href*="/treatments/"]')
          .evaluateAll((all) => all.map((a) => a.getAttribute("href")));
        for (const link of links.slice(0, 3)) await look(link);
        if (links.length > 1)
          await look(
            `${at}/compare/${wine.problems.at(-1)}/${links
              .slice(0, 2)
              .map((l) => l.split("/").at(-1))
              .join("+")}`,
          );
        for (const link of links.slice(0, 2)) await look(`${at}/trial/${link.split("/").at(-1)}`);
        await look(`${at}/routes`, { wait: ".ranked a, #main .answer:not(:empty)" });
        for (const part of [
          "stability",
          "cause",
          "follows",
          "order",
          "log",
          "ready",
          "laboratory",
          "summary",
        ])
          await look(`${at}/${part}`);
      }
      for (let i = 1; i <= 9; i++) await look(`#/wine/b0/ask/${i}`);
      assert.ok(seen > 3000, `${seen} texts`);
      assert.deepEqual([...left], [], code);
      page.assertClean();
      await context.close();
    }
  },
);

test("why a file is not taken is said in the language of the page: what, where, and how to mend it", async () => {
  const head = '{"app":"stillbright","schema":1,"wines":[';
  const files = [
    ["", /Ligne 1, caractère 1/],
    ["hello", /Ligne 1, caractère 1 : hello/],
    [`${head}{"name":"a","volume":"12`, /Ligne 1, caractère 65 : .*"12/],
    [`${head}\n{"name":"a",\n"volume":12 34}]}`, /Ligne 3, caractère 13 : "volume":12 34/],
    [`${head}]}]`, /Ligne 1, caractère 44/],
    ["[".repeat(300), /Ligne 1, caractère 128/],
    ["[1]", /Champ : file[^]*On y lit : \[1\]/],
    ['{"app":"other"}', /Champ : app[^]*On y lit : other/],
    ['{"app":7}', /Champ : app[^]*On y lit : 7/],
    ['{"app":"stillbright"}', /Champ : schema/],
    ['{"app":"stillbright","schema":"one","wines":[]}', /Champ : schema[^]*On y lit : "one"/],
    ['{"app":"stillbright","schema":9,"wines":[]}', /version plus récente/],
    ['{"app":"stillbright","schema":1}', /Champ : file[^]*`wines`/],
    [`${head}{"colur":"red"}]}`, /Champ : wines\[0\]\.colur[^]*On y lit : "red"[^]*`colour`/],
    [`${head}{"colour":"blue"}]}`, /Champ : wines\[0\]\.colour[^]*On y lit : "blue"[^]*`white`/],
    [`${head}{"name":"a","name":"b"}]}`, /Champ : wines\[0\]\.name[^]*On y lit : "b"/],
    [`${head}{"name":3}]}`, /Champ : wines\[0\]\.name[^]*On y lit : 3/],
    [`${head}{"demo":"yes"}]}`, /Champ : wines\[0\]\.demo[^]*`true`/],
    [`${head}{"volume":[]}]}`, /Champ : wines\[0\]\.volume[^]*guillemets/],
    [`${head}{"volume":1e60}]}`, /Champ : wines\[0\]\.volume[^]*1e\+?60/],
    [`${head}{"problems":{}}]}`, /Champ : wines\[0\]\.problems/],
    [`${head}{"analyses":[]}]}`, /Champ : wines\[0\]\.analyses/],
    [
      `${head}{"weights":{"effect":300,"cost":1,"time":1,"origin":1}}]}`,
      /Champ : wines\[0\]\.weights\.effect[^]*255/,
    ],
    [`${head}{"name":"${"n".repeat(201)}"}]}`, /Champ : wines\[0\]\.name[^]*200/],
    [" ".repeat(1_000_001), /1000001 octets[^]*1000000/],
    [
      '{"stillbright/wine/x/a":"{\\"schema\\":1,\\"revision\\":3,\\"saved\\":1,\\"wine\\":{\\"name\\":\\"Qq\\",\\"later\\":1}}","stillbright/wine/y/a":"{","stillbright/bin/z":"?","stillbright/wine/w/a":"{\\"schema\\":2}","stillbright/wine/v/a":"{\\"schema\\":1,\\"wine\\":{\\"name\\":\\"Qqq\\",\\"vol"}',
      /2 dans ce fichier : Qq, Qqq[^]*Qq\s+tout n’a pas pu être lu ; il manque : later/,
    ],
  ];
  const dir = mkdtempSync(join(tmpdir(), "faults-"));
  for (const code of ["fr", "es"]) {
    const { page, context } = await newPage(browser, { locale: code });
    await page.goto(site.address);
    await page.waitForSelector("#app[data-settled][data-whole]");
    const words = englishWords(code);
    for (const [i, [text, says]] of files.entries()) {
      writeFileSync(join(dir, `${i}.json`), text);
      await page.locator("#import").setInputFiles(join(dir, `${i}.json`));
      await page.waitForSelector(".field [role=alert]");
      const shown = plain(await page.locator(".field [role=alert]").innerText());
      if (code === "fr") assert.match(shown, says, text.slice(0, 80));
      assert.deepEqual(
        (await allTexts(page)).filter((t) => words(t).length),
        [],
        text.slice(0, 80),
      );
      assert.equal(await page.locator("[role=alert] [lang=en]").count(), 0, text.slice(0, 80));
      await page.getByRole("button", { name: code === "fr" ? "Annuler" : "Cancelar" }).click();
      await page.waitForSelector(".field [role=alert]", { state: "detached" });
    }
    assert.deepEqual(await axe(page), []);
    page.assertClean();
    await context.close();
  }
});

test("the first pages are French before the rest of the language is here, and stay so where it cannot be had", async () => {
  const { page, context } = await newPage(browser, { locale: "fr-FR" });
  // The rest of the table; its first part has “first” in its name.
  await page.route(/languages\/fr-(?!first).*\.json/, (r) => r.abort());
  await page.goto(site.address);
  await page.waitForSelector('#app[data-ready] h1:has-text("Cahier de cave")');
  const english = () => page.locator("[lang=en]:not(html, .chip)").allInnerTexts();
  assert.deepEqual(await english(), []);
  await button(page, "Nouveau vin").click();
  for (let i = 1; i <= 9; i++) {
    await page.waitForSelector(`h1:has-text("Question ${i}")`);
    assert.deepEqual(await english(), [], `question ${i}`);
    await page.evaluate((n) => {
      location.hash = location.hash.replace(/\d+$/, n);
    }, i + 1);
  }
  // The second part of the page works; what it lacks words for is marked as English.
  await page.evaluate(() => {
    location.hash = location.hash.replace(/ask.*/, "stability");
  });
  await page.waitForSelector("#main [lang=en]");
  await context.close();
});

test("a language that cannot be fetched leaves the page as it was", async () => {
  const { page, context } = await newPage(browser, { locale: "fr-FR" });
  await page.route(/languages\/fr-/, (route) => route.fulfill({ status: 404, body: "not here" }));
  await page.goto(site.address);
  await ready(page);
  assert.equal(await page.locator("h1").innerText(), "Cellar book");
  assert.equal(await page.getAttribute("html", "lang"), "en");
  await context.close();
});

test("terms are found whole, the longest first", () => {
  const find = finder(
    [
      { term: "SO₂", also: [] },
      { term: "Free SO₂", also: ["free sulfur"] },
      { term: "pH", also: [] },
    ],
    (t) => (t === "pH" ? "acidité réelle" : undefined),
  );
  const named = (text) => find(text)?.term.term;
  assert.equal(named("Free SO₂ (mg/L)"), "Free SO₂");
  assert.equal(named("the free sulfur of it"), "Free SO₂");
  assert.equal(named("Acidité réelle"), "pH");
  for (const none of ["phase", "SO₂4", "pre-pH", "nothing"])
    assert.equal(named(none), undefined, none);
});

test("a tap on a marked word explains it in place; Escape takes one back to it", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await button(page, "Heat-unstable white").click();
  await page.waitForSelector(".ranked li");
  await page.waitForSelector("h1 + .term");
  const open = page.locator("dialog[open]");
  await button(page, "What it means: Protein haze").click();
  assert.match(await open.innerText(), /Protein haze[^]*unfolds in warmth[^]*common practice/);
  assert.equal(await open.getAttribute("aria-labelledby"), "explained-term");
  assert.deepEqual(await axe(page), []);
  await page.keyboard.press("Escape");
  assert.equal(await open.count(), 0);
  assert.equal(
    await page.evaluate(() => document.activeElement.getAttribute("aria-label")),
    "What it means: Protein haze",
  );
  // In the text of a treatment: each word once, the text itself unchanged.
  await page.locator(".ranked a").first().click();
  await page.waitForSelector(".facts .term");
  const words = await page
    .locator("#main .term:not(.ask)")
    .evaluateAll((all) => all.map((b) => b.dataset.term));
  assert.ok(words.length >= 3 && new Set(words).size === words.length, words.join());
  assert.match(
    await page.locator("main").innerText(),
    /Clay platelets carry a negative charge; wine proteins are positive at wine pH/,
  );
  assert.deepEqual(await axe(page), []);
  const wine = (await page.evaluate(() => location.hash)).match(/#\/wine\/[^/]+/)[0];
  await page.evaluate((hash) => {
    location.hash = hash;
  }, wine);
  await page.getByText("Analyses", { exact: true }).click();
  // A field keeps its name; the question mark stands beside its label.
  await page.getByLabel("Turbidity (NTU)", { exact: true }).waitFor();
  await page.locator('label:has-text("Turbidity") + .term').click();
  assert.match(await open.innerText(), /How cloudy a wine is/);
  await page.getByRole("button", { name: "Close" }).click();
  assert.deepEqual(await axe(page), []);
  await page.evaluate((hash) => {
    location.hash = `${hash}/stability`;
  }, wine);
  await page.locator("details.stability summary").first().click();
  await page.waitForSelector("details.stability[open] > .term");
  assert.deepEqual(await axe(page), []);
  page.assertClean();
  await context.close();
});

measured("the page of words: all of them, filtered, in French as well", async () => {
  const { page, context } = await newPage(browser, { width: 320 });
  await page.goto(site.address);
  await ready(page);
  await page.getByRole("link", { name: "Trade words" }).click();
  await page.waitForSelector("#glossary li");
  const all = await page.locator("#glossary li").count();
  assert.equal(
    all,
    JSON.parse(readFileSync(new URL("../../glossary/terms.json", import.meta.url), "utf8")).length,
  );
  await page.getByLabel("Find a word").fill("vinegar");
  assert.deepEqual(await page.locator("#glossary strong").allInnerTexts(), ["Volatile acidity"]);
  assert.equal(await page.locator("#glossary [role=status]").innerText(), "1 word");
  assert.deepEqual(await axe(page), []);
  await page.evaluate(() => localStorage.setItem("language", "fr"));
  await page.reload();
  await page.waitForSelector("#glossary li");
  await page.getByLabel("Chercher un mot").fill("ouillage");
  assert.deepEqual(await page.locator("#glossary strong").allInnerTexts(), ["Creux"]);
  assert.equal(await page.locator("#glossary [lang=en]").count(), 0);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  assert.deepEqual(await axe(page), []);
  page.assertClean();
  await context.close();
});

test("the one file opened from a disk speaks French and explains its words, with no request at all", async () => {
  const { page, context } = await newPage(browser);
  const asked = [];
  page.on("request", (r) => asked.push(r.url()));
  await page.goto(new URL("../../dist/stillbright.html", import.meta.url).href);
  await ready(page);
  await button(page, "Français").click();
  await page.waitForSelector('h1:has-text("Cahier de cave")');
  await page.getByRole("link", { name: "Mots du métier" }).click();
  await page.getByLabel("Chercher un mot").fill("ouillage");
  assert.deepEqual(await page.locator("#glossary strong").allInnerTexts(), ["Creux"]);
  assert.deepEqual(
    asked.filter((u) => !u.startsWith("data:") && !u.includes("stillbright.html")),
    [],
  );
  await context.close();
});
