// The papers that leave the cellar: work order, log, fit to bottle, laboratory sheet, summary; sharing and handing over.
import { before, after } from "node:test";
import assert from "node:assert/strict";
import { mkdtemp, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test, measured, startServer, launch, newPage, ready, newWine, axe, save } from "./lib.mjs";
import { PAPERS, cutText, printed } from "./pdf.mjs";

let site, browser;
before(async () => {
  site = await startServer();
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await site?.stop();
});

// On A4 and on Letter: as many pages as are sane, every word of what is to be printed in the PDF, none beyond the paper.
const printsWhole = async (page, name, most, part) => {
  const before = page.viewportSize();
  for (const [format, width] of PAPERS) {
    await page.setViewportSize({ width, height: 900 });
    assert.deepEqual(await cutText(page), [], `${name} ${format}: cut`);
    const words = await page
      .locator(part)
      .evaluateAll((all) =>
        all.filter((e) => e.checkVisibility()).flatMap((e) => e.innerText.split("\n")),
      );
    const { pages, text } = await printed(page, format);
    assert.ok(pages >= 1 && pages <= most, `${name} ${format}: ${pages} pages`);
    const lost = words
      .map((w) => w.normalize("NFKC").replaceAll(/\s/g, ""))
      .filter((w) => w && !text.includes(w));
    assert.ok(
      words.length > 5 && text.length > 200,
      `${name} ${format}: ${words.length} lines, ${text.length} letters`,
    );
    assert.deepEqual(lost, [], `${name} ${format}: not in the PDF`);
  }
  await page.setViewportSize(before);
};

/** From the book to a link that hands the hard young red over. */
const makeLink = async (page) => {
  await page.getByRole("button", { name: "Hard young red" }).click();
  await page.waitForSelector(".ranked");
  await page.evaluate(() => {
    location.hash = location.hash.replace(/\/treatments.*/, "");
  });
  await page.getByRole("button", { name: "More" }).click();
  await page.getByText("Hand this wine over").click();
  await page.getByRole("button", { name: "Make a link" }).click();
};

