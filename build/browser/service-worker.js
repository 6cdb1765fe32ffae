// @ts-check
// The site's service worker: keeps a whole, checked copy of the site on the device.
//
// The build writes one line before this text that sets `self.COPY`: the list of all files with
// their SHA-256, small files first. Files are stored under their hash, so an update fetches only
// what changed and a cut download goes on where it stopped. Nothing is stored whose bytes are not
// the listed ones, and nothing is handed out either: what the store has damaged is fetched again.
// A newer worker waits, with its whole copy fetched, until the user takes it. The scripts lie in a
// folder that is named after the copy, and every page names the copy it is of: no page of one copy
// can come by a script, or by the Python, of another.

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
 * @property {string} mark stands in the pages for the copy's version
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
const STORE = `site copy ${scope.pathname}`;
/** @type {Map<string, ListedFile>} */
const listed = new Map(copy.files.map((file) => [file[0], file]));

// A cut line loses what is under way: one part of a large file, or a few small files together.
const PART_SIZE = 512 * 1024;
const SMALL_FILE = 100 * 1024;
const SIDE_BY_SIDE = 4;
const TRY_AGAIN_AFTER_MS = [1000, 4000];
// A line that brings less than this in this time brings nothing: the request is given up.
const STALL_MS = 12_000;
const LEAST_BYTES = 2000;
// The files that nobody asks for are looked through when the page has had its own.
const LOOK_THROUGH_AFTER_MS = 5000;
// What only saves time never takes the room that the copy or the user's records may need. As in
// python-snapshot.js, from which a worker of this kind cannot import.
const ROOM_LEFT_FREE = 200 * 1024 * 1024;

const fileKey = (/** @type {string} */ hash) => `${scope.href}__f/${hash}`;
const partKey = (/** @type {string} */ hash, /** @type {number} */ start) =>
  `${scope.href}__part/${hash}/${start}`;
const listKey = (/** @type {string} */ name) => `${scope.href}__list/${name}`;

/**
 * @typedef {"line" | "host" | "portal" | "bytes" | "room"} Reason nothing came; the host had an error
 *   in its place; another page came in its place; not the listed bytes; not stored
 */

/** @type {Promise<Cache> | null} */
let opened = null;

/** The store. One that cannot be opened is tried again the next time. @returns {Promise<Cache>} */
function store() {
  opened ??= caches.open(STORE).catch((error) => {
    opened = null;
    throw error;
  });
  return opened;
}

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
  if (event.data?.ask === "state") event.waitUntil(tellState().then(unpackInterpreter).then(lookThrough));
  if (event.data?.ask === "fill") event.waitUntil(fill());
  if (event.data?.ask === "who") event.waitUntil(tell({ waits: true }));
  if (event.data?.ask === "take over") event.waitUntil(worker.skipWaiting());
});
worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const path = pathInside(url);
  // What a page asks to see whether there is a line goes past the copy.
  if (event.request.method !== "GET" || path === null || url.search === "?line") return;
  event.respondWith(answer(event.request, path, url.search).catch(() => pastTheStore(event.request)));
});

/** The store fails altogether: on line the site is still there. @param {Request} request */
async function pastTheStore(request) {
  try {
    return await fetch(request);
  } catch {
    if (request.mode !== "navigate") return Response.error();
    const words = "The copy on this device cannot be read now, and there is no line. Go where there is a line and load this page again.";
    return new Response(words, { status: 503, headers: headersFor("not-here.txt") });
  }
}

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
    const files = await missingOf(copy.files).catch(() => copy.files);
    await tell({ newer: !isFirst, ready: copy.files.length - files.length, ...failure(error) });
    throw error;
  }
}

async function activate() {
  await worker.clients.claim();
  try {
    const active = await readRecord("active");
    if (active?.version !== copy.version) {
      await writeRecord("active", { version: copy.version, before: active?.version ?? null });
    }
    await prune();
  } catch {
    // Only room is lost by this, until the next copy comes.
  }
}

/** @type {Promise<void> | null} */
let filling = null;

/** Fetch what is missing of the copy that serves: the rest of a first visit, or evicted files. */
async function fill() {
  filling ??= openedAnew().then(() => collect(copy.files, false)).finally(() => (filling = null));
  await filling.then(
    () => tellState().then(unpackInterpreter),
    (error) => tellState(failure(error)),
  );
}

/** A store that cannot be opened is beyond repair: an empty one can be filled. */
async function openedAnew() {
  try {
    await store();
  } catch {
    await caches.delete(STORE);
    const files = copy.interpreter ? [...copy.files, ["", copy.interpreter.hash, copy.interpreter.size]] : copy.files;
    await writeRecord(copy.version, { started: Date.now(), files });
    await writeRecord("active", { version: copy.version, before: null });
  }
}

let isLookedThrough = false;

