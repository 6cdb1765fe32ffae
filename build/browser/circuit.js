// @ts-check
// <brake-circuit> wraps a circuit that the build has already put into the page: picture, steps,
// gauges. It steps through the moments that stand beside the picture, and asks Python for those of
// another move. The picture is made once; a moment only sets texts, classes and widths by key.

import { entriesOf } from "./address.js";
import { Answering, BUILT_UNIT } from "./answering.js";
import { copyText } from "./copying.js";
import { meant, withoutUnit } from "./entry-texts.js";
import { Fields } from "./fields.js";
import { isAsBuilt } from "./going-live.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";
import { follow, retry } from "./python-client.js";
import { touchedBySettings } from "./settings.js";
import { showSettingsNotes } from "./settings-notes.js";
import { share } from "./sharing.js";

const TYPING_PAUSE = 250;
const PLAY_PAUSE = 1300;
const ANSWERED = "Worked out for the handles and settings below.";
const FOLLOWING = "The first moments are here; following the brake to rest.";
const STOPPED = "Stopped: the first moments stay, and they are not the end of the move.";
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
 * @property {boolean} [to_follow] whether it has been followed only a little way
 * @property {{words: string, stopped: string}} [progress] how far it is; what to say if it ends here
 *
 * @typedef {import("./fields.js").Field} Field
 */

class BrakeCircuit extends Answering {
  /** @type {Reply} */
  #told = {};
  /** What the page was built with, for starting over. @type {Reply} */
  #built = {};
  /** The circuit, its move, and the handles that were moved. @type {Record<string, string>} */
  #asked = {};
  #builtState = "";
  /** What Python refused last, by field. @type {Record<string, string>} */
  #errors = {};
  #at = 0;
  /** The fields that are no handles; they come from Python when they are first opened. */
  settings = new Fields(this, "form.asking");
  handles = new Fields(this, ".handles");
  quiet = true;
  asks = "circuit";
  words = {
    holds: "What stands below holds for the handles shown.",
    gone: "The old move is taken away.",
  };
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #pause;
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #playing;
  /** Ends the following that is under way. */
  #following = new AbortController();
  /** What is said if it is ended now. */
  #stopped = STOPPED;

