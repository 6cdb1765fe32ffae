// @ts-check
// What changed since the copy that this device had: the history's entries are counted from the
// oldest, and the device keeps how many it knew. Told once above the foot of the window until it is
// read or closed; the history marks the newer entries until the next copy comes.

import { keepValue, keptValue } from "./device-store.js";
import { buttonWith, toolsOf, withText } from "./making.js";

const KEPT = "entries of the history";
const HISTORY = new URL("../about/changes/", import.meta.url);

/**
 * @typedef {object} Known
 * @property {number} before entries that the copy had which stood here before
 * @property {number} now entries of the copy that stands here
 * @property {boolean} told whether the reader has heard of them
 */

/** @param {number} here entries of this copy @returns {Known} */
function known(here) {
  const fresh = { before: here, now: here, told: true };
  const { before, now, told } = keptValue(KEPT) ?? {};
  if (!Number.isInteger(before) || !Number.isInteger(now)) return fresh;
  if (here > now) return { before: now, now: here, told: false };
  // Set back to an older copy: nothing here is newer than what was known.
  return here < now ? fresh : { before, now, told: Boolean(told) };
}

/** @param {Known} what */
function keep(what) {
  // Where nothing can be kept nothing is told at the next copy.
  keepValue(KEPT, what);
}

/** On each page: note what this copy holds, mark or tell what is newer. */
export function tellWhatChanged() {
  document.querySelector(".copy-changed")?.remove();
  const status = document.querySelector(".copy-status");
  const here = Number(status instanceof HTMLElement ? status.dataset.entries : NaN);
  if (!Number.isInteger(here)) return;
  const found = known(here);
  if (location.pathname === HISTORY.pathname) {
    mark(found.before);
    keep({ ...found, told: true });
    return;
  }
  keep(found);
  if (!found.told && found.now > found.before) tell(found);
}

/** @param {number} before */
function mark(before) {
  for (const entry of document.querySelectorAll("[data-entry]")) {
    if (!(entry instanceof HTMLElement) || Number(entry.dataset.entry) <= before) continue;
    if (entry.querySelector(".since")) continue;
    const words = withText("i", "since the copy you had: ");
    words.className = "since";
    entry.prepend(words);
  }
}

/** @param {Known} found */
function tell(found) {
  const count = found.now - found.before;
  const notice = document.createElement("aside");
  notice.className = "copy-offer copy-changed md-banner";
  notice.setAttribute("aria-label", "What changed");
  const link = document.createElement("a");
  link.href = HISTORY.href;
  link.textContent = "See what changed";
  const close = buttonWith("Close", () => {
    keep({ ...found, told: true });
    notice.remove();
  });
  const inner = document.createElement("div");
  inner.className = "md-banner__inner md-grid md-typeset";
  const tools = toolsOf(link, close);
  inner.append(withText("p", `${count} ${count === 1 ? "thing" : "things"} changed since the copy you had.`), tools);
  notice.append(inner);
  (document.querySelector(".md-container") ?? document.body).prepend(notice);
}

// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(() => tellWhatChanged());
else tellWhatChanged();