// What is believed of the law: no mass before somebody ticked that the authority confirmed it.
test("a mass waits for the authority", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const wine = {
    name: "Red of a believed law",
    colour: "red",
    stage: "dry",
    style: "still_dry",
    made_in: "us",
    problems: ["astringency"],
    volume: "1000",
    plan: [{ treatment: "gelatin", dose: "5" }],
    trials: [{ treatment: "gelatin", not_trialled: true }],
    weights: { effect: 3, cost: 2, time: 1, origin: 1 },
  };
  const file = join(await mkdtemp(join(tmpdir(), "law-")), "wine.json");
  await writeFile(file, JSON.stringify({ app: "stillbright", schema: 1, wines: [wine] }));
  await page.getByLabel("Import a file").setInputFiles(file);
  await page.getByRole("button", { name: "Add them to the book" }).click();
  await page.getByRole("link", { name: /Red of a believed law/ }).click();
  await page.waitForSelector("h1");
  await page.evaluate(() => {
    location.hash = location.hash.replace(/(#\/wine\/[^/]+).*/, "$1/order");
  });
  await page.waitForSelector('h1:has-text("Work order")');
  const sheet = page.locator(".sheet");
  assert.match(
    await sheet.innerText(),
    /First confirm it with the Alcohol and Tobacco Tax and Trade Bureau/,
  );
  assert.doesNotMatch(await sheet.innerText(), /Weigh [\d.]+ k?g/);
  await page.getByRole("button", { name: "Gelatin, United States: Confirmed" }).click();
  // The day is today's; who asked is missing yet.
  assert.doesNotMatch(await sheet.innerText(), /Weigh [\d.]+ k?g/);
  await page.getByLabel("Gelatin, United States: asked by").fill("A. Cellar");
  assert.match(
    await sheet.innerText(),
    /Weigh 50 g in all[^]*United States: confirmed with the authority on 20\d\d-\d\d-\d\d by A\. Cellar\./,
  );
  await axe(page);
  await page.reload();
  await ready(page);
  assert.match(await sheet.innerText(), /Weigh 50 g in all/);
  await context.close();
});

measured("from a wine over a treatment to the printed record", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole("button", { name: "Heat-unstable white" }).click();
  await page.waitForSelector(".ranked");
  await page.locator(".ranked a", { hasText: "Sodium bentonite" }).first().click();
  await page.getByRole("button", { name: "Put on the work order" }).click();
  await page.waitForSelector('h1:has-text("Work order")');
  const sheet = page.locator(".sheet");
  // No mass without a bench reading, whatever dose stands in the plan.
  await page.getByLabel("1. Sodium bentonite (g/hL)").fill("60");
  assert.match(await sheet.innerText(), /First a bench trial of this wine/);
  assert.doesNotMatch(await sheet.innerText(), /Weigh [\d.]+ k?g/);
  // The way to it stands there.
  assert.match(
    await page.getByRole("link", { name: "Bench trial: Sodium bentonite" }).getAttribute("href"),
    /trial\/bentonite_sodium$/,
  );
  await page.getByRole("button", { name: /Not trialled/ }).click();
  assert.match(
    await sheet.innerText(),
    /Weigh 2\.52 kg in all: 60 g\/hL[^]*NOT TRIALLED on the bench[^]*Caution\. Bentonite/,
  );
  const text = await save(page, () => page.getByRole("button", { name: /Share/ }).click());
  assert.match(
    text,
    /^Work order\n[^]*Confirmed as not trialled on the bench: Sodium bentonite[^]*Weigh 2\.52 kg/,
  );

  // The log: a day that cannot be read is not taken, an entry is marked and stays.
  await page.getByRole("link", { name: "What was done" }).click();
  await page.waitForSelector('h1:has-text("What was done")');
  await page.getByLabel("What was done").selectOption("bentonite_sodium");
  assert.equal(await page.getByLabel("Dose given").inputValue(), "60");
  const day = page.getByLabel("Day (year-month-day)");
  const today = await day.inputValue();
  await day.fill("today");
  await page.getByRole("button", { name: "Add to the log" }).click();
  assert.match(await page.locator("#log-wrong").innerText(), /year-month-day/);
  await day.fill(today);
  await page.getByLabel("Batch of the material").fill("L 7");
  await page.getByRole("button", { name: "Add to the log" }).click();
  assert.match(
    await sheet.innerText(),
    /1\. 20\d\d-\d\d-\d\d: Sodium bentonite, 60 g\/hL, batch L 7/,
  );
  await page.reload();
  await ready(page);
  assert.match(
    await sheet.innerText(),
    /Sodium bentonite, 60 g\/hL, batch L 7[^]*counts as: fined[^]*no longer counted: turbidity, heat test rise/,
  );
  // It voids the heat test, which had no day.
  await page.getByRole("link", { name: "Ready for the line" }).click();
  await page.waitForSelector('h1:has-text("Ready for the line")');
  assert.match(await sheet.innerText(), /Not shown: [^.]*protein/);
  assert.match(await sheet.innerText(), /Sodium bentonite \(20[\d-]+\) came after it, or may have/);
  await page.getByText("Looked at, passed or failed").click();
  await page.getByRole("button", { name: "Clean line: Failed" }).click();
  assert.match(await sheet.innerText(), /Not ready for the line: [^.]*clean line/);
  // On the order the step is ticked and says no more, neither on the sheet nor among what can be changed.
  await page.getByRole("link", { name: "Work order" }).click();
  await page.waitForSelector('h1:has-text("Work order")');
  const ticked = await sheet.locator("section", { hasText: "✓ 1. Sodium bentonite" }).innerText();
  assert.match(ticked, /Done: Sodium bentonite \(20[\d-]+\)\./);
  assert.doesNotMatch(ticked, /Weigh|NOT TRIALLED|Caution/);
  assert.equal(await page.getByLabel("1. Sodium bentonite (g/hL)").count(), 0);
  await page.getByRole("link", { name: "What was done" }).click();
  await page.waitForSelector('h1:has-text("What was done")');
  await page.getByText("Mark as an error").click();
  await page.getByRole("button", { name: /^1\. Sodium bentonite/ }).click();
  assert.match(
    await sheet.innerText(),
    /marked as an error: it counts no more[^]*2\. [\d-]+: entry 1 was an error/,
  );
  page.assertClean();

  // Each paper on A4 and on Letter: pages of the browser's own PDF, and only the sheet on them.
  for (const [kind, most, part] of [
    ["order", 4, /Weigh 2\.52 kg/],
    ["log", 1, /entry 1 was an error/],
    ["ready", 5, /Clean line: failed/],
    ["laboratory", 2, /Please measure/],
    ["summary", 3, /Planned/],
  ]) {
    await page.evaluate((k) => {
      location.hash = location.hash.replace(/[a-z]+$/, k);
    }, kind);
    await page.waitForFunction(
      (t) => new RegExp(t).test(document.querySelector(".sheet")?.innerText),
      part.source,
    );
    await page.emulateMedia({ media: "print", colorScheme: "dark" });
    const printed = await page.evaluate(() => document.body.innerText);
    assert.match(printed, part);
    assert.doesNotMatch(printed, /Settings|Share, or save|Works with no signal|Take out/);
    const colours = await page.evaluate(() => [
      getComputedStyle(document.documentElement).backgroundColor,
      getComputedStyle(document.querySelector(".sheet p")).color,
    ]);
    assert.deepEqual(colours, ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]);
    await printsWhole(page, kind, most, ".sheet");
    await page.emulateMedia({ media: "screen", colorScheme: "light" });
  }
  await context.close();
});

