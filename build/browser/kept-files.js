// @ts-check
// Files of the offline copy, read from the browser's store without the service worker between.
//
// The service worker keeps every file under the SHA-256 of its checked bytes. Large files that are
// named by the same digest can be had from there at once, many side by side, while that worker is
// busy with the page itself. What is not there comes the usual way.

const root = new URL("..", import.meta.url);
// As in service-worker.js.
const STORE = { cacheName: `site copy ${root.pathname}` };
const NAMED_BY_DIGEST = /\.([\w-]{43})\.bin$/;

/**
 * The kept file of this name, or undefined: not named by its digest, not kept, or no store at all.
 * @param {string} name
 * @returns {Promise<Response | undefined>}
 */
export async function keptFile(name) {
  const digest = NAMED_BY_DIGEST.exec(name)?.[1];
  return digest === undefined ? undefined : stored(digest);
}

/**
 * A file that the service worker keeps unpacked, from its hands: browsers keep the compiled code
 * only of what comes that way. Undefined if it is not kept or the service worker does not serve.
 * @param {string} digest of the unpacked file
 * @returns {Promise<Response | undefined>}
 */
export async function keptUnpacked(digest) {
  if ((await stored(digest)) === undefined) return undefined;
  const response = await fetch(addressOf(digest)).catch(() => undefined);
  return response?.ok ? response : undefined;
}

/** @param {string} digest */
const addressOf = (digest) => `${root.href}__f/${digest}`;

/** @param {string} digest @returns {Promise<Response | undefined>} */
async function stored(digest) {
  if (!("caches" in self)) return undefined;
  return caches.match(addressOf(digest), STORE).catch(() => undefined);
}
