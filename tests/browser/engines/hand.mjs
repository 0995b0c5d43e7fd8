// A hand on the page, the same in every engine: it finds things by the words on them, as a user does, waits for them, and
// taps and types by the engine's own input.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { createRequire } from "node:module";
import { sleep, start } from "./wire.mjs";

const axeSource = readFileSync(
  createRequire(import.meta.url).resolve("axe-core/axe.min.js"),
  "utf8",
);
const PATIENCE = 20000;

// Runs in the page. A … before or after a name stands for more words.
const pick = (kind, name, nth) => {
  const clean = (t) => (t || "").replace(/\s+/g, " ").trim();
  const bare = name.replace(/^…|…$/g, "");
  const fits = (t) =>
    t.includes(bare) &&
    (name.startsWith("…") || t.startsWith(bare)) &&
    (name.endsWith("…") || t.endsWith(bare));
  const shown = (e) => e.getClientRects().length > 0;
  const named = (e) => fits(clean(e.getAttribute("aria-label") || e.textContent));
  const all = (css) => [...document.querySelectorAll(css)];
  if (kind === "css") return all(name).filter(shown)[nth] || null;
  if (kind === "field") {
    const labelled = all("label")
      .filter((l) => fits(clean(l.textContent)))
      .map((l) => l.control || document.getElementById(l.htmlFor));
    return (
      [
        ...labelled,
        ...all("input[aria-label],textarea[aria-label],select[aria-label]").filter(named),
      ].filter(Boolean)[nth] || null
    );
  }
  const css = { button: "button", link: "a[href]", summary: "summary", heading: "h1,h2" }[kind];
  return all(css).filter((e) => shown(e) && named(e))[nth] || null;
};

const AXE = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** Opens an engine and gives a hand on its page. */
export async function hand(engine, options) {
  const wire = await start[engine](options);
  const waitFor = async (what, get) => {
    for (const end = Date.now() + PATIENCE; ; await sleep(30)) {
      const got = await get();
      if (got) return got;
      if (Date.now() > end)
        throw new Error(
          `${engine}: waited in vain for ${what} at ${await wire.eval('() => location.href + " " + (document.querySelector("main") || document.body).innerText.slice(0, 600)')}`,
        );
    }
  };
  const find = (kind, name, nth = 0) =>
    waitFor(`${kind} “${name}”`, () => wire.find(String(pick), kind, name, nth));
  const me = {
    wire,
    engine,
    until: (what, f) => waitFor(what, () => wire.eval(String(f)).catch(() => false)),
    /** Until a service worker has taken the page over. */
    taken: () =>
      me.until(
        "a service worker",
        () => navigator.serviceWorker?.controller?.state === "activated",
      ),
    goto: async (url) => {
      await wire.goto(url);
      await me.ready();
    },
    reload: async () => {
      await wire.reload();
      await me.ready();
    },
    back: () => wire.back(),
    ready: async () => {
      // All of it, the help as well: a page left while a part is on the way makes Firefox speak of a file it did not get.
      await waitFor("the page", () =>
        wire.eval(
          '() => Boolean(document.querySelector("#app[data-ready][data-whole][data-settled] main"))',
        ),
      );
      await wire.listen?.();
    },
    eval: (f, ...args) => wire.eval(String(f), ...args),
    // What was drawn anew between look and tap is looked for again, as a hand would; nothing was tapped then.
    tap: async (kind, name, nth) => {
      for (let left = 3; ; left--) {
        try {
          return await wire.click(await find(kind, name, nth));
        } catch (e) {
          if (!left || !/not attached|stale element/i.test(e.message)) throw e;
        }
      }
    },
    type: async (name, text, nth) => wire.keys(await find("field", name, nth), text),
    choose: async (name, value) => wire.choose(await find("field", name), value),
    upload: async (name, path) => wire.upload(await find("field", name), path),
    value: async (name, nth = 0) => {
      await find("field", name, nth);
      return wire.eval(`(k, n, i) => (${pick})(k, n, i).value`, "field", name, nth);
    },
    there: (kind, name) => wire.eval(`(k, n) => Boolean((${pick})(k, n, 0))`, kind, name),
    heading: (name) => find("heading", name),
    text: (css = "main") => wire.eval('(c) => document.querySelector(c)?.innerText || ""', css),
    /** Waits until the text of a place fits, and gives it. */
    see: async (pattern, css = "main") => {
      let text = "";
      await waitFor(`${pattern} in ${css}`, async () => pattern.test((text = await me.text(css))));
      return text;
    },
    hash: (f) => wire.eval(`() => { location.hash = (${f})(location.hash); }`),
    size: async (w, h) => {
      await wire.size(w, h);
      await waitFor(`${w}x${h}`, () =>
        wire.eval(`() => innerWidth === ${w} && innerHeight === ${h}`),
      );
    },
    /** The newest file that the page handed out since `tap`. */
    saved: async (tap) => {
      const before = new Set(readdirSync(wire.downloads));
      await tap();
      const name = await waitFor("a file", () =>
        readdirSync(wire.downloads).find(
          (f) => !before.has(f) && !/\.(part|wkdownload|crdownload)$/.test(f),
        ),
      );
      return waitFor("its text", () => readFileSync(join(wire.downloads, name), "utf8"));
    },
    /** Nothing wider than the screen, no error and no request to anywhere else since it was last asked. */
    clean: async () => {
      assert.deepEqual(await wire.errors(), [], engine);
      assert.deepEqual(
        await wire.eval(
          '() => performance.getEntriesByType("resource").map((r) => r.name).filter((n) => !/^(file|data|blob):/.test(n) && !n.startsWith(location.origin + "/"))',
        ),
        [],
        engine,
      );
      const [wide, room] = await wire.eval(
        "() => [document.documentElement.scrollWidth, innerWidth]",
      );
      assert.ok(wide <= room, `${engine}: ${wide} pixels wide in ${room}`);
    },
    axe: async (where) => {
      // At the end of the page, where a bar that stays in sight lies below what it covers on the way there.
      await wire.eval(
        '() => { if (document.querySelector(".bottom")) scrollTo(0, document.body.scrollHeight); }',
      );
      if (!(await wire.eval('() => typeof axe === "object"')))
        await wire.eval(`() => { ${axeSource}; globalThis.axe = axe; }`);
      const found = await wire.evalLater(
        `(tags) => axe.run(document, { runOnly: tags }).then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target.join(' ')).slice(0, 3).join(', ')))`,
        AXE,
      );
      assert.deepEqual(found, [], `${engine} ${where}`);
    },
    close: (o) => wire.close(o),
  };
  return me;
}
