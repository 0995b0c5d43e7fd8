// Starts the page, and shows a plain screen when it cannot start or breaks: the wines stay on the device either way.
const saved = () => {
  const found = {};
  try {
    for (let i = 0; i < localStorage.length; i++) {
      const key = localStorage.key(i);
      if (key.startsWith("stillbright")) found[key] = localStorage.getItem(key);
    }
  } catch {
    /* storage is closed to us: nothing was kept there */
  }
  return found;
};
const tell = (name) => window.dispatchEvent(new CustomEvent(name));
let broken = false;
const recover = (what) => {
  if (broken) return;
  broken = true;
  const text = String((what && (what.stack || what.message)) || what);
  const main = document.createElement("main");
  main.className = "recovery";
  const say = (words) => window.stillbrightSay?.(words) ?? words;
  const add = (tag, words) => {
    const e = document.createElement(tag);
    e.textContent = say(words);
    main.append(e);
    return e;
  };
  add("h1", "The page stopped");
  add("p", "Your wines are kept on this device. Reload to go on.");
  // A newer version that waits may be the one that works.
  add("button", "Reload").onclick = () => {
    tell("stillbright-use");
    setTimeout(() => location.reload(), 500);
  };
  add("button", "Save my data as a file").onclick = () => {
    const a = document.createElement("a");
    a.href = URL.createObjectURL(
      new Blob([JSON.stringify(saved(), null, 1)], { type: "application/json" }),
    );
    a.download = "stillbright-saved-data.json";
    a.click();
  };
  const details = document.createElement("details");
  const summary = document.createElement("summary");
  summary.textContent = say("What happened");
  const pre = document.createElement("pre");
  pre.textContent = text;
  details.append(summary, pre);
  main.append(details);
  document.getElementById("app").replaceChildren(main);
  document.getElementById("app").dataset.broken = "";
};
window.addEventListener("error", (e) => {
  if (e.error || e.message) recover(e.error || e.message);
});
window.addEventListener("unhandledrejection", (e) => recover(e.reason));

// A wine in a link: its file, deflated, in letters that an address takes. Nothing for what is too long to pass on.
const through = async (bytes, stream) =>
  new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
window.stillbrightPack = async (text, most) => {
  const bytes = await through(new TextEncoder().encode(text), new CompressionStream("deflate-raw"));
  if (bytes.length > most) return "";
  return btoa(String.fromCharCode(...bytes))
    .replaceAll("+", "-")
    .replaceAll("/", "_")
    .replaceAll("=", "");
};
window.stillbrightUnpack = async (text) => {
  const bytes = Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (c) =>
    c.charCodeAt(0),
  );
  return new TextDecoder("utf-8", { fatal: true }).decode(
    await through(bytes, new DecompressionStream("deflate-raw")),
  );
};

// How long wines last here: from a file; in a tab of iOS, which alone knows `standalone`; or as long as there is room. The
// browser is asked once to keep them, after the first wine, and again where the page is installed: only then may the answer differ.
window.stillbrightKeep = async (when) => {
  if (location.protocol === "file:") return "file";
  if (when === "told") localStorage.setItem("told-home-screen", "1");
  if (navigator.standalone === false) return localStorage.getItem("told-home-screen") ? "" : "home";
  const { storage } = navigator;
  if (!storage?.persist || (await storage.persisted())) return "";
  const asked = localStorage.getItem("asked-to-keep");
  if (when === "added" && (!asked || matchMedia("(display-mode: standalone)").matches)) {
    localStorage.setItem("asked-to-keep", "1");
    return (await storage.persist()) ? "" : "loose";
  }
  return asked ? "loose" : "";
};

