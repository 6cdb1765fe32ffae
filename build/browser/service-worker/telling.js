// @ts-check
// What the pages are told of the copy.

import { copy, worker } from "./copy.js";
import { CopyError, missingOf } from "./store.js";

/** What is under way now. */
export const work = { isFilling: false };

/** @param {unknown} error */
export function failure(error) {
  if (error instanceof CopyError) {
    return { failed: error.reason, file: error.path, detail: error.message };
  }
  // What the browser itself throws here comes from its storage: refused, full or broken.
  return { failed: error instanceof DOMException ? "room" : "other", detail: String(error) };
}

export async function tellState(extra = {}) {
  try {
    const missing = await missingOf(copy.files);
    await tell({ ready: copy.files.length - missing.length, filling: work.isFilling, ...extra });
  } catch (error) {
    await tell({ ready: 0, filling: work.isFilling, ...failure(error) });
  }
}

/** @param {object} news */
export async function tell(news) {
  const { version, bytes, built } = copy;
  const message = { tell: "copy", version, of: copy.files.length, bytes, built, ...news };
  for (const page of await worker.clients.matchAll({ includeUncontrolled: true, type: "window" })) {
    page.postMessage(message);
  }
}
