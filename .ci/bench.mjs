// Runs the native and the wasm bench and prints both beside the reference libraries, as ratios.
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { atMost, hold, launch, row } from "./measure.mjs";
import { serve } from "./serve.mjs";

const reference = JSON.parse(readFileSync("target/bench/reference.json", "utf8"));
const native = JSON.parse(execFileSync("target/release/examples/bench", { encoding: "utf8" }));
const solvers = JSON.parse(readFileSync("target/bench/routes.json", "utf8"));
writeFileSync(
  "target/bench/index.html",
  '<!doctype html><title></title><script type="module" src="start.js"></script>',
);
writeFileSync("target/bench/start.js", "import init from './bench.js'; await init();");
const server = await serve("target/bench", 0);
const browser = await launch();
// A slow phone stands in as a processor held back so many times.
const run = async (cpu) => {
  const page = await browser.newPage();
  await hold(page, { cpu });
  await page.goto(`http://127.0.0.1:${server.address().port}/`);
  await page.waitForFunction(() => document.title.startsWith("{"), null, { timeout: 300000 });
  const read = JSON.parse(await page.title());
  await page.close();
  return read;
};
const wasm = await run(1);
const slow = await run(4);
await browser.close();
server.closeAllConnections();
server.close();
if (JSON.stringify(native.sums) !== JSON.stringify(wasm.sums)) {
  console.error("error: native and wasm do not agree", native.sums, wasm.sums);
  process.exit(1);
}
row("microseconds for one", "native", "wasm", "wasm/native", "wasm held to 1/4");
for (const [name, key] of [
  ["pH of a composition", "ph_us"],
  ["precipitation path, 25 points", "path_us"],
  ["all findings of a wine", "findings_us"],
  ["whole advice, three problems", "advice_us"],
  ["whole advice, every problem", "every_us"],
  ["a slice of 250 draws", "slice_us"],
  ["routes of an additive instance", "additive_us"],
]) {
  row(
    name,
    native[key].toFixed(2),
    wasm[key].toFixed(2),
    (wasm[key] / native[key]).toFixed(2),
    slow[key].toFixed(2),
  );
}
// Five needs in all markets: a way is shown at once, and the proof, in turns of 40 ms, does not take
// long. With twice the acts too.
const kinds = [
  "five needs, white",
  "five needs, rosé",
  "five needs, red",
  "twice the acts, white",
  "twice the acts, rosé",
  "twice the acts, red",
];
for (const [at, what] of kinds.entries()) {
  atMost(`the first way for ${what}`, wasm.first_ms[at], 50);
  atMost(`the proof for ${what}`, wasm.routes_ms[at], 500);
}
// The findings of a keystroke must come within a frame, and within four where the processor is held back.
for (const [where, us, most] of [
  ["here", wasm.advice_us, 16000],
  ["held to a quarter", slow.advice_us, 64000],
]) {
  atMost(`a whole advice ${where}`, us, most, "microseconds");
}
row("milliseconds for one", "native", "wasm", "wasm/native", "wasm held to 1/4", "routes tried");
for (const [at, what] of kinds.entries()) {
  const [n, w, s] = [native, wasm, slow].map((r) => r.routes_ms[at]);
  row(
    `routes: ${what}`,
    n.toFixed(1),
    w.toFixed(1),
    (w / n).toFixed(2),
    s.toFixed(1),
    native.tried[at],
  );
}
row("pH by PHREEQC / by scipy", reference.phreeqc_us.toFixed(1), reference.scipy_us.toFixed(1), "");
row(
  "times the native solve",
  (reference.phreeqc_us / native.ph_us).toFixed(0),
  (reference.scipy_us / native.ph_us).toFixed(0),
  "",
);
row(
  "times the wasm solve",
  (reference.phreeqc_us / wasm.ph_us).toFixed(0),
  (reference.scipy_us / wasm.ph_us).toFixed(0),
  "",
);
for (const [name, us] of Object.entries(solvers)) {
  row(
    `an additive instance by ${name}`,
    us.toFixed(0),
    `${(us / native.additive_us).toFixed(0)} x native`,
    `${(us / wasm.additive_us).toFixed(0)} x wasm`,
  );
}
