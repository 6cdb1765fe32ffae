// @ts-check
// The site's service worker: keeps a whole, checked copy of the site on the device.
//
// The build writes one line before this text that sets `self.COPY`: the list of all files with
// their SHA-256, small files first. Files are stored under their hash, so an update fetches only
// what changed and a cut download goes on where it stopped. Nothing is stored whose bytes are not
// the listed ones. A newer worker waits, with its whole copy fetched, until the user takes it.

/**
 * @typedef {[path: string, hash: string, size: number]} ListedFile hash: SHA-256 in base64url
 * @typedef {object} PackedFile a file that listed ones make when joined and unpacked
 * @property {string} hash of the unpacked file
 * @property {number} size of the unpacked file
 * @property {string[]} pieces
 * @typedef {object} Copy what the build puts in
 * @property {string} version changes with any listed byte
 * @property {string} built when it was built, ISO 8601
 * @property {string} policy the content security policy of every answer
 * @property {ListedFile[]} files in the order in which they are fetched
 * @property {number} bytes how much room all of them take
 * @property {number} core how many of them a first visit waits for before the worker serves
 * @property {Record<string, string[]>} joined files put together from listed ones
 * @property {string} blocks the listed file of what pages share; a page is put together from it and
 *   from the listed file of its own that is called like the page, with `.json` behind
 * @property {PackedFile | null} interpreter kept unpacked as well
 * @property {Record<string, string>} types content types by the file's ending
 * @property {string} root the path that the page for unknown addresses was built for
 */

/**
 * The parts of the worker's global scope that are used here.
 * @typedef {object} WorkerScope
 * @property {Copy} COPY
 * @property {ServiceWorkerRegistration} registration
 * @property {{claim(): Promise<void>, matchAll(options: object): Promise<{postMessage(message: unknown): void}[]>}} clients
 * @property {() => Promise<void>} skipWaiting
 * @property {(type: string, listener: (event: any) => void) => void} addEventListener
 */

const worker = /** @type {WorkerScope} */ (/** @type {unknown} */ (self));
const copy = worker.COPY;
const scope = new URL(worker.registration.scope);
const store = caches.open(`site copy ${scope.pathname}`);
/** @type {Map<string, ListedFile>} */
const listed = new Map(copy.files.map((file) => [file[0], file]));

// A cut line loses what is under way: one part of a large file, or a few small files together.
const PART_SIZE = 512 * 1024;
const SMALL_FILE = 100 * 1024;
const SIDE_BY_SIDE = 4;
const TRY_AGAIN_AFTER_MS = [1000, 4000];
// What only saves time never takes the room that the copy or the user's records may need. As in
// python-snapshot.js, from which a worker of this kind cannot import.
const ROOM_LEFT_FREE = 200 * 1024 * 1024;

const fileKey = (/** @type {string} */ hash) => `${scope.href}__f/${hash}`;
const partKey = (/** @type {string} */ hash, /** @type {number} */ start) =>
  `${scope.href}__part/${hash}/${start}`;
const listKey = (/** @type {string} */ name) => `${scope.href}__list/${name}`;

/** @typedef {"line" | "bytes" | "room"} Reason not fetched; not the listed bytes; not stored */

/** Why a file could not be kept. */
class CopyError extends Error {
  /** @param {Reason} reason @param {string} path @param {unknown} detail */
  constructor(reason, path, detail) {
    super(`${path}: ${reason} (${detail})`);
    this.reason = reason;
    this.path = path;
  }
}

// ---- the worker's life ---------------------------------------------------------------------------

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));
worker.addEventListener("message", (event) => {
  if (event.data?.ask === "state") event.waitUntil(tellState().then(unpackInterpreter));
  if (event.data?.ask === "fill") event.waitUntil(fill());
  if (event.data?.ask === "take over") event.waitUntil(worker.skipWaiting());
});
worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const path = pathInside(url);
  if (event.request.method !== "GET" || path === null) return;
  event.respondWith(answer(event.request, path, url.search));
});

