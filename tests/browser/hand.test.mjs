// In the hand: one thumb, wet fingers, a keyboard alone, a screen that is small, sharp in contrast or coloured by the system.
import { before, after } from "node:test";
import assert from "node:assert/strict";
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

const go = (page, hash) =>
  page.evaluate((h) => {
    location.hash = h;
  }, hash);
const demo = async (page, name) => {
  await go(page, "#/");
  await page.getByRole("button", { name, exact: true }).click();
  await page.waitForSelector(".ranked li");
  return page.url().match(/wine\/([^/]+)/)[1];
};
const unfold = (page) =>
  page.evaluate(() =>
    document.querySelectorAll("details").forEach((d) => {
      d.open = true;
    }),
  );

/** Goes over every page there is, with a wine that has a route taken, a trial and a log, and calls `look` on each. */
const everyPage = async (page, look) => {
  const at = async (name, hash, wait = "#main h1") => {
    await go(page, hash);
    await page.waitForSelector(wait);
    await unfold(page);
    await look(name);
  };
  await at("book", "#/");
  const id = await demo(page, "Heat-unstable white");
  const wine = `#/wine/${id}`;
  await unfold(page);
  await look("treatments");
  await at("routes", `${wine}/routes`, ".ranked a");
  const [one, two] = await page
    .locator(".ranked a")
    .evaluateAll((all) => all.map((a) => a.getAttribute("href").split("/").pop()));
  await at("two routes", `${wine}/routes/${one}/${two}`, "table.compare");
  await at("route", `${wine}/routes/${one}`, 'h2:has-text("Calendar")');
  await page.getByRole("button", { name: "Take this route" }).click();
  await page.waitForSelector(".undo");
  await look("a route taken");
  await page.getByRole("button", { name: "Close" }).click();
  await at("trial", `${wine}/trial/bentonite_sodium`, ".rung");
  await page.getByLabel("Rise, heated less unheated (NTU)").first().fill("much");
  for (const [i, t] of ["15", "7", "3", "1,9"].entries())
    await page.getByLabel("Rise, heated less unheated (NTU)").nth(i).fill(t);
  await look("trial read");
  await at("log", `${wine}/log`, "#log-what");
  await page.getByLabel("Dose given").fill("60");
  await page.getByRole("button", { name: "Add to the log" }).click();
  for (const kind of ["order", "log", "ready", "laboratory", "summary"])
    await at(kind, `${wine}/${kind}`, ".sheet h2");
  await at("wine", wine, "fieldset");
  for (let n = 1; n <= 9; n++) await at(`question ${n}`, `${wine}/ask/${n}`, ".question");
  await at("treatment", `${wine}/treatments/protein/bentonite_sodium`, "table");
  await at(
    "side by side",
    `${wine}/compare/protein/bentonite_sodium+bentonite_calcium`,
    ".compare",
  );
  await at(
    "four side by side",
    `${wine}/compare/protein/bentonite_sodium+bentonite_calcium+protease_heat+yeast_protein`,
    ".compare thead th:nth-child(4)",
  );
  await at("stability", `${wine}/stability`, "svg.chart");
  await at("cause", `${wine}/cause`, 'h2:has-text("What you see or smell")');
  await page.getByRole("button", { name: "That is all" }).click();
  await page.waitForSelector('h2:has-text("Next question")');
  await unfold(page);
  await look("cause, asked");
  await at("follows", `${wine}/follows`);
  await at("no such wine", "#/wine/none");
  await at("no such page", "#/nowhere");
  await at("handed over", "#/add/AAAA", "#handed");
  await at("my cellar", "#/defaults", "fieldset");
  await at("figures", "#/figures", ".facts li");
  await at("words", "#/words", "#glossary input");
  await at("book with a wine", "#/", ".wines a");
  await page
    .getByRole("button", { name: /^Delete/ })
    .first()
    .click();
  await look("a wine deleted");
};

/** What is wider than the screen; a table or a picture keeps to the column, also where the screen has a margin left. */
const tooWide = (page) =>
  page.evaluate(() => {
    const wide = document.documentElement.scrollWidth - innerWidth;
    const main = document.getElementById("main"),
      edge = main.getBoundingClientRect().right - parseFloat(getComputedStyle(main).paddingRight);
    const out = [...main.querySelectorAll("table, svg, .field, .chips")].filter(
      (e) => e.checkVisibility() && e.getBoundingClientRect().right > edge + 1,
    );
    return [
      ...(wide > 0 ? [`${wide} px too wide`] : []),
      ...out.map((e) => `${e.tagName} ${e.className} leaves the column`),
    ];
  });

