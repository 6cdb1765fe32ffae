// @ts-check
// The page's Python: a module worker that starts the packed runtime and answers with it.
//
// It holds no trade knowledge: JSON text goes in, JSON text comes out. Questions are numbered, so
// that the page knows which answer belongs to which. A long question is answered in parts, and
// between two parts the worker hears whatever else it is told, a cancel too.

import { ours } from "./copy-stamp.js";
import { digestIn, isSound, keptFile, keptUnder, keptUnpacked } from "./kept-files.js";
import { fetchedWhole } from "./patient-fetch.js";
import * as snapshots from "./python-snapshot.js";
import { unpacker } from "./unpacking.js";

/**
 * @typedef {object} LargeFile a file that the build compressed and cut
 * @property {number} size
 * @property {string[]} pieces
 * @property {string} unpacked the digest of the whole file, unpacked
 *
 * @typedef {object} Manifest runtime.json
 * @property {string} folder
 * @property {string} loader
 * @property {string} module
 * @property {string} entry the module that answers: its `reply` and `stream`
 * @property {object} [lockFileContents]
 * @property {string[]} [later] the modules of the second archive, which is loaded when first asked for
 * @property {{name: string, selfTest: string}} [snapshot] named after all that is in it
 * @property {{calculators: LargeFile, later?: LargeFile, interpreter?: LargeFile, standardLibrary?: LargeFile}} large
 *
 * @typedef {object} Python the part of the runtime's interface that is used here
 * @property {{writeFile(path: string, bytes: Uint8Array): void}} FS
 * @property {(name: string) => any} pyimport
 * @property {{HEAPU8: Uint8Array}} _module
 * @property {() => Uint8Array<ArrayBuffer>} makeMemorySnapshot
 *
 * @typedef {{kind: "ask" | "follow", id: number, request: string} | {kind: "cancel", id: number}} Told
 * @typedef {"browser" | "file" | "memory" | "refused" | "snapshot" | "stopped"} Reason why there is no Python
 */

const CALCULATORS_PATH = "/lib/calculators.zip";
const LATER_PATH = "/lib/later.zip";
// The runtime puts a snapshot back only into the memory that it starts with.
const LARGEST_SNAPSHOT = 31_457_280;
const SNAPSHOT_PATIENCE_MS = 10_000;
const QUIET_BEFORE_KEEPING_MS = 2000;
const FETCH_AGAIN_AFTER_MS = [500, 2500];
// A script is fetched beside its import after the first, and has the second to run when it came.
const LATE_MS = 15_000;
const RUN_MS = 3000;
// The page names the worker: whether it may start from a snapshot and make one.
const snapshotsWanted = self.name === "with snapshots" && snapshots.canBeKept();
const runtimeFolder = new URL("../runtime/", import.meta.url);
// The list of what this copy's Python is packed of; another copy's has another name.
const listName = ours ? `runtime-${ours}.json` : "runtime.json";
const page = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** A start that failed, with the reason. */
class StartError extends Error {
  /** @param {Reason} reason @param {string} detail */
  constructor(reason, detail) {
    super(detail);
    this.reason = reason;
  }
}

/** Ends the start with this reason, whatever else still waits. @type {(error: StartError) => void} */
let fail = () => {};
/** @type {Promise<never>} */
const failure = new Promise((_, reject) => (fail = reject));

/** @param {number} milliseconds @returns {Promise<void>} */
const pause = (milliseconds) => new Promise((wake) => setTimeout(wake, milliseconds));

// --- Files -------------------------------------------------------------------------------------

let filesWanted = 0;
let filesHere = 0;

/** @param {string} name @param {RequestInit} [options] @returns {Promise<ArrayBuffer>} */
async function file(name, options) {
  filesWanted += 1;
  try {
    const bytes = (await keptFile(name)) ?? (await fetched(name, options));
    filesHere += 1;
    // The first file says which others there are.
    if (later) page.postMessage({ kind: "later", here: filesHere, wanted: filesWanted });
    else if (filesWanted > 1) page.postMessage({ kind: "progress", here: filesHere, wanted: filesWanted });
    return bytes;
  } catch (error) {
    const named = new StartError("file", `${name}: ${wordsOf(error)}`);
    fail(named);
    throw named;
  }
}

