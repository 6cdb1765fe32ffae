// @ts-check
// The started Python, kept on the device: its memory, as it stands when our modules are loaded.
//
// A start from it skips the interpreter's own start and all imports. It is made here, never sent,
// and only ever a short cut: whatever is wrong with it, it goes, and Python starts the usual way.
// The file ends in a trailer that is written last, so that a file cut off has none.

const FOLDER = "python-snapshot";
const CHUNK = 2 * 1024 * 1024;
// Half of the memory is empty: blocks that hold nothing are neither written nor read.
const BLOCK = 64 * 1024;
// Never take the room that the site's own copy or the user's records may need.
const ROOM_LEFT_FREE = 200 * 1024 * 1024;
const LENGTH_SIZE = 4;

/**
 * @typedef {object} Snapshot
 * @property {Uint8Array<ArrayBuffer>} memory
 * @property {string} reply what the self-test's request was answered with when it was made
 *
 * @typedef {[start: number, end: number]} Run bytes of the memory that are in the file
 *
 * @typedef {object} Trailer what the file's end says of the rest
 * @property {number} size of the memory
 * @property {Run[]} runs in the order in which they lie in the file
 * @property {number} sum
 * @property {string} reply
 *
 * @typedef {object} Source the bytes of a file
 * @property {number} size
 * @property {(into: Uint8Array<ArrayBuffer>, at: number) => void} read
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
    return await readFrom(await (await folder()).getFileHandle(name));
  } catch {
    return null;
  }
}

/**
 * Reads straight from the disk where the browser lets a worker do so: several times quicker, but it
 * may be refused while another page reads.
 * @param {any} handle
 */
async function readFrom(handle) {
  /** @type {FileSystemSyncAccessHandle} */
  let access;
  try {
    access = await handle.createSyncAccessHandle({ mode: "read-only" });
  } catch {
    const bytes = new Uint8Array(await (await handle.getFile()).arrayBuffer());
    return unpacked({
      size: bytes.length,
      read: (into, at) => into.set(bytes.subarray(at, at + into.length)),
    });
  }
  try {
    return unpacked({ size: access.getSize(), read: (into, at) => access.read(into, { at }) });
  } finally {
    access.close();
  }
}

/** @param {Source} source @returns {Snapshot | null} */
function unpacked(source) {
  const trailer = trailerOf(source);
  const memory = new Uint8Array(trailer.size);
  let at = 0;
  for (const [start, end] of trailer.runs) {
    source.read(memory.subarray(start, end), at);
    at += end - start;
  }
  const whole = sumOf(memory, trailer.runs) === trailer.sum;
  return whole ? { memory, reply: trailer.reply } : null;
}

/** Throws if the end is not a trailer's. @param {Source} source @returns {Trailer} */
function trailerOf(source) {
  const length = new Uint8Array(LENGTH_SIZE);
  source.read(length, source.size - LENGTH_SIZE);
  const text = new Uint8Array(new DataView(length.buffer).getUint32(0, true));
  source.read(text, source.size - LENGTH_SIZE - text.length);
  return JSON.parse(new TextDecoder().decode(text));
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
  const runs = runsOf(memory);
  const trailer = { size: memory.length, runs, sum: sumOf(memory, runs), reply };
  const text = new TextEncoder().encode(JSON.stringify(trailer));
  const length = new DataView(new ArrayBuffer(LENGTH_SIZE));
  length.setUint32(0, text.length, true);
  const access = await opened(name);
  if (access === null) return false;
  try {
    access.truncate(0);
    let at = 0;
    for (const [start, end] of runs) {
      for (let from = start; from < end; from += CHUNK) {
        at += access.write(memory.subarray(from, Math.min(from + CHUNK, end)), { at });
        await pause();
      }
    }
    access.write(text, { at });
    access.flush();
    access.write(length, { at: at + text.length });
    access.flush();
    access.close();
    return true;
  } catch {
    access.close();
    await remove();
    return false;
  }
}

/** The parts of the memory that hold anything, whole blocks. @param {Uint8Array<ArrayBuffer>} memory */
function runsOf(memory) {
  /** @type {Run[]} */
  const runs = [];
  for (let start = 0; start < memory.length; start += BLOCK) {
    const end = Math.min(start + BLOCK, memory.length);
    if (memory.subarray(start, end).every((byte) => byte === 0)) continue;
    const last = runs.at(-1);
    if (last?.[1] === start) last[1] = end;
    else runs.push([start, end]);
  }
  return runs;
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

/**
 * A sum of what a file holds, that a changed word changes. It runs at every start, so it is written
 * for speed: counting by hand, with four sums side by side, takes a tenth of the time of walking
 * over the words.
 * @param {Uint8Array<ArrayBuffer>} bytes whole words, as a memory is
 * @param {Run[]} runs whole blocks
 */
function sumOf(bytes, runs) {
  const words = new Uint32Array(bytes.buffer, bytes.byteOffset, bytes.length >>> 2);
  let [a, b, c, d] = [bytes.length, 1, 2, 3];
  for (const [start, end] of runs) {
    const last = end >>> 2;
    for (let at = start >>> 2; at < last; at += 4) {
      a = (Math.imul(a, 31) + words[at]) | 0;
      b = (Math.imul(b, 31) + words[at + 1]) | 0;
      c = (Math.imul(c, 31) + words[at + 2]) | 0;
      d = (Math.imul(d, 31) + words[at + 3]) | 0;
    }
  }
  return [a, b, c, d].reduce((sum, next) => (Math.imul(sum, 31) + next) | 0) >>> 0;
}