measured(
  "every target is a finger high and wide and nothing is too wide, on the phone, on the smallest and on the desk",
  async () => {
    for (const [width, height] of [
      [360, 740],
      [320, 256],
      [1280, 740],
    ]) {
      const { page, context } = await newPage(browser, { width, height });
      await page.goto(site.address);
      await ready(page);
      const small = [];
      let seen = 0;
      await everyPage(page, async (name) => {
        const [all, found] = await page.evaluate(() => {
          const targets = [
            ...document.querySelectorAll("a, button, summary, input, select, textarea"),
          ].filter((e) => e.checkVisibility({ visibilityProperty: true }));
          // Only a link or a word explained inside a sentence may be as high as its line.
          const inSentence = (e) =>
            (e.tagName === "A" || e.matches(".term:not(.ask)")) &&
            [...e.parentNode.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
          const low = targets.filter((e) => {
            const r = e.getBoundingClientRect();
            return r.width > 0 && (r.height < 47.5 || r.width < 47.5) && !inSentence(e);
          });
          return [
            targets.length,
            low.map((e) => {
              const r = e.getBoundingClientRect();
              return `${e.tagName} ${e.className} “${(e.innerText || e.id).slice(0, 30)}” ${Math.round(r.width)}x${Math.round(r.height)}`;
            }),
          ];
        });
        seen += all;
        small.push(...[...found, ...(await tooWide(page))].map((f) => `${name} ${width}: ${f}`));
      });
      assert.ok(seen > 1000, `${seen} targets`);
      assert.deepEqual([...new Set(small)], []);
      page.assertClean();
      await context.close();
    }
  },
);

test("axe finds nothing and nothing is too wide on any page: high contrast, colours of the system, 400 % zoom", async () => {
  for (const [colorScheme, contrast, forcedColors, width, height] of [
    ["light", "more", "none", 360, 740],
    ["dark", "more", "none", 1280, 800],
    ["light", "no-preference", "active", 360, 740],
    ["dark", "no-preference", "none", 320, 256],
  ]) {
    const { page, context } = await newPage(browser, { colorScheme, width, height });
    await page.emulateMedia({ colorScheme, contrast, forcedColors, reducedMotion: "reduce" });
    await page.goto(site.address);
    await ready(page);
    const found = [];
    await everyPage(page, async (name) => {
      const where = `${name} ${colorScheme} ${contrast} ${forcedColors} ${width}`;
      found.push(...(await axe(page)).map((v) => `${where}: ${v}`));
      found.push(...(await tooWide(page)).map((w) => `${where}: ${w}`));
      const moving = await page.evaluate(() => document.getAnimations().length);
      if (moving > 0) found.push(`${where}: ${moving} animations`);
    });
    assert.deepEqual(found, []);
    page.assertClean();
    await context.close();
  }
});

measured(
  "the other demo wines: axe finds nothing on their treatments, routes and order, and nothing is too wide",
  async () => {
    const { page, context } = await newPage(browser, { colorScheme: "dark" });
    await page.goto(site.address);
    await ready(page);
    const found = [];
    for (const name of DEMOS.slice(1)) {
      const id = await demo(page, name);
      for (const [part, wait] of [
        ["stability", "h1"],
        ["follows", "h1"],
        ["routes", ".answer"],
        ["order", ".sheet h2"],
        ["ready", ".sheet h2"],
      ]) {
        await go(page, `#/wine/${id}/${part}`);
        await page.waitForSelector(`#main ${wait}`);
        await unfold(page);
        found.push(...(await axe(page)).map((v) => `${name} ${part}: ${v}`));
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        if (wide > 0) found.push(`${name} ${part}: ${wide} px too wide`);
      }
    }
    assert.deepEqual(found, []);
    page.assertClean();
    await context.close();
  },
);

test("one question a page: seven taps from a new wine to its ranked list, back, skip, and the same fields on one sheet", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  let taps = 0;
  const tap = async (role, name, group) => {
    taps++;
    await (group ? page.getByRole("group", { name: group }) : page)
      .getByRole(role, { name, exact: true })
      .click();
  };
  await tap("button", "New wine");
  await page.getByRole("heading", { name: "Question 1 of 9" }).waitFor();
  assert.equal(
    await page.getByRole("link", { name: "Next", exact: true }).count(),
    0,
    "nothing answered yet",
  );
  await tap("button", "Protein instability");
  await tap("link", "Next");
  await tap("button", "White");
  await tap("button", "Fermentation over");
  await tap("button", "European Union", "Made in");
  await page.getByRole("group", { name: "Sold in" }).waitFor();
  await tap("button", "European Union", "Sold in");
  await tap("link", "See treatments");
  await page.waitForSelector(".ranked li");
  assert.ok(taps <= 8, `${taps} taps`);
  await page.goBack();
  await page.getByRole("heading", { name: "Question 5 of 9" }).waitFor();
  await page.getByRole("link", { name: "Back", exact: true }).click();
  // Taken back, and not gone on: then skipped.
  await page
    .getByRole("group", { name: "Made in" })
    .getByRole("button", { name: "European Union" })
    .click();
  await page.getByRole("link", { name: "Skip", exact: true }).click();
  for (const name of ["Question 6 of 9", "Question 7 of 9"]) {
    await page.getByRole("link", { name: /Next|Skip/ }).click();
    await page.getByRole("heading", { name }).waitFor();
  }
  await page.getByLabel("Volume").fill("12 buckets");
  assert.match(await page.locator("#field-volume-hint").innerText(), /./);
  await page.getByRole("link", { name: "All on one sheet" }).click();
  await page.waitForSelector("#field-name");
  assert.equal(
    await page.getByLabel("Volume").inputValue(),
    "12 buckets",
    "an error keeps what is typed",
  );
  assert.equal(
    await page.getByRole("button", { name: "White", exact: true }).getAttribute("aria-pressed"),
    "true",
  );
  assert.equal(
    await page.getByRole("group", { name: "Made in" }).locator("[aria-pressed=true]").count(),
    0,
  );
  page.assertClean();
  await context.close();
});

