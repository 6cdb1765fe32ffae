// @ts-check
// <list-filter> before a long list: shows of what follows only the entries that hold every word
// typed. Without this script it is not there, and the list is whole.

import { withText } from "./making.js";

const ENTRIES = ".limits > li, .terms > div";

class ListFilter extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;

  connectedCallback() {
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    const id = "list-filter-words";
    const label = withText("label", this.dataset.words ?? "Show only");
    label.setAttribute("for", id);
    const field = document.createElement("input");
    field.type = "search";
    field.id = id;
    field.autocomplete = "off";
    field.spellcheck = false;
    const state = withText("p", "");
    state.className = "list-filter-state";
    state.setAttribute("role", "status");
    this.replaceChildren(label, field, state);
    field.addEventListener("input", () => this.#show(field.value, state), { signal });
    // A link to an entry must lead to it.
    window.addEventListener("hashchange", () => this.#clear(field, state), { signal });
  }

  disconnectedCallback() {
    this.#listening?.abort();
  }

  /** @param {HTMLInputElement} field @param {HTMLElement} state */
  #clear(field, state) {
    if (!field.value) return;
    field.value = "";
    this.#show("", state);
    document.getElementById(location.hash.slice(1))?.scrollIntoView();
  }

  /** @param {string} typed @param {HTMLElement} state */
  #show(typed, state) {
    const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
    const entries = [...(this.closest("article")?.querySelectorAll(ENTRIES) ?? [])];
    let count = 0;
    for (const entry of entries) {
      const text = (entry.textContent ?? "").toLowerCase();
      const shown = words.every((word) => text.includes(word));
      entry.toggleAttribute("hidden", !shown);
      if (shown) count += 1;
    }
    this.closest("article")?.toggleAttribute("data-filtered", words.length > 0);
    for (const list of this.closest("article")?.querySelectorAll(".limits, .terms") ?? []) {
      const empty = list.querySelector(":scope > :not([hidden])") === null;
      (list.closest(".limit-list") ?? list).toggleAttribute("hidden", empty);
      const heading = (list.closest(".limit-list") ?? list).previousElementSibling;
      if (heading?.matches("h2")) heading.toggleAttribute("hidden", empty);
    }
    state.textContent = words.length ? `${count} of ${entries.length}` : "";
    // The first hit stands right below, also above the keyboard of a phone.
    if (words.length) this.scrollIntoView({ block: "start" });
  }
}

customElements.define("list-filter", ListFilter);
