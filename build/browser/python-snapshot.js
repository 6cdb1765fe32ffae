// @ts-check
// The started Python, kept on the device: its memory, as it stands when our modules are loaded.
//
// A start from it skips the interpreter's own start and all imports. It is made here, never sent,
// and only ever a short cut: whatever is wrong with it, it goes, and Python starts the usual way.
// The file ends in a trailer that is written last, so that a file cut off has none.

const FOLDER = "python-snapshot";
const CHUNK = 2 * 1024 * 1024;
// Never take the room that the site's own copy or the user's records may need.
const ROOM_LEFT_FREE = 200 * 1024 * 1024;
const LENGTH_OF_SIZES = 12;

/**
 * @typedef {object} Snapshot
 * @property {Uint8Array<ArrayBuffer>} memory
 * @property {string} reply what the self-test's request was answered with when it was made
 */

/** Whether this browser can keep one. */
export function canBeKept() {
  return (
    typeof FileSystemFileHandle !== "undefined" &&
    "createSyncAccessHandle" in FileSystemFileHandle.prototype &&
    typeof navigator.storage?.getDirectory === "function"
  );
}

/**
 * Reads what was kept under a name; null if there is nothing, or nothing whole.
 * @param {string} name
 * @returns {Promise<Snapshot | null>}
 */
export async function read(name) {
  try {
    const file = await (await (await folder()).getFileHandle(name)).getFile();
    const bytes = new Uint8Array(await file.arrayBuffer());
    const sizes = new DataView(bytes.buffer, bytes.length - LENGTH_OF_SIZES);
    const [size, replySize, sum] = [0, 4, 8].map((place) => sizes.getUint32(place, true));
    if (size + replySize + LENGTH_OF_SIZES !== bytes.length) return null;
    const memory = bytes.subarray(0, size);
    if (sumOf(memory) !== sum) return null;
    const reply = new TextDecoder().decode(bytes.subarray(size, size + replySize));
    return { memory, reply };
  } catch {
    return null;
  }
}

/**
 * Keeps a snapshot in place of any other.
 * @param {string} name
 * @param {Snapshot} snapshot
 * @param {() => Promise<void>} pause lets other work have its turn
 * @returns {Promise<boolean>} whether it was kept
 */
export async function write(name, { memory, reply }, pause) {
  if (!(await isRoomFor(memory.length))) return false;
  await remove();
  const replyBytes = new TextEncoder().encode(reply);
  const sizes = new DataView(new ArrayBuffer(LENGTH_OF_SIZES));
  sizes.setUint32(0, memory.length, true);
  sizes.setUint32(4, replyBytes.length, true);
  sizes.setUint32(8, sumOf(memory), true);
  const access = await opened(name);
  if (access === null) return false;
  try {
    access.truncate(0);
    for (let at = 0; at < memory.length; at += CHUNK) {
      access.write(memory.subarray(at, at + CHUNK), { at });
      await pause();
    }
    access.write(replyBytes, { at: memory.length });
    access.flush();
    access.write(sizes, { at: memory.length + replyBytes.length });
    access.flush();
    access.close();
    return true;
  } catch {
    access.close();
    await remove();
    return false;
  }
}

/** Opens the file for writing; null while another page has it open. @param {string} name */
async function opened(name) {
  try {
    const handle = await (await folder()).getFileHandle(name, { create: true });
    return await handle.createSyncAccessHandle();
  } catch {
    return null;
  }
}

/** Removes whatever is kept. */
export async function remove() {
  try {
    await (await navigator.storage.getDirectory()).removeEntry(FOLDER, { recursive: true });
  } catch {
    // There was nothing, or another page holds it open and will replace it.
  }
}

async function folder() {
  return (await navigator.storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });
}

/** @param {number} size */
async function isRoomFor(size) {
  const { quota = 0, usage = 0 } = await navigator.storage.estimate();
  return quota - usage > size + ROOM_LEFT_FREE;
}

/** A sum that a changed word changes; quick, since it runs at every start. @param {Uint8Array<ArrayBuffer>} bytes */
function sumOf(bytes) {
  let sum = bytes.length;
  for (const word of new Uint32Array(bytes.buffer, bytes.byteOffset, bytes.length >>> 2)) {
    sum = (Math.imul(sum, 31) + word) >>> 0;
  }
  return sum;
}