test("by the keyboard alone from a new wine to the ranked list and into a treatment", async () => {
  const { page, context } = await newPage(browser, { width: 1280, height: 800 });
  await page.goto(site.address);
  await ready(page);
  await page.getByRole("button", { name: "New wine" }).waitFor();
  const to = async (name) => {
    for (let i = 0; i < 90; i++) {
      await page.keyboard.press("Tab");
      const [here, outline] = await page.evaluate(() => {
        const e = document.activeElement;
        return [
          (e.getAttribute("aria-label") || e.innerText || "").trim(),
          getComputedStyle(e).outlineStyle,
        ];
      });
      if (here === name) {
        assert.notEqual(outline, "none", `${name}: the focus shows`);
        return;
      }
    }
    assert.fail(`${name} is not reached by the Tab key`);
  };
  const at = (name) => page.getByRole("heading", { name }).waitFor();
  await to("New wine");
  await page.keyboard.press("Enter");
  await at("Question 1 of 9");
  await to("Find: What is wrong, or feared");
  await page.keyboard.type("protein");
  await to("Protein instability");
  await page.keyboard.press("Space");
  await to("Next");
  await page.keyboard.press("Enter");
  await at("Question 2 of 9");
  await to("White");
  await page.keyboard.press("Enter");
  await at("Question 3 of 9");
  await to("Fermentation over");
  await page.keyboard.press("Space");
  await at("Question 4 of 9");
  await to("See treatments");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".ranked li");
  for (
    let i = 0;
    i < 60 && !(await page.evaluate(() => document.activeElement.matches(".ranked a")));
    i++
  )
    await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "Law", exact: true }).waitFor();
  page.assertClean();
  await context.close();
});

