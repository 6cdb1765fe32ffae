// @ts-check
// Registers the service worker. A script of its own that needs no other: a device whose copy lacks
// one of the others still gets the worker that fetches it.

const root = new URL("..", import.meta.url);
const PATIENCE_MS = 10_000;

/** What came in place of the service worker's script. */
export class WrongScriptError extends Error {}

/** @type {Promise<ServiceWorkerRegistration> | null} */
let underWay = null;

/**
 * The site's registration, made if there is none.
 * @param {URL} at the site's root, where the service worker stands
 * @returns {Promise<ServiceWorkerRegistration>}
 */
export function registered(at) {
  underWay ??= register(at).finally(() => (underWay = null));
  return underWay;
}

/** @param {URL} at */
async function register(at) {
  const known = await navigator.serviceWorker.getRegistration(at.href);
  if (known?.active || known?.waiting || known?.installing) return known;
  const script = new URL("service-worker.js", at);
  await fetchPast(script);
  return navigator.serviceWorker.register(script, { updateViaCache: "none" });
}

/**
 * Have the script once past the browser's cache: it may hold a damaged one that it takes for fresh.
 * Also, what the browser fetches itself for a registration it waits for without end.
 * @param {URL} script
 */
async function fetchPast(script) {
  const options = { cache: /** @type {const} */ ("reload"), signal: AbortSignal.timeout(PATIENCE_MS) };
  const response = await fetch(script, options);
  await response.text();
  const type = response.headers.get("Content-Type") ?? "";
  if (!response.ok || !/javascript/.test(type)) throw new WrongScriptError(`${response.status} ${type}`);
}

// What goes wrong is told by the module that shows the state of the copy.
if (navigator.serviceWorker) registered(root).catch(() => {});
