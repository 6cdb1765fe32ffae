// @ts-check
// The mark behind a heading, a limit or a term copies the link to that place, with one tap.

import { copyText } from "./copying.js";

document.addEventListener("click", (event) => {
  const mark = event.target instanceof Element ? event.target.closest(".md-content .headerlink") : null;
  if (!(mark instanceof HTMLAnchorElement) || event.ctrlKey || event.metaKey || event.shiftKey) return;
  // What a calculator above was asked stays out: this link is to the text.
  const link = `${location.origin}${location.pathname}${new URL(mark.href).hash}`;
  copyText(link, mark);
});
