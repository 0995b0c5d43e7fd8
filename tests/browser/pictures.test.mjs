// Every picture: its title, its description, its figures as a table; to be read on the smallest screen, in every language, and on paper.
import { before, after } from "node:test";
import assert from "node:assert/strict";
import { measured, otherFonts, startServer, launch, newPage, ready } from "./lib.mjs";
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

const go = (page, hash) =>
  page.evaluate((h) => {
    location.hash = h;
  }, hash);
const demo = async (page, nth) => {
  await go(page, "#/");
  await page.locator("section .chips button").nth(nth).click();
  await page.waitForSelector(".ranked li");
  return page.url().match(/wine\/([^/]+)/)[1];
};

/** Goes over every page with a picture and calls `look` with its name and how many pictures it must have. By no words of a language. */
const everyPicture = async (page, look) => {
  const at = async (name, hash, many) => {
    await go(page, hash);
    await page.waitForFunction(
      (n) => document.querySelectorAll("#main svg.chart").length === n,
      many,
    );
    await look(name);
  };
  const base = await demo(page, 3);
  await at("bitartrate", `#/wine/${base}/follows`, 1);
  await at("stabilities of the base", `#/wine/${base}/stability`, 1);
  const red = await demo(page, 1);
  await at("stabilities of the red", `#/wine/${red}/stability`, 1);
  await at("routes of the red", `#/wine/${red}/routes`, 1);
  await page.locator(".ranked a").last().click();
  await at("last route of the red", new URL(page.url()).hash, 2);
  const white = await demo(page, 0);
  await at("stabilities of the white", `#/wine/${white}/stability`, 1);
  await at("routes", `#/wine/${white}/routes`, 1);
  await page.locator(".ranked a").first().click();
  await at("route", new URL(page.url()).hash, 2);
  await page.locator("#main button.main").click();
  await page.waitForSelector(".undo");
  await page.locator(".undo button").last().click();
  await go(page, `#/wine/${white}`);
  await page.waitForSelector("#field-bottling_day", { state: "attached" });
  await page.evaluate(() =>
    document.querySelectorAll("details").forEach((d) => {
      d.open = true;
    }),
  );
  await page.locator("#field-bottling_day").fill("2031-03-15");
  await at("route with its days", `#/wine/${white}/routes`, 1);
  await page.locator(".ranked a").first().click();
  await at("route with its days", new URL(page.url()).hash, 2);
  await at("work order", `#/wine/${white}/order`, 1);
  await go(page, `#/wine/${white}/trial/bentonite_sodium`);
  await page.waitForSelector(".rung");
  for (const [i, t] of ["15", "7", "3", "1,9"].entries())
    await page.locator(".rung input[id$=reading]").nth(i).fill(t);
  await at("bench", `#/wine/${white}/trial/bentonite_sodium`, 1);
};

/** What is wrong with the pictures of a page. */
const faults = (page) =>
  page.evaluate(() => {
    const wrong = [];
    const over = (a, b) =>
      Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
      Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 3;
    for (const svg of document.querySelectorAll("#main svg")) {
      const ids = (svg.getAttribute("aria-labelledby") ?? "").split(" ");
      const say = (what) => wrong.push(`${ids[0]}: ${what}`);
      if (svg.getAttribute("role") !== "img") say("no picture to a reader of the screen");
      const named = ids.map((id) => [...document.querySelectorAll(`[id="${id}"]`)]);
      if (named.some((n) => n.length !== 1 || n[0].parentNode !== svg))
        say("title or description is not its own");
      if (named.map((n) => n[0]?.tagName).join() !== "title,desc")
        say(`named by ${named.map((n) => n[0]?.tagName)}`);
      if (!(svg.querySelector("title")?.textContent.trim().length > 3)) say("no title");
      if (!(svg.querySelector("desc")?.textContent.trim().length > 15))
        say(`description “${svg.querySelector("desc")?.textContent}”`);
      const marks = svg.querySelector(".marks")?.children.length ?? 0;
      const tables = svg.closest("section").querySelectorAll("table");
      const rows = tables[0]?.querySelectorAll("tbody tr").length ?? 0;
      if (tables.length !== 1) say(`${tables.length} tables`);
      // A curve may leave the picture at its top, and a glass may not be read yet: the table has these too.
      const more = /^(bitartrate|bench)/.test(ids[0]);
      if (marks < 1 || (more ? rows < marks : rows !== marks)) say(`${marks} marks, ${rows} rows`);
      // The line of the limit is no mark of its own.
      if (/^stable/.test(ids[0]))
        for (const g of svg.querySelectorAll(".marks > g"))
          if (!g.querySelector("rect, circle, polygon"))
            say(`nothing is drawn for “${g.textContent}”`);
      if (
        [...(tables[0]?.querySelectorAll("tbody td") ?? [])].some((td) =>
          /NaN|undefined|Infinity/.test(td.textContent),
        )
      )
        say("no number");
      const frame = svg.getBoundingClientRect();
      const scale = svg.getScreenCTM().a;
      const texts = [...svg.querySelectorAll("text")].map((t) => [t, t.getBoundingClientRect()]);
      if (texts.length < 3) say("no words");
      for (const [t, r] of texts) {
        const size = parseFloat(getComputedStyle(t).fontSize) * scale;
        if (size < 11) say(`“${t.textContent}” is ${size} px`);
        if (
          r.left < frame.left - 1 ||
          r.right > frame.right + 1 ||
          r.top < frame.top - 1 ||
          r.bottom > frame.bottom + 1
        )
          say(`“${t.textContent}” is cut`);
        for (const [other, o] of texts)
          if (t !== other && t.compareDocumentPosition(other) & 4 && over(r, o))
            say(`“${t.textContent}” stands on “${other.textContent}”`);
      }
      for (const t of svg.querySelectorAll(".marks text")) {
        for (const e of svg.querySelectorAll(".marks :is(circle, rect, polygon)")) {
          if (
            t.parentNode !== e.parentNode &&
            over(t.getBoundingClientRect(), e.getBoundingClientRect())
          )
            say(`“${t.textContent}” stands on a mark`);
        }
      }
      for (const e of svg.querySelectorAll(".marks *")) {
        const r = e.getBoundingClientRect();
        if (
          r.left < frame.left - 2 ||
          r.right > frame.right + 2 ||
          r.top < frame.top - 2 ||
          r.bottom > frame.bottom + 2
        )
          say(`${e.tagName} is cut`);
        if ([...e.attributes].some((a) => /NaN|inf|−/.test(a.value))) say(`${e.outerHTML}`);
      }
      if (frame.left < 0 || frame.right > innerWidth) say("wider than the screen");
    }
    if (document.documentElement.scrollWidth > innerWidth)
      wrong.push(`${document.documentElement.scrollWidth} px wide`);
    return wrong;
  });

