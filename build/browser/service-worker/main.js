// @ts-check
// The site's service worker: keeps a whole, checked copy of the site on the device.
//
// The build joins these modules into one script, `service-worker.js`, and writes one line before it
// that sets `self.COPY`: the list of all files with their SHA-256. Files are stored under their hash,
// so an update fetches only what changed and a cut download goes on where it stopped. Nothing is
// stored whose bytes are not the listed ones, and nothing is handed out either: what the store has
// damaged is fetched again. A newer worker waits, with its whole copy fetched, until the user takes
// it. The scripts lie in a folder that is named after the copy, and every page names the copy it is
// of: no page of one copy can come by a script, or by the Python, of another.

import { answer, pastTheStore } from "./answering.js";
import { copy, pathInside, worker } from "./copy.js";
import { collect, takeApart } from "./fetching.js";
import { prune } from "./older.js";
import { kept, looked, missingOf, openedAnew, readRecord, recordCopy, writeRecord } from "./store.js";
import { counts, failure, tell, tellState, work } from "./telling.js";
import { keepUnpacked } from "./unpacked.js";

// The files that nobody asks for are looked through when the page has had its own.
const LOOK_THROUGH_AFTER_MS = 5000;

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));
worker.addEventListener("message", (event) => {
  if (event.data?.ask === "state") event.waitUntil(tellState().then(keepUnpacked).then(lookThrough));
  if (event.data?.ask === "fill") event.waitUntil(fill());
  if (event.data?.ask === "who") event.waitUntil(tell({ waits: true }));
  if (event.data?.ask === "take over") event.waitUntil(worker.skipWaiting());
});
worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const path = pathInside(url);
  // What a page asks to see whether there is a line goes past the copy.
  if (event.request.method !== "GET" || path === null || url.search === "?line") return;
  event.respondWith(answer(event.request, path, url.search).catch(() => pastTheStore(event.request)));
});

/** A first visit waits only for the small files; an update for all, as the old copy still serves. */
async function install() {
  const isFirst = worker.registration.active === null;
  try {
    await recordCopy();
    if (isFirst) for (const path of Object.keys(copy.joined)) await takeApart(path);
    await collect(isFirst ? copy.files.slice(0, copy.core) : copy.files, !isFirst);
  } catch (error) {
    const missing = await missingOf(copy.files).catch(() => copy.files);
    await tell({ newer: !isFirst, ...counts(missing), ...failure(error) });
    throw error;
  }
}

async function activate() {
  await worker.clients.claim();
  try {
    const active = await readRecord("active");
    if (active?.version !== copy.version) {
      await writeRecord("active", { version: copy.version, before: active?.version ?? null });
    }
    await prune();
  } catch {
    // Only room is lost by this, until the next copy comes.
  }
}

/** @type {Promise<void> | null} */
let filling = null;

/** Fetch what is missing of the copy that serves: the rest of a first visit, or evicted files. */
async function fill() {
  filling ??= fetchAll().finally(() => (filling = null));
  await filling.then(
    () => tellState().then(keepUnpacked),
    (error) => tellState(failure(error)),
  );
}

async function fetchAll() {
  work.isFilling = true;
  try {
    await openedAnew();
    await collect(copy.files, false);
  } finally {
    work.isFilling = false;
  }
}

/** Check every kept file once in this worker's life; what is damaged goes, and is said to be missing. */
async function lookThrough() {
  if (looked.through) return;
  looked.through = true;
  await new Promise((wake) => setTimeout(wake, LOOK_THROUGH_AFTER_MS));
  const before = await missingOf(copy.files).catch(() => copy.files);
  const lost = new Set(before.map(([path]) => path));
  for (const [path, hash] of copy.files) if (!lost.has(path)) await kept(hash);
  for (const { hash } of copy.unpacked) await kept(hash);
  looked.through = true;
  const after = await missingOf(copy.files).catch(() => copy.files);
  if (after.length !== before.length) await tellState();
  await keepUnpacked();
}
