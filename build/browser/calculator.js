// @ts-check
// <brake-calculator> wraps a form and an answer that the build has already put into the page.
// Without this script both still stand there, filled with a worked example, the fields closed. With
// it, answers follow typing: entries go to Python as typed, Python words the reply, this moves it in.
// A figure that is not for the entries beside it is struck out, or taken away if none will follow.

import { entriesOf } from "./address.js";
import { Answering, BUILT_UNIT, wordsOf } from "./answering.js";
import { copyText } from "./copying.js";
import { isRadio } from "./fields.js";
import { isAsBuilt } from "./going-live.js";
import { restoreGroups } from "./groups.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";
import { follow, retry } from "./python-client.js";
import { touchedBySettings } from "./settings.js";
import { showSettingsNotes } from "./settings-notes.js";
import { share } from "./sharing.js";

// The long part of an answer waits this long, so that typing does not start it at every key.
const BEFORE_FOLLOWING_MS = 250;
const ANSWERED = "Answered for the figures shown.";
const WILL_FOLLOW = "Change one and the answer follows.";

/**
 * @typedef {object} Reply
 * @property {string} [html] the answer as a fragment
 * @property {string} [bar] the answer in one view, as a fragment
 * @property {Record<string, string>} [beside] what stands beside each reading, as fragments
 * @property {string} [line] the settings in one line
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

class BrakeCalculator extends Answering {
  /** @type {Reply | undefined} */
  #reply;
  /** Takes back the long part that is under way. @type {AbortController | undefined} */
  #stopping;
  /** Fields of the link that the form has no place for; they go back to Python as they came. @type {Record<string, string>} */
  #beside = {};
  /** What the page was built with, for starting over. */
  #built = { html: "", bar: "", line: "", state: "", headline: "", beside: /** @type {Record<string, string>} */ ({}) };
  /** The result that the gauge shows otherwise. */
  #differing = "";
  /** What a link or the settings ask while the fields still hold the example. @type {Record<string, string> | undefined} */
  #awaited;
  /** What a person has entered meanwhile. @type {Set<string>} */
  #own = new Set();

  connectedCallback() {
    if (loadedAnewUnlessItFits()) return;
    this.#built = {
      html: this.#place.innerHTML,
      bar: this.$(".bar-place")?.innerHTML ?? "",
      line: this.$(".line-words")?.textContent ?? "",
      state: this.$(".state").textContent ?? "",
      headline: this.#spoken.textContent ?? "",
      beside: Object.fromEntries(
        [...this.querySelectorAll("[data-beside]")].map((place) => [
          /** @type {HTMLElement} */ (place).dataset.beside ?? "",
          place.innerHTML,
        ]),
      ),
    };
    this.askAgain = () => this.#soon();
    this.start();
    const { signal } = this.listening;
    this.#form.addEventListener("input", (event) => this.#typed(event), { signal });
    this.#form.addEventListener("change", (event) => this.#changed(event), { signal });
    this.#form.addEventListener("focusin", (event) => this.#enter(event), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.$(".differs")?.addEventListener("input", () => this.#compare(), { signal });
    this.show("prerendered", `${this.#built.state} ${WILL_FOLLOW}`);
    this.begin();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#stopping?.abort();
  }

  takeWhatWasTyped() {
    if (this.fields.all.every(isAsBuilt)) return false;
    this.shownFor = "";
    this.unitIs(this.fields.text("pressure_unit") || BUILT_UNIT);
    this.#soon();
    return true;
  }

  get #form() {
    return /** @type {HTMLFormElement} */ (this.querySelector("form"));
  }

  get #place() {
    return this.$(".answer-place");
  }

  get #spoken() {
    return this.$(".answer-headline");
  }

  get announcing() {
    return this.#spoken;
  }

  /**
   * The entries as typed; a bare pressure carries the unit beside it. Until the fields hold what a link
   * or the settings ask, only what a person has entered counts of them.
   */
  entries() {
    const typed = this.fields.entries(this.fields.text("pressure_unit") || BUILT_UNIT);
    if (!this.#awaited) return { ...this.#beside, ...typed };
    return { ...this.#awaited, ...Object.fromEntries(Object.entries(typed).filter(([name]) => this.#own.has(name))) };
  }

  // --- Asking ----------------------------------------------------------------------------------

  /** @param {string[]} names the fields that were changed, where it is some of them */
  #soon(...names) {
    this.touched = true;
    for (const name of names) this.#own.add(name);
    // What no field holds and Python has refused in words is not asked again: no field could mend it.
    for (const name of Object.keys(this.#reply?.errors ?? {})) delete this.#beside[name];
    this.repeated = [];
    this.askAgain = () => this.#soon();
    if (this.mayRetry) retry();
    this.#showWhatCounts();
    this.show("working", this.starting || "Working out the new figures …");
    this.#noteEntries();
    // No pause for typing: in the client's lane the newest question takes the place of one that waits.
    void this.#answerTyped();
  }

  async #answerTyped() {
    const reply = await this.#answer(this.entries());
    if (reply && this.#awaited) await this.#takeIn(reply);
  }

  /** Let the address ask what stands in the fields. */
  #noteEntries() {
    if (this.ownPage) this.address.soon(() => String(new URLSearchParams(this.entries())));
  }

  /** @param {Record<string, string>} entries */
  async #answer(entries) {
    const turn = ++this.turn;
    /** @type {Reply} */
    const reply = await this.askPython({ kind: "answer", entries });
    if (turn !== this.turn || reply.superseded) return undefined;
    if (reply.failed !== undefined || reply.html === undefined) {
      this.fail(`No answer for these figures: ${reply.failed ?? "nothing came back."}`);
      return undefined;
    }
    this.#put(reply);
    this.shownFor = JSON.stringify(entries);
    this.fields.showErrors(reply.errors ?? {});
    showSettingsNotes(this.fields.all, reply.settings_notes ?? {});
    delete this.dataset.example;
    const wrong = Object.keys(reply.errors ?? {}).length > 0;
    if (this.touched && this.ownPage) {
      if (wrong) this.#noteEntries();
      else this.address.write(reply.link ?? "");
    }
    if (wrong) this.show("refused", "Correct the marked field.");
    else if (reply.to_follow) this.#follow(entries);
    else this.show("answered", ANSWERED);
    if (!wrong && this.#differing) void this.#compare();
    return reply;
  }

  /** Move an answer in. @param {Reply} reply */
  #put(reply) {
    this.#reply = reply;
    this.#move({ html: reply.html ?? "", bar: reply.bar ?? "", line: reply.line ?? "" });
    for (const [name, html] of Object.entries(reply.beside ?? {})) this.#putBeside(name, html);
    if (this.#spoken.textContent !== reply.headline) this.#spoken.textContent = reply.headline ?? "";
  }

  /** @param {{html: string, bar: string, line: string}} parts */
  #move({ html, bar, line }) {
    const open = new Set([...this.#place.querySelectorAll("details[open]")].map((found) => groupName(found)));
    this.#place.innerHTML = html;
    for (const found of this.#place.querySelectorAll("details")) {
      found.open = open.has(groupName(found));
    }
    restoreGroups(this.#place);
    const place = this.$(".bar-place");
    // A refused entry leaves the old figures, struck out, with the error beneath them.
    if (place && bar) this.#putBar(place, bar);
    const words = this.$(".line-words");
    if (words && line) words.textContent = line;
  }

  /** @param {string} name @param {string} html */
  #putBeside(name, html) {
    const place = this.querySelector(`[data-beside="${CSS.escape(name)}"]`);
    if (place) place.innerHTML = html;
  }

  /** A finger or the focus may be on a button of the bar: it is put back there. @param {HTMLElement} place @param {string} bar */
  #putBar(place, bar) {
    const active = document.activeElement;
    const held = active instanceof HTMLElement && place.contains(active) ? active.dataset.differs : undefined;
    place.innerHTML = bar;
    if (!held) return;
    const again = place.querySelector(`[data-differs="${CSS.escape(held)}"]`);
    if (again instanceof HTMLElement) again.focus({ preventScroll: true });
  }

  /**
   * Wait for the part of an answer that takes seconds: its progress, then the whole answer.
   * @param {Record<string, string>} entries
   */
  async #follow(entries) {
    const { turn } = this;
    const stopping = new AbortController();
    this.#stopping?.abort();
    this.#stopping = stopping;
    this.#showFollowing(true);
    this.show("following", "Answered as far as can be said at once; the rest is under way.");
    await new Promise((resolve) => setTimeout(resolve, BEFORE_FOLLOWING_MS));
    if (turn !== this.turn || stopping.signal.aborted) return;
    /** @type {Reply} */
    let whole;
    try {
      whole = await follow(this.request({ entries }), {
        form: this.id,
        signal: stopping.signal,
        onPart: (part) => this.#showProgress(part),
      });
    } catch (reason) {
      whole = { failed: wordsOf(reason) };
    }
    if (turn !== this.turn || whole.superseded) return;
    if (whole.html === undefined) {
      this.fail(`The rest did not come: ${whole.failed ?? "nothing came back."}`);
      return;
    }
    this.#put(whole);
    this.show("answered", ANSWERED);
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
    this.show("answered", "Stopped. Here are the figures that can be had at once.");
  }

  /**
   * Take the inputs of a link: they fill the form, and Python hears every field as it came.
   * @param {URLSearchParams} asked
   */
  async fromLink(asked) {
    const { entries, repeated } = entriesOf(asked);
    this.repeated = repeated;
    const { names } = this.fields;
    for (const [name, text] of Object.entries(entries)) this.fields.set(name, text, this.unit);
    this.#beside = Object.fromEntries(Object.entries(entries).filter(([name]) => !names.has(name)));
    this.shownFor = "";
    this.askAgain = () => this.fromLink(asked);
    this.show("working", "Working out the figures of this link …");
    await this.#fill(entries);
  }

  async settingsChanged() {
    if (this.touched || Object.keys(this.#beside).length) return this.#soon();
    this.askAgain = () => this.settingsChanged();
    this.show("working", "Example settings, not yours: working out the figures for your own …");
    await this.#fill(this.presets());
  }

  /** Ask with these entries and put the texts that Python took into the form.
   * @param {Record<string, string>} entries
   */
  async #fill(entries) {
    this.#awaited = entries;
    this.#own.clear();
    const reply = await this.#answer(entries);
    if (reply) await this.#takeIn(reply);
  }

  /** Put the texts that Python took into the form; what a person has entered stays as typed. @param {Reply} reply */
  async #takeIn(reply) {
    const { turn } = this;
    const unit = reply.pressure_unit ?? BUILT_UNIT;
    let texts = reply.texts ?? {};
    if (unit !== BUILT_UNIT) {
      // Beside the answer's own lane, where its long part may be under way.
      const said = await this.askPython({ kind: "restate", unit, entries: texts }, `${this.id} unit`);
      texts = { ...texts, ...said.entries };
    }
    // Something was entered while the unit was asked: its own answer brings the texts.
    if (turn !== this.turn) return;
    if (unit === BUILT_UNIT) texts = Object.fromEntries(Object.entries(texts).filter(([name]) => !this.#own.has(name)));
    this.#awaited = undefined;
    this.#takeTexts(texts, unit);
    this.shownFor = this.asText();
    this.markStale();
  }

  /** @param {Record<string, string>} texts @param {string} unit */
  #takeTexts(texts, unit) {
    this.unitIs(unit);
    for (const [name, text] of Object.entries(texts)) this.fields.set(name, text, unit);
    this.#showWhatCounts();
  }

  /** Show the keys that count for the choices as they stand. */
  #showWhatCounts() {
    for (const found of this.querySelectorAll("[data-only]")) {
      const field = /** @type {HTMLElement} */ (found);
      const { only = "", onlyOf = "" } = field.dataset;
      field.hidden = !onlyOf.split(" ").includes(this.fields.text(only));
    }
  }

  // --- What a person does ----------------------------------------------------------------------

  /**
   * A choice tells of its change by both events; one question is enough.
   * @param {Event} event
   */
  #typed(event) {
    const field = event.target;
    if (field instanceof HTMLSelectElement) return;
    if (field instanceof HTMLInputElement && isRadio(field)) return;
    this.#soon(/** @type {HTMLInputElement} */ (field).name);
  }

  /** @param {Event} event */
  async #changed(event) {
    const field = event.target;
    // A text has told of itself while it was typed; leaving its field asks nothing new.
    if (field instanceof HTMLInputElement && isRadio(field)) return this.#soon(field.name);
    if (!(field instanceof HTMLSelectElement)) return;
    if (field.name !== "pressure_unit") {
      this.#soon(field.name);
      return;
    }
    const turn = ++this.turn;
    const wanted = field.value;
    const entries = { ...this.#beside, ...this.fields.entries(this.unit) };
    this.show("working", "Saying the pressures in another unit …");
    const reply = await this.askPython({ kind: "restate", unit: wanted, entries });
    if (turn !== this.turn) return;
    this.#takeTexts(reply.entries ?? {}, wanted);
    this.#soon();
  }

  /** Who enters a figure mostly means to write another: what is typed takes its place. @param {Event} event */
  #enter(event) {
    const field = event.target;
    if (field instanceof HTMLInputElement && field.inputMode === "decimal") field.select();
  }

  /** @param {Event} event */
  #clicked(event) {
    const target = event.target instanceof Element ? event.target : null;
    const line = target?.closest(".rest > summary");
    if (line && /** @type {MouseEvent} */ (event).detail > 0) this.#openRest(line);
    const button = target?.closest("button");
    if (!button) return;
    const { fill, nudge, unitOf, differs, entries } = button.dataset;
    if (fill) this.#fillOne(fill, button.dataset.value ?? "");
    if (nudge) this.#nudge(nudge, Number(button.dataset.by), button);
    if (unitOf) this.#turnUnit(button);
    if (differs) this.#openDiffers(differs, button);
    if (entries) this.#take(JSON.parse(entries));
    if (button.dataset.do) this.#do(button.dataset.do, button);
  }

  /** Who taps the line of settings means to change the first of them. @param {Element} line */
  #openRest(line) {
    const group = line.parentElement;
    if (!(group instanceof HTMLDetailsElement) || group.open) return;
    // The tap opens it only after this.
    requestAnimationFrame(() => {
      const first = group.querySelector(".fields input");
      if (!(first instanceof HTMLInputElement)) return;
      first.focus();
      first.select();
    });
  }

  /** @param {string} name @param {string} value */
  #fillOne(name, value) {
    if (!this.fields.first(name)) return;
    this.fields.set(name, value, this.unit);
    this.#soon(name);
  }

  /** Fill in one of the examples that the form offers. @param {Record<string, string>} entries */
  #take(entries) {
    for (const [name, text] of Object.entries(entries)) this.fields.set(name, text, this.unit);
    this.#soon(...Object.keys(entries));
  }

  /** @param {string} name @param {number} by @param {HTMLElement} button */
  #nudge(name, by, button) {
    const field = this.fields.first(name);
    if (!field) return;
    /** @type {Record<string, number>} */
    const steps = JSON.parse(button.parentElement?.dataset.steps ?? "{}");
    const step = steps[field.dataset.unit ?? this.unit] ?? steps[""] ?? 1;
    const number = Number(field.value.trim());
    const next = (Number.isFinite(number) ? number : 0) + by * step;
    field.value = String(Math.max(0, Math.round(next * 1000) / 1000));
    this.#soon(name);
  }

  /** @param {HTMLButtonElement} button */
  #turnUnit(button) {
    this.fields.turnUnit(button, this.unit);
    this.#soon(button.dataset.unitOf ?? "");
  }

  // --- The gauge reads something else ----------------------------------------------------------

  /** @param {string} result @param {HTMLElement} button */
  #openDiffers(result, button) {
    const panel = this.$(".differs");
    this.#differing = result;
    panel.hidden = false;
    const words = button.closest("div")?.querySelector("dt")?.textContent ?? "";
    this.$(".differs-words").textContent =
      `${words.slice(0, 1).toUpperCase()}${words.slice(1)}: what does the gauge read?`;
    this.$(".differs-answer").replaceChildren();
    const box = this.#differsBox;
    box.value = "";
    box.focus();
  }

  get #differsBox() {
    return /** @type {HTMLInputElement} */ (this.querySelector(".differs input"));
  }

  #closeDiffers() {
    const result = this.#differing;
    this.#differing = "";
    this.$(".differs").hidden = true;
    const opener = this.querySelector(`[data-differs="${CSS.escape(result)}"]`);
    if (opener instanceof HTMLElement) opener.focus({ preventScroll: true });
  }

  async #compare() {
    const text = this.#differsBox.value.trim();
    const place = this.$(".differs-answer");
    if (!text) return place.replaceChildren();
    const result = this.#differing;
    const reply = await this.askPython(
      { kind: "otherwise", entries: this.entries(), result, text, unit: this.unit },
      `${this.id} otherwise`,
    );
    if (reply.superseded || result !== this.#differing) return;
    if (reply.html !== undefined) place.innerHTML = reply.html;
    else place.textContent = reply.error ?? reply.failed ?? "";
  }

  // --- Tools -----------------------------------------------------------------------------------

  /**
   * @param {string} what
   * @param {HTMLButtonElement} button
   */
  async #do(what, button) {
    if (what === "print") return this.printSheet();
    if (what === "stop") return this.#stop();
    if (what === "run") return this.#follow(this.entries());
    if (what === "start-over") return this.startOver();
    if (what === "close-differs") return this.#closeDiffers();
    // Never the link or the text of an answer to other entries than those in the fields.
    const isShown = this.#reply && this.shownFor === this.asText();
    const reply = isShown ? this.#reply : await this.#answer(this.entries());
    if (!reply) return;
    if (what === "share") return share({ ...this.shared(reply.link ?? ""), ...this.#curves(reply.link ?? "") });
    const link = this.linkTo(reply.link ?? "");
    await copyText(what === "link" ? link : (reply.text ?? ""), button);
  }

  /** The figures of the curves on show, for the panel. @param {string} query */
  #curves(query) {
    if (!this.querySelector(".curve")) return {};
    const entries = Object.fromEntries(new URLSearchParams(query));
    return {
      table: async () => {
        const reply = await this.askPython({ kind: "curves", entries }, `${this.id} curves`);
        return reply.csv ?? reply.failed ?? "";
      },
    };
  }

  startOver() {
    this.turn += 1;
    this.#stopping?.abort();
    this.#form.reset();
    this.#beside = {};
    this.#awaited = undefined;
    this.#own.clear();
    this.repeated = [];
    this.#reply = undefined;
    this.touched = false;
    this.#move(this.#built);
    for (const [name, html] of Object.entries(this.#built.beside)) this.#putBeside(name, html);
    this.#spoken.textContent = this.#built.headline;
    this.fields.showErrors({});
    showSettingsNotes(this.fields.all, {});
    this.dataset.example = "yes";
    this.unitIs(BUILT_UNIT);
    this.#showWhatCounts();
    this.shownFor = this.asText();
    this.show("prerendered", `${this.#built.state} ${WILL_FOLLOW}`);
    if (this.ownPage) this.address.write("");
    if (touchedBySettings(this)) this.settingsChanged();
  }
}

/** @param {Element} group */
function groupName(group) {
  return group instanceof HTMLElement ? (group.dataset.group ?? group.className) : "";
}

customElements.define("brake-calculator", BrakeCalculator);