/** A first visit waits only for the small files; an update for all, as the old copy still serves. */
async function install() {
  const isFirst = worker.registration.active === null;
  try {
    const { interpreter } = copy;
    const unpacked = interpreter ? [["", interpreter.hash, interpreter.size]] : [];
    const files = [...copy.files, ...unpacked];
    await writeRecord(copy.version, { started: Date.now(), files });
    if (isFirst) for (const path of Object.keys(copy.joined)) await takeApart(path);
    await collect(isFirst ? copy.files.slice(0, copy.core) : copy.files, !isFirst);
  } catch (error) {
    await tell({ newer: !isFirst, ...failure(error) });
    throw error;
  }
}

async function activate() {
  await worker.clients.claim();
  const active = await readRecord("active");
  if (active?.version !== copy.version) {
    await writeRecord("active", { version: copy.version, before: active?.version ?? null });
  }
  await prune();
}

/** @type {Promise<void> | null} */
let filling = null;

/** Fetch what is missing of the copy that serves: the rest of a first visit, or evicted files. */
async function fill() {
  filling ??= collect(copy.files, false).finally(() => (filling = null));
  await filling.then(
    () => tellState().then(unpackInterpreter),
    (error) => tellState(failure(error)),
  );
}

/** @type {Promise<void> | null} */
let unpacking = null;

/**
 * Keeps the interpreter in one unpacked file too, once all its pieces are here. Of a file that is
 * handed out as it was stored, browsers keep the compiled code as well; of one that is put together
 * at every start they do not. It is a short cut only: without it Python starts from the pieces.
 */
async function unpackInterpreter() {
  unpacking ??= keepUnpacked().catch(() => undefined).finally(() => (unpacking = null));
  await unpacking;
}

async function keepUnpacked() {
  if (!copy.interpreter) return;
  const { hash, size, pieces } = copy.interpreter;
  const cache = await store;
  if (await cache.match(fileKey(hash))) return;
  const { quota = 0, usage = 0 } = await navigator.storage.estimate();
  if (quota - usage < size + ROOM_LEFT_FREE) return;
  const bodies = [];
  for (const piece of pieces) {
    const hit = await cache.match(fileKey(/** @type {ListedFile} */ (listed.get(piece))[1]));
    if (!hit) return;
    bodies.push(await hit.blob());
  }
  const unpacked = new Blob(bodies).stream().pipeThrough(new DecompressionStream("gzip"));
  const bytes = await bytesOf(new Response(unpacked));
  if ((await sha256(bytes)) !== hash) return;
  await cache.put(fileKey(hash), new Response(bytes, { headers: headersFor("interpreter.wasm") }));
}

// ---- what the pages are told ---------------------------------------------------------------------

/** @param {unknown} error */
function failure(error) {
  if (error instanceof CopyError) {
    return { failed: error.reason, file: error.path, detail: error.message };
  }
  // What the browser itself throws here comes from its storage: refused, full or broken.
  return { failed: error instanceof DOMException ? "room" : "other", detail: String(error) };
}

async function tellState(extra = {}) {
  const missing = await missingOf(copy.files);
  await tell({ ready: copy.files.length - missing.length, filling: filling !== null, ...extra });
}

/** @param {object} news */
async function tell(news) {
  const message = { tell: "copy", of: copy.files.length, bytes: copy.bytes, built: copy.built, ...news };
  for (const page of await worker.clients.matchAll({ includeUncontrolled: true, type: "window" })) {
    page.postMessage(message);
  }
}

// ---- fetching and keeping ------------------------------------------------------------------------

/**
 * On a first visit the page has just fetched the whole of a joined file, and the browser still has it:
 * its pieces are cut from there, each checked. What does not fit is fetched piece by piece.
 * @param {string} path
 */
async function takeApart(path) {
  try {
    const whole = await bytesOf(await get(path, {}));
    let start = 0;
    for (const piece of copy.joined[path]) {
      const [name, hash, size] = /** @type {ListedFile} */ (listed.get(piece));
      const bytes = whole.slice(start, start + size);
      start += size;
      if ((await sha256(bytes)) === hash) await keep(fileKey(hash), name, bytes);
    }
  } catch {
    // A lost line or a full device shows again when the pieces are asked for.
  }
}

/** @param {ListedFile[]} files */
async function missingOf(files) {
  const kept = new Set((await (await store).keys()).map((request) => request.url));
  return files.filter(([, hash]) => !kept.has(fileKey(hash)));
}

/**
 * Fetch and keep all of the files that are not kept yet.
 * Wrong bytes of one file do not keep the others from coming; a lost line or a full device does.
 * @param {ListedFile[]} files
 * @param {boolean} newer whether this is a copy that waits to be taken
 */
