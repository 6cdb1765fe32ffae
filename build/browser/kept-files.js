// @ts-check
// Files of the offline copy, read from the browser's store without the service worker between.
//
// The service worker keeps every file under the SHA-256 of its checked bytes. Large files that are
// named by the same digest can be had from there at once, many side by side, while that worker is
// busy with the page itself. They are checked once more when they are read: what a device has damaged
// is thrown away. What is not there comes the usual way.

const root = new URL("..", import.meta.url);
// As in service-worker/store.js.
const STORE = { cacheName: `site copy ${root.pathname}` };
const NAMED_BY_DIGEST = /\.([\w-]{43})\.bin$/;

/**
 * The bytes of the kept file of this name, or undefined: not named by its digest, not kept or
 * damaged, or no store at all.
 * @param {string} name
 * @returns {Promise<ArrayBuffer | undefined>}
 */
export async function keptFile(name) {
  const digest = digestIn(name);
  return digest === undefined ? undefined : keptUnder(digest);
}

/**
 * The bytes that are kept under a digest, as those of unpacked files are; undefined if there are none,
 * or they were damaged.
 * @param {string} digest
 * @returns {Promise<ArrayBuffer | undefined>}
 */
export async function keptUnder(digest) {
  const response = await stored(digest);
  const bytes = await response?.arrayBuffer().catch(() => new ArrayBuffer(0));
  if (bytes === undefined || (await isSound(bytes, digest))) return bytes;
  await throwAway(digest);
  return undefined;
}

/**
 * A file that the service worker keeps unpacked, from its hands: browsers keep the compiled code
 * only of what comes that way. Undefined if it is not kept or the service worker does not serve.
 * @param {string} digest of the unpacked file
 * @returns {Promise<{response: Response, sound: Promise<boolean>} | undefined>} whether the file is
 *   sound is found out while its compiled code is looked for
 */
export async function keptUnpacked(digest) {
  const kept = await stored(digest);
  if (kept === undefined) return undefined;
  const sound = kept.arrayBuffer().then(
    (bytes) => isSound(bytes, digest),
    () => false,
  );
  const response = await fetch(addressOf(digest)).catch(() => undefined);
  void sound.then((is) => (is ? undefined : throwAway(digest)));
  return response?.ok ? { response, sound } : undefined;
}

/** The digest that a file's name carries. @param {string} name */
export const digestIn = (name) => NAMED_BY_DIGEST.exec(name)?.[1];

/**
 * Whether bytes are those of this digest; taken for sound where the browser cannot tell.
 * @param {ArrayBuffer} bytes @param {string} digest SHA-256 in base64url
 */
export async function isSound(bytes, digest) {
  if (!globalThis.crypto?.subtle) return true;
  const found = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const base64 = btoa(String.fromCharCode(...found));
  return base64.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "") === digest;
}

/** @param {string} digest */
async function throwAway(digest) {
  try {
    await (await caches.open(STORE.cacheName)).delete(addressOf(digest));
  } catch {
    // The service worker finds it too.
  }
}

/** @param {string} digest */
const addressOf = (digest) => `${root.href}__f/${digest}`;

/** @param {string} digest @returns {Promise<Response | undefined>} */
async function stored(digest) {
  if (!("caches" in self)) return undefined;
  return caches.match(addressOf(digest), STORE).catch(() => undefined);
}