/** Check every kept file once in this worker's life; what is damaged goes, and is said to be missing. */
async function lookThrough() {
  if (isLookedThrough) return;
  isLookedThrough = true;
  await new Promise((wake) => setTimeout(wake, LOOK_THROUGH_AFTER_MS));
  const before = await missingOf(copy.files).catch(() => copy.files);
  const lost = new Set(before.map(([path]) => path));
  for (const [path, hash] of copy.files) if (!lost.has(path)) await kept(hash);
  if (copy.interpreter) await kept(copy.interpreter.hash);
  isLookedThrough = true;
  const after = await missingOf(copy.files).catch(() => copy.files);
  if (after.length !== before.length) await tellState();
  await unpackInterpreter();
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
  const cache = await store();
  if (await cache.match(fileKey(hash))) return;
  const { quota = 0, usage = 0 } = await navigator.storage.estimate();
  if (quota - usage < size + ROOM_LEFT_FREE) return;
  const bodies = [];
  for (const piece of pieces) {
    const bytes = await kept(/** @type {ListedFile} */ (listed.get(piece))[1]);
    if (!bytes) return;
    bodies.push(bytes);
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
  try {
    const missing = await missingOf(copy.files);
    await tell({ ready: copy.files.length - missing.length, filling: filling !== null, ...extra });
  } catch (error) {
    await tell({ ready: 0, filling: filling !== null, ...failure(error) });
  }
}

/** @param {object} news */
async function tell(news) {
  const { version, bytes, built } = copy;
  const message = { tell: "copy", version, of: copy.files.length, bytes, built, ...news };
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
    const whole = (await get(path, {})).bytes;
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
  const here = new Set((await (await store()).keys()).map((request) => request.url));
  return files.filter(([, hash]) => !here.has(fileKey(hash)));
}

/**
 * Fetch and keep all of the files that are not kept yet.
 * What is wrong with one file does not keep the others from coming; a lost line or a full device does.
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
      if (!(error instanceof CopyError) || !["bytes", "host"].includes(error.reason)) throw error;
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
  // Never from a cache on the way unasked: it may hold an error. What it has may be confirmed, once;
  // stale bytes there are the usual cause of wrong ones, so the second time goes past all.
  for (const cache of /** @type {RequestCache[]} */ (["no-cache", "reload"])) {
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
    } catch (error) {
      if (error instanceof CopyError && error.reason === "portal") throw error;
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
  if (size <= PART_SIZE) return (await get(path, { cache })).bytes;
  if (isText(path)) {
    const isPacked = (/** @type {Response} */ whole) => whole.headers.has("Content-Encoding");
    const { response, bytes } = await get(path, { cache }, isPacked);
    if (isPacked(response)) return bytes;
  }
  const parts = [];
  for (let start = 0; start < size; start += PART_SIZE) {
    const key = partKey(hash, start);
    const part = await (await store()).match(key);
    if (part) {
      parts.push(await bytesOf(part));
      continue;
    }
    const end = Math.min(start + PART_SIZE, size) - 1;
    const { response, bytes } = await get(path, { cache, headers: { Range: `bytes=${start}-${end}` } });
    // A host that does not know ranges sends the whole file.
    if (response.status !== 206) return bytes;
    // No room for a part is no news yet: the whole file is tried in the end.
    await keep(key, path, bytes).catch(() => undefined);
    parts.push(bytes);
  }
  return bytesOf(new Response(new Blob(parts)));
}

/**
 * Fetch and read, and give up on a line that hangs or drips.
 * @param {string} path @param {RequestInit} options
 * @param {(response: Response) => boolean} wanted whether the body is read
 * @returns {Promise<{response: Response, bytes: Uint8Array<ArrayBuffer>}>}
 */
async function get(path, options, wanted = () => true) {
  const giveUp = new AbortController();
  let came = LEAST_BYTES;
  const watch = setInterval(() => {
    if (came < LEAST_BYTES) giveUp.abort(new Error("the line hangs"));
    came = 0;
  }, STALL_MS);
  try {
    const response = await fetch(siteUrl(path), { ...options, signal: giveUp.signal });
    // No file of the copy is a page: one in its place is the sign-in page of the network.
    if (/^text\/html/.test(response.headers.get("Content-Type") ?? "") && response.status < 400) {
      throw new CopyError("portal", path, response.url);
    }
    if (!response.ok) throw new CopyError("host", path, response.status);
    const parts = [];
    const reader = wanted(response) ? response.body?.getReader() : undefined;
    for (let part = await reader?.read(); part && !part.done; part = await reader?.read()) {
      came += part.value.length;
      parts.push(/** @type {Uint8Array<ArrayBuffer>} */ (part.value));
    }
    return { response, bytes: await bytesOf(new Response(new Blob(parts))) };
  } finally {
    clearInterval(watch);
    // Nothing more of it is wanted; what has come whole is not touched by this.
    giveUp.abort();
  }
}

/**
 * The bytes of a kept file, checked now; null if it is not kept, or was damaged and is thrown away.
 * @param {string} hash
 * @returns {Promise<Uint8Array<ArrayBuffer> | null>}
 */