  connectedCallback() {
    if (loadedAnewUnlessItFits()) return;
    const data = this.querySelector('script[type="application/json"]');
    this.#built = JSON.parse(data?.textContent ?? "{}");
    this.#built.steps = this.$(".steps-place").innerHTML;
    this.#built.gauges = this.$(".gauges").outerHTML;
    this.#built.warnings = this.$(".circuit-warnings").innerHTML;
    this.#built.more = this.$(".circuit-more").innerHTML;
    this.#builtState = this.$(".state").textContent ?? "";
    this.#told = this.#built;
    this.#asked = this.presets();
    this.#at = this.#told.shown ?? 0;
    this.askAgain = () => this.#soon(0);
    this.start();
    const { signal } = this.listening;
    this.addEventListener("input", (event) => this.#typed(event), { signal });
    this.addEventListener("change", (event) => this.#changed(event), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("keydown", (event) => this.#pressed(event), { signal });
    this.$(".circuit-settings").addEventListener("toggle", () => this.#opened(), { signal });
    this.#showMoment(this.#at);
    this.begin();
  }

  /** Handles that were moved before the script was there. */
  takeWhatWasTyped() {
    const moved = this.handles.all.filter((field) => !isAsBuilt(field));
    if (!moved.length) return false;
    this.shownFor = "";
    this.touched = true;
    for (const field of moved) {
      const isOff = field instanceof HTMLInputElement && field.type === "radio" && !field.checked;
      if (!isOff) this.#took(field);
    }
    return true;
  }

  get announcing() {
    return this.$(".circuit-status");
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearTimeout(this.#pause);
    this.#following.abort();
    this.#stop();
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
    this.$(".step-now").textContent = this.#stepInWords(moment.begun);
    const slider = this.#slider;
    slider.max = String(frames.length - 1);
    slider.value = String(this.#at);
    slider.setAttribute("aria-valuetext", `${this.#at + 1} of ${frames.length}`);
    const status = this.$(".circuit-status");
    if (status.textContent !== moment.status) status.textContent = moment.status;
    // Stepping through a move that is not the one asked for leaves the address alone.
    if (this.touched && this.ownPage && this.shownFor === this.asText()) {
      this.address.write(String(this.#link()));
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
    /** @type {Element | null} */
    let moving = null;
    for (const [key, words] of Object.entries(classes)) {
      const place = this.#keyed(key);
      // What has just begun to move is what the eye should be on.
      if (
        /flow-(forward|backward)/.test(words) &&
        !/flow-(forward|backward)/.test(place?.getAttribute("class") ?? "")
      ) {
        moving = place;
      }
      place?.setAttribute("class", words);
    }
    this.#follow(moving);
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
  entries() {
    return { ...this.settings.entries(this.unit), ...this.#asked };
  }

  /** @param {number} [pause] */
  #soon(pause = TYPING_PAUSE) {
    this.#stop();
    this.askAgain = () => this.#soon(0);
    this.repeated = [];
    // What no field holds and Python has refused in words is not asked again: no field could mend it.
    for (const name of Object.keys(this.#errors)) {
      if (!this.fields.first(name)) delete this.#asked[name];
    }
    if (this.mayRetry) retry();
    this.show("working", this.starting || "Working out the move …");
    if (this.touched && this.ownPage) {
      this.address.soon(() => String(new URLSearchParams(this.entries())));
    }
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => {
      this.#pause = undefined;
      void this.#tell(this.entries());
    }, pause);
  }

  /** @param {Record<string, string>} entries @param {{form?: boolean}} [wanted] */
  async #tell(entries, { form = false } = {}) {
    const turn = ++this.turn;
    // A link to a moment needs the whole move, and so does one to its end, where it names none.
    const first = entries.moment === undefined;
    const reply = await this.askPython({ kind: "circuit", entries, form, first });
    if (turn !== this.turn || reply.superseded) return undefined;
    if (reply.failed !== undefined) {
      this.fail(`No answer for this move: ${reply.failed}`);
      return undefined;
    }
    this.#errors = reply.errors ?? {};
    this.fields.showErrors(this.#errors);
    if (!reply.frames) {
      this.show("refused", Object.values(reply.errors ?? {}).join(" "));
      return undefined;
    }
    this.shownFor = JSON.stringify(entries);
    this.#put(reply);
    delete this.dataset.example;
    showSettingsNotes(this.settings.all, reply.settings_notes ?? {});
    const moved = new CustomEvent("circuit-moved", { detail: { calculator: this.asks, entries: this.entries() } });
    document.dispatchEvent(moved);
    if (reply.to_follow) void this.#followToRest(entries, turn);
    else this.show("answered", ANSWERED);
    return reply;
  }

  /** Wait for the rest of a move whose begin is on show. @param {Record<string, string>} entries @param {number} turn */
  async #followToRest(entries, turn) {
    this.#following.abort();
    this.#following = new AbortController();
    const { signal } = this.#following;
    this.#stopped = STOPPED;
    this.show("following", FOLLOWING);
    /** @type {Reply} */
    let whole;
    try {
      whole = await follow(this.request({ kind: "circuit", entries }), {
        form: this.id,
        signal,
        onPart: ({ progress }) => {
          if (!progress || turn !== this.turn || signal.aborted) return;
          this.#stopped = progress.stopped;
          this.show("following", progress.words);
        },
      });
    } catch (reason) {
      whole = { failed: reason instanceof Error ? reason.message : String(reason) };
    }
    // A handle that has just been moved is about to be asked for: it is not put back.
    if (turn !== this.turn || whole.superseded || this.#pause !== undefined) return;
    if (!whole.frames) {
      this.fail(`The rest of the move did not come: ${whole.failed ?? "nothing came back."}`);
      return;
    }
    const at = this.#at;
    this.#put(whole);
    this.#showMoment(at);
    this.show("answered", ANSWERED);
  }

  /** End the following, or take it up again: the same key does both. */
  #stopOrFollow() {
    if (this.#phase === "following") {
      this.#following.abort();
      this.show("answered", this.#stopped);
    } else if (this.#told.to_follow) void this.#followToRest(this.entries(), this.turn);
  }

  get #phase() {
    return /** @type {import("./answering.js").Phase} */ (this.dataset.state);
  }

  /** The key that ends a following is there while one is under way or was ended.
   * @param {import("./answering.js").Phase} state
   * @param {string} words
   */
  show(state, words) {
    super.show(state, words);
    const key = this.#button("follow");
    const isUnderWay = state === "following";
    const offered = isUnderWay || (state === "answered" && Boolean(this.#told.to_follow));
    key.textContent = isUnderWay ? "Stop following" : "Follow to rest";
    // A key that goes takes nobody's place on the page with it.
    if (!offered && document.activeElement === key) this.#slider.focus({ preventScroll: true });
    key.hidden = !offered;
  }

  /** Put a move into the places of the page. @param {Reply} reply */
  #put(reply) {
    this.#told = reply;
    this.$(".steps-place").innerHTML = reply.steps ?? "";
    this.$(".gauges").outerHTML = reply.gauges ?? "";
    this.$(".circuit-warnings").innerHTML = reply.warnings ?? "";
    this.$(".circuit-more").innerHTML = reply.more ?? "";
    this.#setHandles(reply.operated ?? {}, reply.pressure_unit ?? "psi");
    if (reply.base) this.#set(reply.base);
    this.#showMoment(reply.shown ?? 0);
  }

  /** @param {URLSearchParams} link */
  async fromLink(link) {
    // The picture of this page is that of its own circuit.
    const { circuit } = this.presets();
    const asked = entriesOf(link);
    this.shownFor = "";
    if (asked.entries.circuit !== undefined && asked.entries.circuit !== circuit) {
      this.show(
        "refused",
        `This link asks for another circuit, "${asked.entries.circuit}"; this page shows "${circuit}". Open that circuit's page, or start over.`,
      );
      return;
    }
    this.repeated = asked.repeated;
    const entries = { ...this.presets(), ...asked.entries, circuit };
    // If Python refuses a part of it, the rest still stands for what is asked next.
    this.#asked = { ...entries };
    delete this.#asked.moment;
    this.askAgain = () => this.fromLink(link);
    this.show("working", "Working out the move of this link …");
    await this.#fill(entries);
  }

  settingsChanged() {
    this.askAgain = () => this.settingsChanged();
    this.show("working", "Example settings, not yours: working out the move for your own …");
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
    if (reply.form) this.$(".settings-place").innerHTML = reply.form;
    const { names } = this.settings;
    this.#asked = Object.fromEntries(Object.entries(entries).filter(([name]) => !names.has(name)));
    delete this.#asked.moment;
    this.#setStage();
    let texts = reply.texts ?? {};
    if (unit !== BUILT_UNIT && names.size) {
      // Beside the move's own lane, where another may be under way.
      const said = await this.askPython({ kind: "restate", unit, entries: texts }, `${this.id} unit`);
      texts = { ...texts, ...said.entries };
    }
    this.unitIs(unit);
    this.#takeTexts(texts, unit);
    this.shownFor = this.asText();
    this.markStale();
    showSettingsNotes(this.settings.all, reply.settings_notes ?? {});
    return reply;
  }

  /** @param {Record<string, string>} texts @param {string} unit */
  #takeTexts(texts, unit) {
    const { names } = this.settings;
    for (const [name, text] of Object.entries(texts)) {
      if (names.has(name)) this.settings.set(name, text, unit);
    }
  }

  /** The fields come from Python when they are first opened. */
  #opened() {
    if (!this.settings.all.length) this.#fill({ ...this.entries(), ...this.#momentShown() }, { form: true });
  }

  /** The moment on show, so that an answer to the same question does not leave it. */
  #momentShown() {
    return { moment: this.#told.frames?.[this.#at]?.moment ?? "" };
  }

  // --- What a person does ----------------------------------------------------------------------

  /** @param {Event} event */
  #typed(event) {
    this.touched = true;
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
    if (field.name === "stage") this.#asked = { ...this.presets(), stage: field.value };
    else if (field.closest(".handles")) {
      this.#asked[field.name] = "pressure" in field.dataset ? meant(field.value, this.unit) : field.value;
    }
    this.#soon(field instanceof HTMLInputElement && field.type === "text" ? TYPING_PAUSE : 0);
  }

  /** @param {string} unit */
  async #changeUnit(unit) {
    const entries = this.entries();
    this.show("working", "Saying the pressures in another unit …");
    const said = await this.askPython({ kind: "restate", unit, entries });
    this.unitIs(unit);
    this.#takeTexts(said.entries ?? {}, unit);
    for (const [name, text] of Object.entries(said.entries ?? {})) {
      if (name in this.#asked && text) this.#asked[name] = text;
    }
    this.#soon(0);
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    this.touched = true;
    const { less, more, fill, unitOf } = button.dataset;
    if (unitOf) {
      this.settings.turnUnit(button, this.unit);
      this.#soon(0);
    }
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
    const next = (Number.isFinite(number) ? number : 0) + by * (NUDGES[this.unit] ?? 1);
    field.value = String(Math.max(0, Math.round(next * 1000) / 1000));
    this.#took(field);
  }

  /** @param {string} name @param {string} value */
  #fillField(name, value) {
    const field = this.settings.first(name);
    if (!field) return;
    this.settings.set(name, value, this.unit);
    this.#took(field);
  }

  /** @param {string} what @param {HTMLButtonElement} button */
  #do(what, button) {
    if (what === "back" || what === "next") {
      this.#stop();
      return this.#showMoment(this.#at + (what === "next" ? 1 : -1));
    }
    if (what === "play") return this.#play();
    if (what === "follow") return this.#stopOrFollow();
    if (what === "print") return this.printSheet(this.#momentShown());
    if (what === "go-on") return this.#goOn();
    if (what === "start-over") return this.startOver();
    if (what === "text") return this.#copyAsText(button);
    if (what === "sheet") return this.#openSheet(button);
    if (what === "close-sheet") return this.#closeSheet();
    if (what === "veil") return this.#veil(button);
    if (what === "whole") return this.#showWhole(button);
    if (what === "share") return share(this.shared(String(this.#link())));
    return copyText(this.linkTo(this.#link()), button);
  }

  // --- The sheet of handles, the picture's place, and what is to come ---------------------------

  /** @param {HTMLElement} opener */
  #openSheet(opener) {
    const open = this.dataset.sheet !== "open";
    if (!open) return this.#closeSheet();
    this.dataset.sheet = "open";
    opener.setAttribute("aria-expanded", "true");
    const first = this.querySelector(".handles :is(input:checked, input[type=text], select)");
    if (first instanceof HTMLElement) first.focus({ preventScroll: true });
  }

  #closeSheet() {
    delete this.dataset.sheet;
    const opener = this.#button("sheet");
    opener.setAttribute("aria-expanded", "false");
    opener.focus({ preventScroll: true });
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    if (event.key === "Escape" && this.dataset.sheet === "open") this.#closeSheet();
  }

  /** What comes next can be thought out before it is seen. @param {HTMLElement} button */
  #veil(button) {
    const veiled = this.toggleAttribute("data-veiled");
    button.setAttribute("aria-pressed", String(veiled));
  }

  /** The whole picture at once, its letters smaller; or as wide as can be, moved to what moves. @param {HTMLElement} button */
  #showWhole(button) {
    const whole = this.toggleAttribute("data-whole");
    button.setAttribute("aria-pressed", String(whole));
    if (!whole) this.#follow(this.querySelector(".circuit-picture .flow-forward, .circuit-picture .flow-backward"));
  }

  /** Bring what moves into the middle of the picture's box. @param {Element | null} moving */
  #follow(moving) {
    const box = this.querySelector(".circuit-view");
    if (!moving || !box || box.scrollHeight <= box.clientHeight + 1) return;
    const place = moving.getBoundingClientRect();
    const frame = box.getBoundingClientRect();
    const to = box.scrollTop + place.top + place.height / 2 - frame.top - frame.height / 2;
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    box.scrollTo({ top: to, behavior: calm ? "auto" : "smooth" });
  }

  /** @param {HTMLButtonElement} button */
  async #copyAsText(button) {
    const entries = { ...this.entries(), ...this.#momentShown() };
    const reply = await this.askPython({ kind: "circuit", entries });
    if (reply.text) await copyText(reply.text, button);
    else this.show("failed", reply.failed ?? Object.values(reply.errors ?? {}).join(" "));
  }

  /** The state at rest becomes the start of the next move. */
  #goOn() {
    if (this.#told.to_follow) {
      this.show(this.#phase, "Where the next move starts is known once this one has been followed to rest.");
      return;
    }
    const entries = this.#told.go_on ?? {};
    const { names } = this.settings;
    this.#takeTexts(entries, this.unit);
    const moved = Object.fromEntries(Object.entries(entries).filter(([name]) => !names.has(name)));
    this.#asked = { ...this.#asked, ...moved };
    this.#soon(0);
  }

  startOver() {
    this.turn += 1;
    this.#following.abort();
    clearTimeout(this.#pause);
    this.#pause = undefined;
    this.#stop();
    for (const form of this.querySelectorAll("form")) form.reset();
    this.touched = false;
    this.repeated = [];
    this.#asked = this.presets();
    this.$(".settings-place").replaceChildren();
    this.$(".circuit-settings").removeAttribute("open");
    this.#put(this.#built);
    this.fields.showErrors({});
    this.dataset.example = "yes";
    this.unitIs("psi");
    this.shownFor = this.asText();
    this.show("prerendered", this.#builtState);
    if (this.ownPage) this.address.write("");
    if (touchedBySettings(this)) this.settingsChanged();
  }

  // --- Fields ----------------------------------------------------------------------------------

  /** Put the handles where the move has them.
   * @param {Record<string, string>} operated
   * @param {string} unit
   */
  #setHandles(operated, unit) {
    for (const [name, said] of Object.entries(operated)) {
      const held = this.handles.first(name);
      // What is being typed stays as it is.
      if (held && document.activeElement === held && held instanceof HTMLInputElement && held.type === "text") continue;
      this.handles.set(name, withoutUnit(said, unit), BUILT_UNIT);
    }
    this.#setStage();
  }

  #setStage() {
    for (const found of this.querySelectorAll('.handles [name="stage"]')) {
      const radio = /** @type {HTMLInputElement} */ (found);
      radio.checked = radio.value === (this.#asked.stage ?? "1");
    }
  }

  get #slider() {
    return /** @type {HTMLInputElement} */ (this.querySelector("[data-step]"));
  }

  /** @param {string} what */
  #button(what) {
    return /** @type {HTMLButtonElement} */ (this.querySelector(`button[data-do="${what}"]`));
  }
}

customElements.define("brake-circuit", BrakeCircuit);
