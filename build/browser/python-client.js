// @ts-check
// The page's side of the Python worker: one worker for the document, questions in, answers out.
//
// Each asking form has a lane of its own. In a lane the last question wins: a newer question takes
// the place of one that waits and of one under way, and whoever asked the older is told that it was
// superseded. What is asked before Python is ready waits for it. The theme's instant navigation keeps this module and
// its worker alive from page to page.

import { mendLater } from "./mending.js";

/**
 * @typedef {"browser" | "file" | "memory" | "refused" | "stopped"} Reason
 *
 * @typedef {object} State
 * @property {"idle" | "starting" | "ready" | "failed"} phase
 * @property {string} words what a person can be told; empty unless starting, failed, or fetching the
 *   second archive for somebody's question
 * @property {boolean} mayRetry whether trying again can help now
 * @property {number} [milliseconds] how long the start took
 * @property {number} [memory] bytes of the interpreter's memory after the start
 * @property {boolean} [restored] whether it started from the snapshot kept on this device
 * @property {boolean} [kept] whether a snapshot was kept for the next start
 *
 * @typedef {object} Asking
 * @property {string | object} [form] whose question it is; without one it has a lane to itself
 * @property {AbortSignal} [signal] takes the question back
 *
 * @typedef {object} Question
 * @property {number} id
 * @property {"ask" | "follow"} kind
 * @property {string} request
 * @property {Lane} lane
 * @property {(reply: any) => void} resolve
 * @property {(error: Error) => void} reject
 * @property {(part: any) => void} onPart
 * @property {any} [lastPart]
 *
 * @typedef {object} Lane
 * @property {string | object} form
 * @property {Question | null} underWay
 * @property {Question | null} waiting
 */

// The worker's first word comes when these few small scripts are here. When it is late, they are fetched
// beside it, as the worker does with a script of the runtime: once that is over and it still says nothing,
// or after a while anyway, it waits on a dead line.
const WORKER_SCRIPTS = [
  "python-worker.js",
  "copy-stamp.js",
  "kept-files.js",
  "patient-fetch.js",
  "python-snapshot.js",
  "unpacking.js",
];
const LATE_MS = 12_000;
const RUN_MS = 2_000;
const GIVEN_UP_MS = 16_000;

const SUPERSEDED = Object.freeze({ superseded: true });

/** @type {Record<Reason, string>} */
const WORDS = {
  browser: "This browser is too old for live answers.",
  file: "A part of the calculators could not be loaded.",
  memory: "This device has too little free memory for live answers. Close other pages and try again.",
  refused: "This browser refused to start the calculators; a security setting may be the cause.",
  stopped: "The calculators stopped unexpectedly.",
};

/** There is no answer, and the message says why in words for the user. */
export class NoAnswerError extends Error {}

/** @type {Worker | null} */
let worker = null;
/** @type {State} */
let state = { phase: "idle", words: "", mayRetry: false };
/** @type {Reason | null} */
let failure = null;
let lastId = 0;
// Whether the started Python may be kept on this device. Not on the phones and tablets whose
// browsers have been seen to fall over when memory is short, until it has been tried on one.
let snapshots = !(
  /iP(hone|ad|od)/.test(navigator.userAgent) ||
  (/Macintosh/.test(navigator.userAgent) && navigator.maxTouchPoints > 1)
);
/** @type {Map<number, Question>} */
const sent = new Map();
/** @type {Map<string | object, Lane>} */
const lanes = new Map();
/** @type {Set<(state: State) => void>} */
const listeners = new Set();

/**
 * Asks one question.
 * @param {object} request what `calculators.browser.reply` takes
 * @param {Asking} [asking]
 * @returns {Promise<any>} the reply; `{superseded: true}` if a newer question took its place
 */
export function ask(request, asking = {}) {
  return enter("ask", request, asking, () => {});
}

/**
 * Asks a question whose answer comes in parts.
 * @param {object} request what `calculators.browser.stream` takes
 * @param {Asking & {onPart: (part: any) => void}} asking
 * @returns {Promise<any>} the last part; `{superseded: true}` if a newer question took its place
 */