async function kept(hash) {
  const cache = await store();
  try {
    const hit = await cache.match(fileKey(hash));
    if (!hit) return null;
    const bytes = await bytesOf(hit);
    if ((await sha256(bytes)) === hash) return bytes;
  } catch {
    // What cannot be read is damaged too.
  }
  // Where one is damaged others may be.
  isLookedThrough = false;
  await cache.delete(fileKey(hash)).catch(() => false);
  return null;
}

/** @param {Response} response */
async function bytesOf(response) {
  return new Uint8Array(await response.arrayBuffer());
}

/** @param {string} hash */
async function dropParts(hash) {
  const cache = await store();
  const parts = await cache.keys();
  const start = partKey(hash, 0).slice(0, -1);
  for (const part of parts) if (part.url.startsWith(start)) await cache.delete(part);
}

/** @param {string} key @param {string} path @param {Uint8Array<ArrayBuffer>} bytes */
async function keep(key, path, bytes) {
  try {
    await (await store()).put(key, new Response(bytes));
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

/** A record that cannot be read counts as none. @param {string} name @returns {Promise<any>} */
async function readRecord(name) {
  const cache = await store();
  try {
    return await (await cache.match(listKey(name)))?.json();
  } catch {
    await cache.delete(listKey(name)).catch(() => false);
    return undefined;
  }
}

/**
 * Drop what no copy needs. The copy before this one stays until the next comes, because another tab
 * may still show its pages; one that is being fetched right now (begun later) stays too.
 */
async function prune() {
  const cache = await store();
  const started = (await readRecord(copy.version))?.started ?? 0;
  const before = (await readRecord("active"))?.before;
  const needed = new Set(copy.files.map(([, hash]) => hash));
  if (copy.interpreter) needed.add(copy.interpreter.hash);
  for (const request of await cache.keys()) {
    if (!request.url.startsWith(listKey(""))) continue;
    const name = request.url.slice(listKey("").length);
    if (name === "active") continue;
    const record = await readRecord(name);
    if (record && (name === copy.version || name === before || record.started > started)) {
      for (const [, hash] of record.files ?? []) needed.add(hash);
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
  const named = record && listedPath(path, before);
  const file = record?.files?.find((/** @type {ListedFile} */ entry) => entry[0] === named);
  const bytes = file && (await kept(file[1]));
  return bytes ? new Response(bytes, { headers: headersFor(path) }) : null;
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

/**
 * The listed path of an address: what belongs to one copy alone names that copy in its address.
 * @param {string} path @param {string} version of the copy that is asked
 */
function listedPath(path, version) {
  if (path === `runtime/runtime-${version}.json`) return "runtime/runtime.json";
  return path.startsWith(`browser-${version}/`) ? path.replace(`-${version}`, "") : path;
}

/** The address of a file, of a page without its `index.html`, as links name it. @param {string} path */
function siteUrl(path) {
  const clean = path
    .replace(/(^|\/)index\.html$/, "$1")
    .replace(/^browser\//, `browser-${copy.version}/`)
    .replace(/^runtime\/runtime\.json$/, `runtime/runtime-${copy.version}.json`);
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
  const asked = address === "" || address.endsWith("/") ? `${address}index.html` : address;
  const path = listedPath(asked, copy.version);
  if (path === "sitemap.xml") return sitemap();
  if (path === "404.html") return notFound();
  if (path === `__f/${copy.interpreter?.hash}`) {
    // As it was stored: see `unpackInterpreter`.
    return (await (await store()).match(request.url)) ?? notFound();
  }
  // Without the copy's name in it, the address of what belongs to one copy is nobody's.
  const isOfOneCopy = path !== asked || !/^(browser\/|runtime\/runtime\.json$)/.test(path);
  if (isInCopy(path) && isOfOneCopy) return (await fromCopy(path)) ?? notHere(request, path);
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
  const bodies = [];
  for (const piece of copy.joined[path] ?? [path]) {
    const file = /** @type {ListedFile} */ (listed.get(piece));
    const here = await kept(file[1]);
    try {
      bodies.push(here ?? (await receiveNow(file)));
    } catch {
      return null;
    }
  }
  return new Response(new Blob(bodies), { headers: headersFor(path) });
}

/**
 * A page, put together from its own text and from the blocks it shares with others. Both files are
 * checked, and one list names both, so they fit.
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
  const whole = text.join("").replaceAll(copy.mark, copy.version);
  return new Response(whole, { headers: headersFor(path) });
}

/**
 * A file of this copy is missing and was not to be had as listed. If the server has a newer copy,
 * its page is better than none, shown but not kept: it asks for its own scripts and Python. Any
 * other file of that copy would not fit the page that asks, so for it the answer is an error.
 * @param {Request} request @param {string} path
 */
async function notHere(request, path) {
  const isPage = path.endsWith(".html");
  try {
    const stamp = await (await fetch(siteUrl("copy.json"), { cache: "no-store" })).json();
    if (isPage && stamp.content !== copy.version) return await fetch(request);
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
