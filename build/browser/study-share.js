// @ts-check
// <study-share> hands a set on: its topics and a seed make a link that draws the same questions for
// everybody who opens it.

import { goLive } from "./going-live.js";
import { share } from "./sharing.js";

class StudyShare extends HTMLElement {
  #listening = new AbortController();

  connectedCallback() {
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.addEventListener("submit", (event) => event.preventDefault(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    goLive(this);
    this.#take();
  }

  disconnectedCallback() {
    this.#listening.abort();
  }

  /** @param {string} name @returns {HTMLInputElement | HTMLSelectElement | null} */
  #field(name) {
    return this.querySelector(`[name="${name}"]`);
  }

  /** A set that was opened from a link is the one that is offered. */
  #take() {
    const link = new URLSearchParams(location.search);
    for (const [field, key] of [
      ["topics", "drill"],
      ["seed", "seed"],
    ]) {
      const control = this.#field(field);
      const text = link.get(key);
      if (control && text !== null) control.value = text;
      // A topic that this version does not have.
      if (control instanceof HTMLSelectElement && !control.value) control.selectedIndex = 0;
    }
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("[data-do=share]") : null;
    if (!button) return;
    const topics = /** @type {HTMLSelectElement | null} */ (this.#field("topics"));
    const words = topics?.selectedOptions[0]?.textContent ?? "";
    const query = new URLSearchParams({
      drill: topics?.value ?? "",
      seed: this.#field("seed")?.value.trim() || "1",
      v: this.dataset.drawn ?? "",
    });
    void share({
      what: `a set of questions: ${words}`,
      page: new URL(this.dataset.page ?? "", location.href).href,
      query: `${query}`,
    });
  }
}

customElements.define("study-share", StudyShare);