test("a sheet goes to the share sheet of the device where there is one", async () => {
  const { page, context } = await newPage(browser);
  await page.addInitScript(() => {
    navigator.share = (d) => {
      globalThis.shared = d;
      return Promise.reject(new DOMException("closed", "AbortError"));
    };
  });
  await page.goto(site.address);
  await ready(page);
  await page.getByRole("button", { name: "Heat-unstable white" }).click();
  await page.waitForSelector(".ranked");
  await page.evaluate(() => {
    location.hash = location.hash.replace("treatments", "laboratory");
  });
  await page.getByRole("button", { name: /Share/ }).click();
  assert.match(await page.evaluate(() => globalThis.shared.text), /^Sheet for the laboratory\n/);
  page.assertClean();
  await context.close();
});

test("a wine goes over in a link, which asks before it keeps anything and says when it is cut", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await makeLink(page);
  const link = await page.getByLabel("Link with the wine in it").inputValue();
  assert.ok(link.startsWith(`${site.address}#/add/`) && link.length < 4000, String(link.length));
  await page.getByText(`${link.length} characters.`).waitFor();
  // Noise does not pack: refused.
  let seed = 1;
  const noise = Array.from({ length: 12000 }, () => {
    seed = (seed * 48271) % 2147483647;
    return String.fromCharCode(33 + (seed % 94));
  }).join("");
  await page.getByText("Day and note").click();
  await page.getByLabel("Note").fill(noise);
  await page.getByRole("button", { name: "Make a link" }).click();
  await page.getByText("too long for a link").waitFor();
  page.assertClean();
  await context.close();

  const other = await newPage(browser);
  await other.page.goto(link);
  await ready(other.page);
  await other.page.getByText("Demo: ").waitFor();
  assert.deepEqual(await axe(other.page), []);
  assert.equal(
    await other.page.evaluate(
      () => Object.keys(localStorage).filter((k) => k.includes("/wine/")).length,
    ),
    0,
  );
  await other.page.getByRole("button", { name: "Add them to the book" }).click();
  await other.page.waitForSelector("fieldset");
  assert.match(await other.page.getByLabel("Name").inputValue(), /young red|Demo: /);
  for (const bad of [link.slice(0, -40), `${site.address}#/add/!!`, `${site.address}#/add/AAAA`]) {
    await other.page.evaluate((a) => {
      location.href = a;
    }, bad);
    await other.page.getByText("This link holds no wine").waitFor();
  }
  other.page.assertClean();
  await other.context.close();
});

test("an analysis keeps the day it is typed for, and loses it when it is typed anew", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await newWine(page);
  await page.getByText("Analyses", { exact: true }).click();
  const measured = page.getByLabel("Measured on (year-month-day)");
  await measured.fill("2026-11-20");
  await page.getByLabel("Turbidity (NTU)").fill("0.6");
  await page.getByText("The day of each analysis").click();
  const day = (value) =>
    page.waitForFunction((v) => document.querySelector("#day-turbidity")?.value === v, value, {
      timeout: 5000,
    });
  await day("2026-11-20");
  await page.locator("#day-turbidity").fill("soon");
  assert.match(await page.locator("#day-turbidity-hint").innerText(), /year-month-day/);
  await page.getByText("The day of each analysis").click();
  await measured.fill("");
  await page.getByLabel("Turbidity (NTU)").fill("0.7");
  await page.getByText("The day of each analysis").click();
  await day("");
  page.assertClean();
  await context.close();
});