measured("a reading by two buttons, a trial deleted and put back, and it is read out", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const id = await demo(page, "Heat-unstable white");
  await go(page, `#/wine/${id}/trial/bentonite_sodium`);
  await page.waitForSelector(".rung");
  // A word of a label is explained by a button that can be tapped, as every stepper can.
  await page.waitForSelector(".rung .ask");
  const under = await page.locator(".ask, .stepped button").evaluateAll((all) =>
    all
      .filter((b) => {
        b.scrollIntoView({ block: "center" });
        const r = b.getBoundingClientRect();
        return !b.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2));
      })
      .map((b) => b.getAttribute("aria-label")),
  );
  assert.deepEqual(under, []);
  await page.getByRole("button", { name: "What it means: NTU" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Close" }).click();
  // What is typed says its unit; of the law nothing stands where it says nothing.
  for (const label of [
    "Own target, at most (NTU)",
    "Dose of glass 1 (g/hL)",
    "Dose you take: a tested one, empty for the recommended (g/hL)",
  ])
    assert.equal(await page.getByLabel(label, { exact: true }).count(), 1, label);
  assert.deepEqual(
    await page
      .locator("section", { hasText: "mL of water" })
      .first()
      .locator("thead th")
      .allInnerTexts(),
    ["g/hL", "Stock"],
  );
  const first = page.getByLabel("Rise, heated less unheated (NTU)").first();
  await first.fill("1,9");
  await page.getByRole("button", { name: "Glass 1, reading: more" }).click();
  assert.equal(await first.inputValue(), "2");
  await page.getByRole("button", { name: "Glass 1, reading: less" }).click();
  assert.equal(await first.inputValue(), "1.9");
  assert.equal(await page.locator(".voice").innerText(), "1.9");
  assert.equal(await first.getAttribute("inputmode"), "decimal");
  await page.getByRole("button", { name: "Glass 2, taste: more" }).click();
  await page.reload();
  await page.waitForSelector(".rung");
  assert.equal(
    await page.getByLabel("Rise, heated less unheated (NTU)").first().inputValue(),
    "1.9",
  );
  assert.equal(await page.getByLabel("Score (0–10)").nth(1).inputValue(), "1");
  await page.getByRole("button", { name: "Delete this trial" }).click();
  await page.waitForFunction(() => document.querySelector(".rung input")?.value === "");
  assert.ok(
    await page.locator(".undo").evaluate((e) => {
      const r = e.getBoundingClientRect();
      return r.top >= 0 && r.bottom <= innerHeight;
    }),
    "the undo is in sight",
  );
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction(() => document.querySelector(".rung input")?.value === "1.9");
  assert.equal(await page.locator(".undo").count(), 0);
  page.assertClean();
  await context.close();
});

test("a route taken over a plan with typed doses, and a step taken out, come back by Undo; the log keeps what came between", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const id = await demo(page, "Heat-unstable white");
  await go(page, `#/wine/${id}/treatments/protein/bentonite_sodium`);
  await page.getByRole("button", { name: "Put on the work order" }).click();
  const dose = page.getByLabel("1. Sodium bentonite (g/hL)");
  await dose.fill("60");
  await go(page, `#/wine/${id}/routes`);
  await page.locator(".ranked a").nth(1).click();
  await page.getByRole("button", { name: "Take this route" }).click();
  await page.waitForSelector(".undo");
  await go(page, `#/wine/${id}/log`);
  await page.waitForSelector("#log-what");
  await page.getByLabel("What was done").selectOption("racking");
  await page.getByRole("button", { name: "Add to the log" }).click();
  await page.getByRole("button", { name: "Undo" }).click();
  assert.match(await page.locator(".sheet").innerText(), /1\. [\d-]+: One racking/);
  await go(page, `#/wine/${id}/order`);
  await dose.waitFor();
  assert.equal(await dose.inputValue(), "60");
  await page.getByRole("button", { name: /Take out$/ }).click();
  await page.getByText("No step yet").waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  assert.equal(await dose.inputValue(), "60");
  page.assertClean();
  await context.close();
});

test("the log begins with the next step of the plan, its dose and unit", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const id = await demo(page, "Heat-unstable white");
  for (const key of ["bentonite_sodium", "racking"]) {
    await go(page, `#/wine/${id}/treatments/protein/${key}`);
    await page.getByRole("button", { name: "Put on the work order" }).click();
    await page.waitForSelector('h1:has-text("Work order")');
  }
  await page.getByLabel("1. Sodium bentonite (g/hL)").fill("60");
  await page.getByRole("button", { name: /Not trialled/ }).click();
  await go(page, `#/wine/${id}/log`);
  await page.waitForSelector("#log-what");
  const now = () =>
    page.evaluate(() => ["log-what", "log-dose"].map((i) => document.getElementById(i).value));
  assert.deepEqual(await now(), ["bentonite_sodium", "60"]);
  assert.equal(await page.locator("#log-dose-hint").innerText(), "g/hL");
  assert.equal(await page.locator("#log-dose").getAttribute("inputmode"), "decimal");
  await page.getByRole("button", { name: "Add to the log" }).click();
  await page.waitForFunction(() =>
    document.querySelector(".sheet").innerText.includes("Sodium bentonite, 60 g/hL"),
  );
  assert.deepEqual(await now(), ["racking", ""]);
  page.assertClean();
  await context.close();
});

