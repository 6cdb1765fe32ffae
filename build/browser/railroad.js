// @ts-check
// <my-railroad> wraps the form of a railroad's settings that the build has put into the page.
// Python reads what is typed, by the fields of the calculators; this keeps it on the device.

import { isAsked } from "./address.js";
import { ask, warm, watchState } from "./python-client.js";
import { copyText } from "./copying.js";
import { meant, standing } from "./entry-texts.js";
import { goLive, isAsBuilt } from "./going-live.js";
import { buttonWith, shownAsIs, toolsOf, withText } from "./making.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";
import { saveText } from "./saving.js";
import { share } from "./sharing.js";
import {
  forgetRailroadSettings,
  forgetRecordsSetAside,
  keepRailroadSettings,
  readRecord,
  recordsSetAside,
} from "./settings.js";

const TYPING_PAUSE = 150;
const FILE_NAME = "my-railroad.txt";
const LARGEST_FILE = 200_000;

/**
 * @typedef {object} Checked what Python says of settings
 * @property {Record<string, string>} [settings]
 * @property {string[]} [problems] lines of a text that could not be taken
 * @property {string[]} [carried] what stood under names of an earlier version, and where it went
 * @property {Record<string, string>} [errors] by key
 * @property {Record<string, string>} [remarks] by key
 * @property {Record<string, string>} [unknown] keys that this copy does not know, with their texts
 * @property {string} [text]
 * @property {string} [query] of a link that hands them on
 * @property {string} [failed]
 * @property {boolean} [superseded]
 */

/** @type {Record<"full" | "refused", string>} */
const TROUBLE = {
  full: "Not kept: this device has no room left for it. What stands in the form is not lost: copy it as text below.",
  refused:
    "Not kept: this browser lets this page keep nothing (private browsing or a setting). What stands in the form is not lost: copy it as text below.",
};

const NOTHING = "Nothing of your own is kept on this device yet.";

