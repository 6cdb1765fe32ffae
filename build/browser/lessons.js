// @ts-check
// Lessons that were done: marked at the foot of each, shown in the reading order, and where to go on.
// Kept on the device only; without a place to keep them the marks are not offered.

import { keepValue, keptText, keptValue } from "./device-store.js";

const KEPT = "lessons-done";
const ROOT = new URL("..", import.meta.url);

/** @returns {Set<string> | null} pages as addresses below the site's root; null if nothing is kept here */
function done() {
  if (keptText(KEPT) === undefined) return null;
  const kept = keptValue(KEPT);
  return new Set(Array.isArray(kept) ? kept.filter((one) => typeof one === "string") : []);
}

/** @param {Set<string>} pages */
function keep(pages) {
  // Where nothing can be kept the mark lasts as long as the page.
  keepValue(KEPT, [...pages]);
}

function here() {
  return new URL(location.pathname, location.href).href.slice(ROOT.href.length).replace(/\/$/, "");
}

function show() {
  const pages = done();
  const button = document.querySelector("[data-do=lesson-done]");
  if (!pages) return;
  if (button instanceof HTMLElement && button.parentElement) {
    const isDone = pages.has(here());
    button.parentElement.hidden = false;
    button.setAttribute("aria-pressed", String(isDone));
    button.textContent = isDone ? "✓ Done" : "Mark as done";
  }
  /** @type {HTMLElement[]} */
  const lessons = [...document.querySelectorAll(".lessons li[data-page]")].filter((one) => one instanceof HTMLElement);
  if (!lessons.length) return;
  for (const lesson of lessons) {
    lesson.toggleAttribute("data-done", pages.has((lesson.dataset.page ?? "").replace(/\/$/, "")));
  }
  const place = document.querySelector(".lessons-resume");
  const next = lessons.find((lesson) => !lesson.hasAttribute("data-done"));
  const link = next?.querySelector("a");
  if (!(place instanceof HTMLElement) || !link) return;
  const count = lessons.length - lessons.filter((one) => !one.hasAttribute("data-done")).length;
  const go = document.createElement("a");
  go.href = link.href;
  go.textContent = link.textContent;
  place.replaceChildren(`${count} of ${lessons.length} done. ${count ? "Go on with" : "Begin with"} `, go, ".");
}

document.addEventListener("click", ({ target }) => {
  if (!(target instanceof Element) || !target.closest("[data-do=lesson-done]")) return;
  const pages = done() ?? new Set();
  if (!pages.delete(here())) pages.add(here());
  keep(pages);
  show();
});

// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(() => show());
else show();
