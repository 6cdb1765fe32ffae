// @ts-check
// Groups that open stay as they were left, from page to page and visit to visit: who wants the
// working wants it next time too. Only the names of the open ones are kept, on this device.

import { keepValue, keptValue } from "./device-store.js";

const KEPT = "open-groups";
const MOST = 60;

/** @returns {string[]} */
function kept() {
  const names = keptValue(KEPT);
  return Array.isArray(names) ? names.filter((name) => typeof name === "string") : [];
}

/**
 * Open what was left open, in a page or in a part that was put in anew.
 * @param {ParentNode} root
 */
export function restoreGroups(root) {
  const open = kept();
  for (const found of root.querySelectorAll("details[data-group]")) {
    const group = /** @type {HTMLDetailsElement} */ (found);
    if (open.includes(nameOf(group))) group.open = true;
  }
}

/** The name of a group: those of the page's own text belong to the page. @param {HTMLElement} group */
function nameOf(group) {
  const name = group.dataset.group ?? "";
  return group.closest(".embed") ? name : `${location.pathname} ${name}`;
}

document.addEventListener(
  "click",
  (event) => {
    const summary = event.target instanceof Element ? event.target.closest("summary") : null;
    const group = summary?.parentElement;
    if (!(group instanceof HTMLDetailsElement) || !group.dataset.group) return;
    // The click comes before the change.
    const names = kept().filter((name) => name !== nameOf(group));
    if (!group.open) names.push(nameOf(group));
    // Where nothing can be kept the groups start closed.
    keepValue(KEPT, names.slice(-MOST));
  },
  { capture: true },
);

// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(() => restoreGroups(document));
else restoreGroups(document);