/**
 * A file from the line, asked for again if it does not come whole.
 * @param {string} name @param {RequestInit} [options] @returns {Promise<ArrayBuffer>}
 */
async function fetched(name, options) {
  const digest = digestIn(name);
  for (const wait of FETCH_AGAIN_AFTER_MS) {
    try {
      return await fetchedOnce(name, digest, options);
    } catch {
      await pause(wait);
    }
  }
  return fetchedOnce(name, digest, { cache: "reload" });
}

/** @param {string} name @param {string} [digest] @param {RequestInit} [options] */
async function fetchedOnce(name, digest, options) {
  const { bytes } = await fetchedWhole(new URL(name, runtimeFolder), options, isGood);
  if (digest !== undefined && !(await isSound(bytes.buffer, digest))) throw new Error("damaged on the way");
  return bytes.buffer;
}

/**
 * Marks a promise whose failure has ended the start already, so that nobody else need hear of it.
 * @template Value @param {Promise<Value>} promise
 */
function heard(promise) {
  promise.catch(() => {});
  return promise;
}

/**
 * Unpacks a cut file while it comes, part by part.
 * @param {LargeFile} large
 * @returns {(() => Promise<Uint8Array<ArrayBuffer> | null>) & {whole: Uint8Array<ArrayBuffer>}} the next
 *   part, null after the last; the whole stands together when all were asked for
 */
function parts(large) {
  const pieces = large.pieces.map((name) => heard(file(name)));
  const { take, whole } = unpacker(large.size);
  let isOver = false;
  const next = async () => {
    if (isOver) return null;
    const piece = await pieces.shift();
    isOver = piece === undefined;
    return take(piece ? new Uint8Array(piece) : null);
  };
  return Object.assign(next, { whole });
}

/** @param {LargeFile} large @param {string} type */
function response(large, type) {
  const next = parts(large);
  const stream = new ReadableStream({
    async pull(controller) {
      const part = await next();
      if (part === null) controller.close();
      else controller.enqueue(part);
    },
  });
  return new Response(stream, { headers: { "Content-Type": type } });
}

/** @param {LargeFile} large @returns {Promise<Uint8Array<ArrayBuffer>>} */
async function bytesOf(large) {
  const kept = await keptUnder(large.unpacked);
  if (kept) return new Uint8Array(kept);
  try {
    const next = parts(large);
    while ((await next()) !== null);
    return next.whole;
  } catch (error) {
    throw error instanceof StartError ? error : damaged(large, error);
  }
}

/** @param {LargeFile} large @param {unknown} error */
function damaged(large, error) {
  const named = new StartError("file", `${large.pieces[0]} is damaged: ${wordsOf(error)}`);
  fail(named);
  return named;
}

// --- Start -------------------------------------------------------------------------------------

/**
 * @typedef {object} Started
 * @property {Python} python
 * @property {any} entry the module that answers
 * @property {{name: string, snapshot: snapshots.Snapshot} | undefined} toKeep not written yet
 * @property {boolean} restored whether it started from one
 * @property {Manifest} manifest
 */

/** @returns {Promise<Started>} */
async function start() {
  checkBrowser();
  const text = new TextDecoder().decode(await file(listName, { cache: "no-cache" }));
  const manifest = /** @type {Manifest} */ (JSON.parse(text));
  const folder = new URL(manifest.folder, runtimeFolder);
  const { calculators, interpreter, standardLibrary } = manifest.large;
  // All files are asked for before the first is used.
  const loader = heard(script(new URL(manifest.loader, folder)));
  const module = heard(script(new URL(manifest.module, folder)));
  const archive = heard(bytesOf(calculators));
  const libraryAddress = new URL("python_stdlib.zip", folder).href;
  const packed = {
    libraryAddress,
    library: standardLibrary && heard(bytesOf(standardLibrary)),
    interpreterAddress: new URL("pyodide.asm.wasm", folder).href,
    interpreter: interpreter && heard(compiled(interpreter)),
  };
  const wanted = snapshotsWanted ? manifest.snapshot : undefined;
  const kept = wanted ? await snapshots.read(wanted.name) : null;
  const [{ loadPyodide }, { default: createPyodideModule }] = await Promise.all([loader, module]);
  const load = () =>
    withPackedFiles(packed, () =>
      loadPyodide({
        indexURL: folder.href,
        stdLibURL: libraryAddress,
        createPyodideModule,
        ...(manifest.lockFileContents && {
          lockFileContents: JSON.stringify(manifest.lockFileContents),
        }),
        ...(kept ? { _loadSnapshot: kept.memory } : wanted && { _makeSnapshot: true }),
      }),
    );
  if (wanted && kept) {
    await Promise.all([packed.library, packed.interpreter]);
    return restored(load, await archive, manifest, kept);
  }
  const python = /** @type {Python} */ (await load());
  putModules(python, await archive);
  const entry = python.pyimport(manifest.entry);
  return { python, entry, toKeep: wanted && taken(python, entry, wanted), restored: false, manifest };
}

