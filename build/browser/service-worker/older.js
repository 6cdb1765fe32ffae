// @ts-check
// Copies before this one: dropped when nobody needs them, asked while a tab still shows their pages.

import { copy, everyFile, headersFor, listedPath, listKey, scope } from "./copy.js";
import { kept, readRecord, store } from "./store.js";

/** @typedef {import("./copy.js").ListedFile} ListedFile */

/**
 * Drop what no copy needs. The copy before this one stays until the next comes, because another tab
 * may still show its pages; one that is being fetched right now (begun later) stays too.
 */
export async function prune() {
  const cache = await store();
  const started = (await readRecord(copy.version))?.started ?? 0;
  const before = (await readRecord("active"))?.before;
  const needed = new Set(everyFile.map(([, hash]) => hash));
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
export async function fromCopyBefore(path) {
  const { before } = (await readRecord("active")) ?? {};
  const record = before && (await readRecord(before));
  const named = record && listedPath(path, before);
  const file = record?.files?.find((/** @type {ListedFile} */ entry) => entry[0] === named);
  const bytes = file && (await kept(file[1]));
  return bytes ? new Response(bytes, { headers: headersFor(path) }) : null;
}
