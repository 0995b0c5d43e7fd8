// The main ways through the page in three engines, on a phone of 360x740 and on a screen of 1280x800.
import { test, before, after, describe } from "node:test";
import assert from "node:assert/strict";
import {
  cpSync,
  copyFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { dist, startServer } from "./lib.mjs";
import { found } from "./engines/wire.mjs";
import { hand } from "./engines/hand.mjs";

// Chromium goes these ways on a phone in app.test.mjs and papers.test.mjs already.
const sizes = (engine) =>
  engine === "chromium"
    ? [[1280, 800]]
    : [
        [360, 740],
        [1280, 800],
      ];
const wanted = (process.env.ENGINES || "chromium firefox webkit").split(" ");
const missing = wanted.filter((e) => !found[e]());

test(
  "the engines are there",
  { skip: missing.length > 0 && !process.env.CI && `not found, left out: ${missing.join(", ")}` },
  () => {
    assert.deepEqual(missing, []);
  },
);

const ways = (engine) => () => {
  let site, me;
  before(async () => {
    site = await startServer();
    me = await hand(engine);
  });
  after(async () => {
    await me?.close();
    await site?.stop();
  });

  const fresh = async (width = 360, height = 740) => {
    await me.goto(site.address);
    await me.eval(() => {
      localStorage.clear();
      location.hash = "#/";
    });
    await me.reload();
    await me.size(width, height);
    await me.there("button", "New wine");
  };
  const demo = async (name) => {
    await me.tap("button", name);
    await me.see(/1\.|bentonite|first/, ".ranked");
  };
  // Axe once a page, on the phone; the width and the errors at both sizes.
  const look = async (where, width) => {
    if (width === 360) await me.axe(where);
    await me.clean();
  };

  for (const [width, height] of sizes(engine)) {
    const at = `${width}x${height}`;

    test(`${at}: a new wine to its ranked list, one treatment, two side by side`, async () => {
      await fresh(width, height);
      await look("book", width);
      await me.tap("button", "New wine");
      await me.tap("link", "All on one sheet");
      for (const chip of ["White", "Fermentation over", "Protein instability"])
        await me.tap("button", chip);
      await me.tap("summary", "Analyses");
      await me.type("pH", "3,25");
      await me.type("Free SO₂ (mg/L)", "much");
      await me.see(/Write a number in mg\/L/);
      await look("wine", width);
      await me.tap("link", "See treatments");
      await me.see(/Sodium bentonite/, ".ranked");
      await look("treatments", width);
      await me.tap("link", "Compare with another…");
      await me.tap("css", ".chips a");
      await me.heading("Where they differ");
      await look("side by side", width);
      await me.back();
      await me.back();
      await me.tap("link", "…Sodium bentonite…");
      await me.heading("Sodium bentonite");
      await me.see(/Confirm with the authority/);
      await look("treatment", width);
      // What was typed is there after a new start, readable or not.
      await me.hash((h) => h.replace(/\/treatments.*/, ""));
      await me.heading("The wine");
      await me.reload();
      await me.tap("summary", "Analyses");
      assert.deepEqual([await me.value("pH"), await me.value("Free SO₂ (mg/L)")], ["3,25", "much"]);
      await me.clean();
    });

    test(`${at}: answers find a cause`, async () => {
      await fresh(width, height);
      await me.tap("button", "New wine");
      await me.tap("link", "All on one sheet");
      await me.tap("link", "Find the cause");
      await me.see(/Not settled/, ".answer");
      await me.eval(() =>
        document.querySelectorAll("details").forEach((d) => {
          d.open = true;
        }),
      );
      await me.tap("button", "Are there crystals that glitter or sink at once?: Yes");
      await me.tap("button", "Under the microscope: boat or lens shaped crystals?: Yes");
      await me.see(/Most likely potassium bitartrate/, ".answer");
      await look("cause", width);
    });

    test(`${at}: routes, and one is taken`, async () => {
      await fresh(width, height);
      await demo("Heat-unstable white");
      await me.tap("link", "Routes");
      await me.see(/best way/, ".answer");
      await look("routes", width);
      await me.tap("css", ".ranked a");
      await me.heading("Calendar");
      await me.tap("button", "Take this route");
      await me.see(/You chose a route\. It still holds/);
      await me.reload();
      await me.see(/You chose a route\. It still holds/);
      await look("one route", width);
    });

    test(`${at}: a bench trial is typed, its rung is read, and only then is there a mass`, async () => {
      await fresh(width, height);
      await demo("Heat-unstable white");
      await me.tap("link", "…Sodium bentonite…");
      await me.tap("button", "Put on the work order");
      await me.heading("Work order");
      await me.see(/First a bench trial of this wine/, ".sheet");
      assert.doesNotMatch(await me.text(".sheet"), /Weigh [\d.]+ k?g/);
      await me.hash((h) => h.replace(/\/order.*/, "/trial/bentonite_sodium"));
      await me.heading("Bench trial…");
      await me.type("Test or method…", "80 °C, 2 h");
      for (const [i, reading] of ["15", "7", "3", "1,9", "1,0", "clear"].entries())
        await me.type("Rise, heated less unheated (NTU)", reading, i);
      const rung = await me.eval(() => document.querySelectorAll(".rung legend")[4].innerText);
      await me.see(new RegExp(`^${rung.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}`), ".answer");
      for (let i = 0; i < 6; i++) await me.type("Score…", "7", i);
      await look("bench trial", width);
      await me.hash((h) => h.replace(/\/trial.*/, "/order"));
      await me.see(/Weigh [\d.]+ k?g/, ".sheet");
      await look("work order", width);
    });

    test(`${at}: what was done is logged, fit to bottle follows, the other papers open`, async () => {
      await fresh(width, height);
      await demo("Heat-unstable white");
      await me.hash((h) => h.replace(/\/treatments.*/, "/log"));
      await me.heading("What was done");
      await me.choose("What was done", "bentonite_sodium");
      await me.type("Dose given", "60");
      await me.type("Batch of the material", "L 7");
      await me.tap("button", "Add to the log");
      await me.see(/1\. 20\d\d-\d\d-\d\d: Sodium bentonite, 60 g\/hL, batch L 7/, ".sheet");
      await look("log", width);
      await me.tap("link", "Ready for the line");
      await me.see(/Not shown: [^.]*protein/, ".sheet");
      await look("fit to bottle", width);
      for (const [page, words] of [
        ["laboratory", /Please measure/],
        ["summary", /Demo:/],
        ["stability", /Not stable/],
        ["follows", /Molecular SO₂/],
      ]) {
        await me.eval(`() => { location.hash = location.hash.replace(/[a-z]+$/, '${page}'); }`);
        await me.see(words);
        await look(page, width);
      }
      for (const [page, words] of [
        ["defaults", /Made in/],
        ["figures", /rules of law/],
      ]) {
        await me.eval(`() => { location.hash = '#/${page}'; }`);
        await me.see(words);
        await look(page, width);
      }
    });
  }

  test("a wine goes out as a file and comes back", async () => {
    await fresh();
    await demo("Hard young red");
    await me.goto(`${site.address}#/`);
    const text = await me.saved(() => me.tap("button", "Export Demo…"));
    assert.equal(JSON.parse(text).wines.length, 1);
    const folder = mkdtempSync(join(tmpdir(), "stillbright-wine-"));
    try {
      writeFileSync(join(folder, "good.json"), text);
      writeFileSync(join(folder, "bad.json"), text.replace('"red"', '"blue"'));
      await me.upload("Import a file", join(folder, "good.json"));
      await me.tap("button", "Add them to the book");
      assert.equal(await me.eval(() => document.querySelectorAll(".wines li").length), 2);
      await me.upload("Import a file", join(folder, "bad.json"));
      await me.see(/blue[^]*white/, ".field [role=alert]");
      assert.equal(await me.eval(() => document.querySelectorAll(".wines li").length), 2);
    } finally {
      rmSync(folder, { recursive: true });
    }
    await me.clean();
  });

  test("a wine goes over in a link", async () => {
    await fresh();
    await demo("Hard young red");
    await me.hash((h) => h.replace(/\/treatments.*/, ""));
    await me.tap("summary", "Hand this wine over");
    await me.tap("button", "Make a link");
    await me.see(/\d+ characters\./);
    const link = await me.value("Link with the wine in it");
    await fresh();
    await me.eval("(l) => { location.href = l; }", link);
    await me.tap("button", "Add them to the book");
    await me.heading("The wine");
    assert.equal(
      await me.eval(() => Object.keys(localStorage).filter((k) => k.includes("/wine/")).length),
      1,
    );
    await me.clean();
  });

  test("storage that is truly full loses nothing on screen and says so", async () => {
    await fresh();
    const letters = await me.eval(() => {
      let n = 0;
      for (let part = 1 << 22; part >= 1; part >>= 1)
        for (;;) {
          try {
            localStorage.setItem(`filler${n++}`, "x".repeat(part));
          } catch {
            break;
          }
        }
      return Object.keys(localStorage).reduce((sum, k) => sum + localStorage[k].length, 0);
    });
    assert.ok(letters > 1e6, `only ${letters} letters went in`);
    await me.tap("button", "New wine");
    await me.tap("link", "All on one sheet");
    await me.type("Name", "Kept on screen");
    await me.see(/Storage on this device is full/, ".banner");
    await me.hash(() => "#/");
    await me.see(/Kept on screen/, ".wines");
    await me.eval(() => localStorage.clear());
    await me.clean();
  });

  test(
    "storage that the user refuses: the page works and says so",
    { skip: engine !== "firefox" && "only Firefox can be told so here" },
    async () => {
      await me.wire.deny(true);
      try {
        await me.goto(site.address);
        await me.reload();
        await me.see(/last until you close it/, ".banner");
        await me.tap("button", "New wine");
        await me.tap("link", "All on one sheet");
        await me.type("Name", "Kept on screen");
        await me.hash(() => "#/");
        await me.see(/Kept on screen/, ".wines");
        // All that is refused is the copy for no signal.
        for (const e of await me.wire.errors())
          assert.match(e, /Failed to register\/update a ServiceWorker/);
      } finally {
        await me.wire.deny(false);
      }
    },
  );

  test("a new version is told of and taken over, and what was typed stays", async () => {
    const folder = mkdtempSync(join(tmpdir(), "stillbright-site-"));
    cpSync(dist, folder, { recursive: true });
    const own = await startServer(0, folder);
    try {
      await me.goto(own.address);
      await me.taken();
      await me.tap("button", "New wine");
      await me.tap("link", "All on one sheet");
      await me.type("Name", "Typed before");
      assert.equal(await me.there("button", "Use it now"), false);
      // The next version: another title, another list.
      const edit = (file, from, to) => {
        const text = readFileSync(join(folder, file), "utf8");
        assert.ok(text.includes(from));
        writeFileSync(join(folder, file), text.replace(from, to));
      };
      edit("index.html", '<html lang="en">', '<html lang="en" data-version="next">');
      edit("sw.js", 'const NAME = "stillbright-', 'const NAME = "stillbright-next-');
      await me.eval(() => {
        navigator.serviceWorker.ready.then((r) => r.update());
      });
      await me.see(/A new version is ready/, ".banner");
      await me.axe("with a new version");
      // It is still there after a reload, which by itself changes nothing.
      await me.reload();
      await me.see(/A new version is ready/, ".banner");
      assert.equal(
        await me.eval(() => document.documentElement.dataset.version || "first"),
        "first",
      );
      // Not offered where a reload would lose what is typed and not yet kept.
      await me.hash((h) => `${h}/log`);
      await me.heading("What was done");
      assert.equal(await me.there("button", "Use it now"), false);
      await me.hash((h) => h.replace("/log", ""));
      await me.heading("The wine");
      await me.type("Name", "Typed at the last");
      await me.tap("button", "Use it now");
      await me.until("the new version", () => document.documentElement.dataset.version === "next");
      await me.ready();
      assert.equal(await me.value("Name"), "Typed at the last");
      await me.clean();
    } finally {
      await own.stop();
      rmSync(folder, { recursive: true });
    }
  });

  test("opens with the server gone", async () => {
    const own = await startServer();
    try {
      await me.goto(own.address);
      await me.taken();
    } finally {
      await own.stop();
    }
    await assert.rejects(fetch(own.address), "the server is gone");
    await me.reload();
    await me.tap("button", "Browning organic rosé");
    await me.see(/./, ".ranked li");
    await me.clean();
  });

  // A copy with a blank in its name, from a folder of its own, as one saves it.
  describe(
    "one file from a disk",
    {
      skip:
        !existsSync(join(dist, "stillbright.html")) &&
        !process.env.CI &&
        "dist/stillbright.html is not built",
    },
    () => {
      let folder, address;
      before(() => {
        folder = mkdtempSync(join(tmpdir(), "stillbright-file-"));
        copyFileSync(join(dist, "stillbright.html"), join(folder, "my copy.html"));
        address = pathToFileURL(join(folder, "my copy.html")).href;
      });
      after(() => rmSync(folder, { recursive: true }));

      test("opens, ranks, keeps, hands over, and asks nothing of anyone", async () => {
        await me.goto(address);
        await me.size(360, 740);
        await me.eval(() => {
          localStorage.clear();
        });
        await me.reload();
        await demo("Heat-unstable white");
        await me.hash(() => "#/");
        await me.see(/Opened from a file: wines stay in this browser only/);
        await me.axe("one file");
        const text = await me.saved(() => me.tap("button", "Export Demo…"));
        assert.equal(JSON.parse(text).wines.length, 1);
        await me.tap("link", "Demo:…");
        await me.type("Name", "Kept in a file");
        await me.tap("summary", "Hand this wine over");
        await me.tap("button", "Make a link");
        await me.see(/\d+ characters\./);
        await me.wire.goto("about:blank");
        await me.goto(address);
        await me.see(/Kept in a file/, ".wines");
        assert.deepEqual(
          await me.eval(() =>
            performance
              .getEntriesByType("resource")
              .filter((r) => !/^(data|blob):/.test(r.name))
              .map((r) => r.name),
          ),
          [],
        );
        await me.clean();
        await me.eval(() => localStorage.clear());
      });

      test(
        "where storage is refused it says so",
        { skip: engine !== "firefox" && "only Firefox can be told so here" },
        async () => {
          await me.wire.deny(true);
          try {
            await me.goto(address);
            await me.reload();
            await me.see(/last until you close it: export/, ".banner");
            await demo("Heat-unstable white");
            await me.clean();
          } finally {
            await me.wire.deny(false);
          }
        },
      );

      test(
        "the wines are there when the browser is opened again",
        { skip: engine === "webkit" && "its driver keeps nothing on disk" },
        async () => {
          const home = mkdtempSync(join(tmpdir(), "stillbright-again-"));
          try {
            for (const time of [1, 2]) {
              const again = await hand(engine, { profile: home });
              try {
                await again.goto(address);
                if (time === 1) {
                  await again.tap("button", "Heat-unstable white");
                  await again.see(/bentonite/i, ".ranked");
                } else await again.see(/Demo:/, ".wines");
              } finally {
                await again.close({ keep: true });
              }
            }
          } finally {
            rmSync(home, { recursive: true, force: true, maxRetries: 5 });
          }
        },
      );
    },
  );
};

// Side by side, for much of each is waiting.
describe("engines", { concurrency: true }, () => {
  for (const engine of wanted.filter((e) => !missing.includes(e)))
    describe(engine, { concurrency: 1 }, ways(engine));
});
