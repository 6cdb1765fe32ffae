// @ts-check
// Abbreviations open where they stand, by tap or by key: "ER (equalizing reservoir)". Without this
// script their words are still the title that a pointer shows, and the glossary lists them.

const SHORT = ".md-content abbr[title]";
// What already answers a tap; an abbreviation inside it stays plain.
const TAKEN = "a, button, label, summary, select, h1, h2, h3, h4";

document.addEventListener("click", (event) => {
  const short = shortAt(event.target);
  if (short) turn(short);
});

document.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" && event.key !== " ") return;
  const short = shortAt(event.target);
  if (!short || short !== event.target) return;
  event.preventDefault();
  turn(short);
});

// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(() => makeReachable());
else makeReachable();

/** The first of each kind on a page is a stop for Tab and is marked; a tap opens any of them. */
function makeReachable() {
  const seen = new Set();
  for (const short of document.querySelectorAll(SHORT)) {
    const text = short.textContent ?? "";
    if (seen.has(text) || short.closest(TAKEN)) continue;
    seen.add(text);
    short.setAttribute("role", "button");
    short.setAttribute("tabindex", "0");
    short.setAttribute("aria-expanded", "false");
  }
}

/** @param {EventTarget | null} target */
function shortAt(target) {
  const short = target instanceof Element ? target.closest(SHORT) : null;
  return short instanceof HTMLElement && !short.closest(TAKEN) ? short : null;
}

/** @param {HTMLElement} short */
function turn(short) {
  const shown = short.nextElementSibling;
  const open = shown instanceof HTMLElement && shown.classList.contains("expansion");
  if (open) {
    shown.remove();
  } else {
    const words = document.createElement("span");
    words.className = "expansion";
    words.textContent = ` (${short.title})`;
    short.after(words);
  }
  if (short.hasAttribute("aria-expanded")) short.setAttribute("aria-expanded", String(!open));
}

export {};
