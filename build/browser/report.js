// @ts-check
// Reporting a wrong figure without a line: writes a text with the inputs, what was shown and the
// version, to be kept on the device and sent by the user later. Nothing leaves the site by itself.

import { copyText } from "./copying.js";
import { isRadio } from "./fields.js";
import { buttonWith, toolsOf, withText } from "./making.js";
import { keepReport } from "./reports.js";
import { saveText } from "./saving.js";
import { railroadSettings } from "./settings.js";

const FILE_NAME = "wrong-figure.txt";
const LONGEST_SHOWN = 6000;

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("[data-report]") : null;
  if (button instanceof HTMLElement) open(button);
});

// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(() => offerOnPage());
else offerOnPage();

/** Every page offers it, for figures that stand in its text. */
function offerOnPage() {
  const foot = document.querySelector(".copy-status");
  if (!foot || foot.querySelector("[data-report]")) return;
  const button = buttonWith("Report a wrong figure on this page");
  button.dataset.report = "page";
  foot.append(button);
}

/** @param {HTMLElement} asked the button that was pressed */
function open(asked) {
  const facts = factsOf(asked.closest("[data-state]"));
  const dialog = document.createElement("dialog");
  dialog.className = "report md-typeset";
  dialog.setAttribute("aria-labelledby", "report-title");
  const title = withText("h2", "Report a wrong figure");
  title.id = "report-title";
  const wrong = area("report-wrong", "What is wrong, what should it say, and where does that stand?", "");
  const along = area("report-along", "What goes along with it", facts);
  along.box.readOnly = true;
  along.box.rows = 5;
  const state = withText("p", "");
  state.className = "state";
  state.setAttribute("role", "status");
  const text = () =>
    `Report of a wrong figure\n\n${wrong.box.value.trim() || "(nothing was written here)"}\n\n${facts}`;
  const keep = buttonWith("Keep for later", () => {
    const trouble = keepReport(text());
    state.textContent = trouble || "Kept on this device: see About, About this copy.";
    keep.disabled = !trouble;
  });
  const copy = buttonWith("Copy the report", () => copyText(text(), copy));
  const tools = toolsOf(
    keep,
    copy,
    buttonWith("Save as a file", () => saveText(text(), FILE_NAME)),
    ...(typeof navigator.share === "function" ? [shareButton(text)] : []),
    buttonWith("Close", () => dialog.close()),
  );
  dialog.append(
    title,
    withText(
      "p",
      "Nothing is sent from here. Keep the text, or give it to whoever gave you this reference when you can.",
    ),
    wrong.label,
    along.label,
    tools,
    state,
  );
  dialog.addEventListener("close", () => {
    dialog.remove();
    asked.focus();
  });
  document.body.append(dialog);
  dialog.showModal();
  wrong.box.focus();
}

/** @param {() => string} text */
function shareButton(text) {
  return buttonWith("Send with another app", async () => {
    try {
      await navigator.share({ title: "Report of a wrong figure", text: text() });
    } catch {
      // The user closed the list of apps, or there is none: the other ways are still there.
    }
  });
}

/** @param {Element | null} place the calculator, or nothing for the page */
function factsOf(place) {
  const copy = document.querySelector(".copy-status");
  const lines = [
    `Page: ${document.title}`,
    `Address: ${location.href}`,
    `Copy: version ${copy?.getAttribute("data-version") ?? "not known"}. ${textOf(copy?.querySelector(".copy-status-built"))}`.trim(),
    `Written: ${new Date().toISOString()}`,
    `Browser: ${navigator.userAgent}`,
  ];
  const settings = Object.entries(railroadSettings());
  if (settings.length) {
    lines.push("", "Settings of the railroad on this device", ...settings.map(([key, text]) => `  ${key} = ${text}`));
  }
  if (place instanceof HTMLElement) lines.push(...factsOfAnswer(place));
  return lines.join("\n");
}

/**
 * A word that a shell takes as it stands: in double quotes a typed `$(...)` would be a command.
 * @param {string} text
 */
function quoted(text) {
  return `'${text.replaceAll("'", `'\\''`)}'`;
}

/** @param {HTMLElement} place */
function factsOfAnswer(place) {
  const form = place.querySelector("form");
  const inputs = form ? inputsOf(form) : [];
  const name = place.dataset.calculator;
  const lines = ["", `Calculator: ${name ?? place.localName}`];
  if (inputs.length) lines.push("Inputs", ...inputs.map((input) => `  ${input}`));
  if (name && inputs.length) {
    const words = inputs.map((input) => quoted(input.replace(" = ", "="))).join(" ");
    lines.push("To ask the same again", `  python3 -m calculators ${name} ${words}`);
  }
  const shown = [
    textOf(place.querySelector(".answer-headline")),
    textOf(place.querySelector(".answer-place, .card-place")),
  ];
  const text = shown.filter(Boolean).join("\n").slice(0, LONGEST_SHOWN);
  lines.push("Shown", ...text.split("\n").map((line) => `  ${line}`));
  return lines;
}

/**
 * The fields as typed, each with the unit that stands beside it.
 * @param {HTMLFormElement} form
 */
function inputsOf(form) {
  const found = [];
  for (const field of form.elements) {
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) continue;
    if (!field.name || !field.value.trim()) continue;
    if (field instanceof HTMLInputElement && isRadio(field) && !field.checked) continue;
    const unit = textOf(field.closest(".entry")?.querySelector("[data-unit-label], span.unit"));
    const bare = !/[^\d\s.,/+−–-]/.test(field.value);
    found.push(`${field.name} = ${field.value}${unit && bare ? ` ${unit}` : ""}`);
  }
  return found;
}

/** @param {Element | null | undefined} place the text as it is seen */
function textOf(place) {
  return place instanceof HTMLElement ? place.innerText.trim() : "";
}

/** @param {string} id @param {string} words @param {string} text */
function area(id, words, text) {
  const label = withText("label", words);
  const box = document.createElement("textarea");
  box.id = id;
  box.rows = 4;
  box.value = text;
  label.append(box);
  return { label, box };
}
