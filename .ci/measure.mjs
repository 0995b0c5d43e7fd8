// What the measurements of `make bench` share: how often, on what device, how a line is printed, and where a bar that is missed is noted.
import { appendFileSync, mkdirSync } from "node:fs";
import { launch, launchKept } from "../tests/browser/lib.mjs";
import { serve } from "./serve.mjs";

/** Every figure is the median of so many runs; fewer only to see that a measurement works. */
export const RUNS = Number(process.env.BENCH_RUNS) || 5;
export const sorted = (all) => [...all].sort((a, b) => a - b);
export const median = (all) => sorted(all)[all.length >> 1];
export const sleep = (ms) => new Promise((r) => setTimeout(r, ms));
/** Calls `run` so many times, one after another, and gives what each run found. One that fails is repeated once, and said: a machine
 whose network changes breaks off what a browser is loading. */
export const often = async (run) => {
  const all = [];
  for (let i = 0; i < RUNS; i++)
    all.push(
      await run(i).catch((e) => {
        console.log(`run ${i + 1} failed and is repeated: ${e.message}`);
        return run(i);
      }),
    );
  return all;
};
/** Waits for what the page says; in vain, it says what stood there. */
export const until = (page, test) =>
  page.waitForFunction(test, null, { timeout: 30000, polling: 100 }).catch(async (e) => {
    throw new Error(
      `${e.message.split("\n")[0]} ${test} at ${page.url()}: ${await page.evaluate(() => document.body?.innerText.slice(0, 200)).catch(() => "nothing")}`,
    );
  });

export const row = (name, ...cells) =>
  console.log(name.padEnd(44), ...cells.map((c) => String(c).padStart(14)));
export const spread = (name, all, ...more) => {
  const s = sorted(all);
  row(name, ...[s[0], median(s), s.at(-1)].map((n) => Math.round(n)), ...more);
  return median(s);
};

// Said by .ci/bench once every line is printed.
const MISSED = "target/bench/missed";
export const miss = (words) => {
  mkdirSync("target/bench", { recursive: true });
  appendFileSync(MISSED, `error: ${words}\n`);
};
/** A figure that is not a number misses its bar too. */
export const atMost = (what, value, most, unit = "ms") => {
  if (!(value <= most)) miss(`${what}: ${Math.round(value)} ${unit}, over ${Math.round(most)}`);
};
export const atLeast = (what, value, least) => {
  if (!(value >= least)) miss(`${what}: ${Math.round(value)}, under ${least}`);
};

/** A folder behind a plain static host with gzip. */
export const host = async (root) => {
  const server = await serve(root, 0, { packed: true });
  return {
    address: `http://127.0.0.1:${server.address().port}/`,
    stop: () =>
      new Promise((r) => {
        server.closeAllConnections();
        server.close(r);
      }),
  };
};

/** A phone's screen and finger. */
export const PHONE = {
  viewport: { width: 412, height: 823 },
  deviceScaleFactor: 1.75,
  isMobile: true,
  hasTouch: true,
  locale: "en-GB",
};
const closing = async (context, use, page) => {
  try {
    return await use(page ?? (await context.newPage()), context);
  } finally {
    await context.close();
  }
};
/** A page of a browser that knows nothing yet, closed after `use`. */
export const fresh = async (browser, use) => closing(await browser.newContext(PHONE), use);
/** A page of a browser that is started anew and knows what `profile` holds, closed after `use`. */
export const again = async (profile, use) => {
  const context = await launchKept(profile, PHONE);
  return closing(context, use, context.pages()[0]);
};
export { launch };
/** Holds the page back: its processor so many times; its line as Lighthouse holds a phone's slow 4G where it does so by the browser (562.5 ms, 1,475 and 675 kbit/s). */
export const hold = async (page, { cpu = 1, line = false } = {}) => {
  const session = await page.context().newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: cpu });
  if (line) {
    await session.send("Network.enable");
    await session.send("Network.emulateNetworkConditions", {
      offline: false,
      latency: 562.5,
      downloadThroughput: 1474.56e3 / 8,
      uploadThroughput: 675e3 / 8,
    });
  }
};

/** Visits a page until its service worker keeps it. */
export const keep = async (page, address) => {
  await page.goto(address);
  await until(page, () => navigator.serviceWorker.controller?.state === "activated");
};

/** Milliseconds for a loop that is always the same: how far a processor is held back is read from two of them, not believed. */
export const pace = (page) =>
  page.evaluate(() => {
    const from = performance.now();
    let sum = 0;
    for (let i = 0; i < 3e7; i++) sum += i % 7;
    return sum && performance.now() - from;
  });

// Runs in the page before anything else of it. `painted(css, words)` says when a frame is painted in which something that `css` finds
// holds `words`: the elements are looked at after each change, then comes the frame, then the first message after it.
export const eyes = () => {
  const frame = () =>
    new Promise((done) =>
      requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => done(performance.now());
        port2.postMessage(0);
      }),
    );
  window.painted = (css, words = "", many = 1) =>
    new Promise((done) => {
      const there = () => {
        const all = document.querySelectorAll(css);
        return all.length >= many && all[0].textContent.includes(words);
      };
      const seen = () => frame().then(done);
      if (there()) {
        seen();
        return;
      }
      const watch = new MutationObserver(() => {
        if (there()) {
          watch.disconnect();
          seen();
        }
      });
      watch.observe(document, { childList: true, subtree: true, characterData: true });
    });
  window.frame = frame;
};
