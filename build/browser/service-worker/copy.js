// @ts-check
// The copy that this worker is of: its files, and the addresses that they have.

/**
 * @typedef {[path: string, hash: string, size: number]} ListedFile hash: SHA-256 in base64url
 * @typedef {object} PackedFile a file that listed ones make when joined and unpacked
 * @property {string} name
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
 * @property {number} first how many of them are the first part: pages and calculators
 * @property {Record<string, string[]>} joined files put together from listed ones
 * @property {string} blocks the listed file of what pages share; a page is put together from it and
 *   from the listed file of its own that is called like the page, with `.json` behind
 * @property {PackedFile[]} unpacked files of Python that are kept unpacked as well
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

export const worker = /** @type {WorkerScope} */ (/** @type {unknown} */ (self));
export const copy = worker.COPY;
export const scope = new URL(worker.registration.scope);
/** @type {Map<string, ListedFile>} */
export const listed = new Map(copy.files.map((file) => [file[0], file]));

/** Pages and calculators, and what follows them. */
export const firstPart = copy.files.slice(0, copy.first);
export const laterPart = copy.files.slice(copy.first);

/** All that the store may hold of this copy, for its record. */
export const everyFile = [...copy.files, ...copy.unpacked.map(({ hash, size }) => ["", hash, size])];

export const fileKey = (/** @type {string} */ hash) => `${scope.href}__f/${hash}`;
export const partKey = (/** @type {string} */ hash, /** @type {number} */ start) =>
  `${scope.href}__part/${hash}/${start}`;
export const listKey = (/** @type {string} */ name) => `${scope.href}__list/${name}`;

/** The path inside the site, or null for another site's address. @param {URL} url */
export function pathInside(url) {
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
export function listedPath(path, version) {
  if (path === `runtime/runtime-${version}.json`) return "runtime/runtime.json";
  return path.startsWith(`browser-${version}/`) ? path.replace(`-${version}`, "") : path;
}

/** The address of a file, of a page without its `index.html`, as links name it. @param {string} path */
export function siteUrl(path) {
  const clean = path
    .replace(/(^|\/)index\.html$/, "$1")
    .replace(/^browser\//, `browser-${copy.version}/`)
    .replace(/^runtime\/runtime\.json$/, `runtime/runtime-${copy.version}.json`);
  return new URL(clean.split("/").map(encodeURIComponent).join("/"), scope).href;
}

/** The listed file that holds what is a page's own. @param {string} path */
export const pieceOf = (path) => `${path}.json`;

/** @param {string} path */
export const isInCopy = (path) => listed.has(path) || path in copy.joined || listed.has(pieceOf(path));

/** @param {string} path */
function typeOf(path) {
  return copy.types[path.slice(path.lastIndexOf("."))] ?? "text/plain; charset=utf-8";
}

/** Whether most hosts compress it, as its type tells. @param {string} path */
export const isText = (path) => typeOf(path).includes("charset");

/** @param {string} path */
export function headersFor(path) {
  return {
    "Content-Type": typeOf(path),
    "Content-Security-Policy": copy.policy,
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-cache",
  };
}