export function follow(request, { onPart, ...asking }) {
  return enter("follow", request, asking, onPart);
}

/** Starts Python if it is not started or starting. */
export function start() {
  if (worker !== null || state.phase === "failed") return;
  change({ phase: "starting", words: "Working: starting the calculators", mayRetry: false });
  const mine = newModuleWorker(new URL("./python-worker.js", import.meta.url));
  worker = mine;
  if (mine === null) {
    fail("browser", "no module workers");
    return;
  }
  const late = setTimeout(async () => {
    await Promise.race([fetchBeside(), pause(GIVEN_UP_MS)]);
    await pause(RUN_MS);
    if (worker === mine && !hasSpoken) fail("file", "the worker's script hangs");
  }, LATE_MS);
  let hasSpoken = false;
  mine.addEventListener("message", ({ data }) => {
    hasSpoken = true;
    clearTimeout(late);
    if (worker === mine) hear(data);
  });
  mine.addEventListener("error", (event) => {
    event.preventDefault();
    if (worker === mine) fail("file", event.message || "the worker's script");
  });
}

/** Fetches the worker's scripts past the browser's cache, which a hanging request keeps shut for the next one. */
async function fetchBeside() {
  const fetched = WORKER_SCRIPTS.map(async (name) => {
    const response = await fetch(new URL(name, import.meta.url), { cache: "reload" });
    await response.arrayBuffer();
  });
  await Promise.allSettled(fetched);
}

/** @param {number} milliseconds */
function pause(milliseconds) {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}

/**
 * Starts a worker whose script is a module; null in a browser that does not know such workers,
 * which shows in that it never reads the option.
 * @param {URL} address
 */
function newModuleWorker(address) {
  if (typeof Worker === "undefined") return null;
  let known = false;
  const started = new Worker(address, {
    name: snapshots ? "with snapshots" : "without snapshots",
    get type() {
      known = true;
      return /** @type {"module"} */ ("module");
    },
  });
  if (known) return started;
  started.terminate();
  return null;
}

/** Starts Python when the page has nothing better to do. */
export function warm() {
  if ("requestIdleCallback" in window) requestIdleCallback(() => start(), { timeout: 2000 });
  else setTimeout(start, 200);
}

/** Tries again after a failure. */
export function retry() {
  if (state.phase !== "failed") return;
  failure = null;
  change({ phase: "idle", words: "", mayRetry: false });
  start();
}

/**
 * Tells of the state, now and at every change.
 * @param {(state: State) => void} listener
 * @param {{signal?: AbortSignal}} [options]
 */
export function watchState(listener, { signal } = {}) {
  if (signal?.aborted) return;
  listeners.add(listener);
  signal?.addEventListener("abort", () => listeners.delete(listener), { once: true });
  listener(state);
}

// --- Lanes -------------------------------------------------------------------------------------

/**
 * @param {"ask" | "follow"} kind @param {object} request @param {Asking} asking
 * @param {(part: any) => void} onPart
 * @returns {Promise<any>}
 */
function enter(kind, request, { form, signal }, onPart) {
  if (signal?.aborted) return Promise.resolve(SUPERSEDED);
  if (state.phase === "failed") return Promise.reject(new NoAnswerError(state.words));
  const lane = laneOf(form ?? {}); // An object of its own stands for no form.
  const answer = new Promise((resolve, reject) => {
    const id = ++lastId;
    const question = { id, kind, request: JSON.stringify(request), lane, resolve, reject, onPart };
    signal?.addEventListener("abort", () => takeBack(question), { once: true });
    if (lane.underWay) takeBack(lane.underWay);
    if (lane.waiting) takeBack(lane.waiting);
    lane.waiting = question;
  });
  start();
  send(lane);
  return answer;
}

/** @param {string | object} form @returns {Lane} */
function laneOf(form) {
  let lane = lanes.get(form);
  if (lane === undefined) {
    lane = { form, underWay: null, waiting: null };
    lanes.set(form, lane);
  }
  return lane;
}

