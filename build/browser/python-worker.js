// @ts-check
// The page's Python: a module worker that starts the packed runtime and answers with it.
//
// It holds no trade knowledge: JSON text goes in, JSON text comes out. Questions are numbered, so
// that the page knows which answer belongs to which. A long question is answered in parts, and
// between two parts the worker hears whatever else it is told, a cancel too.

/**
 * @typedef {object} LargeFile a file that the build compressed and cut
 * @property {number} size
 * @property {string[]} pieces
 *
 * @typedef {object} Manifest runtime.json
 * @property {string} folder
 * @property {string} loader
 * @property {string} module
 * @property {object} [lockFileContents]
 * @property {{calculators: LargeFile, interpreter?: LargeFile, standardLibrary?: LargeFile}} large
 *
 * @typedef {object} Python the part of the runtime's interface that is used here
 * @property {{writeFile(path: string, bytes: Uint8Array): void}} FS
 * @property {(name: string) => any} pyimport
 * @property {{HEAPU8: Uint8Array}} _module
 *
 * @typedef {{kind: "ask" | "follow", id: number, request: string} | {kind: "cancel", id: number}} Told
 * @typedef {"browser" | "file" | "memory" | "refused" | "stopped"} Reason why there is no Python
 */

const CALCULATORS_PATH = "/lib/calculators.zip";
const runtimeFolder = new URL("../runtime/", import.meta.url);
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

// --- Files -------------------------------------------------------------------------------------

let filesWanted = 0;
let filesHere = 0;

/** @param {string} name @param {RequestInit} [options] @returns {Promise<ArrayBuffer>} */
async function file(name, options) {
  filesWanted += 1;
  try {
    const response = await fetch(new URL(name, runtimeFolder), options);
    if (!response.ok) throw new Error(`answer ${response.status}`);
    const bytes = await response.arrayBuffer();
    filesHere += 1;
    page.postMessage({ kind: "progress", here: filesHere, wanted: filesWanted });
    return bytes;
  } catch (error) {
    const named = new StartError("file", `${name}: ${wordsOf(error)}`);
    fail(named);
    throw named;
  }
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
 * Puts a cut file together while it comes.
 * @param {LargeFile} large @param {string} type
 * @returns {Response}
 */
function joined(large, type) {
  const pieces = large.pieces.map((name) => heard(file(name)));
  const packed = new ReadableStream({
    async pull(controller) {
      const piece = pieces.shift();
      if (piece === undefined) controller.close();
      else controller.enqueue(new Uint8Array(await piece));
    },
  });
  const stream = packed.pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream, { headers: { "Content-Type": type } });
}

/** @param {LargeFile} large @returns {Promise<Uint8Array<ArrayBuffer>>} */
async function bytesOf(large) {
  try {
    return new Uint8Array(await joined(large, "application/zip").arrayBuffer());
  } catch (error) {
    throw damaged(large, error);
  }
}

/** @param {LargeFile} large @param {unknown} error */
function damaged(large, error) {
  const named = new StartError("file", `${large.pieces[0]} is damaged: ${wordsOf(error)}`);
  fail(named);
  return named;
}

// --- Start -------------------------------------------------------------------------------------

/** @returns {Promise<{python: Python, browser: any}>} */
async function start() {
  checkBrowser();
  const text = new TextDecoder().decode(await file("runtime.json", { cache: "no-cache" }));
  const manifest = /** @type {Manifest} */ (JSON.parse(text));
  const folder = new URL(manifest.folder, runtimeFolder);
  const { calculators, interpreter, standardLibrary } = manifest.large;
  // All files are asked for before the first is used.
  const loader = heard(script(new URL(manifest.loader, folder)));
  const module = heard(script(new URL(manifest.module, folder)));
  const archive = heard(bytesOf(calculators));
  /** @type {Map<string, Promise<Response>>} */
  const packed = new Map();
  const libraryAddress = new URL("python_stdlib.zip", folder).href;
  if (interpreter) {
    const response = Promise.resolve(joined(interpreter, "application/wasm"));
    packed.set(new URL("pyodide.asm.wasm", folder).href, response);
  }
  if (standardLibrary) {
    const response = bytesOf(standardLibrary).then((bytes) => new Response(bytes));
    packed.set(libraryAddress, heard(response));
  }
  const [{ loadPyodide }, { default: createPyodideModule }] = await Promise.all([loader, module]);
  /** @type {Python} */
  const python = await withPackedFiles(packed, interpreter, () =>
    loadPyodide({
      indexURL: folder.href,
      stdLibURL: libraryAddress,
      createPyodideModule,
      ...(manifest.lockFileContents && {
        lockFileContents: JSON.stringify(manifest.lockFileContents),
      }),
    }),
  );
  python.FS.writeFile(CALCULATORS_PATH, await archive);
  const system = python.pyimport("sys");
  system.path.append(CALCULATORS_PATH);
  system.destroy();
  return { python, browser: python.pyimport("calculators.browser") };
}