test("what is typed to find something stands in the address and survives the reload and the way back", async () => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const id = await demo(page, "Hard young red");
  await go(page, `#/wine/${id}/treatments/haze`);
  await page.waitForSelector('h1:has-text("Haze")');
  await page.waitForSelector(".ranked > li:not([hidden])");
  const shown = () =>
    page
      .locator(".ranked > li")
      .evaluateAll((all) => all.filter((li) => li.checkVisibility()).map((li) => li.innerText));
  const all = (await shown()).length;
  assert.ok(all > 12);
  await page.getByLabel("Find: What can be used").fill("BENTO");
  const found = await shown();
  assert.ok(
    found.length > 0 && found.length < all && found.every((t) => /bento/i.test(t)),
    found.length,
  );
  assert.match(page.url(), /\?find=BENTO$/);
  await page.getByText(`${found.length} of ${all}`, { exact: true }).waitFor();
  await page.reload();
  await ready(page);
  await page.waitForSelector(".ranked > li:not([hidden])");
  assert.deepEqual(await shown(), found);
  await page.locator(".ranked > li:not([hidden]) a").first().click();
  await page.waitForSelector("table");
  await page.goBack();
  await page.waitForSelector(".ranked > li:not([hidden])");
  assert.deepEqual(await shown(), found);
  await page.getByLabel("Find: What can be used").fill("");
  assert.equal((await shown()).length, all);
  assert.doesNotMatch(page.url(), /find/);
  page.assertClean();
  await context.close();
});

measured(
  "the work order on a phone: a line a step, cautions in sight, all of it on paper",
  async () => {
    const { page, context } = await newPage(browser);
    await page.goto(site.address);
    await ready(page);
    const id = await demo(page, "Heat-unstable white");
    await go(page, `#/wine/${id}/routes`);
    await page.locator(".ranked a").first().click();
    await page.getByRole("button", { name: "Take this route" }).click();
    await page.waitForSelector(".undo");
    await page.getByRole("link", { name: "Work order" }).click();
    await page.waitForSelector(".sheet h2");
    // The table behind the picture of the chain says on a screen what the steps say on paper.
    const steps = page.locator(".sheet details:not(.behind)");
    assert.ok((await steps.count()) >= 3);
    assert.equal(await page.locator(".sheet details[open]").count(), 0);
    const cautions = page.locator(".sheet .caution");
    assert.ok((await cautions.count()) > 0);
    for (const c of await cautions.all())
      assert.ok(await c.isVisible(), "a caution is folded away");
    const texts = (await cautions.allInnerTexts()).filter((t) => !/As at step/.test(t));
    assert.equal(new Set(texts).size, texts.length, "a caution stands twice");
    // A short block for each step: a longer plan has more of them, and none may be longer for it.
    const height = await page.locator(".sheet").evaluate((e) => e.getBoundingClientRect().height);
    const blocks = await page.locator(".sheet section").count();
    assert.ok(blocks >= 8 && height < 345 * blocks, `${height} px over ${blocks} blocks`);
    await page.emulateMedia({ media: "print" });
    assert.equal(await page.locator(".sheet .behind").isVisible(), false);
    assert.ok(await page.locator(".sheet svg").isVisible());
    for (const d of await steps.all())
      assert.ok(
        await d
          .locator("p")
          .last()
          .evaluate((p) => p.checkVisibility({ contentVisibilityAuto: true })),
        "folded on paper",
      );
    page.assertClean();
    await context.close();
  },
);

