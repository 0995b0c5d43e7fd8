// No task may keep the page from answering for over 100 ms, on this machine not held back: through loading, through every kind of page
// of every demo wine, and through the acts that have the most worked out anew. Pages are found by the links on them, a few of each kind;
// kinds that are reached by a choice are added. A page counts with the median, over the walks, of its longest task.
import { RUNS, atMost, fresh, host, launch, median, miss, often, row, sorted } from "./measure.mjs";

const MOST = 100;
/** Of each kind so many pages: treatments, trials and routes are many and alike. */
const ALIKE = 3;
// Kinds that must have been seen, or the walk tells nothing.
const KINDS = [
  "",
  "wine",
  "wine/ask",
  "wine/treatments",
  "wine/treatments/*",
  "wine/treatments/*/*",
  "wine/compare/*/*",
  "wine/routes",
  "wine/routes/*",
  "wine/routes/*/*",
  "wine/trial/*",
  "wine/stability",
  "wine/cause",
  "wine/follows",
  "wine/order",
  "wine/log",
  "wine/ready",
  "wine/laboratory",
  "wine/summary",
  "defaults",
  "figures",
  "words",
];
const CERTAIN = "a long task, for trial";
const kind = (hash) => {
  const [first, , third, ...more] = hash.replace(/^#\//, "").split("?")[0].split("/");
  return third === "ask"
    ? "wine/ask"
    : [first, third, ...more.map(() => "*")].filter((p) => p !== undefined).join("/");
};

const site = await host("dist");
const browser = await launch();
const kinds = new Set();
const walk = () =>
  fresh(browser, async (page) => {
    await page.addInitScript(() => {
      window.tasks = [];
      window.marks = [[0, "loading"]];
      new PerformanceObserver((l) => {
        for (const e of l.getEntries()) window.tasks.push([e.startTime, e.duration]);
      }).observe({ type: "longtask", buffered: true });
      // Until nothing on the page has changed for a while, so that what is worked out at rest is walked too.
      window.rest = () =>
        new Promise((done) => {
          let changed = performance.now();
          const watch = new MutationObserver(() => {
            changed = performance.now();
          });
          watch.observe(document, {
            childList: true,
            subtree: true,
            characterData: true,
            attributes: true,
          });
          const from = changed;
          const look = () => {
            const now = performance.now();
            if (now - changed > 120 || now - from > 8000) {
              watch.disconnect();
              done();
            } else setTimeout(look, 20);
          };
          look();
        });
    });
    const step = async (name, act) => {
      await page.evaluate((n) => {
        window.marks.push([performance.now(), n]);
      }, name);
      await act();
      await page.evaluate(() => window.rest());
    };
    const go = async (hash, wine) => {
      kinds.add(kind(hash));
      await step(`${wine}: ${hash.replace(/^#\/wine\/[^/]+/, "")}`, () =>
        page.evaluate((h) => {
          location.hash = h;
        }, hash),
      );
    };
    const links = () =>
      page.evaluate(() =>
        [...document.querySelectorAll('a[href^="#/"]')].map((a) => a.getAttribute("href")),
      );
    await page.goto(site.address);
    await page.waitForSelector("#app[data-ready] main");
    await page.evaluate(() => window.rest());
    // A task that is long for certain: an observer that says nothing of it would say nothing of the others.
    await step(CERTAIN, () =>
      page.evaluate(
        (ms) =>
          new Promise((done) => {
            setTimeout(() => {
              for (const end = performance.now() + ms; performance.now() < end;);
              done();
            });
          }),
        MOST + 20,
      ),
    );
    const demos = await page.locator("section .chip").allInnerTexts();
    if (!demos.length) throw new Error("no demo wine found");
    for (const demo of demos) {
      await go("#/", "book");
      await step(`${demo}: opened`, async () => {
        await page.getByRole("button", { name: demo, exact: true }).click();
        await page.waitForSelector(".ranked li");
      });
      const id = page.url().match(/wine\/([^/]+)/)[1];
      const [seen, counts, waiting] = [
        new Set(),
        new Map(),
        [`#/wine/${id}/treatments`, `#/wine/${id}`, `#/wine/${id}/routes`, `#/wine/${id}/ask/1`],
      ];
      const add = (hash) => {
        const [at, own] = [hash.split("?")[0], hash.startsWith(`#/wine/${id}`)];
        if (seen.has(at) || (!own && (hash.startsWith("#/wine/") || demo !== demos[0]))) return;
        const k = kind(at);
        if ((counts.get(k) ?? 0) >= (k === "wine/ask" ? 20 : ALIKE)) return;
        seen.add(at);
        counts.set(k, (counts.get(k) ?? 0) + 1);
        waiting.push(at);
      };
      waiting.splice(0).forEach(add);
      const routes = new Set();
      const treatments = new Map();
      while (waiting.length) {
        const at = waiting.shift();
        await go(at, demo);
        const readings = page.getByLabel(/^Reading /);
        if (kind(at) === "wine/trial/*" && (await readings.count()))
          await step(`${demo}: read, ${at.split("/").pop()}`, () => readings.first().fill("7"));
        for (const link of await links()) {
          add(link);
          if (kind(link) === "wine/routes/*") routes.add(link.split("/").pop());
          if (kind(link) === "wine/treatments/*/*") {
            const [problem, t] = link.split("/").slice(-2);
            treatments.set(problem, [...new Set([...(treatments.get(problem) ?? []), t])]);
          }
        }
      }
      if (routes.size > 1)
        await go(`#/wine/${id}/routes/${[...routes].slice(0, 2).join("/")}`, demo);
      for (const [problem, keys] of treatments)
        if (keys.length > 1)
          await go(`#/wine/${id}/compare/${problem}/${keys.slice(0, 2).join("+")}`, demo);
      // What has the most worked out anew.
      await go(`#/wine/${id}`, demo);
      await page.evaluate(() =>
        document.querySelectorAll("details").forEach((d) => {
          d.open = true;
        }),
      );
      await step(`${demo}: a pH typed`, () =>
        page.getByLabel("pH", { exact: true }).first().fill("3.45"),
      );
      await go(`#/wine/${id}/treatments`, demo);
      for (const route of [...routes].slice(0, 1)) {
        await go(`#/wine/${id}/routes/${route}`, demo);
        const take = page.getByRole("button", { name: "Take this route" });
        if (await take.count()) await step(`${demo}: a route taken`, () => take.first().click());
      }
    }
    const [tasks, marks] = await page.evaluate(() => [window.tasks, window.marks]);
    const longest = new Map(marks.map(([, name]) => [name, 0]));
    for (const [at, ms] of tasks) {
      const name = marks.findLast(([from]) => from <= at)[1];
      longest.set(name, Math.max(longest.get(name), ms));
    }
    return longest;
  });
const walks = await often(walk);
await browser.close();
await site.stop();

const missing = KINDS.filter((k) => !kinds.has(k));
if (missing.length) miss(`pages of these kinds were not walked: ${missing.join(", ")}`);
if (walks.some((w) => !(w.get(CERTAIN) >= MOST)))
  miss("the long task for trial was not seen, so the walk tells nothing");
row(`long tasks, not held back, ms, ${RUNS} walks`, "median", "most");
const places = [...walks[0].keys()].map((name) => {
  const all = sorted(walks.map((w) => w.get(name) ?? 0));
  return { name, median: median(all), most: all.at(-1) };
});
for (const p of places
  .filter((p) => p.name !== CERTAIN && p.median >= 50)
  .sort((a, b) => b.median - a.median)) {
  row(p.name, Math.round(p.median), Math.round(p.most));
  atMost(`a task, ${p.name}`, p.median, MOST);
}
row("places walked", places.length - 1);