async function collect(files, newer) {
  const missing = await missingOf(files);
  let ready = files.length - missing.length;
  /** @type {CopyError | null} */
  let wrong = null;
  const one = async (/** @type {ListedFile} */ file) => {
    try {
      await receive(file);
    } catch (error) {
      if (!(error instanceof CopyError) || error.reason !== "bytes") throw error;
      wrong = error;
      return;
    }
    ready += 1;
    await tell({ newer, ready, filling: true });
  };
  const small = missing.filter(([, , size]) => size < SMALL_FILE);
  const lane = async () => {
    for (let file = small.shift(); file; file = small.shift()) await one(file);
  };
  await Promise.all(Array.from({ length: SIDE_BY_SIDE }, lane));
  for (const file of missing) if (file[2] >= SMALL_FILE) await one(file);
  if (wrong) throw wrong;
}

/**
 * Fetch one file, check it and keep it.
 * @param {ListedFile} file
 */
async function receive(file) {
  const bytes = await arrival(file, TRY_AGAIN_AFTER_MS);
  await keep(fileKey(file[1]), file[0], bytes);
}

/**
 * A file that a page waits for: checked as ever, asked for once, shown even if it cannot be stored.
 * @param {ListedFile} file
 */
async function receiveNow(file) {
  const bytes = await arrival(file, []);
  await keep(fileKey(file[1]), file[0], bytes).catch(() => undefined);
  return bytes;
}

/** @type {Map<string, Promise<Uint8Array<ArrayBuffer>>>} */
const coming = new Map();

/**
 * The checked bytes of a file; whoever asks while it is on its way waits for the same arrival.
 * @param {ListedFile} file @param {number[]} pauses before each further try
 */
function arrival(file, pauses) {
  const [, hash] = file;
  const underWay = coming.get(hash);
  if (underWay) return underWay;
  const fresh = checkedBytes(file, pauses).finally(() => coming.delete(hash));
  coming.set(hash, fresh);
  return fresh;
}

/** @param {ListedFile} file @param {number[]} pauses */
async function checkedBytes([path, hash, size], pauses) {
  // Stale bytes in a cache on the way are the usual cause of wrong ones: the second time past all.
  for (const cache of /** @type {RequestCache[]} */ (["default", "reload"])) {
    const bytes = await download(path, hash, size, cache, pauses);
    if (size > PART_SIZE) await dropParts(hash);
    if ((await sha256(bytes)) === hash) return bytes;
  }
  throw new CopyError("bytes", path, "not the listed bytes");
}

/**
 * @param {string} path @param {string} hash @param {number} size @param {RequestCache} cache
 * @param {number[]} pauses
 */
async function download(path, hash, size, cache, pauses) {
  for (const pause of pauses) {
    try {
      return await downloadOnce(path, hash, size, cache);
    } catch {
      await new Promise((wake) => setTimeout(wake, pause));
    }
  }
  try {
    return await downloadOnce(path, hash, size, cache);
  } catch (error) {
    throw error instanceof CopyError ? error : new CopyError("line", path, error);
  }
}

/**
 * One try. A large file that comes uncompressed is asked for in parts, each kept as it comes.
 * @param {string} path @param {string} hash @param {number} size @param {RequestCache} cache
 * @returns {Promise<Uint8Array<ArrayBuffer>>}
 */
async function downloadOnce(path, hash, size, cache) {
  if (size <= PART_SIZE) return bytesOf(await get(path, { cache }));
  if (isText(path)) {
    const whole = await get(path, { cache });
    if (whole.headers.has("Content-Encoding")) return bytesOf(whole);
    await whole.body?.cancel();
  }
  const parts = [];
  for (let start = 0; start < size; start += PART_SIZE) {
    const key = partKey(hash, start);
    const kept = await (await store).match(key);
    if (kept) {
      parts.push(await bytesOf(kept));
      continue;
    }
    const end = Math.min(start + PART_SIZE, size) - 1;
    const response = await get(path, { cache, headers: { Range: `bytes=${start}-${end}` } });
    const bytes = await bytesOf(response);
    // A host that does not know ranges sends the whole file.
    if (response.status !== 206) return bytes;
    // No room for a part is no news yet: the whole file is tried in the end.
    await keep(key, path, bytes).catch(() => undefined);
    parts.push(bytes);
  }
  return bytesOf(new Response(new Blob(parts)));
}