test("a button that is held goes on by itself until it is let go, slower where less motion is asked for; a key and a tap step once", async () => {
  for (const [reducedMotion, least, most] of [
    ["no-preference", 8, 30],
    ["reduce", 2, 4],
  ]) {
    const { page, context } = await newPage(browser);
    await page.emulateMedia({ reducedMotion });
    await page.goto(site.address);
    await ready(page);
    const id = await demo(page, "Heat-unstable white");
    await go(page, `#/wine/${id}/trial/bentonite_sodium`);
    await page.waitForSelector(".rung");
    const field = page.getByLabel("Score (0–10)").first();
    const more = page.getByRole("button", { name: "Glass 1, taste: more" });
    const value = async () => Number(await field.inputValue());
    const still = async (what) => {
      const v = await value();
      await page.waitForTimeout(700);
      assert.equal(await value(), v, what);
      return v;
    };
    await more.scrollIntoViewIfNeeded();
    const box = await more.boundingBox();
    const hold = async (ms) => {
      await page.mouse.move(box.x + 20, box.y + 20);
      await page.mouse.down();
      await page.waitForTimeout(ms);
    };
    // Short of the delay it is a tap.
    await hold(150);
    await page.mouse.up();
    assert.equal(await still("a tap"), 1);
    await hold(1700);
    assert.equal(await page.locator(".voice").innerText(), "1", "nothing is read out on the way");
    await page.mouse.up();
    const held = await still("let go");
    assert.ok(held - 1 >= least && held - 1 <= most, `${reducedMotion}: ${held - 1} steps`);
    assert.equal(await page.locator(".voice").innerText(), String(held));
    // The finger slides away; the system takes it; the page goes: no step after that.
    await hold(800);
    await page.mouse.move(5, 5);
    await page.mouse.up();
    const away = await still("slid away");
    assert.ok(away > held);
    await more.dispatchEvent("pointerdown");
    await page.waitForTimeout(800);
    await more.dispatchEvent("pointercancel");
    const cancelled = await still("cancelled");
    assert.ok(cancelled > away);
    await more.focus();
    await page.keyboard.press("Enter");
    await page.keyboard.press("Space");
    assert.equal(await still("keys"), cancelled + 2);
    await more.dispatchEvent("pointerdown");
    await page.waitForTimeout(800);
    await go(page, "#/");
    await page.waitForSelector(".wines a");
    const kept = () => page.evaluate(() => JSON.stringify(localStorage));
    const then = await kept();
    await page.waitForTimeout(900);
    assert.equal(await kept(), then, "the page is gone");
    page.assertClean();
    await context.close();
  }
});

test("what is set aside and removed comes back by Undo, unchanged, and stays at hand where it cannot be written", async () => {
  const texts = ['{"schema":1,"revision":7,"wi', '{"schema":'];
  const { page, context } = await newPage(browser, {
    seed: { "stillbright/wine/broken/a": texts[0], "stillbright/wine/other/a": texts[1] },
  });
  await page.goto(site.address);
  await ready(page);
  await page.getByRole("heading", { name: "Set aside" }).waitFor();
  const aside = () =>
    page.evaluate(() =>
      Object.entries(localStorage)
        .filter(([k]) => k.includes("aside"))
        .sort(),
    );
  const before = await aside();
  assert.deepEqual(before.map(([, t]) => t).sort(), [...texts].sort());
  const remove = page.getByRole("button", { name: "Remove 1" });
  await remove.click();
  await page.getByText("Entry removed.").first().waitFor();
  assert.equal((await aside()).length, 1);
  await remove.click();
  await page.waitForFunction(() => !document.querySelector("main").innerText.includes("Set aside"));
  assert.deepEqual(await aside(), []);
  assert.equal(await page.getByRole("heading", { name: "Set aside" }).count(), 0);
  assert.deepEqual(await axe(page), []);
  await page.evaluate(() => {
    globalThis.write = Storage.prototype.setItem;
    Storage.prototype.setItem = () => {
      throw new DOMException("full", "QuotaExceededError");
    };
  });
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("alert").waitFor();
  assert.deepEqual(await aside(), []);
  await page.evaluate(() => {
    Storage.prototype.setItem = globalThis.write;
  });
  await page.getByRole("button", { name: "Undo" }).click();
  await remove.waitFor();
  assert.equal((await aside()).length, 1);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("button", { name: "Remove 2" }).waitFor();
  assert.deepEqual(await aside(), before);
  assert.equal(await page.locator(".undo").count(), 0);
  page.assertClean();
  await context.close();
});