measured(
  "the bench sheet: other agents, numbers for another tasting, a text to send, whole on A4 and Letter",
  async () => {
    const { page, context } = await newPage(browser);
    await page.goto(site.address);
    await ready(page);
    await page.getByRole("button", { name: "Heat-unstable white" }).click();
    await page.waitForSelector(".ranked");
    await page.evaluate(() => {
      location.hash = location.hash.replace(/treatments.*/, "trial/gelatin");
    });
    await page.waitForSelector(".rung");
    await page.getByText("Other agents in every glass", { exact: true }).click();
    await page.getByLabel(/^Silica sol.* \(mL\/hL\)/).fill("50");
    await page.getByText("Into every glass, before this agent: ").waitFor();
    assert.match(
      await page.locator("main").innerText(),
      /Silica sol \(30\s%\), 50 mL\/hL: 0\.5 mL of 1 part made up to 10\./,
    );
    const codes = await page.locator(".codes").innerText();
    assert.match(codes, /^(\d{3} · )+\d{3}$/);
    assert.equal(await page.locator("details.key li").first().isVisible(), false);
    await page.getByRole("button", { name: "New numbers for another tasting" }).click();
    await page.waitForFunction((c) => document.querySelector(".codes")?.innerText !== c, codes);
    const again = await page.locator(".codes").innerText();
    await page.reload();
    await page.waitForSelector(".rung");
    assert.equal(await page.locator(".codes").innerText(), again);
    assert.deepEqual(await axe(page), []);
    const text = await save(page, () => page.getByRole("button", { name: /Share/ }).click());
    assert.match(
      text,
      /^Bench trial: Gelatin[^]*made up to[^]*Into every glass, before this agent: Silica sol[^]*Readings\n\d{3}: Reading ______/,
    );
    assert.doesNotMatch(text, /undefined|\[object/);
    await page.emulateMedia({ media: "print" });
    await printsWhole(
      page,
      "bench",
      5,
      "#main h1, #main h2, #main li, #main td, #main legend, #main label, #main .codes",
    );
    page.assertClean();
    await context.close();
  },
);

test("two tabs, a damaged slot and an undo take no entry out of the log", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  await page.getByRole("button", { name: "Heat-unstable white" }).click();
  await page.waitForSelector(".ranked");
  await page.evaluate(() => {
    location.hash = location.hash.replace(/treatments.*/, "log");
  });
  await page.waitForSelector("#log-what");
  const other = await context.newPage();
  await other.goto(page.url());
  await other.waitForSelector("#log-what");
  const add = async (tab, what) => {
    await tab.getByLabel("What was done").selectOption(what);
    await tab.getByRole("button", { name: "Add to the log" }).click();
  };
  // What is chosen and typed in one tab stays when another saves.
  await other.getByLabel("What was done").selectOption("blending");
  await other.getByLabel("Batch of the material").fill("B 9");
  await add(page, "racking");
  await other.waitForFunction(() => /One racking/.test(document.querySelector(".sheet").innerText));
  assert.equal(await other.getByLabel("Batch of the material").inputValue(), "B 9");
  await other.getByRole("button", { name: "Add to the log" }).click();
  // The second tab did not know of the first entry, and now shows both.
  await other.waitForFunction(() =>
    /1\. [\d-]+: One racking[^]*2\. [\d-]+: Blending/.test(
      document.querySelector(".sheet").innerText,
    ),
  );
  await add(page, "chill_static");
  await page.waitForFunction(() =>
    /One racking[^]*Blending[^]*3\. [\d-]+: /.test(document.querySelector(".sheet").innerText),
  );
  // The newest slot is damaged: its twin holds the entry, too.
  const whole = await page.locator(".sheet").innerText();
  await page.evaluate(() => {
    const slots = Object.keys(localStorage).filter(
      (k) => k.startsWith("stillbright/wine/") && !k.includes("defaults"),
    );
    const revision = (k) => JSON.parse(localStorage.getItem(k)).revision;
    localStorage.setItem(slots.sort((a, b) => revision(b) - revision(a))[0], '{"schema":1,"rev');
  });
  await page.reload();
  await ready(page);
  assert.equal(await page.locator(".sheet").innerText(), whole);
  // Deleted and put back.
  const address = page.url();
  await page.goto(`${site.address}#/`);
  await page.waitForSelector(".wines");
  await page
    .getByRole("button", { name: /^Delete/ })
    .first()
    .click();
  await page.getByRole("button", { name: /Undo|Put it back|Put back/ }).click();
  await page.goto(address);
  await page.waitForSelector("#log-what");
  assert.equal(await page.locator(".sheet").innerText(), whole);
  await context.close();
});

test("where the browser cannot pack, a link is not made and the file is named instead", async () => {
  const { page, context } = await newPage(browser);
  await page.addInitScript(() => {
    delete globalThis.CompressionStream;
  });
  await page.goto(site.address);
  await ready(page);
  await makeLink(page);
  await page
    .getByText("This browser cannot make such a link. Export the wine as a file.")
    .waitFor();
  page.assertClean();
  await context.close();
});

