// @ts-check
// Reports of wrong figures that wait on this device to be sent, and <kept-reports>, which lists them.

import { copyText } from "./copying.js";
import { fromOtherTabs, KeptRecord } from "./device-store.js";
import { buttonWith, shownAsIs, toolsOf, withText } from "./making.js";
import { saveText } from "./saving.js";

const KEPT = "figure-reports";
const MOST_TEXT = 200_000;

const record = new KeptRecord(KEPT, parsed);

/**
 * Keep a report on this device.
 * @param {string} text
 * @returns {string} why it could not be kept; empty if it was
 */
export function keepReport(text) {
  const { state, value } = record.read();
  if (state === "broken") return "Not kept: the list on this device cannot be read. Copy the report instead.";
  return store([...(value ?? []), text]);
}

/** @param {string} raw @returns {string[] | null} */
function parsed(raw) {
  try {
    const kept = JSON.parse(raw);
    return Array.isArray(kept) && kept.every((text) => typeof text === "string") ? kept : null;
  } catch {
    return null;
  }
}

/** @param {string[]} reports @returns {string} why not */
function store(reports) {
  const text = JSON.stringify(reports);
  if (text.length > MOST_TEXT) return "Not kept: too many reports wait here. Send and delete some, or copy this one.";
  if (record.write(text)) return "Not kept: this browser lets this page keep nothing. Copy the report instead.";
  tell();
  return "";
}

function tell() {
  document.dispatchEvent(new CustomEvent("figure-reports"));
}

fromOtherTabs([KEPT], tell);

class KeptReports extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  #built = "";

  connectedCallback() {
    this.#listening = new AbortController();
    this.#built = this.innerHTML;
    document.addEventListener("figure-reports", () => this.#show(), { signal: this.#listening.signal });
    this.#show();
  }

  disconnectedCallback() {
    this.#listening?.abort();
    this.innerHTML = this.#built;
  }

  #show() {
    const { state, value, raw } = record.read();
    const reports = value ?? [];
    if (state === "broken") {
      const words = withText("p", "The reports kept on this device cannot be read. They stay as they are:");
      this.replaceChildren(words, shownAsIs(raw), toolsOf(copyButton(raw)));
      return;
    }
    if (!reports.length) {
      this.innerHTML = this.#built;
      return;
    }
    this.replaceChildren(...reports.map((text, number) => this.#one(reports, text, number)));
  }

  /** @param {string[]} reports @param {string} text @param {number} number */
  #one(reports, text, number) {
    const part = document.createElement("details");
    part.className = "more-fields";
    const first = text.split("\n").filter(Boolean)[1] ?? text;
    const save = buttonWith("Save as a file", () => saveText(text, `wrong-figure-${number + 1}.txt`));
    const drop = buttonWith("Delete it", () => store(reports.filter((_, other) => other !== number)));
    part.append(
      withText("summary", `${number + 1}. ${first.slice(0, 80)}`),
      shownAsIs(text),
      toolsOf(copyButton(text), save, drop),
    );
    return part;
  }
}

/** @param {string} text */
function copyButton(text) {
  const button = buttonWith("Copy it", () => copyText(text, button));
  return button;
}

customElements.define("kept-reports", KeptReports);
