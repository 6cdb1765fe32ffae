// @ts-check
// Large files kept in one unpacked piece too, once all their parts are here. So nothing is unpacked
// again at every start of Python; and of a file that is handed out as it was stored browsers keep the
// compiled code, which they do not of one that is put together. It is a short cut only: without it
// Python starts from the parts.

import { unpacker } from "../unpacking.js";
import { copy, fileKey, headersFor, listed } from "./copy.js";
import { kept, sha256, store } from "./store.js";

// What only saves time never takes the room that the copy or the user's records may need. As in
// python-snapshot.js, from which a worker of this kind cannot import.
const ROOM_LEFT_FREE = 200 * 1024 * 1024;

// So much is unpacked at a time; between, the pages are answered.
const STEP = 64 * 1024;

/** @type {Promise<void> | null} */
let unpacking = null;

/** Keep unpacked what can be had so now. */
export async function keepUnpacked() {
  unpacking ??= keepAll()
    .catch(() => undefined)
    .finally(() => (unpacking = null));
  await unpacking;
}

async function keepAll() {
  const cache = await store();
  for (const file of copy.unpacked) {
    if (await cache.match(fileKey(file.hash))) continue;
    const { quota = 0, usage = 0 } = await navigator.storage.estimate();
    if (quota - usage < file.size + ROOM_LEFT_FREE) return;
    const bytes = await unpackedBytes(file);
    if (!bytes || (await sha256(bytes)) !== file.hash) continue;
    await cache.put(fileKey(file.hash), new Response(bytes, { headers: headersFor(file.name) }));
  }
}

/** Null if a part is not here. @param {import("./copy.js").PackedFile} file */
async function unpackedBytes({ size, pieces }) {
  const { take, whole } = unpacker(size);
  for (const piece of pieces) {
    const bytes = await kept(/** @type {import("./copy.js").ListedFile} */ (listed.get(piece))[1]);
    if (!bytes) return null;
    for (let start = 0; start < bytes.length; start += STEP) {
      take(bytes.subarray(start, start + STEP));
      await new Promise((wake) => setTimeout(wake));
    }
  }
  take(null);
  return whole;
}
