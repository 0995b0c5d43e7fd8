// Starts the page, and shows a plain screen when it cannot start or breaks: the wines stay on the device either way.
const saved = () => {
  const found = {};
  try {
    for (let i = 0; i < localStorage.length; i++) {
      const key = localStorage.key(i);
      if (key.startsWith('stillbright')) found[key] = localStorage.getItem(key);
    }
  } catch { /* storage is closed to us: nothing was kept there */ }
  return found;
};
let broken = false;
const recover = (what) => {
  if (broken) return;
  broken = true;
  const text = String((what && (what.stack || what.message)) || what);
  const main = document.createElement('main');
  main.className = 'recovery';
  const add = (tag, words) => { const e = document.createElement(tag); e.textContent = words; main.append(e); return e; };
  add('h1', 'The page stopped');
  add('p', 'Your wines are kept on this device. Reload to go on.');
  add('button', 'Reload').onclick = () => location.reload();
  add('button', 'Save my data as a file').onclick = () => {
    const a = document.createElement('a');
    a.href = URL.createObjectURL(new Blob([JSON.stringify(saved(), null, 1)], { type: 'application/json' }));
    a.download = 'stillbright-saved-data.json';
    a.click();
  };
  const details = document.createElement('details');
  const summary = document.createElement('summary');
  summary.textContent = 'What happened';
  const pre = document.createElement('pre');
  pre.textContent = text;
  details.append(summary, pre);
  main.append(details);
  document.getElementById('app').replaceChildren(main);
  document.getElementById('app').dataset.broken = '';
};
window.addEventListener('error', (e) => { if (e.error || e.message) recover(e.error || e.message); });
window.addEventListener('unhandledrejection', (e) => recover(e.reason));

// A wine in a link: its file, deflated, in letters that an address takes. Nothing for what is too long to pass on.
const through = async (bytes, stream) => new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
window.stillbrightPack = async (text, most) => {
  const bytes = await through(new TextEncoder().encode(text), new CompressionStream('deflate-raw'));
  if (bytes.length > most) return '';
  return btoa(String.fromCharCode(...bytes)).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
};
window.stillbrightUnpack = async (text) => {
  const bytes = Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (c) => c.charCodeAt(0));
  return new TextDecoder('utf-8', { fatal: true }).decode(await through(bytes, new DecompressionStream('deflate-raw')));
};

const start = async () => {
  const { default: init } = await import('__GLUE__');
  await init({ module_or_path: '__WASM__' });
};
start().catch(recover);

const tell = (name) => window.dispatchEvent(new CustomEvent(name));
if ('serviceWorker' in navigator && location.protocol.startsWith('http')) {
  navigator.serviceWorker.register('./sw.js').then((r) => {
    const watch = (worker) => worker && worker.addEventListener('statechange', () => {
      if (worker.state === 'installed' && navigator.serviceWorker.controller) { window.stillbrightUpdate = r; tell('stillbright-update'); }
      if (worker.state === 'activated') tell('stillbright-offline-ready');
    });
    if (r.waiting && navigator.serviceWorker.controller) { window.stillbrightUpdate = r; tell('stillbright-update'); }
    watch(r.installing);
    r.addEventListener('updatefound', () => watch(r.installing));
  }).catch(() => { /* no offline copy here; the page itself works */ });
}
