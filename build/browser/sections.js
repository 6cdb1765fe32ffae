// @ts-check
// The mark behind a heading, a limit or a term copies the link to that place, with one tap.

import { copyText } from "./copying.js";

document.addEventListener("click", copyLink, { capture: true });

/**
 * Caught on the way down: on a page asked with inputs the theme would load it anew for the jump,
 * and with it every answer.
 * @param {MouseEvent} event
 */
function copyLink(event) {
  const mark = event.target instanceof Element ? event.target.closest(".md-content .headerlink") : null;
  if (!(mark instanceof HTMLAnchorElement) || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  event.stopPropagation();
  // What a calculator above was asked stays out: this link is to the text.
  copyText(`${location.origin}${location.pathname}${new URL(mark.href).hash}`, mark);
}