measured(
  "at 320 px, in every language and with US units and days beside: title, description, as many rows as marks, words of 11 px, nothing cut, no word on another",
  async () => {
    for (const [language, shown] of [
      ["en", ""],
      ["fr", ""],
      ["es", ""],
      ["en", "us days"],
      ["fr", "us days"],
    ]) {
      const { page, context } = await newPage(browser, {
        width: 320,
        seed: shown ? { "stillbright/shown": shown } : undefined,
      });
      await page.goto(site.address);
      await ready(page);
      if (language !== "en") {
        await page.locator(`button[lang=${language}]`).click();
        await page.waitForFunction((l) => document.documentElement.lang === l, language);
      }
      const [found, pages] = [[], []];
      await everyPicture(page, async (name) => {
        pages.push(name);
        found.push(...(await faults(page)).map((f) => `${name}, ${language} ${shown}: ${f}`));
        // Not a word of English is left in what is read out.
        const english = await page
          .locator("#main svg text")
          .evaluateAll((all) =>
            all
              .map((e) => e.textContent)
              .filter((t) =>
                /\b(?:and|days?|again|after|then|limit|measure|known|trial)\b/i.test(t),
              ),
          );
        if (language !== "en")
          found.push(...english.map((t) => `${name}, ${language}: English “${t}”`));
        else if (/^(stabilities|route$|work order)/.test(name))
          assert.ok(english.length > 0, `${name}: the words of English are found`);
        if (language !== "en")
          found.push(
            ...(
              await page.evaluate(() =>
                [...document.querySelectorAll("#main svg [lang=en]")].map((e) => e.textContent),
              )
            ).map((t) => `${name}, ${language}: English “${t}”`),
          );
      });
      assert.ok(pages.length >= 12, pages.join());
      assert.deepEqual(found, []);
      page.assertClean();
      await context.close();
    }
  },
);

measured(
  "a stability is drawn wherever it lies, voided too; its table says the limit in words and readings with their unit",
  async () => {
    const { page, context } = await newPage(browser, { width: 360 });
    await page.goto(site.address);
    await ready(page);
    const id = await demo(page, 0);
    await go(page, `#/wine/${id}/stability`);
    await page.waitForSelector("#main svg.chart");
    const mark = () => page.locator("#main svg .marks > g", { hasText: "Protein" });
    const arrows = (c) => mark().locator(`polygon${c}`).count();
    // 12 NTU, a limit of 2.
    assert.deepEqual([await arrows(":not(.hollow)"), await arrows(".hollow")], [1, 0]);
    await page
      .getByRole("group", { name: /Measured before/ })
      .getByRole("button", { name: "Heat test rise" })
      .click();
    await page.waitForFunction(() => document.querySelector("#main svg polygon.hollow"));
    assert.deepEqual([await arrows(":not(.hollow)"), await arrows(".hollow")], [0, 1]);
    assert.deepEqual(await faults(page), []);
    await page.locator("details.behind > summary").click();
    const rows = await page
      .locator("details.behind tbody tr")
      .evaluateAll((all) => all.map((r) => [...r.children].map((c) => c.textContent.trim())));
    const of = (name) => rows.find((r) => r[0].startsWith(name));
    assert.deepEqual(of("Protein").slice(2), ["12 NTU before the last change", "below 2 NTU"]);
    assert.deepEqual(
      [of("Bitartrate by the cold hold"), of("Film yeast"), of("Browning"), of("Pinking")].map(
        (r) => r?.[3],
      ),
      ["no crystals", "no air above the wine", "no browning", "–"],
    );
    assert.ok(
      rows.every((r) => !/\d\)?$/.test(r[2]) || /[a-z/%]+ \([\d.–]+\)$/i.test(r[2])),
      `without a unit: ${rows.map((r) => r[2]).join("; ")}`,
    );
    // What has no source ends with its words.
    await page.evaluate(() =>
      document.querySelectorAll("details").forEach((d) => {
        d.open = true;
      }),
    );
    assert.deepEqual(
      await page
        .locator("details.stability p")
        .evaluateAll((all) => all.map((p) => p.innerText.trim()).filter((t) => t.endsWith("·"))),
      [],
    );
    assert.match(
      await page.locator("#main").innerText(),
      /For what you named, measure first: heat test rise[,.]/,
    );
    page.assertClean();
    await context.close();
  },
);