// Other languages: files of their own, fetched when one is spoken, in two parts as the page is: what its first part says, and
// the rest. Where they cannot be had the language stays as it was.
const languages = __LANGUAGES__;
const table = (file) => fetch(file).then((r) => r.json());
// The words of the pages, packed; an answer that is no file is none.
const words = (file) => fetch(file).then((r) => (r.ok ? r.arrayBuffer() : Promise.reject(r)));
let rest, whole;
const load = async (code) => {
  const [{ speaker }, first, packed] = await Promise.all([
    import("__SPEAK__"),
    table(languages[code][0]),
    words(languages[code][2]),
  ]);
  [rest, whole] = [
    async () => speaker({ ...first, ...(await table(languages[code][1])) }),
    undefined,
  ];
  return [speaker(first), packed];
};
// Once it is through, all of the language is spoken, or what could not be fetched stays English.
window.stillbrightWhole = async () => {
  const mine = (whole ??= rest?.());
  try {
    const say = await mine;
    if (say && whole === mine) window.stillbrightSay = say;
  } catch {
    if (whole === mine) whole = undefined;
  }
  return "";
};
window.stillbrightSpeak = async (code, keep) => {
  try {
    if (!Object.hasOwn(languages, code)) rest = whole = undefined;
    [window.stillbrightSay, window.stillbrightWords] = Object.hasOwn(languages, code)
      ? await load(code)
      : [];
    document.documentElement.lang = window.stillbrightSay ? code : "en";
    if (keep) await window.stillbrightWhole();
    if (keep) localStorage.setItem("language", code);
  } catch {
    /* not here, or nothing can be kept */
  }
  return "";
};
// The one chosen here before, else the first of the browser's that there is.
const language = () => {
  try {
    if (localStorage.getItem("language")) return localStorage.getItem("language");
  } catch {
    /* storage is closed */
  }
  return (
    navigator.languages
      .map((l) => l.slice(0, 2))
      .find((l) => l === "en" || Object.hasOwn(languages, l)) ?? "en"
  );
};

// The shell is on the screen before the page takes its place, however soon that could be; a page that nobody sees is never
// painted and does not wait.
const painted = () =>
  new Promise((done) => {
    new PerformanceObserver(done).observe({ type: "paint", buffered: true });
    setTimeout(done, 100);
  });
const start = async () => {
  const spoken = window.stillbrightSpeak(language());
  const { default: init } = await import("__GLUE__");
  await spoken;
  await painted();
  await init({ module_or_path: "__WASM__" });
  window.stillbrightWhole();
};
// Help in place comes when the page stands; without it the page is whole.
const help = async () => {
  const [{ explain }, terms] = await Promise.all([
    import("__EXPLAIN__"),
    table("__TERMS__"),
    window.stillbrightWhole(),
  ]);
  explain(terms);
};
const offline = () => {
  if (!("serviceWorker" in navigator && location.protocol.startsWith("http"))) return;
  const workers = navigator.serviceWorker;
  workers
    .register("./sw.js")
    .then((r) => {
      // The first copy claims this page as soon as it is active: a controller alone does not tell
      // that there was an older one.
      const watch = (worker) => {
        if (!worker) return;
        const isFirst = !r.active;
        worker.addEventListener("statechange", () => {
          if (worker.state === "installed" && !isFirst) tell("stillbright-update");
          if (worker.state === "activated") tell("stillbright-offline-ready");
        });
      };
      if (r.waiting && r.active) tell("stillbright-update");
      watch(r.installing);
      r.addEventListener("updatefound", () => watch(r.installing));
      // Only once the new version has taken over does a reload bring it.
      window.addEventListener("stillbright-use", () => {
        if (!r.waiting) {
          location.reload();
          return;
        }
        workers.addEventListener("controllerchange", () => location.reload(), { once: true });
        r.waiting.postMessage("skip-waiting");
      });
    })
    .catch(() => {
      /* no offline copy here; the page itself works */
    });
};
// After the page stands, which listens for what is told here.
start()
  .catch(recover)
  .then(offline)
  .then(help)
  .catch(() => {})
  .finally(() => {
    document.getElementById("app").dataset.settled = "";
  });