/** Says early, and in words, what this browser does not have. */
function checkBrowser() {
  if (typeof WebAssembly === "undefined") {
    throw new StartError("refused", "WebAssembly is switched off");
  }
  if (typeof DecompressionStream === "undefined") {
    throw new StartError("browser", "DecompressionStream");
  }
  try {
    new WebAssembly.Module(Uint8Array.of(0, 0x61, 0x73, 0x6d, 1, 0, 0, 0));
  } catch (error) {
    throw new StartError("refused", wordsOf(error));
  }
}

/** @param {URL} address @returns {Promise<any>} */
async function script(address) {
  try {
    return await import(address.href);
  } catch (error) {
    const named = new StartError("file", `${address.pathname.split("/").pop()}: ${wordsOf(error)}`);
    fail(named);
    throw named;
  }
}

/**
 * Lets the runtime have the packed files when it fetches them by their usual names, and hears of a
 * failure that the runtime would only write to the console before it waits for ever.
 * @template Loaded
 * @param {Map<string, Promise<Response>>} packed
 * @param {LargeFile | undefined} interpreter
 * @param {() => Promise<Loaded>} load
 */
async function withPackedFiles(packed, interpreter, load) {
  const { fetch } = self;
  const { instantiateStreaming } = WebAssembly;
  self.fetch = (input, options) =>
    packed.get(new URL(input instanceof Request ? input.url : input, location.href).href) ??
    fetch(input, options);
  WebAssembly.instantiateStreaming = (source, imports) => {
    const instance = instantiateStreaming(source, imports);
    instance.catch((error) => {
      if (interpreter && !(error instanceof RangeError)) damaged(interpreter, error);
      else fail(new StartError(reasonOf(error), wordsOf(error)));
    });
    return instance;
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

/** @param {any} browser @param {number} id @param {string} request */
function answer(browser, id, request) {
  page.postMessage({ kind: "answer", id, text: browser.reply(request) });
}

/** @param {any} browser @param {number} id @param {string} request */
async function answerInParts(browser, id, request) {
  const parts = browser.stream(request);
  try {
    for (;;) {
      await turn();
      if (!followed.has(id)) break;
      const { done, value } = parts.next();
      if (done) break;
      page.postMessage({ kind: "part", id, text: value });
    }
    page.postMessage({ kind: "end", id });
  } finally {
    followed.delete(id);
    parts.destroy();
  }
}

/** What went wrong, in one line: of Python's report only the last one is for a person. */
function wordsOf(/** @type {unknown} */ error) {
  const words = error instanceof Error ? error.message || error.name : String(error);
  return words.trim().split("\n").at(-1) ?? "";
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

const started = Promise.race([start(), failure]);
started.then(
  ({ python }) =>
    page.postMessage({
      kind: "ready",
      milliseconds: performance.now(),
      memory: python._module.HEAPU8.byteLength,
    }),
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
    const { browser } = await started;
    if (told.kind === "ask") answer(browser, told.id, told.request);
    else await answerInParts(browser, told.id, told.request);
  } catch (error) {
    if (isFatal(error)) {
      page.postMessage({ kind: "failed", reason: reasonOf(error), detail: wordsOf(error) });
    } else {
      page.postMessage({ kind: "error", id: told.id, detail: wordsOf(error) });
    }
  }
});
