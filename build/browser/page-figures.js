// @ts-check
// The figures in a page's text. The build worked them out for the example settings; on a device that
// keeps a railroad's own, Python works them out anew for these, and for the circuit on the page once
// somebody has moved it. What cannot be had stays the example's and is marked.

import { ask } from "./python-client.js";
import { railroadSettings } from "./settings.js";

/** What the page says of its figures, by whose they are. */
const SAID = {
  example: "The figures in this text are for the example settings, not yours.",
  settings: "The figures in this text are for your own settings.",
  circuit: "The figures in this text are for the locomotive and train of the circuit above.",
  some: "The figures in this text are for your own settings; those marked “example” are not.",
};

/** @type {Map<HTMLElement, ChildNode[]>} what the build put there, for the example settings */
let built = new Map();
/** The circuit on the page that was moved last. @type {{ calculator: string, entries: object } | undefined} */
let above;

/** @returns {HTMLElement[]} */
function places() {
  return [...document.querySelectorAll("[data-embedded]")].filter((place) => place instanceof HTMLElement);
}

/** @param {keyof typeof SAID | "none"} whose */
function say(whose) {
  for (const line of document.querySelectorAll(".page-figures")) {
    const mark = line.querySelector(".example-mark");
    const own = line.querySelector(".own-mark");
    if (!(line instanceof HTMLElement) || !(mark instanceof HTMLElement) || !(own instanceof HTMLElement)) continue;
    // The style shows the mark of the example where it stands for settings that this device has.
    if (whose === "example" || whose === "none") line.dataset.example = "yes";
    else delete line.dataset.example;
    own.hidden = whose === "example" || whose === "none";
    const words = whose === "none" ? "" : SAID[whose];
    if (!own.hidden && own.textContent !== words) own.textContent = words;
  }
  document.dispatchEvent(new CustomEvent("page-figures", { detail: { whose } }));
}

function putBack() {
  for (const [place, nodes] of built) {
    // What is there already stays: an abbreviation may have been opened in it.
    if (!nodes.every((node) => node.parentNode === place)) place.replaceChildren(...nodes);
    place.classList.remove("kept-example");
  }
}

async function follow() {
  const found = places();
  for (const place of found) if (!built.has(place)) built.set(place, [...place.childNodes]);
  const settings = railroadSettings();
  if (!found.length) return;
  if (!Object.keys(settings).length && !above) {
    putBack();
    return say("none");
  }
  const figures = [...new Set(found.map((place) => place.dataset.embedded ?? ""))];
  try {
    const reply = await ask({ kind: "figures", figures, settings, above }, { form: "page-figures" });
    if (reply.superseded || !found.every((place) => place.isConnected)) return;
    let all = true;
    for (const place of found) {
      const text = reply.figures?.[place.dataset.embedded ?? ""];
      place.classList.toggle("kept-example", text === undefined);
      place.replaceChildren(...(text === undefined ? (built.get(place) ?? []) : [text]));
      if (text === undefined) all = false;
    }
    say(!all ? "some" : above ? "circuit" : "settings");
  } catch {
    // They stay the example's and are marked so.
    putBack();
    say("example");
  }
}

function attach() {
  built = new Map();
  above = undefined;
  void follow();
}

document.addEventListener("railroad-settings", () => void follow());
document.addEventListener("circuit-moved", (event) => {
  above = /** @type {CustomEvent} */ (event).detail;
  void follow();
});
// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(attach);
else attach();
