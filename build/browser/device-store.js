// @ts-check
// What this device keeps, by key and as text: every module that keeps anything does so here.
//
// It is the browser's plain store and not a database: all of it together is a few hundred kB at most, what
// it says is wanted before the first paint, and another tab hears of a change by the browser itself.

/** @typedef {"" | "full" | "refused"} Trouble why the device did not take something */

/** @template Value @typedef {{state: "none" | "kept" | "broken" | "refused", value: Value | null, raw: string}} Found */

/** The text under a key; undefined where the browser lets the page keep nothing. @param {string} key */
export function keptText(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return undefined;
  }
}

/** What a text under a key says; null where none is kept or it cannot be read. @param {string} key @returns {any} */
export function keptValue(key) {
  try {
    return JSON.parse(keptText(key) ?? "null");
  } catch {
    return null;
  }
}

/** Keep a text, or (null) nothing, under a key. @param {string} key @param {string | null} text @returns {Trouble} */
export function keepText(key, text) {
  try {
    if (text === null) localStorage.removeItem(key);
    else localStorage.setItem(key, text);
    return keptText(key) === text ? "" : "refused";
  } catch (error) {
    return error instanceof DOMException && /quota/i.test(error.name) ? "full" : "refused";
  }
}

/** @param {string} key @param {unknown} value @returns {Trouble} */
export function keepValue(key, value) {
  return keepText(key, JSON.stringify(value));
}

/** Hear of what another tab keeps or forgets. @param {string[]} keys @param {() => void} changed */
export function fromOtherTabs(keys, changed) {
  window.addEventListener("storage", ({ key }) => {
    if (key === null || keys.includes(key)) changed();
  });
}

/**
 * A record that a person would miss. One that cannot be read counts as none and stays where it is;
 * before another is put in its place it is set aside, one below the other.
 * @template Value
 */
export class KeptRecord {
  #key;
  #parse;

  /** @param {string} key @param {(raw: string) => Value | null} parse null for what is no record */
  constructor(key, parse) {
    this.#key = key;
    this.#parse = parse;
  }

  /** @returns {Found<Value>} */
  read() {
    const raw = keptText(this.#key);
    if (raw === undefined) return { state: "refused", value: null, raw: "" };
    if (raw === null) return { state: "none", value: null, raw: "" };
    const value = this.#parse(raw);
    return value === null ? { state: "broken", value, raw } : { state: "kept", value, raw };
  }

  /** Put a record in, or (null) take it away. @param {string | null} text @returns {Trouble} */
  write(text) {
    return this.#setAside() || keepText(this.#key, text);
  }

  /** The records that were set aside. */
  aside() {
    return keptText(this.#asideKey) ?? "";
  }

  /** Throw away what was set aside, because the user said so. */
  forgetAside() {
    keepText(this.#asideKey, null);
  }

  get #asideKey() {
    return `${this.#key} set aside`;
  }

  /** @returns {Trouble} */
  #setAside() {
    const { state, raw } = this.read();
    if (state !== "broken") return "";
    const before = this.aside();
    return keepText(this.#asideKey, before ? `${before}\n\n${raw}` : raw);
  }
}
