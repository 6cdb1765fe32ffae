// @ts-check
// <brake-circuit> wraps a circuit that the build has already put into the page: picture, steps,
// gauges. It steps through the moments that stand beside the picture, and asks Python for those of
// another move. The picture is made once; a moment only sets texts, classes and widths by key.

import { ask, retry, warm, watchState } from "./python-client.js";
import { Address, entriesOf, isAsked } from "./address.js";
import { copyText } from "./copying.js";
import { meant, standing, withoutUnit } from "./entry-texts.js";
import { goLive, isAsBuilt } from "./going-live.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";
import { railroadSettings, touchedBySettings } from "./settings.js";
import { showSettingsNotes } from "./settings-notes.js";

const TYPING_PAUSE = 250;
const PLAY_PAUSE = 1300;
/** What one press of + or − changes, by the unit on show. @type {Record<string, number>} */
const NUDGES = { kPa: 5, bar: 0.1 };

/**
 * @typedef {object} Moment
 * @property {string} status what is so at this moment, in words
 * @property {number} begun how many steps have begun
 * @property {string} moment the time as a link says it; empty at the end
 * @property {Record<string, string>} texts by key
 * @property {Record<string, string>} classes by key
 * @property {Record<string, string>} widths by key
 *
 * @typedef {object} Reply
 * @property {Pick<Moment, "texts" | "classes" | "widths">} [base] what stays the same through the move
 * @property {Moment[]} [frames]
 * @property {number} [shown]
 * @property {string} [steps]
 * @property {string} [gauges]
 * @property {string} [warnings]
 * @property {string} [more]
 * @property {Record<string, string>} [go_on] entries that start the next move from here
 * @property {Record<string, string>} [operated] where the handles stand
 * @property {string} [link]
 * @property {string} [text]
 * @property {string} [pressure_unit]
 * @property {Record<string, string>} [texts] what each field holds
 * @property {Record<string, string>} [entries] fields said in another unit
 * @property {Record<string, string>} [errors] messages by field
 * @property {Record<string, string>} [settings_notes]
 * @property {string} [form] the fields that are no handles
 * @property {string} [failed]
 * @property {boolean} [superseded]
 *
 * @typedef {HTMLInputElement | HTMLSelectElement} Field
 */