/** @param {string} path @param {RequestInit} options */
async function get(path, options) {
  const response = await fetch(siteUrl(path), options);
  if (!response.ok) throw new CopyError("line", path, response.status);
  return response;
}

/** @param {Response} response */
async function bytesOf(response) {
  return new Uint8Array(await response.arrayBuffer());
}

/** @param {string} hash */
async function dropParts(hash) {
  const cache = await store;
  const parts = await cache.keys();
  const start = partKey(hash, 0).slice(0, -1);
  for (const part of parts) if (part.url.startsWith(start)) await cache.delete(part);
}

/** @param {string} key @param {string} path @param {Uint8Array<ArrayBuffer>} bytes */
async function keep(key, path, bytes) {
  try {
    await (await store).put(key, new Response(bytes));
  } catch (error) {
    throw new CopyError("room", path, error);
  }
}

/** @param {Uint8Array<ArrayBuffer>} bytes */
async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const base64 = btoa(String.fromCharCode(...digest));
  return base64.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

// ---- old copies ----------------------------------------------------------------------------------

/** @param {string} name @param {object} record */
async function writeRecord(name, record) {
  await keep(listKey(name), name, new TextEncoder().encode(JSON.stringify(record)));
}

/** @param {string} name @returns {Promise<any>} */
async function readRecord(name) {
  return (await (await store).match(listKey(name)))?.json();
}

/**
 * Drop what no copy needs. The copy before this one stays until the next comes, because another tab
 * may still show its pages; one that is being fetched right now (begun later) stays too.
 */
async function prune() {
  const cache = await store;
  const started = (await readRecord(copy.version))?.started ?? 0;
  const before = (await readRecord("active"))?.before;
  const needed = new Set();
  for (const request of await cache.keys()) {
    if (!request.url.startsWith(listKey(""))) continue;
    const name = request.url.slice(listKey("").length);
    if (name === "active") continue;
    const record = await readRecord(name);
    if (name === copy.version || name === before || record.started > started) {
      for (const [, hash] of record.files) needed.add(hash);
    } else {
      await cache.delete(request);
    }
  }
  for (const request of await cache.keys()) {
    const [, hash] = request.url.slice(scope.href.length).match(/^__(?:f|part)\/([^/]+)/) ?? [];
    if (hash && !needed.has(hash)) await cache.delete(request);
  }
}

/** The file of the copy before this one, for a tab that was not loaded anew since. @param {string} path */
async function fromCopyBefore(path) {
  const { before } = (await readRecord("active")) ?? {};
  const record = before && (await readRecord(before));
  const file = record?.files.find((/** @type {ListedFile} */ entry) => entry[0] === path);
  const hit = file && (await (await store).match(fileKey(file[1])));
  return hit ? new Response(hit.body, { headers: headersFor(path) }) : null;
}

// ---- answering the pages -------------------------------------------------------------------------

/** The path inside the site, or null for another site's address. @param {URL} url */
function pathInside(url) {
  if (url.origin !== scope.origin || !url.pathname.startsWith(scope.pathname)) return null;
  try {
    return decodeURIComponent(url.pathname.slice(scope.pathname.length));
  } catch {
    return null;
  }
}

/** The address of a file, of a page without its `index.html`, as links name it. @param {string} path */
function siteUrl(path) {
  const clean = path.replace(/(^|\/)index\.html$/, "$1");
  return new URL(clean.split("/").map(encodeURIComponent).join("/"), scope).href;
}

/** The listed file that holds what is a page's own. @param {string} path */
const pieceOf = (path) => `${path}.json`;

/** @param {string} path */
const isInCopy = (path) => listed.has(path) || path in copy.joined || listed.has(pieceOf(path));

/**
 * @param {Request} request @param {string} address the path inside the site @param {string} search
 * @returns {Promise<Response>}
 */
