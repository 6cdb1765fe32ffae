// @ts-check
// The search over the page: opened from the head and from the home page, closed by Back, Escape or
// its button. The index is loaded when it is opened first; the words and names in it are the build's.

import { layerClosed, layerOpened, leaveTo } from "./layers.js";
import { withText } from "./making.js";
import { prepare, search } from "./search-ranking.js";

/** @typedef {import("./search-ranking.js").Group} Group */

const ROOT = new URL("..", import.meta.url);
const INDEX = new URL("search/search_index.json", ROOT);
/** How many results of a kind stand there at once. */
const CLOSE_AT_ONCE = 5;
const FURTHER_AT_MOST = 30;

/** @type {Record<string, string>} */
const HEADINGS = { answer: "Answers", limit: "Limits", part: "Parts", word: "Words" };

const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("finder"));
const field = /** @type {HTMLInputElement} */ (dialog.querySelector("input"));
const state = /** @type {HTMLElement} */ (dialog.querySelector(".finder-state"));
const results = /** @type {HTMLElement} */ (dialog.querySelector(".finder-results"));
/** @type {Promise<import("./search-ranking.js").Index> | undefined} */
let loading;

// The head's own script opens the search, this module or not; here it is filled.
document.addEventListener("click", ({ target }) => {
  if (target instanceof Element && target.closest("[data-do=search]")) opened();
});
document.addEventListener("keydown", (event) => {
  if (event.key.toLowerCase() !== "k" || !(event.ctrlKey || event.metaKey) || event.altKey) return;
  event.preventDefault();
  if (!dialog.open) dialog.showModal();
  opened();
});
dialog.addEventListener("close", () => void layerClosed());
dialog.addEventListener("click", (event) => {
  const { target } = event;
  if (!(target instanceof Element)) return;
  // What is beside the box is the dialog itself.
  if (target === dialog || target.closest("[data-do=close]")) return dialog.close();
  const link = target.closest("a");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  // Else the theme's own way of following links goes on from the step that is to be taken back.
  event.stopPropagation();
  void follow(link.href);
});
dialog.querySelector("form")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const first = results.querySelector("a");
  if (first) void follow(first.href);
});
field.addEventListener("input", () => void show());
// Browsers let Escape empty such a field first; here it closes, as everywhere.
field.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  event.preventDefault();
  dialog.close();
});

function opened() {
  layerOpened(() => dialog.close());
  field.focus();
  void show();
}

/** @param {string} address */
async function follow(address) {
  const left = leaveTo(address);
  dialog.close();
  await left;
}

/** The index; asked for again after a failure. */
function index() {
  loading ??= load().catch((reason) => {
    loading = undefined;
    throw reason;
  });
  return loading;
}

async function load() {
  const response = await fetch(INDEX);
  if (!response.ok) throw new Error(`the index cannot be had (${response.status})`);
  return prepare(await response.json());
}

async function show() {
  const query = field.value;
  /** @type {import("./search-ranking.js").Index} */
  let ready;
  try {
    ready = await index();
  } catch {
    say("The search cannot be read now. Try again when this copy is whole, or go by the menu.");
    return;
  }
  if (query !== field.value) return;
  if (!query.trim()) {
    results.replaceChildren();
    return say("The first letters will do. Words of the trade count, and other countries' words too.");
  }
  const { close, further, count } = search(ready, query);
  results.replaceChildren(...close.map(section), ...more(close, further));
  say(count === 0 ? `Nothing here goes by "${query.trim()}".` : count === 1 ? "One result" : `${count} results`);
  dialog.scrollTop = 0;
}

/** @param {Group} group */
function section({ kind, found }) {
  const part = document.createElement("section");
  part.append(withText("h2", HEADINGS[kind]), list(found.slice(0, CLOSE_AT_ONCE)));
  return part;
}

/** What is less close, and what of a kind was too much. @param {Group[]} close @param {Group[]} further */
function more(close, further) {
  const left = [
    ...close.flatMap(({ found }) => found.slice(CLOSE_AT_ONCE)),
    ...further.flatMap(({ found }) => found),
  ].slice(0, FURTHER_AT_MOST);
  if (!left.length) return [];
  const box = document.createElement("details");
  box.open = close.length === 0;
  box.append(withText("summary", `Less close: ${left.length}`), list(left));
  return [box];
}

/** @param {import("./search-ranking.js").Found[]} found */
function list(found) {
  const made = document.createElement("ul");
  made.append(
    ...found.map(({ entry, section: inside }) => {
      const link = document.createElement("a");
      link.href = new URL(inside ? `${entry.location}#${inside[0]}` : entry.location, ROOT).href;
      link.append(withText("strong", entry.title));
      if (inside) link.append(withText("span", inside[1]));
      if (entry.says) link.append(withText("small", entry.says));
      const item = document.createElement("li");
      item.append(link);
      return item;
    }),
  );
  return made;
}

if (dialog.open) opened();

/** @param {string} words */
function say(words) {
  if (state.textContent !== words) state.textContent = words;
}
