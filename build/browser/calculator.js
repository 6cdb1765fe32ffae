// @ts-check
// <brake-calculator> wraps a form and an answer that the build has already put into the page.
// Without this script both still stand there, filled with a worked example. With it, answers
// follow typing: entries go to Python as typed, Python words the reply, this moves it in.

import { ask, retry, warm, watchState } from "./python-client.js";
import { copyText } from "./copying.js";
import { railroadSettings, touchedBySettings } from "./settings.js";
import { showSettingsNotes } from "./settings-notes.js";

const BARE_NUMBER = /^[\s\d.,/+−–-]+$/;

/**
 * @typedef {object} Reply
 * @property {string} [html] the answer as a fragment
 * @property {string} [text] the answer as plain text
 * @property {string} [headline] the one sentence that is spoken
 * @property {Record<string, string>} [errors] messages by field
 * @property {string} [link] the query of a link that asks the same
 * @property {string} [pressure_unit] the unit that pressures are shown in
 * @property {Record<string, string>} [texts] what each field holds
 * @property {Record<string, string>} [entries] fields said in another unit
 * @property {Record<string, string>} [settings_notes] what to say of the settings, by field
 * @property {string} [failed] why there is no answer at all
 * @property {boolean} [superseded] a newer question took this one's place
 */

