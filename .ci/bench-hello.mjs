// The page beside the framework's hello world, in turns, each time in a new browser context with nothing cached, line and processor held as
// a phone's: the largest paint as the browser itself tells it, and the answer to the first tap, which is a new wine here (kept on
// the device, its first question drawn) and the counter there.
import { HELLO } from "./hello.mjs";
import {
  RUNS,
  atMost,
  eyes,
  fresh,
  hold,
  host,
  launch,
  often,
  row,
  spread,
  until,
} from "./measure.mjs";

const sites = [
  { name: "here", site: await host("dist"), button: "button.main", answer: [".question"] },
  {
    name: "hello world",
    site: await host(HELLO),
    button: "button",
    answer: ["button", "Tapped: 1"],
  },
];
const browser = await launch();
const watch = ({ button, answer }) => {
  new PerformanceObserver((l) => {
    for (const e of l.getEntries()) window.largest = e.startTime;
  }).observe({ type: "largest-contentful-paint", buffered: true });
  window.painted(button).then((at) => {
    window.shown = at;
  });
  addEventListener(
    "click",
    (e) => {
      window.painted(...answer).then((at) => {
        window.answered = at - e.timeStamp;
      });
    },
    { capture: true, once: true },
  );
};
const visit = ({ site, button, answer }) =>
  fresh(browser, async (page) => {
    await page.addInitScript(eyes);
    await page.addInitScript(watch, { button, answer });
    await hold(page, { cpu: 4, line: true });
    await page.goto(site.address, { waitUntil: "commit" });
    await until(page, () => window.shown);
    // The paint of that frame is told a little later, and no paint counts after a tap.
    await page.waitForTimeout(500);
    const largest = await page.evaluate(() => window.largest);
    await page.locator(button).first().tap();
    await until(page, () => window.answered);
    return {
      largest,
      ...(await page.evaluate(() => ({ shown: window.shown, answered: window.answered }))),
    };
  });
const found = await often(async () => [await visit(sites[0]), await visit(sites[1])]);
await browser.close();
await Promise.all(sites.map((s) => s.site.stop()));

row(`beside hello world, ms, ${RUNS} runs`, "least", "median", "most");
for (const [key, what, times] of [
  ["largest", "largest paint", 1.2],
  ["shown", "its button is on the screen", 0],
  ["answered", "answer to the first tap", 2],
]) {
  const [here, there] = sites.map(({ name }, at) =>
    spread(
      `${what}, ${name}`,
      found.map((f) => f[at][key]),
    ),
  );
  row(`${what}, times hello world`, "", (here / there).toFixed(2));
  if (times) atMost(`${what} by the browser, ${times} times hello world`, here, times * there);
}
