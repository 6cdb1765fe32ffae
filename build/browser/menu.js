// @ts-check
// The menu: opened by its button (the head's own script), closed by Back, Escape, or by going to a page.

import { layerClosed, layerOpened, leaveTo } from "./layers.js";

const drawer = /** @type {HTMLInputElement} */ (document.getElementById("__drawer"));
const opener = /** @type {HTMLElement | null} */ (document.querySelector("[data-do=menu]"));

drawer.addEventListener("change", changed);
changed();

function changed() {
  opener?.setAttribute("aria-expanded", String(drawer.checked));
  if (drawer.checked) layerOpened(() => set(false));
  else void layerClosed();
}

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || !drawer.checked) return;
  set(false);
  opener?.focus();
});

document.addEventListener(
  "click",
  (event) => {
    if (!drawer.checked || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const link = event.target instanceof Element ? event.target.closest(".md-nav--primary a") : null;
    if (!(link instanceof HTMLAnchorElement)) return;
    event.preventDefault();
    event.stopPropagation();
    const left = leaveTo(link.href);
    set(false);
    void left;
  },
  { capture: true },
);

/** @param {boolean} open */
function set(open) {
  if (drawer.checked === open) return;
  // A click, not a change of the property: the theme listens for it too.
  drawer.click();
}
