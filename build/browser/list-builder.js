// @ts-check
// <list-builder> beside a text of entries parted by semicolons: shows them as a list, takes one
// out or adds one by tapping. What can be added, and in which words, the build put into the page.
// Without this script the text is typed by hand.

import { buttonWith, withText } from "./making.js";

class ListBuilder extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;

  connectedCallback() {
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.hidden = false;
    this.#text.addEventListener("input", () => this.#show(), { signal });
    // A link or an example fills the text without an event; both end in a new state.
    const watching = new MutationObserver(() => this.#show());
    const calculator = this.closest("[data-state]");
    if (calculator) watching.observe(calculator, { attributeFilter: ["data-state"] });
    signal.addEventListener("abort", () => watching.disconnect());
    // What is chosen here is no answer to the form's question until it is added.
    for (const kind of ["input", "change"]) {
      this.addEventListener(kind, (event) => event.stopPropagation(), { signal });
    }
    this.#part("piece").addEventListener("change", () => this.#offer(), { signal });
    this.querySelector("[data-add]")?.addEventListener("click", () => this.#add(), { signal });
    this.#offer();
    this.#show();
  }

  disconnectedCallback() {
    this.#listening?.abort();
  }

  get #text() {
    return /** @type {HTMLTextAreaElement} */ (document.getElementById(this.dataset.for ?? ""));
  }

  /** @param {string} name */
  #part(name) {
    return /** @type {HTMLInputElement | HTMLSelectElement} */ (this.querySelector(`[data-part="${name}"]`));
  }

  get #entries() {
    return this.#text.value
      .split(";")
      .map((entry) => entry.trim())
      .filter(Boolean);
  }

  /** Ask for a number only where the chosen entry needs one. */
  #offer() {
    const select = this.#part("piece");
    if (!(select instanceof HTMLSelectElement)) return;
    const figure = select.selectedOptions[0]?.dataset.figure ?? "";
    const field = this.#part("figure").closest(".field");
    const label = field?.querySelector("label");
    if (!(field instanceof HTMLElement) || !label) return;
    field.hidden = !figure;
    if (figure) label.textContent = figure;
  }

  #show() {
    const list = this.querySelector(".built-list");
    if (!list) return;
    const items = this.#entries.map((entry, number) => {
      const item = withText("li", `${entry} `);
      const button = buttonWith("Take out", () => this.#takeOut(number));
      button.setAttribute("aria-label", `Take out: ${entry}`);
      item.append(button);
      return item;
    });
    list.replaceChildren(...items);
  }

  #add() {
    const figure = this.#part("figure");
    if (!figure.closest(".field[hidden]") && !figure.value.trim()) {
      figure.focus();
      return;
    }
    const entry = this.#part("piece")
      .value.replace("{at}", this.#part("at").value.trim())
      .replace("{figure}", figure.value.trim());
    this.#write([...this.#entries, entry]);
  }

  /** @param {number} number */
  #takeOut(number) {
    this.#write(this.#entries.filter((_, place) => place !== number));
  }

  /** @param {string[]} entries */
  #write(entries) {
    this.#text.value = entries.join("; ");
    this.#text.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

customElements.define("list-builder", ListBuilder);
