// @ts-check
// <work-sheet> asks for a worksheet by topics, number and seed, and hands it out: both papers to
// print, a table for other programs, a link. Python draws it.

import { Address, entriesOf, isAsked } from "./address.js";
import { goLive } from "./going-live.js";
import { addAddress, printAlone } from "./paper.js";
import { ask, watchState } from "./python-client.js";
import { saveText } from "./saving.js";
import { share } from "./sharing.js";

/**
 * @typedef {object} Reply
 * @property {string} [html] both papers
 * @property {string} [csv]
 * @property {string} [link]
 * @property {string[]} [said]
 * @property {Record<string, string>} [errors]
 * @property {string} [failed]
 * @property {boolean} [superseded]
 */

class WorkSheet extends HTMLElement {
  /** @type {Reply} */
  #reply = {};
  #turn = 0;
  #address = new Address();
  #listening = new AbortController();

  connectedCallback() {
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.#form.addEventListener("submit", (event) => event.preventDefault(), { signal });
    this.#form.addEventListener("input", () => this.#make(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    watchState(
      ({ phase, words }) => {
        if (phase !== "ready" && this.dataset.state === "working") this.#show("working", words);
      },
      { signal },
    );
    goLive(this);
    void this.#open();
  }

  disconnectedCallback() {
    this.#listening.abort();
    this.#turn += 1;
  }

  get #form() {
    return /** @type {HTMLFormElement} */ (this.querySelector("form"));
  }

  /** @param {string} selector */
  #$(selector) {
    return /** @type {HTMLElement} */ (this.querySelector(selector));
  }

  async #open() {
    let link = new URLSearchParams(location.search);
    if (!isAsked(link)) return this.#make();
    if (link.has("z")) {
      const opened = await this.#ask({ kind: "short", do: "open", subject: "worksheet", short: link.get("z") });
      if (opened.query === undefined) return this.#show("refused", opened.error ?? opened.failed ?? "");
      link = new URLSearchParams(opened.query);
    }
    const { entries } = entriesOf(link);
    for (const field of this.#form.elements) {
      if (field instanceof HTMLInputElement && field.type === "checkbox") {
        field.checked = (entries.topics ?? "").split(" ").includes(field.value);
      } else if ((field instanceof HTMLInputElement || field instanceof HTMLSelectElement) && field.name in entries) {
        field.value = entries[field.name];
      }
    }
    // Every part of the link goes to Python: the version that made it, and what it does not know.
    await this.#make(entries);
  }

  /** @returns {Record<string, string>} */
  #entries() {
    const data = new FormData(this.#form);
    const texts = [...data].filter(([name]) => name !== "topic").map(([name, text]) => [name, String(text)]);
    return { ...Object.fromEntries(texts), topics: data.getAll("topic").join(" ") };
  }

  /** @param {Record<string, unknown>} request */
  async #ask(request) {
    try {
      return await ask(request, { form: this.id });
    } catch (reason) {
      return { failed: reason instanceof Error ? reason.message : String(reason) };
    }
  }

  /** @param {Record<string, string>} [asked] */
  async #make(asked) {
    const turn = ++this.#turn;
    this.#show("working", "Drawing the questions …");
    /** @type {Reply} */
    const reply = await this.#ask({ kind: "worksheet", entries: asked ?? this.#entries() });
    if (turn !== this.#turn || reply.superseded) return;
    this.#reply = reply;
    for (const button of this.querySelectorAll("[data-needs-sheet]")) {
      /** @type {HTMLButtonElement} */ (button).disabled = reply.html === undefined;
    }
    if (reply.html === undefined) {
      this.#$(".sheet-place").replaceChildren();
      return this.#show("refused", reply.failed ?? Object.values(reply.errors ?? {}).join(" "));
    }
    this.#$(".sheet-place").innerHTML = reply.html;
    if (!asked) this.#address.soon(() => reply.link ?? "");
    this.#show("answered", (reply.said ?? []).join(" ") || "Drawn. Question sheet and key stand below.");
  }

  #shared() {
    const page = `${location.origin}${location.pathname}`;
    return { what: "worksheet", page, query: this.#reply.link, subject: "worksheet", print: () => void this.#print() };
  }

  async #print() {
    const holder = document.createElement("div");
    holder.className = "papers md-typeset";
    holder.innerHTML = this.#reply.html ?? "";
    await addAddress(holder, this.#shared());
    printAlone(holder);
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    const what = button?.dataset.do;
    if (what === "print") void this.#print();
    if (what === "share") void share(this.#shared());
    if (what === "table") saveText(this.#reply.csv ?? "", "worksheet.csv", "text/csv");
    if (what === "other-numbers") {
      const seed = /** @type {HTMLInputElement} */ (this.#form.elements.namedItem("seed"));
      seed.value = String(1 + Math.floor(Math.random() * 99_999));
      void this.#make();
    }
  }

  /** @param {"working" | "answered" | "refused"} state @param {string} words */
  #show(state, words) {
    this.dataset.state = state;
    this.#$(".state").textContent = words;
  }
}

customElements.define("work-sheet", WorkSheet);
