// Help in place: the words of the trade, explained on a tap. Loaded after the page stands; marks what the page shows and
// fills the page of words. It reads the page and adds buttons beside and around words, nothing else.

const escape = (text) => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
const el = (tag, className, text) => {
  const e = document.createElement(tag);
  if (className) e.className = className;
  if (text) e.textContent = text;
  return e;
};

/** Finds the terms in a text: the longest name first, whole words only. */
export const finder = (terms, say = () => undefined) => {
  const names = new Map();
  for (const t of terms)
    for (const name of [say(t.term) ?? t.term, t.term, ...t.also])
      if (!names.has(name.toLowerCase())) names.set(name.toLowerCase(), t);
  const all = [...names.keys()]
    .sort((a, b) => b.length - a.length)
    .map(escape)
    .join("|");
  // A figure or a hyphen beside a name makes another word of it.
  const pattern = new RegExp(`(?<![\\p{L}\\d-])(?:${all})(?![\\p{L}\\d-])`, "iu");
  return (text) => {
    const found = pattern.exec(text);
    return (
      found && { term: names.get(found[0].toLowerCase()), at: found.index, length: found[0].length }
    );
  };
};

export const explain = (terms) => {
  const say = (text) => window.stillbrightSay?.(text) ?? text;
  // Says a text in the language of the page; English says that it is.
  const spoken = (tag, className, text) => {
    const said = window.stillbrightSay?.(text);
    const e = el(tag, className, said ?? text);
    if (window.stillbrightSay && said === undefined) e.lang = "en";
    return e;
  };
  const known = (t) => {
    const labels = {
      read: "read",
      derived: "derived",
      judgement: "judgement",
      memory: "from memory",
      common_practice: "common practice",
    };
    return el("p", "standing", say(labels[t.standing]) + (t.source ? ` · ${t.source}` : ""));
  };
  const dialog = el("dialog", "explained");
  dialog.setAttribute("aria-labelledby", "explained-term");
  dialog.setAttribute("aria-describedby", "explained-text");
  // A tap beside it closes it, as Escape does.
  dialog.addEventListener("click", (e) => {
    if (e.target === dialog) dialog.close();
  });
  document.body.append(dialog);
  const show = (t) => {
    const [head, text, close] = [
      spoken("h2", "", t.term),
      spoken("p", "", t.text),
      el("button", "", say("Close")),
    ];
    [head.id, text.id] = ["explained-term", "explained-text"];
    close.type = "button";
    close.addEventListener("click", () => dialog.close());
    const body = el("div");
    body.append(head, text, known(t));
    if (window.stillbrightSay)
      body.append(
        el(
          "p",
          "mark",
          say(
            "Translation not reviewed by a practitioner. Where it matters, the English text counts.",
          ),
        ),
      );
    body.append(close);
    dialog.replaceChildren(body);
    dialog.showModal();
  };
  const button = (t, className, text) => {
    const b = el("button", className, text);
    b.type = "button";
    b.dataset.term = t.term;
    b.addEventListener("click", () => show(t));
    return b;
  };
  const ask = (t) => {
    const b = button(t, "term ask", "?");
    b.setAttribute("aria-label", say(`What it means: ${t.term}`));
    return b;
  };

  let [language, find] = [undefined, undefined];
  const now = () => {
    if (language !== document.documentElement.lang) {
      language = document.documentElement.lang;
      find = finder(terms, window.stillbrightSay);
    }
    return find;
  };
  // A question mark beside a heading or a label, which keep their own words and names.
  const beside = (place, text, put) => {
    const found = now()(text);
    // One of each on a page is enough.
    if (
      found &&
      ![...document.querySelectorAll(".ask")].some((b) => b.dataset.term === found.term.term)
    )
      put(ask(found.term));
  };
  // A word in running text becomes a button: the first of each on the page.
  const within = (text, marked) => {
    const found = now()(text.data);
    if (!found || marked.has(found.term.term)) return;
    marked.add(found.term.term);
    const word = text.splitText(found.at);
    const rest = word.splitText(found.length);
    const b = button(found.term, "term", word.data);
    word.replaceWith(b);
    within(rest, marked);
  };
  const mark = () => {
    const main = document.getElementById("main");
    if (!main) return;
    for (const e of main.querySelectorAll(
      ":is(h1, section:not(.sheet *) > h2, .field > label):not(.asked)",
    ))
      beside(e, e.textContent, (b) => {
        e.classList.add("asked");
        e.after(b);
      });
    // Its name, else its test: what a stability hangs on.
    for (const e of main.querySelectorAll("details.stability > summary:not(.asked)"))
      beside(e, `${e.querySelector("strong").textContent} ${e.parentElement.textContent}`, (b) => {
        e.classList.add("asked");
        e.after(b);
      });
    if (/^#\/wine\/[^/]+\/treatments\/[^/]+\/./.test(location.hash)) {
      const marked = new Set(
        [...main.querySelectorAll(".term:not(.ask)")].map((b) => b.dataset.term),
      );
      for (const e of main.querySelectorAll("p.answer, .facts > li > span:first-child")) {
        for (const node of [...e.childNodes])
          if (node.nodeType === Node.TEXT_NODE) within(node, marked);
      }
    }
    const list = document.getElementById("glossary");
    if (list && !list.querySelector("input")) fill(list);
  };
  const fill = (place) => {
    const field = el("div", "field");
    const [label, input, count, list] = [
      spoken("label", "", "Find a word"),
      el("input"),
      el("p", "soft"),
      el("ul", "facts"),
    ];
    [label.htmlFor, input.id, input.type, input.autocomplete] = [
      "find-word",
      "find-word",
      "search",
      "off",
    ];
    count.setAttribute("role", "status");
    field.append(label, input, count);
    const rows = terms
      .map((t) => {
        const row = el("li");
        row.append(spoken("strong", "", t.term), spoken("span", "", t.text), known(t));
        return row;
      })
      .sort((a, b) => a.textContent.localeCompare(b.textContent, document.documentElement.lang));
    const names = new Map(rows.map((row) => [row, row.textContent.toLowerCase()]));
    const filter = () => {
      const shown = rows.filter((row) => names.get(row).includes(input.value.trim().toLowerCase()));
      list.replaceChildren(...shown);
      count.textContent = say(shown.length === 1 ? "1 word" : `${shown.length} words`);
    };
    input.addEventListener("input", filter);
    filter();
    place.replaceChildren(field, list);
  };
  let waiting = false;
  new MutationObserver(() => {
    if (waiting) return;
    waiting = true;
    // After the frame: a tap is answered first.
    requestAnimationFrame(() =>
      setTimeout(() => {
        waiting = false;
        mark();
      }),
    );
  }).observe(document.getElementById("app"), {
    childList: true,
    subtree: true,
    characterData: true,
  });
  mark();
};