class MyRailroad extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #pause;
  #turn = 0;
  #unit = "psi";
  /** Whether something was typed that Python has not looked at yet. */
  #unlooked = false;
  /** Settings of the record that this copy does not know; they stay in it. @type {Record<string, string>} */
  #unknown = {};
  /** What was forgotten last, to be taken back. @type {Record<string, string> | undefined} */
  #forgotten;

  connectedCallback() {
    if (loadedAnewUnlessItFits()) return;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.#form.addEventListener("submit", (event) => this.#submitted(event), { signal });
    this.#form.addEventListener("input", () => this.#soon(), { signal });
    this.#form.addEventListener("change", (event) => this.#changed(event), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    window.addEventListener("pagehide", () => this.#leaving(), { signal });
    document.addEventListener("visibilitychange", () => document.hidden && this.#leaving(), { signal });
    this.#file.addEventListener("change", () => this.#readFile(), { signal });
    watchState(
      ({ phase, words }) => {
        if (phase === "starting" && this.dataset.state === "working") this.#show("working", words);
      },
      { signal },
    );
    warm();
    goLive(this);
    void this.#start().then(() => this.#linked());
  }

  /** A link with settings changes nothing by itself: it lays them beside those kept here. */
  async #linked() {
    if (!isAsked(new URLSearchParams(location.search))) return;
    const { offer } = await import("./settings-link.js");
    const place = /** @type {HTMLElement} */ (this.querySelector(".settings-offer"));
    await offer(place, (settings) => this.#takeOver(settings));
  }

  /** @param {Record<string, string>} settings */
  async #takeOver(settings) {
    const before = readRecord();
    await this.#fill({ ...(before.state === "kept" ? before.settings : {}), ...settings });
    await this.#look();
    this.#offerUndo(before.state === "kept" ? before.settings : {});
  }

  async #handOn() {
    const made = await this.#ask({ do: "hand on", settings: { ...this.#unknown, ...this.#entries() } });
    if (made?.query === undefined) return;
    const page = `${location.origin}${location.pathname}`;
    await share({ what: "my railroad's settings", page, query: made.query, subject: "settings" });
  }

  disconnectedCallback() {
    this.#listening?.abort();
    clearTimeout(this.#pause);
    this.#turn += 1;
    this.#leaving();
  }

  get #form() {
    return /** @type {HTMLFormElement} */ (this.querySelector("form"));
  }

  get #file() {
    return /** @type {HTMLInputElement} */ (this.querySelector("input[type=file]"));
  }

  get #text() {
    return /** @type {HTMLTextAreaElement} */ (this.querySelector("textarea"));
  }

  /** @returns {(HTMLInputElement | HTMLSelectElement)[]} */
  get #fields() {
    return [...this.#form.elements]
      .filter((field) => field instanceof HTMLInputElement || field instanceof HTMLSelectElement)
      .map((field) => /** @type {HTMLInputElement | HTMLSelectElement} */ (field));
  }

  /** What stands in the form, as texts that mean the same anywhere. */
  #entries() {
    /** @type {Record<string, string>} */
    const entries = {};
    for (const field of this.#fields) {
      const text = "pressure" in field.dataset ? meant(field.value, this.#unit) : field.value;
      if (text.trim()) entries[field.name] = text.trim();
    }
    return entries;
  }

  async #start() {
    const record = readRecord();
    this.#showTroubles();
    if (record.state === "refused") this.#show("failed", TROUBLE.refused);
    if (record.state === "broken") this.#show("failed", "The settings kept on this device cannot be read.");
    if (record.state === "none") this.#show("prerendered", NOTHING);
    if (record.state !== "kept") {
      // Browsers put back what was typed before a reload: it is looked at like anything typed.
      if (!this.#fields.every(isAsBuilt)) this.#soon();
      return;
    }
    this.#show("working", "Reading the settings kept on this device …");
    let checked = await this.#fill(record.settings);
    const carried = checked?.carried ?? [];
    if (carried.length) checked = await this.#fill(checked?.settings ?? {});
    if (!checked) return;
    this.#showProblems(carried, "Kept under names of an earlier version; keep the settings anew to take them over:");
    this.#unknown = checked.unknown ?? {};
    this.#showTroubles();
    const wrong = Object.keys(checked.errors ?? {}).length;
    if (wrong)
      this.#show(
        "refused",
        `Kept on this device, but ${some(wrong, "of them")} cannot be used: see the marked fields.`,
      );
    else this.#show("answered", `${some(Object.keys(record.settings).length, "setting")} kept on this device.`);
  }

  /**
   * Put settings into the form and let Python look at them.
   * @param {Record<string, string>} settings
   */
  async #fill(settings) {
    const unit = settings.pressure_unit?.trim() || "psi";
    const known = ["psi", "kPa", "bar"].includes(unit) ? unit : "psi";
    for (const field of this.#fields) {
      const text = settings[field.name] ?? "";
      field.value = "pressure" in field.dataset ? standing(text, known) : text;
      if (field.value) field.closest("details")?.setAttribute("open", "");
    }
    this.#unitIs(known);
    return this.#check(settings);
  }

  /** @param {string} unit */
  #unitIs(unit) {
    this.#unit = unit;
    for (const label of this.querySelectorAll("[data-unit-label]")) label.textContent = unit;
  }

  /** Enter keeps as leaving the field does. @param {Event} event */
  #submitted(event) {
    event.preventDefault();
    void this.#look();
  }

  #soon() {
    clearTimeout(this.#pause);
    this.#unlooked = true;
    this.#pause = setTimeout(() => this.#look(), TYPING_PAUSE);
  }

  /**
   * Look at what stands in the form and keep what can be read; of a field that cannot be read stays
   * kept what was kept before.
   */
  async #look() {
    this.#unlooked = true;
    const entries = this.#entries();
    const checked = await this.#check(entries);
    if (!checked) return;
    this.#unlooked = false;
    const wrong = Object.keys(checked.errors ?? {});
    const before = readRecord().settings;
    for (const key of wrong) {
      delete entries[key];
      if (key in before) entries[key] = before[key];
    }
    const trouble = this.#store(entries);
    if (trouble) return this.#show("failed", TROUBLE[trouble]);
    const count = Object.keys(entries).length;
    if (!count && !wrong.length) return this.#show("prerendered", NOTHING);
    const kept = `${some(count, "setting")} kept on this device`;
    if (wrong.length) this.#show("refused", `${kept}. Not kept: ${some(wrong.length, "marked field")}.`);
    else this.#show("answered", `${kept}. Every calculator starts from them now.`);
  }

  /** @param {Record<string, string>} entries */
  #store(entries) {
    const record = { ...this.#unknown, ...entries };
    const nothing = Object.keys(record).length === 0;
    if (nothing && readRecord().state !== "kept") return "";
    const trouble = nothing ? forgetRailroadSettings() : keepRailroadSettings(record);
    this.#showTroubles();
    return trouble;
  }

  /** Left before Python had looked: kept as typed, and looked at when this page is opened again. */
  #leaving() {
    if (!this.#unlooked) return;
    this.#unlooked = false;
    keepRailroadSettings({ ...this.#unknown, ...this.#entries() });
  }

  /** @param {Event} event */
  async #changed(event) {
    const field = event.target;
    if (!(field instanceof HTMLSelectElement) || field.name !== "pressure_unit") return this.#soon();
    const unit = field.value || "psi";
    const said = await this.#ask({ do: "restate", unit, settings: this.#entries() });
    if (!said) return;
    for (const [key, text] of Object.entries(said.settings ?? {})) {
      const place = this.#fields.find((one) => one.name === key);
      if (place) place.value = standing(text, unit);
    }
    this.#unitIs(unit);
    await this.#look();
  }

  /**
   * @param {Record<string, string>} settings
   * @returns {Promise<Checked | undefined>} nothing if no answer came or a newer question followed
   */
  async #check(settings) {
    const checked = await this.#ask({ do: "check", settings });
    if (checked) this.#showWords(checked);
    return checked;
  }

  /**
   * @param {Record<string, unknown>} request
   * @returns {Promise<Checked | undefined>}
   */
  async #ask(request) {
    const turn = ++this.#turn;
    clearTimeout(this.#pause);
    try {
      /** @type {Checked} */
      const reply = await ask({ kind: "settings", ...request }, { form: this.id });
      if (turn !== this.#turn || reply.superseded) return undefined;
      if (reply.failed === undefined) return reply;
      this.#show("failed", reply.failed);
    } catch (reason) {
      if (turn === this.#turn) {
        this.#show("failed", `The settings cannot be read now: ${reason instanceof Error ? reason.message : reason}`);
      }
    }
    return undefined;
  }

  /** @param {Checked} checked */
  #showWords({ errors = {}, remarks = {} }) {
    for (const field of this.#fields) {
      this.#write(`${field.id}-error`, errors[field.name] ?? "");
      this.#write(`${field.id}-remark`, remarks[field.name] ?? "");
      if (errors[field.name]) {
        field.setAttribute("aria-invalid", "true");
        field.closest("details")?.setAttribute("open", "");
      } else field.removeAttribute("aria-invalid");
    }
  }

  /** @param {string} id @param {string} words */
  #write(id, words) {
    const place = this.querySelector(`#${CSS.escape(id)}`);
    if (place && place.textContent !== words) place.textContent = words;
  }

  async #forget() {
    const before = readRecord();
    const trouble = forgetRailroadSettings();
    if (trouble) return this.#show("failed", TROUBLE[trouble].replace("Not kept", "Not forgotten"));
    this.#unknown = {};
    await this.#fill({});
    this.#showTroubles();
    this.#offerUndo(before.state === "kept" ? before.settings : undefined);
    this.#show("prerendered", "Forgotten: every page shows the example settings again.");
  }

  async #undo() {
    const settings = this.#forgotten;
    if (!settings) return;
    const trouble = Object.keys(settings).length ? keepRailroadSettings(settings) : forgetRailroadSettings();
    this.#offerUndo(undefined);
    await this.#fill(settings);
    await this.#start();
    if (trouble) this.#show("failed", TROUBLE[trouble]);
  }

  /** @param {Record<string, string> | undefined} settings */
  #offerUndo(settings) {
    this.#forgotten = settings;
    const button = /** @type {HTMLElement} */ (this.querySelector("[data-do=undo]"));
    button.hidden = settings === undefined;
  }

  async #readFile() {
    const file = this.#file.files?.[0];
    if (!file) return;
    if (file.size > LARGEST_FILE) {
      return this.#showProblems(["This file is too large to be a railroad's settings."]);
    }
    this.#text.value = await file.text();
    await this.#readText();
  }

  async #readText() {
    const found = await this.#ask({ do: "import", text: this.#text.value });
    if (!found) return;
    const settings = found.settings ?? {};
    const count = Object.keys(settings).length;
    this.#showProblems(found.problems ?? []);
    if (count === 0) return this.#show("refused", "No setting was found in this text; the form is as it was.");
    const before = readRecord();
    const checked = await this.#fill(settings);
    const wrong = Object.keys(checked?.errors ?? {}).length > 0;
    await this.#look();
    this.#offerUndo(before.state === "kept" ? before.settings : {});
    if (!wrong) this.#show("answered", `${some(count, "setting")} read from the text and kept on this device.`);
    this.scrollIntoView();
  }

  /** @param {string[]} problems @param {string} [about] */
  #showProblems(problems, about = "About this text:") {
    const place = /** @type {HTMLElement} */ (this.querySelector(".railroad-problems"));
    place.replaceChildren();
    if (!problems.length) return;
    const list = document.createElement("ul");
    list.append(...problems.map((words) => withText("li", words)));
    place.append(withText("p", about), list);
  }

  /** Records that cannot be read, and settings that this copy does not know: shown, never dropped. */
  #showTroubles() {
    const place = /** @type {HTMLElement} */ (this.querySelector(".railroad-troubles"));
    const record = readRecord();
    const aside = recordsSetAside();
    const parts = [];
    if (record.state === "broken") {
      parts.push(
        trouble(
          "The settings kept on this device cannot be read. They count for nothing and stay as they are, below. Keeping new ones sets them aside.",
          record.raw,
          ["copy-broken", "Copy it"],
        ),
      );
    }
    if (aside) {
      parts.push(
        trouble(
          "Set aside, because it could not be read:",
          aside,
          ["copy-aside", "Copy it"],
          ["drop-aside", "Throw it away"],
        ),
      );
    }
    const unknown = Object.entries(this.#unknown);
    if (unknown.length) {
      parts.push(
        trouble(
          "Kept on this device, but not known to this copy, so not used:",
          unknown.map(([key, text]) => `${key} = ${text}`).join("\n"),
          ["drop-unknown", "Leave them out from now on"],
        ),
      );
    }
    place.replaceChildren(...parts);
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    if (button.dataset.fill) {
      const field = this.#fields.find((one) => one.name === button.dataset.fill);
      if (field) field.value = button.dataset.value ?? "";
      this.#soon();
    }
    if (button.dataset.do) void this.#do(button.dataset.do, button);
  }

  /** @param {string} what @param {HTMLButtonElement} button */
  async #do(what, button) {
    if (what === "reset") return this.#forget();
    if (what === "undo") return this.#undo();
    if (what === "read") return this.#readText();
    if (what === "hand-on") return this.#handOn();
    if (what === "copy-broken") return copyText(readRecord().raw, button);
    if (what === "copy-aside") return copyText(recordsSetAside(), button);
    if (what === "drop-aside") {
      forgetRecordsSetAside();
      return this.#showTroubles();
    }
    if (what === "drop-unknown") {
      this.#unknown = {};
      return this.#look();
    }
    const exported = await this.#ask({ do: "export", settings: { ...this.#unknown, ...this.#entries() } });
    if (exported?.text === undefined) return;
    if (what === "copy") await copyText(exported.text, button);
    else saveText(exported.text, FILE_NAME);
  }

  /**
   * @param {"prerendered" | "working" | "answered" | "refused" | "failed"} state
   * @param {string} words
   */
  #show(state, words) {
    this.dataset.state = state;
    const place = /** @type {HTMLElement} */ (this.querySelector(".state"));
    place.textContent = words;
  }
}

/**
 * @param {string} words
 * @param {string} text
 * @param {[string, string][]} buttons
 */
function trouble(words, text, ...buttons) {
  const section = document.createElement("section");
  section.className = "railroad-trouble";
  const made = buttons.map(([what, label]) => {
    const button = buttonWith(label);
    button.dataset.do = what;
    return button;
  });
  section.append(withText("p", words), shownAsIs(text), toolsOf(...made));
  return section;
}

/** @param {number} count @param {string} what */
function some(count, what) {
  return `${count} ${what}${count === 1 || what.includes(" ") ? "" : "s"}`;
}

customElements.define("my-railroad", MyRailroad);