measured(
  "US units and days in the own language stand beside, on every page, on paper and in what is shared, until they are turned off",
  async () => {
    const { page, context } = await newPage(browser);
    await page.goto(site.address);
    await ready(page);
    await page.getByRole("button", { name: "Heat-unstable white" }).click();
    await page.waitForSelector(".ranked");
    const wine = await page.evaluate(() => location.hash.replace(/\/treatments.*/, ""));
    const to = async (path, part) => {
      await page.evaluate((h) => {
        location.hash = h;
      }, path);
      await page.waitForFunction(
        (t) => new RegExp(t).test(document.querySelector("#main")?.innerText),
        part.source,
      );
      return page.locator("#main").innerText();
    };
    const us = /\d (lb|oz|gal|°F|psi)|EUR\/1000 gal/;
    const press = async (name, on) => {
      await to("#/defaults", /Shown beside/);
      await page.getByRole("button", { name }).click();
      await page.waitForSelector(`button[aria-pressed=${on}]:has-text("${name}")`);
      // The chip that was tapped keeps the focus, though the page was drawn anew.
      assert.equal(await page.evaluate(() => document.activeElement.textContent), name);
    };
    const before = await to(`${wine}/order`, /Work order/);
    assert.doesNotMatch(before, us);
    await press("US units", true);
    assert.deepEqual(await axe(page), []);
    // The ranking and the page of a treatment.
    assert.match(
      await to(`${wine}/treatments/protein`, /What can be used/),
      /[\d.]+–[\d.]+ EUR\/hL \([\d.]+–[\d.]+ EUR\/1000 gal\)/,
    );
    assert.match(
      await to(`${wine}/treatments/protein/bentonite_sodium`, /Useful range/),
      /Useful range [\d.]+–[\d.]+ g\/hL \([\d.]+–[\d.]+ lb\/1000 gal\)/,
    );
    // The bench: the name of a glass says both; a dose typed in pounds is taken over in g/hL.
    await to(`${wine}/trial/bentonite_sodium`, /Glasses/);
    assert.match(
      await page.locator(".rung legend").nth(1).innerText(),
      /^[\d.]+ g\/hL \([\d.]+ lb\/1000 gal\)$/,
    );
    assert.deepEqual(await axe(page), []);
    // The work order: on screen, in print, in the text that is shared.
    await page.evaluate((h) => {
      location.hash = h;
    }, `${wine}/treatments/protein/bentonite_sodium`);
    await page.getByRole("button", { name: "Put on the work order" }).click();
    await page.waitForSelector('h1:has-text("Work order")');
    await page.getByLabel("1. Sodium bentonite (g/hL)").fill("5 lb/1000 gal");
    await page.getByRole("button", { name: /Not trialled/ }).click();
    // 5 lb/1000 gal are 59.913 g/hL; 4,200 L of them are 2.516 kg, 5.5475 lb.
    const both = /Weigh 2\.516 kg \(5\.54 lb\) in all: 59\.9 g\/hL \(4\.99 lb\/1000 gal\)/;
    await page.waitForFunction(
      (t) => new RegExp(t).test(document.querySelector(".sheet").innerText),
      both.source,
    );
    assert.deepEqual(await axe(page), []);
    const shared = await save(page, () => page.getByRole("button", { name: /Share/ }).click());
    assert.match(shared, both);
    assert.match(shared, /Masses are for 4200 L \(1109 gal\)/);
    // Nothing of the metric text is gone.
    await page.emulateMedia({ media: "print" });
    assert.match(await page.evaluate(() => document.body.innerText), both);
    await printsWhole(page, "order in both", 4, ".sheet");
    await page.emulateMedia({ media: "screen" });
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 360);
    // It outlives a reload, and days come beside it.
    await press("Days in my language", true);
    await page.reload();
    await ready(page);
    assert.match(
      await to(`${wine}/order`, /Work order/),
      /As of 20\d\d-\d\d-\d\d \((?:[A-Z][a-z]{2} \d{1,2}, 20\d\d|\d{1,2} [A-Z][a-z]{2} 20\d\d)\)[^]*Weigh 2\.516 kg \(5\.54 lb\)/,
    );
    await press("Days in my language", false);
    await press("US units", false);
    const after = await to(`${wine}/order`, /Weigh 2\.516 kg in all: 59\.9 g\/hL \(/);
    assert.doesNotMatch(after, us);
    assert.doesNotMatch(after, /20\d\d-\d\d-\d\d \(/);
    page.assertClean();
    await context.close();
  },
);
