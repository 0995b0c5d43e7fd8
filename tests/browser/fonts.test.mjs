// Fonts: which the page is shown in, and that papers are read in whatever form Chromium puts a font into them.
import { before, after } from "node:test";
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { test, measured, startServer, launch, newPage, ready } from "./lib.mjs";
import { readPdf } from "./pdf.mjs";

let site, browser;
before(async () => {
  site = await startServer();
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await site?.stop();
});

measured("the page is shown in the fonts that this run is for", async (t) => {
  const { page, context } = await newPage(browser);
  await page.goto(site.address);
  await ready(page);
  const wire = await context.newCDPSession(page);
  await wire.send("DOM.enable");
  await wire.send("CSS.enable");
  const { root } = await wire.send("DOM.getDocument");
  const { nodeId } = await wire.send("DOM.querySelector", {
    nodeId: root.nodeId,
    selector: "#main",
  });
  const { fonts } = await wire.send("CSS.getPlatformFontsForNode", { nodeId });
  const names = fonts.sort((a, b) => b.glyphCount - a.glyphCount).map((f) => f.familyName);
  t.diagnostic(names.join(", "));
  if (process.env.OTHER_FONTS) {
    assert.equal(names[0], "DejaVu Serif");
    assert.deepEqual(
      names.filter((n) => !n.startsWith("DejaVu")),
      [],
    );
  } else if (process.env.CI)
    assert.ok(names.length > 0 && names[0] !== "DejaVu Serif", "both runs show the same font");
  await context.close();
});

// Chromium puts a font into a PDF as it is or, where its maker forbids that, as drawings of its letters: here the same font with
// either word of its maker, which stands in its table “OS/2”.
test("the text of a PDF is read with its sizes and colours, in both forms of a font", async () => {
  const font = readFileSync(
    createRequire(import.meta.url).resolve("pdfjs-dist/standard_fonts/LiberationSans-Regular.ttf"),
  );
  const tables = Array.from({ length: font.readUInt16BE(4) }, (_, i) =>
    font.subarray(12 + 16 * i, 28 + 16 * i),
  );
  const embedding = tables.find((t) => t.toString("latin1", 0, 4) === "OS/2").readUInt32BE(8) + 8;
  const { page, context } = await newPage(browser);
  for (const [allowed, form, other] of [
    [0, "CIDFontType2", "Type3"],
    [2, "Type3", "CIDFontType2"],
  ]) {
    font.writeUInt16BE(allowed, embedding);
    await page.setContent(`<style>@font-face { font-family: It; src: url(data:font/ttf;base64,${font.toString("base64")}) }
      body { font: 12pt It; print-color-adjust: exact } div { break-before: page } i { font: 6pt It; color: #80808a }</style>
      <p>an office, 12 µg · é</p><svg width="340" viewBox="0 0 680 50"><text y="40" style="font: 32px It" fill="#f00">drawn</text></svg><div><i>small</i></div>`);
    await page.evaluate(() => document.fonts.ready);
    const paper = await page.pdf({ format: "A4" });
    const forms = paper.toString("latin1");
    assert.ok(forms.includes(`/Subtype /${form}`) && !forms.includes(`/Subtype /${other}`), form);
    const { pages, text, pieces } = await readPdf(paper);
    assert.equal(pages, 2);
    assert.equal(text, "anoffice,12µg·édrawnsmall".normalize("NFKC"));
    const kinds = new Set(
      pieces.filter((p) => p.text.trim()).map((p) => `${p.points.toFixed(1)} ${p.colour}`),
    );
    assert.deepEqual([...kinds], ["12.0 0 0 0", "12.0 255 0 0", "6.0 128 128 138"]);
  }
  await context.close();
});
