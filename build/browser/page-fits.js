// @ts-check
// Whether the page on show is of the copy that the scripts are of.
//
// The theme swaps pages under running scripts: once another copy serves, that page is of another
// copy than they are. Its figures and theirs must not stand together, so it is loaded as a whole.

import { ours } from "./copy-stamp.js";

function pageFits() {
  const place = document.querySelector(".copy-status[data-copy]");
  const theirs = place instanceof HTMLElement ? (place.dataset.copy ?? "") : "";
  return !ours || !theirs || theirs === ours;
}

/** Load a page of another copy as a whole. @returns {boolean} whether it is being loaded */
export function loadedAnewUnlessItFits() {
  if (pageFits()) return false;
  location.reload();
  return true;
}
