// A cellar book of 1,000 wines, kept as the app keeps them: the demo wines are added and edited through the page, so that both slots are
// filled, and what it wrote is multiplied under further identifiers, names and days. The browser is started anew for each run. Opened is counted from the
// start of the navigation to the first painted frame with wines, a screen full and more of them; the way from the first act of the wasm (it
// marks #app) and the time until every row is there stand beside it.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import {
  RUNS,
  again,
  atMost,
  eyes,
  host,
  keep,
  often,
  row,
  sleep,
  spread,
  until,
} from "./measure.mjs";

const WINES = 1000;
const MOST = 200;
const site = await host("dist");
const profile = mkdtempSync(join(tmpdir(), "stillbright-book-"));
const book = (many) => {
  const set = Element.prototype.setAttribute;
  Element.prototype.setAttribute = function (name, value) {
    if (name === "data-ready") window.began ??= performance.now();
    return set.call(this, name, value);
  };
  window.painted(".wines a").then((at) => {
    window.opened = at;
  });
  window.painted(".wines a", "", many).then((at) => {
    window.full = at;
  });
};
// In the page: one letter into a field, until the next frame is painted.
const type = ([css, text]) => {
  const field = document.querySelector(css);
  const from = performance.now();
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  return window.frame().then((at) => at - from);
};

/** Wines as the page wrote them, under further names. */
const invented = async (page) => {
  await page.waitForSelector("#app[data-ready] main");
  const demos = await page.locator("section .chip").allInnerTexts();
  for (const demo of demos) {
    await page.getByRole("button", { name: demo, exact: true }).click();
    await page.waitForSelector(".ranked li");
    const id = page.url().match(/wine\/([^/]+)/)[1];
    await page.evaluate((h) => {
      location.hash = h;
    }, `#/wine/${id}`);
    await page.locator("#field-name").fill(`${demo}, tank`);
    await page.evaluate(() => {
      location.hash = "#/";
    });
    await page.waitForSelector(".wines a");
  }
  const kept = await page.evaluate(() =>
    Object.entries(localStorage).filter(([k]) => k.startsWith("stillbright/wine/")),
  );
  const ids = [...new Set(kept.map(([k]) => k.split("/")[2]))];
  if (ids.length < 6 || kept.length !== 2 * ids.length)
    throw new Error(`${ids.length} wines in ${kept.length} slots`);
  return Array.from({ length: WINES }, (_, n) =>
    kept
      .filter(([k]) => k.split("/")[2] === ids[n % ids.length])
      .map(([k, text]) => {
        const slot = JSON.parse(text);
        // Days apart, in an order of its own.
        slot.saved -= ((n * 389) % WINES) * 86_400_000;
        slot.wine.name += ` ${n + 1}`;
        const [a, b, id, name] = k.split("/");
        return [[a, b, `${id}${String(n).padStart(4, "0")}`, name].join("/"), JSON.stringify(slot)];
      }),
  ).flat();
};

try {
  await again(profile, async (page) => {
    await keep(page, site.address).catch(() => keep(page, site.address));
    const entries = await invented(page);
    await page.evaluate((all) => {
      localStorage.clear();
      for (const [k, v] of all) localStorage.setItem(k, v);
    }, entries);
    // Until it is on the disk.
    await sleep(1000);
  });
  const found = await often(() =>
    again(profile, async (page) => {
      await page.addInitScript(eyes);
      await page.addInitScript(book, WINES);
      await sleep(1000);
      await page.goto(site.address);
      await until(page, () => window.full);
      const times = await page.evaluate(() => ({
        opened: window.opened,
        wasm: window.opened - window.began,
        full: window.full,
      }));
      // The screen is full of them.
      const low = await page
        .locator(".wines a")
        .nth(20)
        .evaluate((a) => a.getBoundingClientRect().bottom - innerHeight);
      if (low < 0) throw new Error("the first rows do not fill the screen");
      const rows = await page.locator(".wines a").count();
      if (rows !== WINES) throw new Error(`${rows} wines in the list`);
      await page.waitForTimeout(500);
      // From a wine back to the book.
      await page.locator(".wines a").nth(3).click();
      await page.waitForSelector("#field-note", { state: "attached" });
      times.letter = await page.evaluate(type, ["#field-note", "a"]);
      times.back = await page.evaluate(async () => {
        const from = performance.now();
        location.hash = "#/";
        return (await window.painted(".wines a")) - from;
      });
      // 77 and 770 to 779.
      times.find = await page.evaluate(type, ["#main .sieve input", "tank 77"]);
      const left = await page.evaluate(
        () => [...document.querySelectorAll(".wines a")].filter((a) => a.checkVisibility()).length,
      );
      if (left !== 11) throw new Error(`${left} wines found in place of 11`);
      return times;
    }),
  );
  row(`a book of ${WINES} wines, ms, ${RUNS} runs`, "least", "median", "most");
  spread(
    "until every row is there",
    found.map((f) => f.full),
  );
  for (const [key, what] of [
    ["opened", "opened, from the start of the navigation"],
    ["wasm", "opened, from the first act of the wasm"],
    ["back", "from a wine back to the book"],
    ["find", "a name typed to find a wine"],
    ["letter", "a letter typed into one of its wines"],
  ]) {
    atMost(
      `a book of ${WINES} wines, ${what}`,
      spread(
        what,
        found.map((f) => f[key]),
      ),
      MOST,
    );
  }
} finally {
  await site.stop();
  rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
}
