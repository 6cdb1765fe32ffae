// @ts-check
// Fetching: each file checked before it is kept, on lines that cut, hang, drip or answer for others.

import { fetchedWhole, HangingError } from "../patient-fetch.js";
import { copy, fileKey, firstPart, isText, laterPart, listed, partKey, siteUrl } from "./copy.js";
import { bytesOf, CopyError, dropParts, keep, missingOf, sha256, store } from "./store.js";
import { counts, tell } from "./telling.js";

/** @typedef {import("./copy.js").ListedFile} ListedFile */

// A cut line loses what is under way: one part of a large file, or a few small files together.
const PART_SIZE = 512 * 1024;
const SMALL_FILE = 100 * 1024;
const SIDE_BY_SIDE = 4;
const TRY_AGAIN_AFTER_MS = [1000, 4000];

/**
 * On a first visit the page has just fetched the whole of a joined file, and the browser still has it:
 * its pieces are cut from there, each checked. What does not fit is fetched piece by piece.
 * @param {string} path
 */
export async function takeApart(path) {
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

/**
 * Fetch and keep all of the files that are not kept yet, those of the first part first.
 * What is wrong with one file does not keep the others from coming; a lost line or a full device does.
 * @param {ListedFile[]} files
 * @param {boolean} newer whether this is a copy that waits to be taken
 */
export async function collect(files, newer) {
  const wanted = new Set(files);
  const missing = new Set(await missingOf(copy.files));
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
    missing.delete(file);
    await tell({ newer, ...counts([...missing]), filling: true });
  };
  for (const part of [firstPart, laterPart]) {
    const coming = part.filter((file) => wanted.has(file) && missing.has(file));
    const small = coming.filter(([, , size]) => size < SMALL_FILE);
    const lane = async () => {
      for (let file = small.shift(); file; file = small.shift()) await one(file);
    };
    await Promise.all(Array.from({ length: SIDE_BY_SIDE }, lane));
    for (const file of coming) if (file[2] >= SMALL_FILE) await one(file);
  }
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
export async function receiveNow(file) {
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
      // A request of the page's own that hangs keeps the browser's cache shut: from now on past it.
      // What a cut line has brought stays there, and is gone on with.
      if (error instanceof HangingError) cache = "reload";
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
 * @param {string} path @param {RequestInit} options
 * @param {(response: Response) => boolean} wanted whether the body is read
 */
function get(path, options, wanted = () => true) {
  return fetchedWhole(siteUrl(path), options, (response) => {
    // No file of the copy is a page: one in its place is the sign-in page of the network.
    if (/^text\/html/.test(response.headers.get("Content-Type") ?? "") && response.status < 400) {
      throw new CopyError("portal", path, response.url);
    }
    if (!response.ok) throw new CopyError("host", path, response.status);
    return wanted(response);
  });
}
