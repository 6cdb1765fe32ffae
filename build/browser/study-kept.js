// @ts-check
// <study-progress> counts what is kept, by topic; <study-keep> saves, reads and forgets it. Neither needs Python
// to tell what is due: due moments are plain data.

import { buttonWith, shownAsIs, toolsOf, withText } from "./making.js";
import { ask } from "./python-client.js";
import { saveText } from "./saving.js";
import { endOfDay, forgetStudy, keepStudy, readStudy, studyFile, studyRecords } from "./study-store.js";

class StudyProgress extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;

  connectedCallback() {
    this.#listening = new AbortController();
    document.addEventListener("study-kept", () => this.#count(), { signal: this.#listening.signal });
    this.#count();
  }

  disconnectedCallback() {
    this.#listening?.abort();
  }

  #count() {
    const records = studyRecords();
    const end = endOfDay();
    for (const found of this.querySelectorAll("[data-skills]")) {
      const row = /** @type {HTMLElement} */ (found);
      const kept = (row.dataset.skills ?? "").split(" ").flatMap((skill) => records[skill] ?? []);
      const due = kept.filter((one) => one.due <= end).length;
      const counts = { asked: kept.length, due, later: kept.length - due };
      for (const [name, count] of Object.entries(counts)) {
        const cell = row.querySelector(`[data-count=${name}]`);
        if (cell) cell.textContent = String(count);
      }
    }
  }
}

class StudyKeep extends HTMLElement {
  #built = "";
  /** @type {AbortController | undefined} */
  #listening;

  connectedCallback() {
    this.#built = this.innerHTML;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    for (const control of this.querySelectorAll("button, input")) control.removeAttribute("disabled");
    this.#say("");
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("change", () => this.#read(), { signal });
    const { state, raw } = readStudy();
    if (state === "broken") {
      const words = withText(
        "p",
        "What is kept here cannot be read. It counts for nothing and stays as it is until new answers are kept.",
      );
      this.append(words, shownAsIs(raw));
    }
  }

  disconnectedCallback() {
    this.#listening?.abort();
    this.innerHTML = this.#built;
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (button?.dataset.do === "save") saveText(studyFile(), "study-record.json");
    if (button?.dataset.do === "forget") this.#askTwice(button);
  }

  /** @param {HTMLButtonElement} button */
  #askTwice(button) {
    const sure = buttonWith("Yes, forget all of it", () => {
      this.#say(forgetStudy() || "Forgotten. Every question is new again.");
      question.remove();
    });
    const question = document.createElement("div");
    const no = buttonWith("No, keep it", () => {
      question.remove();
      button.focus();
    });
    question.append(
      withText("p", "This forgets every answer kept on this device. It cannot be undone."),
      toolsOf(sure, no),
    );
    this.querySelector(".study-sure")?.replaceChildren(question);
    no.focus();
  }

  async #read() {
    const input = /** @type {HTMLInputElement | null} */ (this.querySelector("input[type=file]"));
    const file = input?.files?.[0];
    if (!input || !file) return;
    if (file.size > 2_000_000)
      return this.#say("This file is too large to be a record of drills. Nothing was changed.");
    try {
      const reply = await ask({ kind: "study", do: "read", text: await file.text() }, {});
      const { records } = reply;
      if (!records) return this.#say(reply.refused ?? reply.failed ?? "Nothing was changed.");
      const count = Object.keys(records).length;
      this.#say(
        keepStudy(records) ||
          `Read: ${count} of the record's questions now stand as it says${reply.unknown ? `; ${reply.unknown} are not known to this version` : ""}.`,
      );
    } catch (reason) {
      this.#say(`Nothing was changed: ${reason instanceof Error ? reason.message : reason}`);
    } finally {
      input.value = "";
    }
  }

  /** @param {string} words */
  #say(words) {
    const place = this.querySelector(".state");
    if (place) place.textContent = words;
  }
}

customElements.define("study-progress", StudyProgress);
customElements.define("study-keep", StudyKeep);
