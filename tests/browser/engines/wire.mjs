// How each engine is started and spoken to: Chromium through playwright; Firefox by Marionette, the protocol behind its
// WebDriver; WebKitGTK by WebDriver over HTTP. The last two know the same commands, so one set of words serves both.
import { spawn, execFileSync } from "node:child_process";
import { connect, createServer } from "node:net";
import {
  mkdtempSync,
  mkdirSync,
  writeFileSync,
  readFileSync,
  existsSync,
  rmSync,
  readdirSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { launch, launchKept } from "../lib.mjs";

export const sleep = (ms) => new Promise((r) => setTimeout(r, ms));
const inPath = (name) => {
  try {
    return execFileSync("sh", ["-c", `command -v ${name}`], { encoding: "utf8" }).trim();
  } catch {
    return "";
  }
};
const firefox = () =>
  [
    process.env.FIREFOX,
    "firefox-esr",
    "firefox",
    "/Applications/Firefox.app/Contents/MacOS/firefox",
  ].find((f) => f && inPath(`'${f}'`));
const miniBrowser = () => {
  for (const dir of existsSync("/usr/lib") ? readdirSync("/usr/lib") : []) {
    for (const api of ["4.1", "4.0"]) {
      const at = `/usr/lib/${dir}/webkit2gtk-${api}/MiniBrowser`;
      if (existsSync(at)) return at;
    }
  }
  return "";
};

/** Whether the engine is on this machine. */
export const found = {
  chromium: () => existsSync(process.env.CHROMIUM || "/usr/bin/chromium"),
  firefox: () => Boolean(firefox()),
  webkit: () => Boolean(inPath("WebKitWebDriver") && inPath("Xvfb") && miniBrowser()),
};

const scratch = (name) => mkdtempSync(join(tmpdir(), `stillbright-${name}-`));
const until = async (what, ms, get) => {
  for (const end = Date.now() + ms; ; await sleep(40)) {
    const got = await get();
    if (got) return got;
    if (Date.now() > end) throw new Error(`waited in vain for ${what}`);
  }
};
const stop = (child) =>
  new Promise((r) => {
    if (child.exitCode !== null || child.signalCode) r();
    else {
      child.once("exit", r);
      child.kill("SIGKILL");
    }
  });

// What a page reads and does, over WebDriver's commands.
const KEY = "element-6066-11e4-a52e-4f735466cecf";
const ref = (id) => ({ [KEY]: id });
const overWebDriver = (send) => ({
  goto: (url) => send.go(url),
  reload: () => send.reload(),
  back: () => send.back(),
  eval: (f, ...args) => send.script(`return (${f}).apply(null, arguments)`, args),
  evalLater: (f, ...args) =>
    send.later(
      `const done = arguments[arguments.length - 1]; (${f}).apply(null, [].slice.call(arguments, 0, -1)).then(done, (e) => done({ failed: String(e) }))`,
      args,
    ),
  find: async (f, ...args) => {
    const got = await send.script(`return (${f}).apply(null, arguments)`, args);
    return got && got[KEY];
  },
  // To the middle first: what stands behind the bar at the foot counts as in view, but cannot be tapped.
  click: async (id) => {
    await send.script('arguments[0].scrollIntoView({ block: "center" })', [ref(id)]);
    await send.click(id);
  },
  keys: async (id, text) => {
    await send.script("arguments[0].select()", [ref(id)]);
    await send.keys(id, text || "\uE017");
  },
  upload: (id, path) => send.keys(id, path),
  choose: async (id, value) =>
    send.click(
      (
        await send.script(
          "return [...arguments[0].options].find((o) => o.value === arguments[1])",
          [ref(id), value],
        )
      )[KEY],
    ),
});

async function startFirefox({ profile, prefs = {} } = {}) {
  const home = profile || scratch("firefox");
  mkdirSync(join(home, "downloads"), { recursive: true });
  const all = {
    "marionette.port": 0,
    "browser.download.folderList": 2,
    "browser.download.dir": join(home, "downloads"),
    "browser.download.alwaysOpenPanel": false,
    // Nothing but the page is to be fetched.
    "app.update.enabled": false,
    "app.normandy.enabled": false,
    "browser.safebrowsing.malware.enabled": false,
    "browser.safebrowsing.phishing.enabled": false,
    "datareporting.policy.dataSubmissionEnabled": false,
    "toolkit.telemetry.enabled": false,
    "extensions.update.enabled": false,
    "services.settings.server": "data:,",
    "network.captive-portal-service.enabled": false,
    "network.connectivity-service.enabled": false,
    "browser.shell.checkDefaultBrowser": false,
    "browser.startup.homepage_override.mstone": "ignore",
    "browser.startup.page": 0,
    "browser.aboutwelcome.enabled": false,
    // Asked to keep storage, it answers at once.
    "dom.storageManager.prompt.testing": true,
    "dom.storageManager.prompt.testing.allow": true,
    ...prefs,
  };
  writeFileSync(
    join(home, "user.js"),
    Object.entries(all)
      .map(([k, v]) => `user_pref(${JSON.stringify(k)}, ${JSON.stringify(v)});\n`)
      .join(""),
  );
  rmSync(join(home, "MarionetteActivePort"), { force: true });
  const child = spawn(
    firefox(),
    [
      "--headless",
      "--marionette",
      "--remote-allow-system-access",
      "--no-remote",
      "--profile",
      home,
    ],
    { stdio: "ignore" },
  );
  const portFile = join(home, "MarionetteActivePort");
  const port = await until(
    "Firefox",
    60000,
    () => existsSync(portFile) && Number(readFileSync(portFile, "utf8")),
  );
  const socket = connect(port, "127.0.0.1");
  const waiting = new Map();
  let seen = Buffer.alloc(0),
    last = 0;
  socket.on("data", (data) => {
    seen = Buffer.concat([seen, data]);
    for (;;) {
      const colon = seen.indexOf(":");
      const length = Number(seen.subarray(0, colon));
      if (colon < 0 || seen.length < colon + 1 + length) return;
      const message = JSON.parse(seen.subarray(colon + 1, colon + 1 + length));
      seen = seen.subarray(colon + 1 + length);
      if (!Array.isArray(message)) continue;
      const [, id, wrong, result] = message;
      const { yes, no } = waiting.get(id);
      waiting.delete(id);
      if (wrong) no(new Error(`${wrong.error}: ${wrong.message}`));
      else yes(result);
    }
  });
  const broke = (e) => {
    for (const { no } of waiting.values()) no(e || new Error("Firefox hung up"));
    waiting.clear();
  };
  socket.on("error", broke);
  socket.on("close", () => broke());
  const command = (name, params = {}) =>
    new Promise((yes, no) => {
      waiting.set(++last, { yes, no });
      const text = JSON.stringify([0, last, name, params]);
      socket.write(`${Buffer.byteLength(text)}:${text}`);
    });
  await command("WebDriver:NewSession", {});
  const script = async (text, args) =>
    (await command("WebDriver:ExecuteScript", { script: text, args })).value;
  const chrome = async (text, args = []) => {
    await command("Marionette:SetContext", { value: "chrome" });
    try {
      return await script(text, args);
    } finally {
      await command("Marionette:SetContext", { value: "content" });
    }
  };
  await command("WebDriver:SetWindowRect", { width: 1400, height: 1000 });
  const errors = () =>
    chrome(`const out = Services.console.getMessageArray().filter((m) => m instanceof Ci.nsIScriptError && !(m.flags & 1) && /^(file|http|blob)/.test(m.sourceName || '')
    || /Content-Security-Policy/.test(m.message || '')).map((m) => m.errorMessage || m.message); Services.console.reset(); return out;`);
  await errors();
  return {
    ...overWebDriver({
      go: (url) => command("WebDriver:Navigate", { url }),
      back: () => command("WebDriver:Back"),
      // WebDriver:Refresh goes past the service worker here (seen in 153); the page's own reload does not.
      reload: async () => {
        await script("window.old = true; setTimeout(() => location.reload());", []);
        await until("the reload", 20000, () =>
          script('return !window.old && document.readyState !== "loading"', []).catch(() => false),
        );
      },
      script,
      later: async (text, args) =>
        (await command("WebDriver:ExecuteAsyncScript", { script: text, args })).value,
      click: (id) => command("WebDriver:ElementClick", { id }),
      keys: (id, text) => command("WebDriver:ElementSendKeys", { id, text }),
    }),
    // Its window is never narrower than 500; the page in it may be.
    size: (w, h) =>
      chrome(
        'const b = gBrowser.selectedBrowser; for (const [k, v] of [["width", arguments[0]], ["height", arguments[1]]]) for (const m of ["min-", "max-"]) b.style.setProperty(m + k, v + "px");',
        [w, h],
      ),
    errors,
    downloads: join(home, "downloads"),
    profile: home,
    // Site data and cookies refused, as a user may set it.
    deny: (on) =>
      chrome('Services.prefs.setIntPref("network.cookie.cookieBehavior", arguments[0] ? 2 : 5)', [
        on,
      ]),
    close: async ({ keep } = {}) => {
      const gone = new Promise((r) => child.once("exit", r));
      command("Marionette:Quit", { flags: ["eForceQuit"] }).catch(() => {});
      await Promise.race([gone, sleep(10000)]);
      socket.destroy();
      await stop(child);
      if (!keep) rmSync(home, { recursive: true, force: true });
    },
  };
}

async function startWebkit() {
  const home = scratch("webkit");
  // The tool bar would keep the window wider than a phone.
  mkdirSync(join(home, "config/gtk-3.0"), { recursive: true });
  mkdirSync(join(home, "home"));
  writeFileSync(
    join(home, "config/gtk-3.0/gtk.css"),
    "* { padding: 0; margin: 0; min-width: 0; min-height: 0; border-width: 0; font-size: 1px; }",
  );
  const screen = spawn(
    "Xvfb",
    ["-displayfd", "3", "-screen", "0", "1400x1000x24", "-nolisten", "tcp"],
    { stdio: ["ignore", "ignore", "ignore", "pipe"] },
  );
  const display = await new Promise((r) => {
    let text = "";
    screen.stdio[3].on("data", (d) => {
      text += d;
      if (text.includes("\n")) r(text.trim());
    });
  });
  const port = await new Promise((r) => {
    const s = createServer().listen(0, "127.0.0.1", () => {
      const p = s.address().port;
      s.close(() => r(p));
    });
  });
  const env = {
    ...process.env,
    DISPLAY: `:${display}`,
    HOME: join(home, "home"),
    XDG_CONFIG_HOME: join(home, "config"),
    XDG_DATA_HOME: join(home, "data"),
    XDG_CACHE_HOME: join(home, "cache"),
  };
  delete env.WAYLAND_DISPLAY;
  const child = spawn("WebKitWebDriver", [`--port=${port}`], { stdio: "ignore", env });
  const ask = async (method, path, body) => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, {
      method,
      body: body && JSON.stringify(body),
      signal: AbortSignal.timeout(60000),
    });
    const { value } = await answer.json();
    if (!answer.ok) throw new Error(`${value.error}: ${value.message}`);
    return value;
  };
  await until("the driver of WebKit", 20000, () =>
    ask("GET", "/status").then(
      () => true,
      () => false,
    ),
  );
  const { sessionId } = await ask("POST", "/session", {
    capabilities: {
      alwaysMatch: {
        "webkitgtk:browserOptions": {
          binary: miniBrowser(),
          args: ["--automation", "--enable-write-console-messages-to-stdout=true"],
        },
      },
    },
  });
  const post = (path, body = {}) => ask("POST", `/session/${sessionId}${path}`, body);
  const script = (text, args) => post("/execute/sync", { script: text, args });
  return {
    ...overWebDriver({
      go: (url) => post("/url", { url }),
      reload: () => post("/refresh"),
      back: () => post("/back"),
      script,
      later: (text, args) => post("/execute/async", { script: text, args }),
      click: (id) => post(`/element/${id}/click`),
      keys: (id, text) => post(`/element/${id}/value`, { text }),
    }),
    size: async (w, h) => {
      await post("/window/rect", { width: w, height: h });
      await sleep(150);
      const [iw, ih] = await script("return [innerWidth, innerHeight]", []);
      if (iw !== w || ih !== h)
        await post("/window/rect", { width: 2 * w - iw, height: 2 * h - ih });
    },
    // Its driver tells nothing of the console, so the page is made to: from when it stands, for before that an error shows the recovery screen.
    listen: () =>
      script(
        `if (!window.wrong) { window.wrong = []; addEventListener("error", (e) => wrong.push(e.message)); addEventListener("unhandledrejection", (e) => wrong.push(String(e.reason)));
      addEventListener("securitypolicyviolation", (e) => wrong.push(e.violatedDirective + " " + e.blockedURI)); const own = console.error; console.error = (...a) => { wrong.push(a.join(" ")); own.apply(console, a); }; }`,
        [],
      ),
    errors: () => script("return (window.wrong || []).splice(0)", []),
    // Files that are saved go to the home directory.
    downloads: join(home, "home"),
    close: async () => {
      await ask("DELETE", `/session/${sessionId}`).catch(() => {});
      await stop(child);
      await stop(screen);
      rmSync(home, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

async function startChromium({ profile } = {}) {
  const downloads = scratch("chromium");
  const browser = profile ? await launchKept(profile) : await launch();
  const context = profile ? browser : await browser.newContext({ acceptDownloads: true });
  const page = await context.newPage();
  let wrong = [];
  page.on("pageerror", (e) => wrong.push(e.message));
  page.on("console", (m) => {
    if (m.type() === "error") wrong.push(m.text());
  });
  page.on("download", (d) => d.saveAs(join(downloads, d.suggestedFilename())));
  const run = (f, args) => page.evaluateHandle(`(${f}).apply(null, ${JSON.stringify(args)})`);
  return {
    goto: (url) => page.goto(url),
    reload: () => page.reload(),
    back: () => page.goBack(),
    eval: async (f, ...args) => (await run(f, args)).jsonValue(),
    evalLater: async (f, ...args) => (await run(f, args)).jsonValue(),
    find: async (f, ...args) => (await run(f, args)).asElement(),
    click: (e) => e.click(),
    keys: (e, text) => e.fill(text),
    upload: (e, path) => e.setInputFiles(path),
    choose: (e, value) => e.selectOption(value),
    size: (width, height) => page.setViewportSize({ width, height }),
    errors: async () => {
      const out = wrong;
      wrong = [];
      return out;
    },
    downloads,
    close: async () => {
      await browser.close();
      rmSync(downloads, { recursive: true, force: true });
    },
  };
}

export const start = { chromium: startChromium, firefox: startFirefox, webkit: startWebkit };