class BrakeCalculator extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  #turn = 0;
  /** @type {Reply | undefined} */
  #reply;
  #mayRetry = false;
  /** Fields of the link that the form has no place for; they go back to Python as they came. @type {Record<string, string>} */
  #beside = {};
  /** What the page was built with, for starting over. */
  #built = { html: "", state: "", headline: "" };

  connectedCallback() {
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.#built = {
      html: this.#place.innerHTML,
      state: this.#state.textContent ?? "",
      headline: this.#spoken.textContent ?? "",
    };
    this.#form.addEventListener("submit", (event) => event.preventDefault(), { signal });
    this.#form.addEventListener("input", (event) => this.#typed(event), { signal });
    this.#form.addEventListener("change", (event) => this.#changed(event), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    document.addEventListener("railroad-settings", () => this.#settingsChanged(), { signal });
    watchState((state) => this.#pythonIs(state), { signal });
    warm();
    const asked = this.dataset.ownPage ? new URLSearchParams(location.search) : undefined;
    if (asked && [...asked].length) this.#fromLink(asked);
    else if (touchedBySettings(this)) this.#settingsChanged();
  }

  disconnectedCallback() {
    this.#listening?.abort();
    this.#turn += 1;
  }

  get #form() {
    return /** @type {HTMLFormElement} */ (this.querySelector("form"));
  }

  get #place() {
    return /** @type {HTMLElement} */ (this.querySelector(".answer-place"));
  }

  get #state() {
    return /** @type {HTMLElement} */ (this.querySelector(".state"));
  }

  get #spoken() {
    return /** @type {HTMLElement} */ (this.querySelector(".answer-headline"));
  }

  /** @returns {(HTMLInputElement | HTMLSelectElement)[]} */
  get #fields() {
    return [...this.#form.elements].filter(
      (field) =>
        (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) && field.name,
    ).map((field) => /** @type {HTMLInputElement | HTMLSelectElement} */ (field));
  }

  /** @param {string} name */
  #field(name) {
    return this.#fields.find((field) => field.name === name);
  }

  /** The entries as typed; a bare pressure carries the unit the form is switched to. */
  #entries() {
    /** @type {Record<string, string>} */
    const entries = { ...this.#beside };
    const unit = this.#field("pressure_unit")?.value ?? "psi";
    for (const field of this.#fields) {
      const bare = "pressure" in field.dataset && BARE_NUMBER.test(field.value);
      entries[field.name] = bare && unit !== "psi" ? withUnit(field.value, unit) : field.value;
    }
    return entries;
  }

  /**
   * A select tells of its change by both events; one question is enough.
   * @param {Event} event
   */
  #typed(event) {
    if (!(event.target instanceof HTMLSelectElement)) this.#soon();
  }

  #soon() {
    this.#show("working", "Working out the new figures …");
    // No pause for typing: in the client's lane the newest question takes the place of one that waits.
    void this.#answer(this.#entries());
  }

  /** @param {Event} event */
  async #changed(event) {
    const field = event.target;
    if (!(field instanceof HTMLSelectElement) || field.name !== "pressure_unit") return this.#soon();
    const turn = ++this.#turn;
    const before = this.dataset.pressureUnit ?? "psi";
    const entries = this.#entriesIn(before);
    this.#show("working", "Saying the pressures in another unit …");
    const reply = await this.#ask({ kind: "restate", unit: field.value, entries });
    if (turn !== this.#turn) return;
    for (const [name, text] of Object.entries(reply.entries ?? {})) {
      const place = this.#field(name);
      if (place) place.value = bareOf(text, field.value);
    }
    this.#unitIs(field.value);
    this.#answer(this.#entries());
  }

  /** @param {string} unit */
  #entriesIn(unit) {
    const select = this.#field("pressure_unit");
    const now = select?.value ?? "psi";
    if (select) select.value = unit;
    const entries = this.#entries();
    if (select) select.value = now;
    return entries;
  }

  /** @param {string} unit */
  #unitIs(unit) {
    this.dataset.pressureUnit = unit;
    const select = this.#field("pressure_unit");
    if (select) select.value = unit;
    for (const label of this.querySelectorAll("[data-unit-label]")) label.textContent = unit;
  }

  /** @param {Record<string, string>} entries */
  async #answer(entries) {
    const turn = ++this.#turn;
    const reply = await this.#ask({ kind: "answer", entries });
    if (turn !== this.#turn || reply.superseded) return undefined;
    if (reply.failed !== undefined || reply.html === undefined) {
      this.#fail(`No new answer: ${reply.failed ?? "nothing came back."} Below stand the figures for the old values.`);
      return undefined;
    }
    this.#reply = reply;
    const open = new Set(
      [...this.#place.querySelectorAll("details[open]")].map((found) => found.className),
    );
    this.#place.innerHTML = reply.html;
    for (const found of this.#place.querySelectorAll("details")) {
      found.open = open.has(found.className);
    }
    this.#showErrors(reply.errors ?? {});
    showSettingsNotes(this.#fields, reply.settings_notes ?? {});
    delete this.dataset.example;
    const wrong = Object.keys(reply.errors ?? {}).length > 0;
    this.#show(wrong ? "refused" : "answered", wrong ? "Correct the marked field." : "Answered for the figures above.");
    if (this.#spoken.textContent !== reply.headline) this.#spoken.textContent = reply.headline ?? "";
    return reply;
  }

  /**
   * @param {Record<string, unknown>} request
   * @returns {Promise<Reply>}
   */
  async #ask(request) {
    const whole = {
      ...request,
      calculator: this.dataset.calculator,
      settings: railroadSettings(),
      id: this.id,
    };
    try {
      return /** @type {Reply} */ (await ask(whole, { form: this.id }));
    } catch (reason) {
      return { failed: reason instanceof Error ? reason.message : String(reason) };
    }
  }

  /** @param {Record<string, string>} errors */
  #showErrors(errors) {
    for (const field of this.#fields) {
      const place = this.querySelector(`#${CSS.escape(field.id)}-error`);
      const message = errors[field.name] ?? "";
      if (place) place.textContent = message;
      if (message) {
        field.setAttribute("aria-invalid", "true");
        field.closest("details")?.setAttribute("open", "");
      } else field.removeAttribute("aria-invalid");
    }
  }

  /**
   * Take the inputs of a link: they fill the form, and Python hears every field as it came.
   * @param {URLSearchParams} asked
   */
  async #fromLink(asked) {
    const entries = Object.fromEntries(asked);
    for (const field of this.#fields) {
      if (field.name in entries) setField(field, entries[field.name]);
    }
    this.#beside = Object.fromEntries(
      Object.entries(entries).filter(([name]) => !this.#field(name)),
    );
    this.#show("working", "Working out the figures of this link …");
    await this.#fill(entries);
  }

  async #settingsChanged() {
    if (this.#reply && this.dataset.state !== "prerendered") return this.#soon();
    this.#show("working", "Example settings, not yours: working out the figures for your own …");
    await this.#fill(this.#presets());
  }

  /** Ask with these entries and put the texts that Python took into the form.
   * @param {Record<string, string>} entries
   */
  async #fill(entries) {
    const reply = await this.#answer(entries);
    if (!reply) return;
    const unit = reply.pressure_unit ?? "psi";
    for (const [name, text] of Object.entries(reply.texts ?? {})) {
      const field = this.#field(name);
      if (field) setField(field, bareOf(text, unit));
    }
    if (unit !== "psi") {
      const said = await this.#ask({ kind: "restate", unit, entries: reply.texts });
      for (const [name, text] of Object.entries(said.entries ?? {})) {
        const field = this.#field(name);
        if (field) field.value = bareOf(text, unit);
      }
    }
    this.#unitIs(unit);
  }

  /**
   * Say why an answer is not there yet, or that none can come and how to try again.
   * @param {import("./python-client.js").State} state
   */
  #pythonIs(state) {
    if (state.phase === "starting" && this.dataset.state === "working") {
      this.#state.textContent = state.words;
    }
    this.#mayRetry = state.phase === "failed" && state.mayRetry;
    if (state.phase === "failed") this.#fail(state.words);
  }

  /** @param {string} words */
  #fail(words) {
    this.#show("failed", `${words} `);
    if (!this.#mayRetry) return;
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Try again";
    again.addEventListener("click", () => {
      retry();
      this.#soon();
    });
    this.#state.append(again);
  }

  /** What the page's author set for this place; the rest is left to the settings. */
  #presets() {
    return /** @type {Record<string, string>} */ (JSON.parse(this.dataset.presets ?? "{}"));
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    if (button.dataset.fill) {
      const field = this.#field(button.dataset.fill);
      if (field) {
        field.value = button.dataset.value ?? "";
        this.#soon();
      }
    }
    if (button.dataset.do) this.#do(button.dataset.do, button);
  }

  /**
   * @param {string} what
   * @param {HTMLButtonElement} button
   */
  async #do(what, button) {
    if (what === "print") return window.print();
    if (what === "start-over") return this.#startOver();
    const reply = this.#reply ?? (await this.#answer(this.#entries()));
    if (!reply) return;
    const page = new URL(this.dataset.page ?? "", document.baseURI);
    const text = what === "link" ? `${page.origin}${page.pathname}?${reply.link}` : (reply.text ?? "");
    await copyText(text, button);
  }

  #startOver() {
    this.#turn += 1;
    this.#form.reset();
    this.#beside = {};
    this.#reply = undefined;
    this.#place.innerHTML = this.#built.html;
    this.#spoken.textContent = this.#built.headline;
    this.#showErrors({});
    showSettingsNotes(this.#fields, {});
    this.dataset.example = "yes";
    this.#unitIs("psi");
    this.#show("prerendered", this.#built.state);
    if (this.dataset.ownPage && location.search) history.replaceState(history.state, "", location.pathname);
    if (touchedBySettings(this)) this.#settingsChanged();
  }

  /**
   * @param {"prerendered" | "working" | "answered" | "refused" | "failed"} state
   * @param {string} words
   */
  #show(state, words) {
    this.dataset.state = state;
    this.#state.textContent = words;
  }
}

/**
 * A list of bare numbers carries the unit behind each.
 * @param {string} text
 * @param {string} unit
 */
function withUnit(text, unit) {
  return text.split(/,\s+/).map((part) => `${part.trim()} ${unit}`).join(", ");
}

/**
 * @param {string} text
 * @param {string} unit
 */
function bareOf(text, unit) {
  return text.split(/,\s+/).map((part) => part.endsWith(` ${unit}`) ? part.slice(0, -unit.length - 1) : part).join(", ");
}

/**
 * A select only takes what it offers; a wrong word of a link is left for Python to name.
 * @param {HTMLInputElement | HTMLSelectElement} field
 * @param {string} text
 */
function setField(field, text) {
  if (field instanceof HTMLInputElement) field.value = text;
  else if ([...field.options].some((option) => option.value === text)) field.value = text;
}

/**
 * Whether a field still holds what the page was built with.
 * @param {HTMLInputElement | HTMLSelectElement} field
 */
function isAsBuilt(field) {
  if (field instanceof HTMLInputElement) return field.value === field.defaultValue;
  return [...field.options].every((option) => option.selected === option.defaultSelected) ||
    ![...field.options].some((option) => option.defaultSelected);
}

customElements.define("brake-calculator", BrakeCalculator);
