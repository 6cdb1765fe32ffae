// @ts-check
// Day or night as the device has it, until the reader chooses; a choice that is what the device has
// anyway is no choice, and the device leads again. The head's own script does the same before the
// first paint.

import { keepText, keptText } from "./device-store.js";

const KEPT = "day-or-night";
const dark = matchMedia("(prefers-color-scheme: dark)");
const PAINT = { day: "#20262b", night: "#0d1013" };

/** @returns {"day" | "night" | ""} */
function chosen() {
  const kept = keptText(KEPT);
  return kept === "day" || kept === "night" ? kept : "";
}

/** @type {"day" | "night" | ""} what was chosen where nothing can be kept */
let forNow = "";

/** @returns {"day" | "night"} */
function shown() {
  return chosen() || forNow || (dark.matches ? "night" : "day");
}

function show() {
  const now = shown();
  document.body.dataset.mdColorScheme = now === "night" ? "slate" : "default";
  document.querySelector("meta[name=theme-color]")?.setAttribute("content", PAINT[now]);
  for (const button of document.querySelectorAll("[data-do=night]")) {
    button.setAttribute("aria-pressed", String(now === "night"));
  }
}

function turn() {
  const next = shown() === "night" ? "day" : "night";
  const asDevice = (next === "night") === dark.matches;
  forNow = asDevice ? "" : next;
  // Where nothing can be kept it holds for this visit.
  keepText(KEPT, asDevice ? null : next);
  show();
}

document.addEventListener("click", (event) => {
  if (event.target instanceof Element && event.target.closest("[data-do=night]")) turn();
});
dark.addEventListener("change", show);
window.addEventListener("storage", (event) => {
  if (event.key === KEPT || event.key === null) show();
});
// The theme swaps the foot of the page with the page.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(show);
else show();

// Paper is light, whatever the screen is: while a page prints, the colors of the day count.
/** @type {string | undefined} */
let onScreen;
addEventListener("beforeprint", () => {
  onScreen ??= document.body.dataset.mdColorScheme;
  document.body.dataset.mdColorScheme = "default";
});
addEventListener("afterprint", () => {
  if (onScreen !== undefined) document.body.dataset.mdColorScheme = onScreen;
  onScreen = undefined;
});
