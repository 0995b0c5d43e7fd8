// Lighthouse on the built page and on the framework's hello world, as on a mobile phone, in turns. The bars are those of the project:
// performance 95, accessibility 100, and the largest paint, which stands in the static shell, within 1.2 times hello world's.
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, existsSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { HELLO } from "./hello.mjs";
import { RUNS, atLeast, atMost, host, often, row, sleep, spread } from "./measure.mjs";

const { default: lighthouse } = await import(
  pathToFileURL(
    createRequire(new URL("../tests/lighthouse/", import.meta.url)).resolve("lighthouse"),
  ).href
);
const [ours, hello] = [await host("dist"), await host(HELLO)];
const home = mkdtempSync(join(tmpdir(), "stillbright-lighthouse-"));
const chrome = spawn(
  process.env.CHROMIUM,
  [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--remote-debugging-port=0",
    `--user-data-dir=${home}`,
    "about:blank",
  ],
  { stdio: "ignore" },
);
const portFile = join(home, "DevToolsActivePort");
try {
  for (let i = 0; !existsSync(portFile); i++) {
    if (i > 300) throw new Error("Chromium did not start");
    await sleep(100);
  }
  const port = Number(readFileSync(portFile, "utf8").split("\n")[0]);
  const look = async (site, onlyCategories) => {
    const { lhr } = await lighthouse(site.address, {
      port,
      output: "json",
      logLevel: "error",
      onlyCategories,
    });
    if (lhr.runtimeError) throw new Error(lhr.runtimeError.message);
    return lhr;
  };
  const number = (lhr, audit) => lhr.audits[audit].numericValue;
  const [runs, beside] = [[], []];
  await often(async (i) => {
    const lhr = await look(ours, ["performance", "accessibility"]);
    runs.push({
      performance: 100 * lhr.categories.performance.score,
      accessibility: 100 * lhr.categories.accessibility.score,
      "first paint, ms": number(lhr, "first-contentful-paint"),
      "largest paint, ms": number(lhr, "largest-contentful-paint"),
      "blocked, ms": number(lhr, "total-blocking-time"),
      "shift, thousandths": 1000 * number(lhr, "cumulative-layout-shift"),
      "usable, ms": number(lhr, "interactive"),
    });
    if (i === 0)
      for (const { id } of lhr.categories.accessibility.auditRefs)
        if (lhr.audits[id].score === 0) console.log(`accessibility: ${lhr.audits[id].title}`);
    beside.push(number(await look(hello, ["performance"]), "largest-contentful-paint"));
  });
  row(`Lighthouse, mobile, ${RUNS} runs`, "least", "median", "most");
  const medians = Object.fromEntries(
    Object.keys(runs[0]).map((key) => [
      key,
      spread(
        key,
        runs.map((r) => r[key]),
      ),
    ]),
  );
  const small = spread("largest paint of hello world, ms", beside);
  row("largest paint, times hello world", "", (medians["largest paint, ms"] / small).toFixed(2));
  atLeast("performance by Lighthouse", medians.performance, 95);
  atLeast("accessibility by Lighthouse", medians.accessibility, 100);
  atMost(
    "largest paint by Lighthouse, 1.2 times hello world",
    medians["largest paint, ms"],
    1.2 * small,
  );
} finally {
  await new Promise((r) => {
    chrome.once("exit", r);
    chrome.kill("SIGKILL");
  });
  await Promise.all([ours.stop(), hello.stop()]);
  rmSync(home, { recursive: true, force: true, maxRetries: 5 });
}