/** Gives our modules to Python. @param {Python} python @param {Uint8Array} archive */
function putModules(python, archive) {
  python.FS.writeFile(CALCULATORS_PATH, archive);
  const { path } = python.pyimport("sys");
  path.append(CALCULATORS_PATH);
}

/**
 * Takes the snapshot before the first question: it holds nothing of the user's, and answers may
 * make the memory larger than can be put back.
 * @param {Python} python @param {any} entry @param {NonNullable<Manifest["snapshot"]>} wanted
 */
function taken(python, entry, { name, selfTest }) {
  try {
    const reply = entry.reply(selfTest);
    if (python._module.HEAPU8.byteLength > LARGEST_SNAPSHOT) return undefined;
    return { name, snapshot: { memory: python.makeMemorySnapshot(), reply } };
  } catch {
    return undefined; // The next start takes the usual way.
  }
}

/**
 * Starts from a snapshot; one that cannot be put back, or answers other than when it was made, is
 * thrown away.
 * @param {() => Promise<any>} load
 * @param {Uint8Array} archive
 * @param {Manifest} manifest
 * @param {snapshots.Snapshot} kept
 * @returns {Promise<Started>}
 */
async function restored(load, archive, manifest, kept) {
  try {
    const python = /** @type {Python} */ (await withinPatience(load()));
    // The files are not part of the memory; what is imported later is read from them.
    python.FS.writeFile(CALCULATORS_PATH, archive);
    const entry = python.pyimport(manifest.entry);
    if (entry.reply(manifest.snapshot?.selfTest) !== kept.reply) throw new Error("it answers otherwise");
    // Without this every start would draw the same numbers; without draws the module is not there.
    python.pyimport("sys").modules.get("random")?.seed();
    return { python, entry, toKeep: undefined, restored: true, manifest };
  } catch (error) {
    if (error instanceof StartError) throw error;
    await snapshots.remove();
    throw new StartError("snapshot", wordsOf(error));
  }
}