/** Sends the question that waits, unless another is under way. @param {Lane} lane */
function send(lane) {
  if (state.phase !== "ready" || lane.underWay || !lane.waiting) return;
  const question = lane.waiting;
  lane.underWay = question;
  lane.waiting = null;
  sent.set(question.id, question);
  worker?.postMessage({ kind: question.kind, id: question.id, request: question.request });
}

/** The one who asked no longer wants the answer. @param {Question} question */
function takeBack(question) {
  question.resolve(SUPERSEDED);
  question.onPart = () => {};
  if (question.lane.waiting === question) question.lane.waiting = null;
  if (question.lane.underWay === question && question.kind === "follow") {
    worker?.postMessage({ kind: "cancel", id: question.id });
  }
}

/** The worker is through with a question. @param {Question} question */
function close(question) {
  const { lane } = question;
  sent.delete(question.id);
  lane.underWay = null;
  if (lane.waiting) send(lane);
  else lanes.delete(lane.form);
}

// --- What the worker says ----------------------------------------------------------------------

/** @param {any} said */
function hear(said) {
  if (said.kind === "here") return;
  if (said.kind === "progress") {
    const share = Math.floor((100 * said.here) / said.wanted);
    const words = share < 100 ? `Working: getting the calculators, ${share} %` : "Working: starting the calculators";
    if (state.phase === "starting") change({ ...state, words });
    return;
  }
  if (said.kind === "later") {
    const share = Math.floor((100 * said.here) / said.wanted);
    const words = share < 100 ? `Working: getting the part for study, worksheets and fault finding, ${share} %` : "";
    if (state.phase === "ready") change({ ...state, words });
    return;
  }
  if (said.kind === "ready") {
    const { milliseconds, memory, restored } = said;
    change({ phase: "ready", words: "", mayRetry: false, milliseconds, memory, restored });
    for (const lane of lanes.values()) send(lane);
    return;
  }
  if (said.kind === "kept") {
    change({ ...state, kept: said.kept });
    return;
  }
  if (said.kind === "failed" && said.reason === "snapshot") {
    // The short cut is gone; whoever waits gets the answer the usual way.
    worker?.terminate();
    worker = null;
    snapshots = false;
    start();
    return;
  }
  if (said.kind === "failed") {
    fail(said.reason, said.detail);
    return;
  }
  const question = sent.get(said.id);
  if (question === undefined) return;
  if (said.kind === "part") {
    question.lastPart = JSON.parse(said.text);
    question.onPart(question.lastPart);
    return;
  }
  if (said.kind === "answer") question.resolve(JSON.parse(said.text));
  else if (said.kind === "end") question.resolve(question.lastPart ?? {});
  else
    question.reject(
      new NoAnswerError(
        said.kind === "absent" ? absent(said.detail) : `This question could not be answered (${said.detail}).`,
      ),
    );
  close(question);
}

/** Of the second archive, which was not to be had. @param {string} detail */
function absent(detail) {
  return `The part for study, worksheets and fault finding is not on this device yet (${detail}). It is fetched by itself when there is a line; then ask again.`;
}

/** @param {Reason} reason @param {string} detail */
function fail(reason, detail) {
  worker?.terminate();
  worker = null;
  failure = reason;
  const words = `${WORDS[reason]} (${detail})`;
  const open = [...lanes.values()].flatMap(({ underWay, waiting }) => [underWay, waiting]);
  lanes.clear();
  sent.clear();
  change({ phase: "failed", words, mayRetry: mayRetry() });
  for (const question of open) question?.reject(new NoAnswerError(words));
  if (reason === "file") mendLater(mayHelp, retry);
}

/** Whether it is still worth while to look for the missing file. */
function mayHelp() {
  return state.phase === "failed" && failure === "file";
}

/** Whether a new try can help: a missing file only while on line, an old browser never. */
function mayRetry() {
  return failure !== null && failure !== "browser" && (failure !== "file" || navigator.onLine);
}

/** @param {State} next */
function change(next) {
  state = next;
  for (const listener of listeners) listener(state);
}

for (const turn of ["online", "offline"]) {
  window.addEventListener(turn, () => {
    if (state.phase === "failed") change({ ...state, mayRetry: mayRetry() });
  });
}
