// Reads what the browser's own PDF says, by pdf.js: its text, how many pages it has, and how large and in what colour it is written.
const { getDocument, OPS } = await quietly(() => import("pdfjs-dist/legacy/build/pdf.mjs"));

/** While it is loaded, pdf.js says that it finds no canvas to draw on. Nothing is drawn here. */
async function quietly(load) {
  const { log } = console;
  console.log = () => {};
  try {
    return await load();
  } finally {
    console.log = log;
  }
}

const times = ([a, b, c, d, e, f], [g, h, i, j, k, l]) => [
  a * g + b * i,
  a * h + b * j,
  c * g + d * i,
  c * h + d * j,
  e * g + f * i + k,
  e * h + f * j + l,
];
const AS_IT_IS = [1, 0, 0, 1, 0, 0];

/** What is written on a page: each piece with its size in points and its colour. A picture has matrices and colours of its own. */
const written = ({ fnArray, argsArray }) => {
  const all = [];
  let [now, kept, line] = [{ at: AS_IT_IS, fill: "0 0 0", size: 0 }, [], AS_IT_IS];
  const save = () => kept.push(now);
  const restore = () => {
    now = kept.pop() ?? now;
  };
  const act = {
    [OPS.save]: save,
    [OPS.restore]: restore,
    [OPS.paintFormXObjectBegin]: (matrix) => {
      save();
      now = { ...now, at: times(matrix ?? AS_IT_IS, now.at) };
    },
    [OPS.paintFormXObjectEnd]: restore,
    [OPS.transform]: (...matrix) => {
      now = { ...now, at: times(matrix, now.at) };
    },
    [OPS.setFillRGBColor]: (...rgb) => {
      now = { ...now, fill: rgb.join(" ") };
    },
    [OPS.setFillColorN]: () => {
      now = { ...now, fill: "a pattern" };
    },
    [OPS.setFont]: (_, size) => {
      now = { ...now, size };
    },
    [OPS.beginText]: () => {
      line = AS_IT_IS;
    },
    [OPS.setTextMatrix]: (...matrix) => {
      line = matrix;
    },
    // Between the glyphs stand numbers, which move the next one.
    [OPS.showText]: (glyphs) => {
      const [, , c, d] = times(line, now.at);
      const text = glyphs.map((g) => g?.unicode ?? "").join("");
      all.push({
        text: text.normalize("NFKC"),
        points: now.size * Math.hypot(c, d),
        colour: now.fill,
      });
    },
  };
  fnArray.forEach((operator, i) => act[operator]?.(...(argsArray[i] ?? [])));
  return all;
};

/// Pages and text of a PDF, without any white space: lines are broken where the paper ends. Its pieces with size and colour.
export const readPdf = async (buffer) => {
  const reading = getDocument({ data: new Uint8Array(buffer), verbosity: 0 });
  const pdf = await reading.promise;
  const [pages, pieces] = [pdf.numPages, []];
  for (let n = 1; n <= pages; n++)
    pieces.push(...written(await (await pdf.getPage(n)).getOperatorList()));
  await reading.destroy();
  return {
    pages,
    text: pieces
      .map((p) => p.text)
      .join("")
      .normalize("NFKC")
      .replaceAll(/\s/g, ""),
    pieces,
  };
};

/** A page printed, and read. No two letters become one for that: of a drawn ligature pdf.js does not read what it stands for. */
export const printed = async (page, format) => {
  const ligatures = (how) =>
    page.evaluate((h) => {
      document.documentElement.style.fontVariantLigatures = h;
    }, how);
  await ligatures("none");
  const paper = await page.pdf({ format });
  await ligatures("");
  return readPdf(paper);
};

/// Paper sizes with what the margin of 15 mm leaves, px.
export const PAPERS = [
  ["A4", 680],
  ["Letter", 702],
];

/// Text of the page that would be cut on paper: beyond its edge, in a box that hides what is too long, or in a field.
export const cutText = (page) =>
  page.evaluate(() => {
    const cut = [];
    const walker = document.createTreeWalker(document.querySelector("#main"), NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      if (!node.textContent.trim() || !node.parentElement.checkVisibility()) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      if (
        [...range.getClientRects()].some(
          (r) => r.width > 1 && (r.left < -1 || r.right > innerWidth + 1),
        )
      )
        cut.push(node.textContent);
    }
    for (const e of document.querySelectorAll("#main *")) {
      const hides =
        !["visible", ""].includes(getComputedStyle(e).overflowX) || e.tagName === "INPUT";
      if (hides && e.checkVisibility() && e.clientWidth > 1 && e.scrollWidth > e.clientWidth + 1)
        cut.push(e.value || e.textContent);
    }
    return cut;
  });