/** @template Value @param {Promise<Value>} promise @returns {Promise<Value>} */
function withinPatience(promise) {
  return new Promise((resolve, reject) => {
    const late = () => reject(new Error("it took too long"));
    const timer = setTimeout(late, SNAPSHOT_PATIENCE_MS);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

/** Says early, and in words, what this browser does not have. */
function checkBrowser() {
  if (typeof WebAssembly === "undefined") {
    throw new StartError("refused", "WebAssembly is switched off");
  }
  try {
    new WebAssembly.Module(Uint8Array.of(0, 0x61, 0x73, 0x6d, 1, 0, 0, 0));
  } catch (error) {
    throw new StartError("refused", wordsOf(error));
  }
}

/** @param {URL} address @returns {Promise<any>} */
async function script(address) {
  let isHere = false;
  const hanging = hangs(address, () => isHere).then((doesHang) => {
    if (doesHang) throw new Error("it hangs");
    return new Promise(() => {});
  });
  try {
    return await Promise.race([import(address.href).finally(() => (isHere = true)), hanging]);
  } catch (error) {
    const named = new StartError("file", `${address.pathname.split("/").pop()}: ${wordsOf(error)}`);
    fail(named);
    throw named;
  }
}

/**
 * Whether a script that the browser was asked for hangs: a while later it is fetched beside it, and if
 * that comes and the script still does not run, the browser waits on a dead line. Without a line this
 * waits for one.
 * @param {URL} address
 * @param {() => boolean} isHere whether it has come by now
 */
async function hangs(address, isHere) {
  await pause(LATE_MS);
  while (!isHere()) {
    const came = await fetchedWhole(address, { cache: "reload" }, isGood).catch(() => null);
    await pause(RUN_MS);
    if (came) return !isHere();
  }
  return false;
}

/** @param {Response} response */
function isGood(response) {
  if (!response.ok) throw new Error(`answer ${response.status}`);
  return true;
}

/**
 * Compiles the interpreter while it comes, and while the scripts that will want it are read.
 * @param {LargeFile} large
 */
async function compiled(large) {
  const kept = await keptUnpacked(large.unpacked);
  try {
    const module = kept && (await WebAssembly.compileStreaming(kept.response));
    if (module && (await kept.sound)) return module;
  } catch {
    // The pieces are as good, only slower.
  }
  try {
    return await WebAssembly.compileStreaming(response(large, "application/wasm"));
  } catch (error) {
    throw error instanceof RangeError ? failed(error) : damaged(large, error);
  }
}

/** Ends the start with an error that nobody else would hear of. @param {unknown} error */
function failed(error) {
  const named = new StartError(reasonOf(error), wordsOf(error));
  fail(named);
  return named;
}

/**
 * Lets the runtime have the packed files when it asks for them by their usual names, and hears of a
 * failure that the runtime would only write to the console before it waits for ever.
 * @template Loaded
 * @param {object} packed
 * @param {string} packed.libraryAddress
 * @param {Promise<Uint8Array<ArrayBuffer>>} [packed.library]
 * @param {string} packed.interpreterAddress
 * @param {Promise<WebAssembly.Module>} [packed.interpreter]
 * @param {() => Promise<Loaded>} load
 */
async function withPackedFiles({ libraryAddress, library, ...packed }, load) {
  const { fetch } = self;
  const { instantiateStreaming } = WebAssembly;
  self.fetch = async (input, options) => {
    const address = new URL(input instanceof Request ? input.url : input, location.href).href;
    if (library && address === libraryAddress) return new Response(await library);
    // What is fetched here is not read: it is compiled already.
    if (packed.interpreter && address === packed.interpreterAddress) return new Response();
    return fetch(input, options);
  };
  WebAssembly.instantiateStreaming = async (source, imports) => {
    try {
      if (!packed.interpreter) return await instantiateStreaming(source, imports);
      const module = await packed.interpreter;
      return { module, instance: await WebAssembly.instantiate(module, imports) };
    } catch (error) {
      throw failed(error);
    }
  };
  try {
    return await load();
  } finally {
    self.fetch = fetch;
    WebAssembly.instantiateStreaming = instantiateStreaming;
  }
}

// --- Answers -----------------------------------------------------------------------------------

/** The questions that are answered in parts and still wanted. @type {Set<number>} */
const followed = new Set();
const { port1: bell, port2: rope } = new MessageChannel();
/** @type {(() => void)[]} */
const waitingForTurn = [];
bell.onmessage = () => waitingForTurn.shift()?.();

/** Lets the messages that have come be heard first. @returns {Promise<void>} */
function turn() {
  return new Promise((resolve) => {
    waitingForTurn.push(resolve);
    rope.postMessage(null);
  });
}

/** @param {Started} started @param {number} id @param {string} request */
async function answer(started, id, request) {
  const text = await withLater(started, () => started.entry.reply(request));
  page.postMessage({ kind: "answer", id, text });
}

/** @param {Started} started @param {number} id @param {string} request */
async function answerInParts(started, id, request) {
  let parts = started.entry.stream(request);
  const next = () => parts.next();
  const anew = () => {
    parts.destroy();
    parts = started.entry.stream(request);
  };
  try {
    let part = null;
    for (;;) {
      await turn();
      if (!followed.has(id)) break;
      part = part === null ? await withLater(started, next, anew) : next();
      if (part.done) break;
      page.postMessage({ kind: "part", id, text: part.value });
    }
    page.postMessage({ kind: "end", id });
  } finally {
    followed.delete(id);
    parts.destroy();
  }
}

// --- The second archive ---------------------------------------------------------------------------

/** @type {Promise<void> | null} */
let later = null;

/**
 * Does what may want a module of the second archive; if it does, loads that and does it again.
 * @template Value
 * @param {Started} started @param {() => Value} act @param {() => void} [anew] before the second time
 * @returns {Promise<Value>}
 */
async function withLater(started, act, anew = () => {}) {
  try {
    return act();
  } catch (error) {
    const named = /No module named '([\w.]+)'/.exec(wordsOf(error))?.[1];
    const isLater = named !== undefined && started.manifest.later?.includes(named);
    if (!isLater) throw error;
  }
  later ??= addLater(started);
  await later.catch((error) => {
    later = null; // The next question tries again.
    throw error;
  });
  anew();
  return act();
}

/** @param {Started} started */
async function addLater({ python, entry, manifest }) {
  const large = /** @type {LargeFile} */ (manifest.large.later);
  [filesWanted, filesHere] = [0, 0];
  page.postMessage({ kind: "later", here: 0, wanted: large.pieces.length });
  try {
    python.FS.writeFile(LATER_PATH, await bytesOf(large));
    entry.add_later(LATER_PATH);
  } finally {
    page.postMessage({ kind: "later", here: 1, wanted: 1 });
  }
}

/** What went wrong, in one line: of Python's report only the last one is for a person. */
function wordsOf(/** @type {unknown} */ error) {
  const words = error instanceof Error ? error.message || error.name : String(error);
  const lines = words.trim().split("\n");
  return lines.findLast((line) => /^[\w.]+(Error|Exception):/.test(line)) ?? lines.at(-1) ?? "";
}

/** @param {unknown} error @returns {Reason} */
function reasonOf(error) {
  if (error instanceof StartError) return error.reason;
  if (error instanceof RangeError || /memory/i.test(wordsOf(error))) return "memory";
  return error instanceof WebAssembly.CompileError ? "refused" : "stopped";
}

/** Whether the interpreter itself is gone, not only the one question. @param {any} error */
function isFatal(error) {
  return Boolean(error?.pyodide_fatal_error) || error instanceof WebAssembly.RuntimeError;
}

// --- Keeping the started Python ------------------------------------------------------------------

/** @type {ReturnType<typeof setTimeout> | undefined} */
let keeping;

/** Writes the snapshot once nothing has been asked for a while. */
function keepWhenQuiet() {
  clearTimeout(keeping);
  keeping = setTimeout(async () => {
    const now = await started;
    if (now.toKeep === undefined) return;
    if (followed.size) return keepWhenQuiet();
    const { name, snapshot } = now.toKeep;
    now.toKeep = undefined;
    const kept = await snapshots.write(name, snapshot, turn).catch(() => false);
    page.postMessage({ kind: "kept", kept });
  }, QUIET_BEFORE_KEEPING_MS);
}

// --- Listening -----------------------------------------------------------------------------------

// The page waits for this word: without it the scripts may hang on a dead line.
page.postMessage({ kind: "here" });
const started = Promise.race([start(), failure]);
started.then(
  ({ python, restored, toKeep }) => {
    const memory = python._module.HEAPU8.byteLength;
    page.postMessage({ kind: "ready", milliseconds: performance.now(), memory, restored });
    if (toKeep) keepWhenQuiet();
    else if (!restored) page.postMessage({ kind: "kept", kept: false });
  },
  (error) => page.postMessage({ kind: "failed", reason: reasonOf(error), detail: wordsOf(error) }),
);

page.addEventListener("message", async ({ data }) => {
  const told = /** @type {Told} */ (data);
  if (told.kind === "follow") followed.add(told.id);
  if (told.kind === "cancel") {
    followed.delete(told.id);
    return;
  }
  try {
    const now = await started;
    if (told.kind === "ask") await answer(now, told.id, told.request);
    else await answerInParts(now, told.id, told.request);
    keepWhenQuiet();
  } catch (error) {
    if (isFatal(error)) {
      page.postMessage({ kind: "failed", reason: reasonOf(error), detail: wordsOf(error) });
    } else if (error instanceof StartError) {
      page.postMessage({ kind: "absent", id: told.id, detail: wordsOf(error) });
    } else {
      page.postMessage({ kind: "error", id: told.id, detail: wordsOf(error) });
    }
  }
});
