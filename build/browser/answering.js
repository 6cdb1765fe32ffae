// @ts-check
// What calculators and circuits share: a form whose entries go to Python as typed, an answer that is
// for these entries or struck out, a line that says how it stands, and another try where one can help.

import { Address, isAsked } from "./address.js";
import { Fields } from "./fields.js";
import { goLive } from "./going-live.js";
import { ask, retry, warm, watchState } from "./python-client.js";
import { railroadSettings, touchedBySettings } from "./settings.js";

/** @typedef {"prerendered" | "working" | "following" | "answered" | "refused" | "failed"} Phase */

/** The unit of pressures that the page was built in. */
export const BUILT_UNIT = "psi";

/** The name under which a link holds all that it asks in short. */
const SHORT = "z";

export class Answering extends HTMLElement {
  /** Ends with the element's stay in the page. */
  listening = new AbortController();
  fields = new Fields(this, "form");
  address = new Address();
  /** Counts questions, so that the last one wins. */
  turn = 0;
  /** Whether the user has changed anything: from then on the address follows. */
  touched = false;
  /** The entries that the figures on show were worked out for, as one text. */
  shownFor = "";
  /** Asks once more what was asked last. */
  askAgain = () => {};
  mayRetry = false;
  /** How far Python is on its way, in words; empty when it is there. */
  starting = "";
  /** Fields that the link gives more than once. @type {string[]} */
  repeated = [];

  /** Bring to life what the page holds: what a person does, the device's settings, Python's state. */
  start() {
    this.listening = new AbortController();
    const { signal } = this.listening;
    this.addEventListener("submit", (event) => event.preventDefault(), { signal });
    document.addEventListener("railroad-settings", () => this.settingsChanged(), { signal });
    this.shownFor = this.asText();
    if (this.ownPage) this.address.watch((asked) => this.#addressIs(asked), signal);
    watchState((state) => this.#pythonIs(state), { signal });
    warm();
    goLive(this);
  }

  /** Answer for what the link, the fields or the settings say, in this order. */
  begin() {
    const link = new URLSearchParams(this.ownPage ? location.search : "");
    if (isAsked(link)) this.#take(link);
    else if (!this.takeWhatWasTyped() && touchedBySettings(this)) this.settingsChanged();
  }

  /** The address asks something else now, on the same page. @param {URLSearchParams} asked */
  #addressIs(asked) {
    if (isAsked(asked)) this.#take(asked);
    else this.startOver();
  }

  /** A long link as it stands, or what a short one holds. @param {URLSearchParams} link */
  #take(link) {
    if (link.has(SHORT)) void this.#unfold(link);
    else this.fromLink(link);
  }