measured(
  "the measure finds what is wrong: small letters, a missing row, words that are cut",
  async () => {
    const { page, context } = await newPage(browser, { width: 320 });
    await page.goto(site.address);
    await ready(page);
    const id = await demo(page, 3);
    await go(page, `#/wine/${id}/stability`);
    await page.waitForSelector("#main svg.chart");
    assert.deepEqual(await faults(page), []);
    const spoilt = async (spoil) => {
      await page.evaluate(spoil);
      return (await faults(page)).join("; ");
    };
    assert.match(
      await spoilt(() => {
        document.querySelector("svg desc").textContent = "";
      }),
      /description/,
    );
    assert.match(
      await spoilt(() => {
        document
          .querySelectorAll("svg .marks > g:first-child :is(rect, circle, polygon)")
          .forEach((e) => e.remove());
      }),
      /nothing is drawn/,
    );
    assert.match(
      await spoilt(() => {
        document.querySelector("svg").closest("section").querySelector("tbody tr").remove();
      }),
      /marks, \d+ rows/,
    );
    assert.match(
      await spoilt(() => {
        document.querySelector("svg text").style.fontSize = "12px";
      }),
      /is 10\.\d+ px/,
    );
    assert.match(
      await spoilt(() => {
        document.querySelector("svg text").setAttribute("x", "335");
      }),
      /is cut/,
    );
    await context.close();
  },
);

measured(
  "on A4 and Letter, light, dark and in high contrast: every word of a page with a picture black, of 7 points or more, none lost",
  async () => {
    const { page, context } = await newPage(browser);
    await page.goto(site.address);
    await ready(page);
    let pages = 0;
    // A font changes no colour.
    const looks = [
      ["light", "no-preference"],
      ["dark", "no-preference"],
      ["light", "more"],
      ["dark", "more"],
    ].slice(0, otherFonts ? 1 : 4);
    await everyPicture(page, async (name) => {
      for (const [colorScheme, contrast] of looks) {
        await page.emulateMedia({ media: "print", colorScheme, contrast });
        for (const [format, width] of PAPERS) {
          const where = `${name}, ${colorScheme} ${contrast} ${format}`;
          await page.setViewportSize({ width, height: 900 });
          assert.deepEqual(await cutText(page), [], `${where}: cut`);
          const words = await page.locator("#main svg text").allTextContents();
          const white = await page.evaluate(
            () =>
              [document.documentElement, ...document.querySelectorAll("#main svg")].every((e) =>
                ["rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"].includes(
                  getComputedStyle(e).backgroundColor,
                ),
              ) &&
              getComputedStyle(document.documentElement).backgroundColor === "rgb(255, 255, 255)",
          );
          assert.ok(white, `${where}: the paper is not white`);
          const lines = await page.evaluate(() =>
            [...document.querySelectorAll("#main svg :is(line, polyline, polygon, rect, circle)")]
              .flatMap((e) => {
                const c = getComputedStyle(e);
                return [c.fill, c.stroke];
              })
              .filter((c) => !["none", "rgb(0, 0, 0)", "rgb(255, 255, 255)"].includes(c)),
          );
          assert.deepEqual(lines, [], `${where}: lines`);
          const { pieces, text } = await printed(page, format);
          const seen = pieces.filter((p) => p.text.trim());
          assert.ok(
            words.length > 3 && seen.length > words.length,
            `${where}: ${seen.length} pieces`,
          );
          assert.deepEqual(
            words.filter((w) => !text.includes(w.normalize("NFKC").replaceAll(/\s/g, ""))),
            [],
            `${where}: not in the PDF`,
          );
          assert.deepEqual(
            seen.filter((p) => p.points < 7 || p.colour !== "0 0 0"),
            [],
            `${where}: small or not black`,
          );
          pages++;
        }
      }
      await page.emulateMedia({ media: "screen", colorScheme: "light", contrast: "no-preference" });
      await page.setViewportSize({ width: 360, height: 740 });
    });
    assert.ok(pages >= 12 * 2 * looks.length, `${pages} prints`);
    page.assertClean();
    await context.close();
  },
);
