// @ts-check
// <brake-calculator> wraps a form and an answer that the build has already put into the page.
// Without this script both still stand there, filled with a worked example, the fields closed. With
// it, answers follow typing: entries go to Python as typed, Python words the reply, this moves it in.
// A figure that is not for the entries beside it is struck out, or taken away if none will follow.

import { ask, follow, retry, warm, watchState } from "./python-client.js";
import { Address, entriesOf, isAsked } from "./address.js";
import { copyText } from "./copying.js";
import { goLive, isAsBuilt } from "./going-live.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";
import { railroadSettings, touchedBySettings } from "./settings.js";
import { showSettingsNotes } from "./settings-notes.js";

const BARE_NUMBER = /^[\s\d.,/+−–-]+$/;
// The long part of an answer waits this long, so that typing does not start it at every key.
const BEFORE_FOLLOWING_MS = 250;
const ANSWERED = "Answered for the figures above.";
const WILL_FOLLOW = "Change one and the answer follows.";

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */

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
 * @property {boolean} [to_follow] whether a part takes longer and can be followed
 * @property {{done: number, of: number, words: string}} [progress] how far that part is
 * @property {boolean} [superseded] a newer question took this one's place
 */

class BrakeCalculator extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  #turn = 0;
  /** @type {Reply | undefined} */
  #reply;
  /** Takes back the long part that is under way. @type {AbortController | undefined} */
  #stopping;
  #mayRetry = false;
  /** How far Python is on its way, in words; empty when it is there. */
  #starting = "";
  /** Whether the user has changed anything: from then on the address follows. */
  #touched = false;
  #address = new Address();
  /** The entries that the figures on show were worked out for, as one text. */
  #shownFor = "";
  /** Asks once more what was asked last. */
  #askAgain = () => this.#soon();
  /** Fields of the link that the form has no place for; they go back to Python as they came. @type {Record<string, string>} */
  #beside = {};
  /** Fields that the link gives more than once. @type {string[]} */
  #repeated = [];
  /** What the page was built with, for starting over. */
  #built = { html: "", state: "", headline: "" };

  connectedCallback() {
    if (loadedAnewUnlessItFits()) return;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.#built = {
      html: this.#place.innerHTML,
      state: this.#state.textContent ?? "",
      headline: this.#spoken.textContent ?? "",
    };
    this.#shownFor = this.#asText();
    this.#form.addEventListener("submit", (event) => event.preventDefault(), { signal });
    this.#form.addEventListener("input", (event) => this.#typed(event), { signal });
    this.#form.addEventListener("change", (event) => this.#changed(event), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    document.addEventListener("railroad-settings", () => this.#settingsChanged(), { signal });
    if (this.dataset.ownPage) this.#address.watch((asked) => this.#addressIs(asked), signal);
    this.#show("prerendered", `${this.#built.state} ${WILL_FOLLOW}`);
    watchState((state) => this.#pythonIs(state), { signal });
    warm();
    goLive(this);
    this.#begin(this.dataset.ownPage ? new URLSearchParams(location.search) : new URLSearchParams());
  }

  /** Answer for what the link, the fields or the settings say, in this order. @param {URLSearchParams} asked */
  #begin(asked) {
    if (isAsked(asked)) this.#fromLink(asked);
    else if (!this.#fields.every(isAsBuilt)) {
      this.#shownFor = "";
      this.#unitIs(this.#field("pressure_unit")?.value ?? "psi");
      this.#soon();
    } else if (touchedBySettings(this)) this.#settingsChanged();
  }

  /** The address asks something else now, on the same page. @param {URLSearchParams} asked */
  #addressIs(asked) {
    if (isAsked(asked)) this.#fromLink(asked);
    else this.#startOver();
  }

  disconnectedCallback() {
    this.#listening?.abort();
    this.#stopping?.abort();
    this.#address.cancel();
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

  /** @returns {Field[]} */
  get #fields() {
    return [...this.#form.elements]
      .map((element) => /** @type {Field} */ (element))
      .filter((field) => field.matches("input, select, textarea") && field.name);
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

  #asText() {
    return JSON.stringify(this.#entries());
  }

  #soon() {
    this.#touched = true;
    // What no field holds and Python has refused in words is not asked again: no field could mend it.
    for (const name of Object.keys(this.#reply?.errors ?? {})) delete this.#beside[name];
    this.#repeated = [];
    this.#askAgain = () => this.#soon();
    if (this.#mayRetry) retry();
    this.#show("working", this.#starting || "Working out the new figures …");
    this.#noteEntries();
    // No pause for typing: in the client's lane the newest question takes the place of one that waits.
    void this.#answer(this.#entries());
  }

  /** Let the address ask what stands in the fields. */
  #noteEntries() {
    if (this.dataset.ownPage) this.#address.soon(() => String(new URLSearchParams(this.#entries())));
  }

  /** @param {Event} event */
  async #changed(event) {
    const field = event.target;
    // A text has told of itself while it was typed; leaving its field asks nothing new.
    if (!(field instanceof HTMLSelectElement)) return;
    if (field.name !== "pressure_unit") {
      this.#soon();
      return;
    }
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
    this.#soon();
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
      this.#fail(`No answer for these figures: ${reply.failed ?? "nothing came back."}`);
      return undefined;
    }
    this.#put(reply);
    this.#shownFor = JSON.stringify(entries);
    this.#showErrors(reply.errors ?? {});
    showSettingsNotes(this.#fields, reply.settings_notes ?? {});
    delete this.dataset.example;
    const wrong = Object.keys(reply.errors ?? {}).length > 0;
    if (this.#touched && this.dataset.ownPage) {
      if (wrong) this.#noteEntries();
      else this.#address.write(reply.link ?? "");
    }
    if (wrong) this.#show("refused", "Correct the marked field.");
    else if (reply.to_follow) this.#follow(entries);
    else this.#show("answered", ANSWERED);
    return reply;
  }

  /** Move an answer in. @param {Reply} reply */
  #put(reply) {
    this.#reply = reply;
    const open = new Set(
      [...this.#place.querySelectorAll("details[open]")].map((found) => found.className),
    );
    this.#place.innerHTML = reply.html ?? "";
    for (const found of this.#place.querySelectorAll("details")) {
      found.open = open.has(found.className);
    }
    if (this.#spoken.textContent !== reply.headline) this.#spoken.textContent = reply.headline ?? "";
  }

  /**
   * Wait for the part of an answer that takes seconds: its progress, then the whole answer.
   * @param {Record<string, string>} entries
   */
  async #follow(entries) {
    const turn = this.#turn;
    const stopping = new AbortController();
    this.#stopping?.abort();
    this.#stopping = stopping;
    this.#showFollowing(true);
    this.#show("following", "Answered as far as can be said at once; the rest is under way.");
    await new Promise((resolve) => setTimeout(resolve, BEFORE_FOLLOWING_MS));
    if (turn !== this.#turn || stopping.signal.aborted) return;
    /** @type {Reply} */
    let whole;
    try {
      whole = await follow(this.#request({ entries }), {
        form: this.id,
        signal: stopping.signal,
        onPart: (part) => this.#showProgress(part),
      });
    } catch (reason) {
      whole = { failed: wordsOf(reason) };
    }
    if (turn !== this.#turn || whole.superseded) return;
    if (whole.html === undefined) {
      this.#fail(`The rest did not come: ${whole.failed ?? "nothing came back."}`);
      return;
    }
    this.#put(whole);
    this.#show("answered", ANSWERED);
  }

  /** @param {Reply} part */
  #showProgress({ progress }) {
    const bar = this.#place.querySelector("progress");
    const words = this.#place.querySelector(".progress-words");
    if (!progress || !bar || !words) return;
    bar.max = progress.of;
    bar.value = progress.done;
    words.textContent = progress.words;
  }

  /** Offer to stop what is under way, or to run what was stopped. @param {boolean} underWay */
  #showFollowing(underWay) {
    for (const button of this.#place.querySelectorAll("button")) {
      if (button.dataset.do === "stop") button.hidden = !underWay;
      if (button.dataset.do === "run") button.hidden = underWay;
    }
  }

  #stop() {
    this.#stopping?.abort();
    this.#showFollowing(false);
    this.#show("answered", "Stopped. Here are the figures that can be had at once.");
  }

  /** @param {Record<string, unknown>} what */
  #request(what) {
    return {
      ...what,
      calculator: this.dataset.calculator,
      settings: railroadSettings(),
      repeated: this.#repeated,
      id: this.id,
    };
  }

  /**
   * @param {Record<string, unknown>} request
   * @param {string} [form] the lane that the question takes
   * @returns {Promise<Reply>}
   */
  async #ask(request, form = this.id) {
    try {
      return /** @type {Reply} */ (await ask(this.#request(request), { form }));
    } catch (reason) {
      return { failed: wordsOf(reason) };
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
    const { entries, repeated } = entriesOf(asked);
    this.#repeated = repeated;
    for (const field of this.#fields) {
      if (field.name in entries) setField(field, entries[field.name]);
    }
    this.#beside = Object.fromEntries(
      Object.entries(entries).filter(([name]) => !this.#field(name)),
    );
    this.#shownFor = "";
    this.#askAgain = () => this.#fromLink(asked);
    this.#show("working", "Working out the figures of this link …");
    await this.#fill(entries);
  }

  async #settingsChanged() {
    if (this.#touched || Object.keys(this.#beside).length) return this.#soon();
    this.#askAgain = () => this.#settingsChanged();
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
      // Beside the answer's own lane, where its long part may be under way.
      const said = await this.#ask({ kind: "restate", unit, entries: reply.texts }, `${this.id} unit`);
      for (const [name, text] of Object.entries(said.entries ?? {})) {
        const field = this.#field(name);
        if (field) field.value = bareOf(text, unit);
      }
    }
    this.#unitIs(unit);
    this.#shownFor = this.#asText();
    this.#markStale();
  }

  /**
   * Say why an answer is not there yet, or that none can come and how to try again.
   * @param {import("./python-client.js").State} state
   */
  #pythonIs(state) {
    if (state.phase === "starting" && this.dataset.state === "working") {
      this.#show("working", state.words);
    }
    this.#mayRetry = state.phase === "failed" && state.mayRetry;
    this.#starting = state.phase === "starting" ? state.words : "";
    // It came after all: what waits for an answer gets it.
    if (state.phase === "ready" && this.dataset.state === "failed") this.#askAgain();
    if (state.phase === "failed") this.#fail(state.words);
  }

  /** @param {string} words */
  #fail(words) {
    const holds = this.#shownFor === this.#asText();
    this.#show(
      "failed",
      `${words} ${holds ? "What stands below holds for the figures shown." : "The figures for the old entries are taken away."} `,
    );
    if (!this.#mayRetry) return;
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Try again";
    again.addEventListener("click", () => {
      retry();
      this.#askAgain();
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
    if (button.dataset.entries) this.#take(JSON.parse(button.dataset.entries));
    if (button.dataset.do) this.#do(button.dataset.do, button);
  }

  /** Fill in one of the examples that the form offers. @param {Record<string, string>} entries */
  #take(entries) {
    const unit = this.#field("pressure_unit")?.value ?? "psi";
    for (const [name, text] of Object.entries(entries)) {
      const field = this.#field(name);
      if (field) setField(field, "pressure" in field.dataset && unit !== "psi" ? withUnit(text, "psi") : text);
    }
    this.#soon();
  }

  /**
   * @param {string} what
   * @param {HTMLButtonElement} button
   */
  async #do(what, button) {
    if (what === "print") return window.print();
    if (what === "stop") return this.#stop();
    if (what === "run") return this.#follow(this.#entries());
    if (what === "start-over") return this.#startOver();
    // Never the link or the text of an answer to other entries than those in the fields.
    const isShown = this.#reply && this.#shownFor === this.#asText();
    const reply = isShown ? this.#reply : await this.#answer(this.#entries());
    if (!reply) return;
    const page = new URL(this.dataset.page ?? "", document.baseURI);
    const text = what === "link" ? `${page.origin}${page.pathname}?${reply.link}` : (reply.text ?? "");
    await copyText(text, button);
  }

  #startOver() {
    this.#turn += 1;
    this.#stopping?.abort();
    this.#form.reset();
    this.#beside = {};
    this.#repeated = [];
    this.#reply = undefined;
    this.#touched = false;
    this.#place.innerHTML = this.#built.html;
    this.#spoken.textContent = this.#built.headline;
    this.#showErrors({});
    showSettingsNotes(this.#fields, {});
    this.dataset.example = "yes";
    this.#unitIs("psi");
    this.#shownFor = this.#asText();
    this.#show("prerendered", `${this.#built.state} ${WILL_FOLLOW}`);
    if (this.dataset.ownPage) this.#address.write("");
    if (touchedBySettings(this)) this.#settingsChanged();
  }

  /**
   * @param {"prerendered" | "working" | "following" | "answered" | "refused" | "failed"} state
   * @param {string} words
   */
  #show(state, words) {
    this.dataset.state = state;
    this.#state.textContent = words;
    // The answer's own place says so too: on a phone the line above it may be out of sight.
    if (state === "working") this.#spoken.dataset.working = words;
    else delete this.#spoken.dataset.working;
    this.#markStale();
  }

  /** Mark figures that are not for the entries in the fields. */
  #markStale() {
    this.toggleAttribute("data-stale", this.#shownFor !== this.#asText());
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

/** @param {unknown} reason */
function wordsOf(reason) {
  return reason instanceof Error ? reason.message : String(reason);
}

/**
 * A select only takes what it offers; a wrong word of a link is left for Python to name.
 * @param {Field} field
 * @param {string} text
 */
function setField(field, text) {
  if (!(field instanceof HTMLSelectElement)) field.value = text;
  else if ([...field.options].some((option) => option.value === text)) field.value = text;
}

customElements.define("brake-calculator", BrakeCalculator);
