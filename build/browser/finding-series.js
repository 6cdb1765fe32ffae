// @ts-check
// <fault-series> is the locomotive's series as a checklist: big fields and keys write entries into the
// text that the calculator of the page reads, one entry a reading. Which entries there are the build
// put into the page; without this script the list is read, and printed.

import { keepText, keptText } from "./device-store.js";
import { goLive } from "./going-live.js";
import { buttonWith } from "./making.js";
import { railroadSettings } from "./settings.js";

const KEPT = "fault-series";

class FaultSeries extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  /** @type {string[]} */
  #before = [];

  connectedCallback() {
    const text = this.#text;
    if (!text) return;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.addEventListener("change", (event) => this.#changed(event.target), { signal });
    this.addEventListener("click", (event) => this.#clicked(event.target), { signal });
    text.addEventListener("input", () => this.#show(), { signal });
    const calculator = text.closest("[data-state]");
    const watching = new MutationObserver(() => this.#show());
    if (calculator) watching.observe(calculator, { attributeFilter: ["data-state"] });
    signal.addEventListener("abort", () => watching.disconnect());
    const tools = this.querySelector(".series-tools");
    const kept = keptText(KEPT);
    tools?.replaceChildren(
      buttonWith("Undo", () => this.#undo()),
      buttonWith("Print the series", () => window.print()),
      buttonWith("Clear", () => this.#write([])),
    );
    if (kept && !text.value) tools?.prepend(buttonWith("Go on where I was", () => this.#write(kept.split("; "))));
    if (railroadSettings().device === "railroad") this.querySelector(".series-duty")?.remove();
    this.#show();
    goLive(this);
  }

  disconnectedCallback() {
    this.#listening?.abort();
  }

  get #text() {
    const found = document.querySelector("brake-calculator [name='observations']");
    return found instanceof HTMLTextAreaElement || found instanceof HTMLInputElement ? found : null;
  }

  get #entries() {
    return (this.#text?.value ?? "")
      .split(";")
      .map((entry) => entry.trim())
      .filter(Boolean);
  }

  /** @param {string[]} entries */
  #write(entries, undone = false) {
    const text = this.#text;
    if (!text) return;
    if (!undone) this.#before.push(text.value);
    text.value = entries.join("; ");
    // Where nothing can be kept the link in the address holds it.
    keepText(KEPT, text.value);
    text.dispatchEvent(new Event("input", { bubbles: true }));
  }

  #undo() {
    const last = this.#before.pop();
    if (last !== undefined)
      this.#write(
        last
          .split(";")
          .map((entry) => entry.trim())
          .filter(Boolean),
        true,
      );
  }

  /** @param {EventTarget | null} target */
  #changed(target) {
    if (target instanceof HTMLInputElement && target.dataset.entry) {
      const start = target.dataset.entry;
      const others = this.#entries.filter((entry) => !`${entry} `.startsWith(start));
      const typed = target.value.trim();
      this.#write(typed ? [...others, start + typed] : others);
    } else if (target instanceof HTMLSelectElement && target.value) {
      this.#write([...this.#entries.filter((entry) => entry !== target.value), target.value]);
      target.value = "";
    }
  }

  /** @param {EventTarget | null} target */
  #clicked(target) {
    if (!(target instanceof HTMLButtonElement) || !target.dataset.usual) return;
    const entry = target.dataset.usual;
    const has = this.#entries.includes(entry);
    this.#write(has ? this.#entries.filter((other) => other !== entry) : [...this.#entries, entry]);
  }

  #show() {
    const entries = this.#entries;
    for (const field of this.querySelectorAll("input")) {
      const found = entries.find((entry) => entry.startsWith(field.dataset.entry ?? " "));
      const figure = found ? found.slice((field.dataset.entry ?? "").length) : "";
      if (field !== document.activeElement) field.value = figure;
    }
    for (const button of this.querySelectorAll("button")) {
      if (button.dataset.usual) button.setAttribute("aria-pressed", String(entries.includes(button.dataset.usual)));
    }
    for (const stage of this.querySelectorAll("li")) {
      stage.toggleAttribute(
        "data-done",
        entries.some((entry) => entry.startsWith(`${stage.dataset.stage} `)),
      );
    }
  }
}

customElements.define("fault-series", FaultSeries);