class BrakeCircuit extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  /** @type {Reply} */
  #told = {};
  /** What the page was built with, for starting over. @type {Reply} */
  #built = {};
  /** The circuit, its move, and the handles that were moved. @type {Record<string, string>} */
  #asked = {};
  #builtState = "";
  #at = 0;
  /** Whether the user has stepped or moved anything: from then on the address follows. */
  #touched = false;
  /** Fields that the link gives more than once. @type {string[]} */
  #repeated = [];
  /** What Python refused last, by field. @type {Record<string, string>} */
  #errors = {};
  #address = new Address();
  /** What the move on show was worked out for, as one text. */
  #shownFor = "";
  /** Asks once more what was asked last. */
  #askAgain = () => this.#soon(0);
  #mayRetry = false;
  /** How far Python is on its way, in words; empty when it is there. */
  #starting = "";
  #turn = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #pause;
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #playing;

  connectedCallback() {
    if (loadedAnewUnlessItFits()) return;
    const data = this.querySelector('script[type="application/json"]');
    this.#built = JSON.parse(data?.textContent ?? "{}");
    this.#built.steps = this.#part(".steps-place").innerHTML;
    this.#built.gauges = this.#part(".gauges").outerHTML;
    this.#built.warnings = this.#part(".circuit-warnings").innerHTML;
    this.#built.more = this.#part(".circuit-more").innerHTML;
    this.#builtState = this.#part(".state").textContent ?? "";
    this.#told = this.#built;
    this.#asked = this.#presets();
    this.#at = this.#told.shown ?? 0;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.addEventListener("submit", (event) => event.preventDefault(), { signal });
    this.addEventListener("input", (event) => this.#typed(event), { signal });
    this.addEventListener("change", (event) => this.#changed(event), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.#part(".circuit-settings").addEventListener("toggle", () => this.#opened(), { signal });
    document.addEventListener("railroad-settings", () => this.#settingsChanged(), { signal });
    this.#shownFor = this.#asText();
    if (this.dataset.ownPage) this.#address.watch((asked) => this.#addressIs(asked), signal);
    watchState((state) => this.#pythonIs(state), { signal });
    this.#showMoment(this.#at);
    goLive(this);
    warm();
    this.#begin(this.dataset.ownPage ? new URLSearchParams(location.search) : new URLSearchParams());
  }

  /** Show what the link, the handles or the settings say, in this order. @param {URLSearchParams} link */
  #begin(link) {
    const moved = this.#handles.filter((field) => !isAsBuilt(field));
    if (isAsked(link)) this.#fromLink(link);
    else if (moved.length) {
      this.#shownFor = "";
      this.#touched = true;
      for (const field of moved) {
        const isOff = field instanceof HTMLInputElement && field.type === "radio" && !field.checked;
        if (!isOff) this.#took(field);
      }
    } else if (touchedBySettings(this)) this.#settingsChanged();
  }

  /** The address asks something else now, on the same page. @param {URLSearchParams} asked */
  #addressIs(asked) {
    if (isAsked(asked)) this.#fromLink(asked);
    else this.#startOver();
  }

  disconnectedCallback() {
    this.#listening?.abort();
    clearTimeout(this.#pause);
    this.#address.cancel();
    this.#stop();
    this.#turn += 1;
  }

  // --- Moments ---------------------------------------------------------------------------------

  /** @param {number} wanted */
  #showMoment(wanted) {
    const frames = this.#told.frames ?? [];
    this.#at = Math.max(0, Math.min(wanted, frames.length - 1));
    const moment = frames[this.#at];
    if (!moment) return;
    this.#set(moment);
    this.querySelectorAll(".circuit-steps > li").forEach((step, number) => {
      step.classList.toggle("begun", number < moment.begun);
      step.classList.toggle("now", number === moment.begun - 1);
    });
    this.#part(".step-now").textContent = this.#stepInWords(moment.begun);
    const slider = this.#slider;
    slider.max = String(frames.length - 1);
    slider.value = String(this.#at);
    slider.setAttribute("aria-valuetext", `${this.#at + 1} of ${frames.length}`);
    const status = this.#part(".circuit-status");
    if (status.textContent !== moment.status) status.textContent = moment.status;
    // Stepping through a move that is not the one asked for leaves the address alone.
    if (this.#touched && this.dataset.ownPage && this.#shownFor === this.#asText()) {
      this.#address.write(String(this.#link()));
    }
  }

  /** The step that was begun last, short enough to stand beside the picture. @param {number} begun */
  #stepInWords(begun) {
    const steps = this.querySelectorAll(".circuit-steps > li");
    const step = steps[begun - 1];
    if (!step) return "";
    const [what, why] = ["b", "b + span"].map((part) => step.querySelector(part)?.textContent ?? "");
    const said = step.matches(".step-rests") ? what + why : what.replace(/:\s*$/, ".");
    return `Up to step ${begun} of ${steps.length}: ${said}`;
  }

  /** What a link to the moment on show asks. */
  #link() {
    const query = new URLSearchParams(this.#told.link ?? "");
    query.set("moment", this.#momentShown().moment);
    return query;
  }

  /** Set what is said by key. @param {Pick<Moment, "texts" | "classes" | "widths">} said */
  #set({ texts, classes, widths }) {
    for (const [key, text] of Object.entries(texts)) {
      const place = this.#keyed(key);
      if (place && place.textContent !== text) place.textContent = text;
    }
    for (const [key, words] of Object.entries(classes)) {
      this.#keyed(key)?.setAttribute("class", words);
    }
    for (const [key, width] of Object.entries(widths)) {
      this.#keyed(key)?.setAttribute("width", width);
    }
  }

  /** @param {string} key */
  #keyed(key) {
    return document.getElementById(`${this.id}-${key}`);
  }

  #play() {
    if (this.#playing !== undefined) return this.#stop();
    const last = (this.#told.frames?.length ?? 1) - 1;
    if (this.#at >= last) this.#showMoment(0);
    this.#button("play").textContent = "Stop";
    this.#playing = setInterval(() => {
      this.#showMoment(this.#at + 1);
      if (this.#at >= last) this.#stop();
    }, PLAY_PAUSE);
  }

  #stop() {
    clearInterval(this.#playing);
    this.#playing = undefined;
    this.#button("play").textContent = "Play";
  }

  // --- Asking ----------------------------------------------------------------------------------

  /** Every entry: the fields of the settings as they stand, and what was moved. */
  #entries() {
    /** @type {Record<string, string>} */
    const entries = {};
    const unit = this.#unit;
    for (const field of this.#settingsFields) {
      entries[field.name] = "pressure" in field.dataset ? meant(field.value, unit) : field.value;
    }
    return { ...entries, ...this.#asked };
  }

  #asText() {
    return JSON.stringify(this.#entries());
  }

  /** @param {number} [pause] */
  #soon(pause = TYPING_PAUSE) {
    this.#stop();
    this.#askAgain = () => this.#soon(0);
    this.#repeated = [];
    // What no field holds and Python has refused in words is not asked again: no field could mend it.
    for (const name of Object.keys(this.#errors)) {
      if (!this.querySelector(`[name="${CSS.escape(name)}"]`)) delete this.#asked[name];
    }
    if (this.#mayRetry) retry();
    this.#show("working", this.#starting || "Working out the move …");
    if (this.#touched && this.dataset.ownPage) {
      this.#address.soon(() => String(new URLSearchParams(this.#entries())));
    }
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => this.#tell(this.#entries()), pause);
  }

  /** @param {Record<string, string>} entries @param {{form?: boolean}} [wanted] */
  async #tell(entries, { form = false } = {}) {
    const turn = ++this.#turn;
    const reply = await this.#askPython({ kind: "circuit", entries, form });
    if (turn !== this.#turn || reply.superseded) return undefined;
    if (reply.failed !== undefined) {
      this.#fail(`No answer for this move: ${reply.failed}`);
      return undefined;
    }
    this.#errors = reply.errors ?? {};
    this.#showErrors(this.#errors);
    if (!reply.frames) {
      this.#show("refused", Object.values(reply.errors ?? {}).join(" "));
      return undefined;
    }
    this.#shownFor = JSON.stringify(entries);
    this.#put(reply);
    delete this.dataset.example;
    showSettingsNotes(this.#settingsFields, reply.settings_notes ?? {});
    this.#show("answered", "Worked out for the handles and settings below.");
    return reply;
  }

  /** Put a move into the places of the page. @param {Reply} reply */
  #put(reply) {
    this.#told = reply;
    this.#part(".steps-place").innerHTML = reply.steps ?? "";
    this.#part(".gauges").outerHTML = reply.gauges ?? "";
    this.#part(".circuit-warnings").innerHTML = reply.warnings ?? "";
    this.#part(".circuit-more").innerHTML = reply.more ?? "";
    this.#setHandles(reply.operated ?? {}, reply.pressure_unit ?? "psi");
    if (reply.base) this.#set(reply.base);
    this.#showMoment(reply.shown ?? 0);
  }

  /** @param {Record<string, unknown>} request @returns {Promise<Reply>} */
  async #askPython(request) {
    const whole = {
      ...request,
      calculator: "circuit",
      settings: railroadSettings(),
      repeated: this.#repeated,
      id: this.id,
    };
    try {
      return /** @type {Reply} */ (await ask(whole, { form: this.id }));
    } catch (reason) {
      return { failed: reason instanceof Error ? reason.message : String(reason) };
    }
  }

  /** @param {URLSearchParams} link */
  async #fromLink(link) {
    // The picture of this page is that of its own circuit.
    const { circuit } = this.#presets();
    const asked = entriesOf(link);
    this.#shownFor = "";
    if (asked.entries.circuit !== undefined && asked.entries.circuit !== circuit) {
      this.#show("refused", `This link asks for another circuit, "${asked.entries.circuit}"; this page shows "${circuit}". Open that circuit's page, or start over.`);
      return;
    }
    this.#repeated = asked.repeated;
    const entries = { ...this.#presets(), ...asked.entries, circuit };
    // If Python refuses a part of it, the rest still stands for what is asked next.
    this.#asked = { ...entries };
    delete this.#asked.moment;
    this.#askAgain = () => this.#fromLink(link);
    this.#show("working", "Working out the move of this link …");
    await this.#fill(entries);
  }

  #settingsChanged() {
    this.#askAgain = () => this.#settingsChanged();
    this.#show("working", "Example settings, not yours: working out the move for your own …");
    return this.#fill(this.#asked);
  }

  /** Ask with these entries and put the texts that Python took into the fields.
   * @param {Record<string, string>} entries
   * @param {{form?: boolean}} [wanted]
   */
  async #fill(entries, wanted) {
    const reply = await this.#tell(entries, wanted);
    if (!reply) return undefined;
    const unit = reply.pressure_unit ?? "psi";
    if (reply.form) this.#part(".settings-place").innerHTML = reply.form;
    const fields = this.#settingsFields;
    const names = new Set(fields.map((field) => field.name));
    this.#asked = Object.fromEntries(Object.entries(entries).filter(([name]) => !names.has(name)));
    delete this.#asked.moment;
    this.#setStage();
    for (const field of fields) {
      const text = reply.texts?.[field.name];
      if (text !== undefined) setField(field, standingIn(field, text, unit));
    }
    this.#unitIs(unit);
    this.#shownFor = this.#asText();
    this.#markStale();
    showSettingsNotes(fields, reply.settings_notes ?? {});
    return reply;
  }

  /** The fields come from Python when they are first opened. */
  #opened() {
    if (!this.#settingsFields.length) this.#fill({ ...this.#entries(), ...this.#momentShown() }, { form: true });
  }

  /** The moment on show, so that an answer to the same question does not leave it. */
  #momentShown() {
    return { moment: this.#told.frames?.[this.#at]?.moment ?? "" };
  }

  // --- What a person does ----------------------------------------------------------------------

  /** @param {Event} event */
  #typed(event) {
    this.#touched = true;
    const field = event.target;
    if (field === this.#slider) {
      this.#stop();
      return this.#showMoment(Number(this.#slider.value));
    }
    if (field instanceof HTMLInputElement && field.type === "text") this.#took(field);
  }

  /** @param {Event} event */
  #changed(event) {
    const field = event.target;
    if (field === this.#slider) return;
    if (field instanceof HTMLSelectElement && field.name === "pressure_unit") {
      return this.#changeUnit(field.value);
    }
    if (field instanceof HTMLSelectElement) return this.#took(field);
    if (field instanceof HTMLInputElement && field.type === "radio") this.#took(field);
  }

  /** A field holds something new. @param {Field} field */
  #took(field) {
    if (field.name === "stage") this.#asked = { ...this.#presets(), stage: field.value };
    else if (field.closest(".handles")) {
      this.#asked[field.name] = "pressure" in field.dataset ? meant(field.value, this.#unit) : field.value;
    }
    this.#soon(field instanceof HTMLInputElement && field.type === "text" ? TYPING_PAUSE : 0);
  }

  /** @param {string} unit */
  async #changeUnit(unit) {
    const before = this.dataset.pressureUnit ?? "psi";
    /** @type {Record<string, string>} */
    const entries = { ...this.#asked };
    for (const field of this.#settingsFields) {
      entries[field.name] = "pressure" in field.dataset ? meant(field.value, before) : field.value;
    }
    this.#show("working", "Saying the pressures in another unit …");
    const said = await this.#askPython({ kind: "restate", unit, entries });
    for (const field of this.#settingsFields) {
      const text = said.entries?.[field.name];
      if (text !== undefined) field.value = withoutUnit(text, unit);
    }
    for (const [name, text] of Object.entries(said.entries ?? {})) {
      if (name in this.#asked && text) this.#asked[name] = text;
    }
    this.#unitIs(unit);
    this.#soon(0);
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    this.#touched = true;
    const { less, more, fill } = button.dataset;
    if (less) this.#stepField(less, -1);
    if (more) this.#stepField(more, 1);
    if (fill) this.#fillField(fill, button.dataset.value ?? "");
    if (button.dataset.do) this.#do(button.dataset.do, button);
  }

  /** @param {string} name @param {number} by */
  #stepField(name, by) {
    const field = this.querySelector(`.handles input[name="${CSS.escape(name)}"]`);
    if (!(field instanceof HTMLInputElement)) return;
    const number = Number(field.value);
    const next = (Number.isFinite(number) ? number : 0) + by * (NUDGES[this.#unit] ?? 1);
    field.value = String(Math.max(0, Math.round(next * 1000) / 1000));
    this.#took(field);
  }

  /** @param {string} name @param {string} value */
  #fillField(name, value) {
    const field = this.#settingsFields.find((found) => found.name === name);
    if (!field) return;
    field.value = value;
    this.#took(field);
  }

  /** @param {string} what @param {HTMLButtonElement} button */
  #do(what, button) {
    if (what === "back" || what === "next") {
      this.#stop();
      return this.#showMoment(this.#at + (what === "next" ? 1 : -1));
    }
    if (what === "play") return this.#play();
    if (what === "print") return window.print();
    if (what === "go-on") return this.#goOn();
    if (what === "start-over") return this.#startOver();
    if (what === "text") return this.#copyAsText(button);
    const page = new URL(this.dataset.page ?? "", document.baseURI);
    return copyText(`${page.origin}${page.pathname}?${this.#link()}`, button);
  }

  /** @param {HTMLButtonElement} button */
  async #copyAsText(button) {
    const entries = { ...this.#entries(), ...this.#momentShown() };
    const reply = await this.#askPython({ kind: "circuit", entries });
    if (reply.text) await copyText(reply.text, button);
    else this.#show("failed", reply.failed ?? Object.values(reply.errors ?? {}).join(" "));
  }

  /** The state at rest becomes the start of the next move. */
  #goOn() {
    const entries = this.#told.go_on ?? {};
    const fields = this.#settingsFields;
    /** @type {Record<string, string>} */
    const moved = {};
    for (const [name, text] of Object.entries(entries)) {
      const field = fields.find((found) => found.name === name);
      if (field) setField(field, standingIn(field, text, this.#unit));
      else moved[name] = text;
    }
    this.#asked = { ...this.#asked, ...moved };
    this.#soon(0);
  }

  #startOver() {
    this.#turn += 1;
    clearTimeout(this.#pause);
    this.#stop();
    for (const form of this.querySelectorAll("form")) form.reset();
    this.#touched = false;
    this.#repeated = [];
    this.#asked = this.#presets();
    this.#part(".settings-place").replaceChildren();
    this.#part(".circuit-settings").removeAttribute("open");
    this.#put(this.#built);
    this.#showErrors({});
    this.dataset.example = "yes";
    this.#unitIs("psi");
    this.#shownFor = this.#asText();
    this.#show("prerendered", this.#builtState);
    if (this.dataset.ownPage) this.#address.write("");
    if (touchedBySettings(this)) this.#settingsChanged();
  }

  // --- Fields ----------------------------------------------------------------------------------

  /** @returns {Field[]} */
  get #settingsFields() {
    return [...this.querySelectorAll("form.asking :is(input, select)")].map(
      (field) => /** @type {Field} */ (field),
    );
  }

  /** @returns {Field[]} */
  get #handles() {
    return [...this.querySelectorAll(".handles :is(input, select)[name]")].map(
      (field) => /** @type {Field} */ (field),
    );
  }

  get #unit() {
    return this.dataset.pressureUnit ?? "psi";
  }

  /** @param {string} unit */
  #unitIs(unit) {
    this.dataset.pressureUnit = unit;
    const select = this.querySelector('select[name="pressure_unit"]');
    if (select instanceof HTMLSelectElement) select.value = unit;
    for (const label of this.querySelectorAll("[data-unit-label]")) label.textContent = unit;
  }

  /** Put the handles where the move has them.
   * @param {Record<string, string>} operated
   * @param {string} unit
   */
  #setHandles(operated, unit) {
    for (const [name, said] of Object.entries(operated)) {
      const text = withoutUnit(said, unit);
      for (const found of this.querySelectorAll(`.handles [name="${CSS.escape(name)}"]`)) {
        const field = /** @type {Field} */ (found);
        if (field.type === "radio") /** @type {HTMLInputElement} */ (field).checked = field.value === text;
        else if (document.activeElement !== field) setField(field, text);
      }
    }
    this.#setStage();
  }

  #setStage() {
    for (const found of this.querySelectorAll('.handles [name="stage"]')) {
      const radio = /** @type {HTMLInputElement} */ (found);
      radio.checked = radio.value === (this.#asked.stage ?? "1");
    }
  }

  /** @param {Record<string, string>} errors */
  #showErrors(errors) {
    for (const found of this.querySelectorAll(".asking [name], .handles [name]")) {
      const field = /** @type {Field} */ (found);
      const message = errors[field.name] ?? "";
      const place = document.getElementById(`${field.id}-error`);
      if (place) place.textContent = message;
      if (message) {
        field.setAttribute("aria-invalid", "true");
        field.closest("details")?.setAttribute("open", "");
      } else field.removeAttribute("aria-invalid");
    }
  }

  get #slider() {
    return /** @type {HTMLInputElement} */ (this.querySelector("[data-step]"));
  }

  /** @param {string} what */
  #button(what) {
    return /** @type {HTMLButtonElement} */ (this.querySelector(`button[data-do="${what}"]`));
  }

  /** @param {string} selector */
  #part(selector) {
    return /** @type {HTMLElement} */ (this.querySelector(selector));
  }

  #presets() {
    return /** @type {Record<string, string>} */ (JSON.parse(this.dataset.presets ?? "{}"));
  }

  /** @param {import("./python-client.js").State} state */
  #pythonIs(state) {
    if (state.phase === "starting" && this.dataset.state === "working") {
      this.#show("working", state.words);
    }
    this.#mayRetry = state.phase === "failed" && state.mayRetry;
    this.#starting = state.phase === "starting" ? state.words : "";
    // It came after all: what waits for an answer gets it.
    if (state.phase === "ready" && this.dataset.state === "failed") this.#askAgain();
    if (state.phase !== "failed" || this.dataset.state === "prerendered") return;
    this.#fail(state.words);
  }

  /** @param {string} words */
  #fail(words) {
    const holds = this.#shownFor === this.#asText();
    this.#show(
      "failed",
      `${words} ${holds ? "What stands below holds for the handles shown." : "The old move is taken away."} `,
    );
    if (!this.#mayRetry) return;
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Try again";
    again.addEventListener("click", () => {
      retry();
      this.#askAgain();
    });
    this.#part(".state").append(again);
  }

  /**
   * @param {"prerendered" | "working" | "answered" | "refused" | "failed"} state
   * @param {string} words
   */
  #show(state, words) {
    this.dataset.state = state;
    this.#part(".state").textContent = words;
    // The answer's own place says so too: on a phone the line above it may be out of sight.
    const status = this.#part(".circuit-status");
    if (state === "working") status.dataset.working = words;
    else delete status.dataset.working;
    this.#markStale();
  }

  /** Mark a move that is not for the handles and settings as they stand. */
  #markStale() {
    this.toggleAttribute("data-stale", this.#shownFor !== this.#asText());
  }
}

/** @param {Field} field @param {string} text */
function setField(field, text) {
  if (field instanceof HTMLInputElement) field.value = text;
  else if ([...field.options].some((option) => option.value === text)) field.value = text;
}

/**
 * A kept text as a field shows it: a bare pressure is in psi, whatever unit stands beside the field.
 * @param {Element} field
 * @param {string} text
 * @param {string} unit
 */
function standingIn(field, text, unit) {
  const isPressure = field instanceof HTMLElement && "pressure" in field.dataset;
  return isPressure ? standing(text, unit) : withoutUnit(text, unit);
}

customElements.define("brake-circuit", BrakeCircuit);
