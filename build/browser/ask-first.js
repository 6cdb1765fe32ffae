// @ts-check
// "Ask me first": on every calculator and circuit the answer can be covered until it is tapped, so that
// a reader says it to himself before. The choice stays on this device.

import { keepText, keptText } from "./device-store.js";
import { buttonWith, toolsOf } from "./making.js";

const KEPT = "ask-me-first";
const SHELLS = "brake-calculator, brake-circuit";
const ON = "Ask me first: on";
const OFF = "Ask me first";

function wanted() {
  return keptText(KEPT) === "yes";
}

/** @param {boolean} on */
function keep(on) {
  // Where nothing can be kept it holds for this page.
  keepText(KEPT, on ? "yes" : null);
}

/** @param {HTMLElement} shell @param {boolean} on */
function cover(shell, on) {
  if (on) shell.dataset.covered = "yes";
  else delete shell.dataset.covered;
  const show = shell.querySelector(":scope > .uncover");
  if (show instanceof HTMLElement) show.hidden = !on;
}

/** The row of buttons that stands open: a circuit's own lie in the sheet of its handles. @param {HTMLElement} shell */
function placeIn(shell) {
  const settings = shell.querySelector(".circuit-settings");
  if (!settings) return shell.querySelector("[data-do=link]")?.closest(".tools");
  const row = toolsOf();
  settings.before(row);
  return row;
}

/** @param {HTMLElement} shell */
function prepare(shell) {
  if (shell.querySelector(".ask-first")) return;
  const place = placeIn(shell);
  if (!place) return;
  const show = buttonWith("Say it to yourself first, then show the answer", () => {
    cover(shell, false);
    const answer = shell.querySelector(".answer-bar, .circuit-figure");
    if (answer instanceof HTMLElement) {
      answer.tabIndex = -1;
      answer.focus({ preventScroll: true });
    }
  });
  show.className = "uncover";
  shell.prepend(show);
  const turn = buttonWith(wanted() ? ON : OFF, () => {
    const on = turn.getAttribute("aria-pressed") !== "true";
    keep(on);
    turn.setAttribute("aria-pressed", String(on));
    turn.textContent = on ? ON : OFF;
    cover(shell, on);
    if (on) show.focus();
  });
  turn.className = "ask-first";
  turn.setAttribute("aria-pressed", String(wanted()));
  place.append(turn);
  cover(shell, wanted());
  // Another entry or another move is another question.
  for (const kind of ["input", "change"]) {
    shell.addEventListener(kind, () => {
      if (turn.getAttribute("aria-pressed") === "true") cover(shell, true);
    });
  }
}

function prepareAll() {
  for (const shell of document.querySelectorAll(SHELLS)) prepare(/** @type {HTMLElement} */ (shell));
}

// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(prepareAll);
else prepareAll();
