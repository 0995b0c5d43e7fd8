// A repeat visit with no network: the service worker holds the page, the server is stopped, the browser is started anew, the
// processor held to a quarter. Usable is the page when it has answered a tap made in the first frame that shows a button, counted from the start of the navigation.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import {
  RUNS,
  again,
  atLeast,
  atMost,
  eyes,
  hold,
  host,
  keep,
  median,
  often,
  pace,
  row,
  sleep,
  spread,
  until,
} from "./measure.mjs";

const profile = mkdtempSync(join(tmpdir(), "stillbright-offline-"));
const tap = () => {
  window.painted("button.main").then(async (at) => {
    window.shown = at;
    document.querySelector("button.main").click();
    window.usable = await window.painted(".question");
  });
};
try {
  const site = await host("dist");
  const free = await again(profile, async (page) => {
    await keep(page, site.address).catch(() => keep(page, site.address));
    await sleep(500);
    return pace(page);
  });
  await site.stop();
  const found = await often(() =>
    again(profile, async (page, context) => {
      await context.setOffline(true);
      await page.addInitScript(eyes);
      await page.addInitScript(tap);
      await hold(page, { cpu: 4 });
      // A browser that has just started has work of its own.
      await sleep(1000);
      await page.goto(site.address, { waitUntil: "commit" });
      await until(page, () => window.usable);
      return [
        ...(await page.evaluate(() => [window.shown, window.usable])),
        (await pace(page)) / free,
      ];
    }),
  );
  row(`repeat visit offline, held to 1/4, ms, ${RUNS} runs`, "least", "median", "most");
  const held = median(found.map((f) => f[2]));
  row("processor held, times", "", held.toFixed(1));
  atLeast("processor held for the visit offline, times", held, 3);
  spread(
    "a button is on the screen",
    found.map((f) => f[0]),
  );
  atMost(
    "repeat visit offline, until a tap is answered",
    spread(
      "a tap is answered",
      found.map((f) => f[1]),
    ),
    1000,
  );
} finally {
  rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
}