  /** Read a short link: the address then shows it long. One that cannot be read changes nothing. @param {URLSearchParams} link */
  async #unfold(link) {
    const turn = ++this.turn;
    this.askAgain = () => this.#take(link);
    this.show("working", "Opening the short link …");
    const [short, ...more] = link.getAll(SHORT);
    const beside = [...more, ...[...link.keys()].filter((name) => name !== SHORT)];
    const wanted = { kind: "short", do: "open", subject: this.subject, short, beside };
    const opened = await this.askPython(wanted, `${this.id} short`);
    if (turn !== this.turn || opened.superseded) return;
    if (opened.failed !== undefined) return this.fail(`The short link was not opened: ${opened.failed}`);
    if (opened.query === undefined) return this.show("refused", opened.error ?? "");
    this.address.write(opened.query);
    this.fromLink(new URLSearchParams(opened.query));
  }

  /** What a short link of this place is made for. */
  get subject() {
    return this.dataset.calculator ?? this.asks;
  }

  disconnectedCallback() {
    this.listening.abort();
    this.address.cancel();
    this.turn += 1;
  }

  // --- What each kind does in its own way ------------------------------------------------------

  /** Every entry as typed, with its unit. @returns {Record<string, string>} */
  entries() {
    return {};
  }

  /** @param {URLSearchParams} asked */
  fromLink(asked) {
    void asked;
  }

  settingsChanged() {}

  startOver() {}

  /** Answer what was typed before the script was there. @returns {boolean} whether there was any */
  takeWhatWasTyped() {
    return false;
  }

  /** The element that is spoken when the answer changes. @returns {HTMLElement | null} */
  get announcing() {
    return null;
  }

  /** Whether a page that nothing was asked of says nothing of a Python that did not start. */
  quiet = false;

  /** The calculator that is asked where the page names none. */
  asks = "";

  /** What stands in a failed answer's place, in words. */
  words = {
    holds: "What stands below holds for the figures shown.",
    gone: "The figures for the old entries are taken away.",
  };

  // --- Shared ----------------------------------------------------------------------------------

  get ownPage() {
    return Boolean(this.dataset.ownPage);
  }

  /** The unit of pressures on show. */
  get unit() {
    return this.dataset.pressureUnit ?? BUILT_UNIT;
  }

  /** @param {string} unit */
  unitIs(unit) {
    this.dataset.pressureUnit = unit;
    this.fields.unitIs(unit);
  }

  /** What the page's author set for this place; the rest is left to the settings. */
  presets() {
    return /** @type {Record<string, string>} */ (JSON.parse(this.dataset.presets ?? "{}"));
  }

  asText() {
    return JSON.stringify(this.entries());
  }

  /** @param {string} selector */
  $(selector) {
    return /** @type {HTMLElement} */ (this.querySelector(selector));
  }

  /** @param {Record<string, unknown>} what */
  request(what) {
    return {
      ...what,
      calculator: this.dataset.calculator ?? this.asks,
      settings: railroadSettings(),
      repeated: this.repeated,
      id: this.id,
      page: this.dataset.page ?? "",
    };
  }

  /**
   * @param {Record<string, unknown>} what
   * @param {string} [form] the lane that the question takes
   * @returns {Promise<any>}
   */
  async askPython(what, form = this.id) {
    try {
      return await ask(this.request(what), { form });
    } catch (reason) {
      return { failed: wordsOf(reason) };
    }
  }

  /** What the panel hands on. @param {string} query @returns {import("./sharing.js").Shared} */
  shared(query) {
    const page = new URL(this.dataset.page ?? "", document.baseURI);
    const title = document.querySelector(".frame-title")?.textContent?.trim();
    const what = (this.ownPage && title) || this.querySelector(".calculator-title")?.textContent || document.title;
    const print = () => void this.printSheet(Object.fromEntries(new URLSearchParams(query)));
    return {
      what,
      page: `${page.origin}${page.pathname}`,
      query,
      subject: this.subject,
      print,
      pictures: () => this.pictures(),
    };
  }

  /** The drawings of the answer. @returns {SVGSVGElement[]} */
  pictures() {
    return [...this.querySelectorAll("svg:is(.curve-picture, .circuit-picture, .heat)")].filter(
      (one) => one instanceof SVGSVGElement,
    );
  }

  /** Print the answer as one sheet; where that cannot be had, the page. @param {Record<string, string>} [more] entries */
  async printSheet(more = {}) {
    try {
      const { printSheet } = await import("./paper.js");
      await printSheet(this.request({ entries: { ...this.entries(), ...more } }), (query) => this.shared(query));
    } catch {
      window.print();
    }
  }

  /** Where a link to this place leads. @param {string | URLSearchParams} query */
  linkTo(query) {
    const page = new URL(this.dataset.page ?? "", document.baseURI);
    return `${page.origin}${page.pathname}?${query}`;
  }

  /** @param {import("./python-client.js").State} state */
  #pythonIs(state) {
    const isWorking = state.phase === "starting" || (state.phase === "ready" && state.words);
    if (isWorking && this.dataset.state === "working") this.show("working", state.words);
    this.mayRetry = state.phase === "failed" && state.mayRetry;
    this.starting = state.phase === "starting" ? state.words : "";
    // It came after all: what waits for an answer gets it.
    if (state.phase === "ready" && this.dataset.state === "failed") this.askAgain();
    if (state.phase === "failed" && !(this.quiet && this.dataset.state === "prerendered")) this.fail(state.words);
  }

  /** Say why there is no answer, and how to try again. @param {string} words */
  fail(words) {
    const holds = this.shownFor === this.asText();
    this.show("failed", `${words} ${holds ? this.words.holds : this.words.gone} `);
    if (!this.mayRetry) return;
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Try again";
    again.addEventListener("click", () => {
      retry();
      this.askAgain();
    });
    this.$(".state").append(again);
  }

  /** @param {Phase} state @param {string} words */
  show(state, words) {
    this.dataset.state = state;
    this.$(".state").textContent = words;
    // The answer's own place says so too: on a phone the line above it may be out of sight.
    const { announcing } = this;
    if (announcing && state === "working") announcing.dataset.working = words;
    else delete announcing?.dataset.working;
    this.markStale();
  }

  /** Mark figures that are not for the entries in the fields. */
  markStale() {
    this.toggleAttribute("data-stale", this.shownFor !== this.asText());
  }
}

/** @param {unknown} reason */
export function wordsOf(reason) {
  return reason instanceof Error ? reason.message : String(reason);
}
