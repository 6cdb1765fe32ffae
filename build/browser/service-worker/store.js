// @ts-check
// What the device keeps of the copy, checked when it is read, and the records of what else it keeps.

import { copy, everyFile, fileKey, listKey, partKey, scope } from "./copy.js";

/** @typedef {import("./copy.js").ListedFile} ListedFile */

const STORE = `site copy ${scope.pathname}`;

/** Whether all that is kept was looked through and found whole in this worker's life. */
export const looked = { through: false };

/**
 * @typedef {"line" | "host" | "portal" | "bytes" | "room"} Reason nothing came; the host had an error
 *   in its place; another page came in its place; not the listed bytes; not stored
 */

/** @type {Promise<Cache> | null} */
let opened = null;

/** The store. One that cannot be opened is tried again the next time. @returns {Promise<Cache>} */
export function store() {
  opened ??= caches.open(STORE).catch((error) => {
    opened = null;
    throw error;
  });
  return opened;
}

/** A store that cannot be opened is beyond repair: an empty one can be filled. */
export async function openedAnew() {
  try {
    await store();
  } catch {
    await caches.delete(STORE);
    await recordCopy();
    await writeRecord("active", { version: copy.version, before: null });
  }
}

/** Why a file could not be kept. */
export class CopyError extends Error {
  /** @param {Reason} reason @param {string} path @param {unknown} detail */
  constructor(reason, path, detail) {
    super(`${path}: ${reason} (${detail})`);
    this.reason = reason;
    this.path = path;
  }
}

/** @param {ListedFile[]} files */
export async function missingOf(files) {
  const here = new Set((await (await store()).keys()).map((request) => request.url));
  return files.filter(([, hash]) => !here.has(fileKey(hash)));
}

/**
 * The bytes of a kept file, checked now; null if it is not kept, or was damaged and is thrown away.
 * @param {string} hash
 * @returns {Promise<Uint8Array<ArrayBuffer> | null>}
 */
export async function kept(hash) {
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
  looked.through = false;
  await cache.delete(fileKey(hash)).catch(() => false);
  return null;
}

/** @param {Response} response */
export async function bytesOf(response) {
  return new Uint8Array(await response.arrayBuffer());
}

/** @param {string} hash */
export async function dropParts(hash) {
  const cache = await store();
  const parts = await cache.keys();
  const start = partKey(hash, 0).slice(0, -1);
  for (const part of parts) if (part.url.startsWith(start)) await cache.delete(part);
}

/** @param {string} key @param {string} path @param {Uint8Array<ArrayBuffer>} bytes */
export async function keep(key, path, bytes) {
  try {
    await (await store()).put(key, new Response(bytes));
  } catch (error) {
    throw new CopyError("room", path, error);
  }
}

/** @param {Uint8Array<ArrayBuffer>} bytes */
export async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const base64 = btoa(String.fromCharCode(...digest));
  return base64.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** @param {string} name @param {object} record */
export async function writeRecord(name, record) {
  await keep(listKey(name), name, new TextEncoder().encode(JSON.stringify(record)));
}

/** Says that this copy's files are wanted, from now on. */
export async function recordCopy() {
  await writeRecord(copy.version, { started: Date.now(), files: everyFile });
}

/** A record that cannot be read counts as none. @param {string} name @returns {Promise<any>} */
export async function readRecord(name) {
  const cache = await store();
  try {
    return await (await cache.match(listKey(name)))?.json();
  } catch {
    await cache.delete(listKey(name)).catch(() => false);
    return undefined;
  }
}