async function answer(request, address, search) {
  const path = address === "" || address.endsWith("/") ? `${address}index.html` : address;
  if (path === "sitemap.xml") return sitemap();
  if (path === "404.html") return notFound();
  if (path === `__f/${copy.interpreter?.hash}`) {
    // As it was stored: see `unpackInterpreter`.
    return (await (await store).match(request.url)) ?? notFound();
  }
  if (isInCopy(path)) return (await fromCopy(path)) ?? notHere(request, path);
  if (isInCopy(`${path}/index.html`)) {
    const headers = { ...headersFor("index.html"), Location: `${siteUrl(`${path}/`)}${search}` };
    return new Response(null, { status: 302, headers });
  }
  const isPage = request.mode === "navigate";
  const old = isPage ? null : await fromCopyBefore(path);
  if (old) return old;
  try {
    return await fetch(request);
  } catch {
    return notFound();
  }
}

/**
 * @param {string} path
 * @returns {Promise<Response | null>} null if it is neither kept nor to be had
 */
async function fromCopy(path) {
  if (listed.has(pieceOf(path))) return composed(path);
  const cache = await store;
  const bodies = [];
  for (const piece of copy.joined[path] ?? [path]) {
    const file = /** @type {ListedFile} */ (listed.get(piece));
    const hit = await cache.match(fileKey(file[1]));
    if (hit && !copy.joined[path]) return new Response(hit.body, { headers: headersFor(path) });
    try {
      bodies.push(hit ? await hit.blob() : await receiveNow(file));
    } catch {
      return null;
    }
  }
  return new Response(new Blob(bodies), { headers: headersFor(path) });
}

/**
 * A page, put together from its own text and from the blocks it shares with others. Both files were
 * checked when they came, and one list names both, so they fit.
 * @param {string} path
 */
async function composed(path) {
  const [piece, blocks] = await Promise.all([fromCopy(pieceOf(path)), fromCopy(copy.blocks)]);
  if (!piece || !blocks) return null;
  /** @type {Record<string, string>} */
  const texts = await blocks.json();
  /** @type {(string | [string])[]} names of blocks parted by spaces, or one text of its own */
  const parts = await piece.json();
  const text = parts.map((part) =>
    typeof part === "string" ? part.split(" ").map((name) => texts[name]).join("") : part[0],
  );
  return new Response(text.join(""), { headers: headersFor(path) });
}

/**
 * A file of this copy is missing and was not to be had as listed. If the server has a newer copy,
 * its file is better than none, shown but not kept; else the answer is an error.
 * @param {Request} request @param {string} path
 */
async function notHere(request, path) {
  try {
    const stamp = await (await fetch(siteUrl("copy.json"), { cache: "no-store" })).json();
    if (stamp.content !== copy.version) return await fetch(request);
  } catch {
    // No line: the answer below says so.
  }
  if (request.mode !== "navigate") return Response.error();
  const words = `This page (${path}) is not on this device yet. Go where there is a line and load it again.`;
  return new Response(words, { status: 503, headers: headersFor("not-here.txt") });
}

async function notFound() {
  const page = await fromCopy("404.html").catch(() => null);
  const text = page ? await page.text() : "This address is not in the copy on this device.";
  // The same rule as `rerooted` in the build: see there.
  const built = copy.root.replace(/\/$/, "").replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const here = text.replace(new RegExp(`([^(])"${built}/(?!/)`, "g"), `$1"${scope.pathname}`);
  return new Response(here, { status: 404, headers: headersFor(page ? "404.html" : "404.txt") });
}

/** The theme swaps pages in place only where the sitemap names them, under this very address. */
function sitemap() {
  const pages = copy.files
    .map(([path]) => path.replace(/\.html\.json$/, ".html"))
    .filter((path) => /(^|\/)index\.html$/.test(path));
  const text = pages
    .map((path) => `<url><loc>${siteUrl(path).replaceAll("&", "&amp;")}</loc></url>`)
    .join("\n");
  return new Response(
    `<?xml version="1.0" encoding="UTF-8"?>
<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">
${text}
</urlset>`,
    { headers: headersFor("sitemap.xml") },
  );
}

/** @param {string} path */
function typeOf(path) {
  return copy.types[path.slice(path.lastIndexOf("."))] ?? "text/plain; charset=utf-8";
}

/** Whether most hosts compress it, as its type tells. @param {string} path */
const isText = (path) => typeOf(path).includes("charset");

/** @param {string} path */
function headersFor(path) {
  return {
    "Content-Type": typeOf(path),
    "Content-Security-Policy": copy.policy,
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-cache",
  };
}
