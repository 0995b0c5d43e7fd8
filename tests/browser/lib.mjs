// What the browser tests share: the server, the browser, pages that fail on any error or foreign request, and axe.
import { test as run } from "node:test";
import { chromium } from "playwright-core";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import assert from "node:assert/strict";
import { serve } from "../../.ci/serve.mjs";

export const dist = new URL("../../dist", import.meta.url).pathname;
const axeSource = readFileSync(
  createRequire(import.meta.url).resolve("axe-core/axe.min.js"),
  "utf8",
);

const demoData = new URL("../../demo-data/", import.meta.url);
/** What the demo wines are offered as, in the order of their files. */
export const DEMOS = readdirSync(demoData)
  .filter((name) => /^\d.*\.json$/.test(name))
  .sort()
  .map((name) => JSON.parse(readFileSync(new URL(name, demoData), "utf8")).title);

/** This is the run with other fonts, by `.ci/other-fonts`: it leaves out what a font cannot change. */
export const otherFonts = Boolean(process.env.OTHER_FONTS);
/** A test of sizes, of what fits, of what is printed, which is run with other fonts too. */
export const measured = run;
export const test = otherFonts ? () => {} : run;

export const startServer = async (port = 0, root = dist) => {
  const server = await serve(root, port);
  return {
    server,
    address: `http://127.0.0.1:${server.address().port}/`,
    stop: () =>
      new Promise((r) => {
        server.closeAllConnections();
        server.close(r);
      }),
  };
};

const how = {
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  args: [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
  ],
};
export const launch = () => chromium.launch(how);
/** With a profile on disk, which outlives the browser. */
export const launchKept = (profile, more) =>
  chromium.launchPersistentContext(profile, { ...how, ...more });

const closed = {
  denied: () => {
    Object.defineProperty(window, "localStorage", {
      get() {
        throw new DOMException("denied", "SecurityError");
      },
    });
  },
  full: () => {
    Storage.prototype.setItem = () => {
      throw new DOMException("full", "QuotaExceededError");
    };
  },
};

export const newPage = async (
  browser,
  { width = 360, height = 740, colorScheme = "light", storage = "ok", seed, locale = "en-GB" } = {},
) => {
  const context = await browser.newContext({
    viewport: { width, height },
    colorScheme,
    locale,
    acceptDownloads: true,
  });
  const page = await context.newPage();
  if (storage !== "ok") await page.addInitScript(closed[storage]);
  if (seed)
    await page.addInitScript((entries) => {
      if (!sessionStorage.getItem("seeded")) {
        for (const [k, v] of entries) localStorage.setItem(k, v);
        sessionStorage.setItem("seeded", "1");
      }
    }, Object.entries(seed));
  const wrong = [];
  page.on("pageerror", (e) => wrong.push(`error: ${e.message}`));
  page.on("console", (m) => {
    if (m.type() === "error") wrong.push(`console: ${m.text()}`);
  });
  page.on("request", (r) => {
    if (!/^(http:\/\/127\.0\.0\.1:|data:|blob:)/.test(r.url())) wrong.push(`request: ${r.url()}`);
  });
  page.assertClean = () => assert.deepEqual(wrong, []);
  return { context, page };
};

export const ready = (page) => page.waitForSelector("#app[data-ready] main");

/** A new wine, on the sheet with all its fields. */
export const newWine = async (page) => {
  await page.getByRole("button", { name: "New wine" }).click();
  await page.getByRole("link", { name: "All on one sheet" }).click();
  await page.waitForSelector("#field-name");
};

export const axe = async (page) => {
  await page.evaluate(axeSource);
  // Of what axe looks at, a font changes the sizes of targets only.
  const runOnly = otherFonts
    ? ["target-size"]
    : ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
  // At the end of the page, where its bar of ways lies below what it covers on the way there.
  const { violations } = await page.evaluate(async (rules) => {
    const here = scrollY;
    scrollTo(0, document.body.scrollHeight);
    const found = await globalThis.axe.run(document, { runOnly: rules });
    scrollTo(0, here);
    return found;
  }, runOnly);
  return violations.map(
    (v) =>
      `${v.id}: ${v.nodes
        .map((n) => n.target.join(" "))
        .slice(0, 3)
        .join(", ")}`,
  );
};

export const save = async (page, click) => {
  const [download] = await Promise.all([page.waitForEvent("download"), click()]);
  return readFileSync(await download.path(), "utf8");
};
