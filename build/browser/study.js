// @ts-check
// <study-sitting> asks a set of questions, one at a time; Python draws, words and judges them. What
// is kept of an answer is the skill's record, and where the set stands, so that it goes on after the
// page was closed. No count of points is kept or shown.

import { copyText } from "./copying.js";
import { buttonWith, toolsOf, withText } from "./making.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";
import { ask, warm } from "./python-client.js";
import { railroadSettings } from "./settings.js";
import { dayOf, dropSitting, endOfDay, keepSitting, keepStudy, keptSitting, studyRecords } from "./study-store.js";

/**
 * @typedef {import("./study-store.js").Sitting} Sitting
 * @typedef {import("./study-store.js").Kept} Kept
 */

class StudySitting extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  /** @type {Sitting | undefined} */
  #sitting;
  #asked = { answered: "", text: "", tries: 0, helped: false, since: 0, done: false };
  /** The next question, asked for while this one's answer is read. @type {Promise<any> | undefined} */
  #next;
  #built = "";
  /** Counts sets, so that an answer to an older one is not taken. */
  #turn = 0;

  connectedCallback() {
    if (loadedAnewUnlessItFits()) return;
    this.#built = this.innerHTML;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("submit", (event) => this.#submitted(event), { signal });
    document.addEventListener("study-kept", () => this.#follow(), { signal });
    this.#fresh();
  }

  disconnectedCallback() {
    this.#listening?.abort();
    this.#turn += 1;
    this.innerHTML = this.#built;
  }

  /** The first view: begin, or go on. */
  #fresh() {
    this.#sitting = undefined;
    this.innerHTML = this.#built;
    for (const button of this.querySelectorAll("button")) button.disabled = false;
    this.#say("");
    const link = this.#link;
    if (link) {
      const words = this.querySelector(".study-words");
      if (words)
        words.textContent = `A set from a link: ${this.#named(link.topics)}. Everybody who opens the link gets the same questions.`;
    }
    const kept = keptSitting(this.#name);
    const begin = this.querySelector("[data-do=begin]");
    if (begin && kept && this.#stillGoes(kept)) {
      begin.textContent = `Go on with question ${kept.said.length + 1} of ${kept.items.length}`;
    }
  }

  /** What a link asks for: topics, seed and the version of the questions. */
  get #link() {
    if (this.dataset.set !== "today") return undefined;
    const query = new URLSearchParams(location.search);
    const topics = query.get("drill");
    if (topics === null) return undefined;
    return { topics: topics.split(" ").filter(Boolean), seed: query.get("seed") ?? "", v: query.get("v") ?? "1" };
  }

  get #topics() {
    return (this.#link?.topics ?? (this.dataset.topics ?? "").split(" ")).filter(Boolean);
  }

  /** What the set is kept under. */
  get #name() {
    const link = this.#link;
    return link
      ? `link ${link.topics.join(" ")} ${link.seed}`
      : `${this.dataset.set} ${this.dataset.topics ?? ""}`.trim();
  }

  /** @param {string[]} topics */
  #named(topics) {
    const words = topics.map((id) => document.querySelector(`[data-topic="${CSS.escape(id)}"]`)?.textContent ?? id);
    return words.join(", ") || "all topics";
  }

  /** A set from a link or a page's foot has no day; today's is today's. @param {Sitting} kept */
  #stillGoes(kept) {
    return (
      kept.said.length < kept.items.length &&
      (this.dataset.set !== "today" || Boolean(this.#link) || kept.day === dayOf())
    );
  }

  // --- The set -----------------------------------------------------------------------------------

  async #begin() {
    const turn = ++this.#turn;
    const kept = keptSitting(this.#name);
    if (kept && this.#stillGoes(kept)) {
      this.#sitting = kept;
      return this.#show(turn);
    }
    this.#say("Drawing the questions …");
    const drawn = await this.#draw();
    if (turn !== this.#turn || !drawn) return;
    if (!drawn.skills?.length) return this.#nothingDue();
    const link = this.#link;
    const seed = link ? link.seed : `${dayOf()} ${Date.now() % 86_400_000}`;
    this.#sitting = {
      name: this.#name,
      day: dayOf(),
      items: drawn.skills.map((/** @type {string} */ skill, /** @type {number} */ turn) => ({
        skill,
        seed: `${seed}.${turn}`,
      })),
      said: [],
    };
    keepSitting(this.#sitting);
    await this.#show(turn);
  }

  async #draw() {
    const link = this.#link;
    if (link) {
      const drawn = await this.#python({ do: "drill", topics: link.topics, seed: link.seed, v: link.v });
      if (!drawn?.refused) return drawn;
      this.#say(drawn.refused);
      return undefined;
    }
    const records = studyRecords();
    const day = dayOf();
    const started = Object.values(records).filter(
      (one) => typeof one.first === "number" && dayOf(new Date(one.first)) === day,
    ).length;
    const most = this.dataset.most;
    return this.#python({
      do: "sitting",
      records,
      topics: this.#topics,
      until: this.dataset.set === "foot" ? Date.now() + 4e12 : endOfDay(),
      started: this.dataset.set === "today" ? started : 0,
      seed: `${day} ${this.#name}`,
      ...(most ? { most: Number(most) } : {}),
    });
  }

  #nothingDue() {
    this.#sitting = undefined;
    this.replaceChildren(
      withText(
        "p",
        "Nothing is due today, and today's new questions have been asked. What was answered comes back when it is due.",
      ),
      toolsOf(buttonWith("Back", () => this.#fresh())),
    );
  }

  /** Ask the question that the set has come to. @param {number} turn */
  async #show(turn) {
    const sitting = this.#sitting;
    if (!sitting) return;
    const at = sitting.said.length;
    if (at >= sitting.items.length) return this.#end();
    const asked = await (this.#next ?? this.#question(at));
    this.#next = undefined;
    if (turn !== this.#turn || !asked) return;
    sitting.items[at].entries = asked.entries;
    keepSitting(sitting);
    this.#asked = {
      answered: asked.answered,
      text: asked.text,
      tries: 0,
      helped: false,
      since: performance.now(),
      done: false,
    };
    const place = withText("p", `Question ${at + 1} of ${sitting.items.length}`);
    place.className = "study-count";
    const question = document.createElement("div");
    question.className = "study-place";
    question.innerHTML = asked.html;
    const said = document.createElement("p");
    said.className = "study-said";
    said.setAttribute("role", "status");
    const rest = document.createElement("div");
    rest.className = "study-rest";
    const leave = buttonWith("Leave it for later", () => this.#fresh());
    const show = buttonWith("Show me", () => this.#answer("", { gives_up: true }));
    show.hidden = asked.answered !== "figure";
    show.className = "study-show";
    this.replaceChildren(place, question, said, toolsOf(show, leave), rest);
    const words = /** @type {HTMLElement | null} */ (this.querySelector(".study-asked"));
    words?.focus({ preventScroll: true });
    this.scrollIntoView({ block: "nearest" });
  }

  /** @param {number} at */
  #question(at) {
    const one = this.#sitting?.items[at];
    return one ? this.#python({ do: "question", ...this.#about(one) }) : Promise.resolve(undefined);
  }

  /** @param {{skill: string, seed: string, entries?: Record<string, string>}} one */
  #about(one) {
    return {
      skill: one.skill,
      seed: one.seed,
      entries: one.entries ?? {},
      id: this.#id,
      fades: !this.#link,
      record: studyRecords()[one.skill] ?? null,
      settings: this.#link ? {} : railroadSettings(),
      now: Date.now(),
    };
  }

  get #id() {
    return `study-${this.dataset.set}`;
  }

  // --- Answers -----------------------------------------------------------------------------------

  /** @param {string} text @param {Record<string, unknown>} [how] */
  async #answer(text, how = {}) {
    const sitting = this.#sitting;
    const state = this.#asked;
    if (!sitting || state.done) return;
    const turn = this.#turn;
    const at = sitting.said.length;
    const one = sitting.items[at];
    const { skill } = one;
    const seconds = (performance.now() - state.since) / 1000;
    let before = studyRecords()[skill];
    let judged;
    for (;;) {
      judged = await this.#python({
        do: "answer",
        ...this.#about(one),
        record: before ?? null,
        text,
        tries: state.tries,
        helped: state.helped,
        seconds,
        root: this.dataset.root ?? "",
        ...how,
      });
      if (turn !== this.#turn || !judged || state.done) return;
      // Another tab may have answered the same meanwhile: the record goes on from there.
      const now = studyRecords()[skill];
      if (JSON.stringify(now) === JSON.stringify(before)) break;
      before = now;
    }
    const error = this.querySelector(".field-error");
    if (error) error.textContent = judged.error ?? "";
    if (judged.error) return this.#field?.focus();
    this.#put(judged);
    if (!judged.record) {
      state.tries += 1;
      this.#field?.select();
      this.#field?.focus();
      return;
    }
    state.done = true;
    const trouble = judged.counted ? keepStudy({ [skill]: judged.record }) : "";
    sitting.said.push(
      `${at + 1}. ${state.text} Answered: ${text || "nothing"}. ${judged.right ? "Right" : "Wrong"}; the answer: ${judged.answer}.`,
    );
    keepSitting(sitting);
    this.#close(judged, trouble);
  }

  get #field() {
    return /** @type {HTMLInputElement | null} */ (this.querySelector("input[name=answer]"));
  }

  /** @param {{said: string, html: string, right: boolean}} judged */
  #put(judged) {
    const said = /** @type {HTMLElement} */ (this.querySelector(".study-said"));
    said.textContent = judged.said;
    said.dataset.right = judged.right ? "yes" : "no";
    const rest = /** @type {HTMLElement} */ (this.querySelector(".study-rest"));
    rest.innerHTML = judged.html;
  }

  /** The question is done with: what was to answer it closes, and the way on opens. @param {any} judged @param {string} trouble */
  #close(judged, trouble) {
    for (const control of this.querySelectorAll(".study-place button, .study-place input")) {
      control.setAttribute("disabled", "disabled");
    }
    for (const button of this.querySelectorAll("[data-answer]")) {
      if (button instanceof HTMLElement && button.dataset.answer === judged.answer) button.dataset.right = "yes";
    }
    const rest = /** @type {HTMLElement} */ (this.querySelector(".study-rest"));
    if (trouble) rest.prepend(withText("p", trouble));
    if (!judged.counted) rest.prepend(withText("p", "Answered faster than it can be read: this one was not counted."));
    const sitting = /** @type {Sitting} */ (this.#sitting);
    const last = sitting.said.length >= sitting.items.length;
    const on = buttonWith(last ? "End of the set" : "Next question", () => this.#show(this.#turn));
    on.className = "study-on";
    this.querySelector(".tools")?.replaceWith(toolsOf(on));
    on.focus({ preventScroll: true });
    if (!last) this.#next = this.#question(sitting.said.length);
  }

  #end() {
    const sitting = /** @type {Sitting} */ (this.#sitting);
    dropSitting(sitting.name);
    const text = [`${document.title}, ${sitting.day}. ${sitting.name}`, ...sitting.said, location.href].join("\n");
    const copy = buttonWith("Copy the answers as text", () => copyText(text, copy));
    const words = withText("p", "That was the set. What went wrong comes back soon, what went right later.");
    words.setAttribute("tabindex", "-1");
    this.replaceChildren(
      words,
      toolsOf(
        copy,
        buttonWith("Back", () => this.#fresh()),
      ),
    );
    words.focus({ preventScroll: true });
  }

  /** Another tab went on with this very set. */
  #follow() {
    const sitting = this.#sitting;
    if (!sitting || this.#asked.done) return;
    const kept = keptSitting(sitting.name);
    if (kept && kept.said.length <= sitting.said.length) return;
    if (!kept && !sitting.said.length) return;
    const turn = ++this.#turn;
    this.#next = undefined;
    if (!kept) return this.#fresh();
    this.#sitting = kept;
    void this.#show(turn);
  }

  async #options() {
    const sitting = this.#sitting;
    if (!sitting) return;
    const reply = await this.#python({ do: "options", ...this.#about(sitting.items[sitting.said.length]) });
    const form = this.querySelector(".study-form");
    if (!reply || !form) return;
    this.#asked.helped = true;
    form.outerHTML = reply.html;
    /** @type {HTMLElement | null} */ (this.querySelector("[data-answer]"))?.focus();
  }

  // --- Events ------------------------------------------------------------------------------------

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button || button.disabled) return;
    if (button.dataset.do === "begin") {
      warm();
      void this.#begin();
    }
    if (button.dataset.do === "options") void this.#options();
    if (button.dataset.answer !== undefined) void this.#answer(button.dataset.answer, { chosen: true });
  }

  /** @param {Event} event */
  #submitted(event) {
    event.preventDefault();
    void this.#answer(this.#field?.value ?? "");
  }

  /** @param {Record<string, unknown>} request @returns {Promise<any>} nothing where none came */
  async #python(request) {
    try {
      const reply = await ask({ kind: "study", ...request }, {});
      if (reply.failed === undefined) return reply;
      this.#say(reply.failed);
    } catch (reason) {
      this.#say(`The questions cannot be had now: ${reason instanceof Error ? reason.message : reason}`);
    }
    return undefined;
  }

  /** @param {string} words */
  #say(words) {
    const place = this.querySelector(".study-said") ?? this.querySelector(".state");
    if (place) place.textContent = words;
  }
}

customElements.define("study-sitting", StudySitting);
