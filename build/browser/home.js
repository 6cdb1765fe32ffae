// @ts-check
// The home page's own lines: whether the copy is whole, own settings, pages last used, the lesson to
// go on with, and whose the figures are. Every page notes here that it was used; while the
// copy is being fetched, a line in the head of every page shows how far it is.

import { copy } from "./offline.js";
import { withText } from "./making.js";
import { readyWords } from "./offline-words.js";
import { readRecord } from "./settings.js";
import { note, visits } from "./visits.js";

const ROOT = new URL("..", import.meta.url);

/** What a chip has room for. @param {import("./offline-words.js").CopyFacts} facts */
export function chipWords({ support, ready, of, filling }) {
  if (support !== "yes") return "On line only";
  if (ready === null || of === null) return "Looking at this copy …";
  if (ready >= of) return "Ready offline";
  const share = Math.floor((100 * ready) / Math.max(1, of));
  return filling ? `Getting ready offline: ${share} %` : `Not whole yet: ${share} %`;
}

/** @param {string} name */
function place(name) {
  const found = document.querySelector(`[data-home="${name}"]`);
  return found instanceof HTMLElement ? found : null;
}

function showCopy() {
  const { facts } = copy;
  const chip = place("copy");
  if (chip) {
    const words = chipWords(facts);
    if (chip.textContent !== words) chip.textContent = words;
    chip.dataset.whole = facts.ready !== null && facts.ready === facts.of ? "yes" : "no";
    chip.title = readyWords(facts);
  }
  const bar = document.querySelector(".frame-progress");
  if (bar instanceof HTMLElement) {
    const under = facts.filling && facts.ready !== null && facts.of !== null && facts.ready < facts.of;
    bar.hidden = !under;
    if (under) bar.style.setProperty("width", `${(100 * Number(facts.ready)) / Number(facts.of)}%`);
  }
}

function showLines() {
  const settings = place("settings");
  if (settings) settings.textContent = settingsWords();
  const { pages, lesson } = visits();
  const last = place("last");
  if (last) {
    last.replaceChildren(withText("strong", "Last used"), ...pages.map(linkTo));
    last.hidden = pages.length === 0;
  }
  const learn = place("lesson");
  if (learn instanceof HTMLAnchorElement && lesson) {
    learn.href = new URL(lesson.path, ROOT).href;
    learn.replaceChildren(
      withText("strong", `Go on with lesson ${lesson.number} of ${lesson.of}`),
      " ",
      withText("span", lesson.title),
    );
  }
}

/** @param {import("./visits.js").Visit} visit */
function linkTo({ path, title }) {
  const link = document.createElement("a");
  link.href = new URL(path, ROOT).href;
  link.textContent = title;
  return link;
}

function settingsWords() {
  const { state, settings } = readRecord();
  if (state === "broken") return "What is kept here cannot be read: see there";
  const count = Object.keys(settings).length;
  if (!count) return "Keep your settings once";
  const pipe = settings.brake_pipe_setting;
  const others = count - (pipe ? 1 : 0);
  const words = pipe ? [`brake pipe ${/\d\s*$/.test(pipe) ? `${pipe.trim()} psi` : pipe}`] : [];
  if (others) words.push(`${others} ${pipe ? "more" : others === 1 ? "setting" : "settings"}`);
  return words.join(", ");
}

/** Whose the figures asked for most are, once they are worked out. @param {string} whose */
function showWhose(whose) {
  const box = document.querySelector(".twelve");
  if (!(box instanceof HTMLElement)) return;
  const own = whose === "settings";
  if (own) delete box.dataset.example;
  else box.dataset.example = "yes";
  const said = place("whose");
  if (said) said.textContent = own ? "your own settings" : "the example trains";
}

function attach() {
  note();
  showLines();
  showCopy();
}

copy.addEventListener("change", showCopy);
document.addEventListener("railroad-settings", showLines);
document.addEventListener("page-figures", (event) => showWhose(/** @type {CustomEvent} */ (event).detail.whose));
// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(attach);
else attach();
