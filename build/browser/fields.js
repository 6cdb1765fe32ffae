// @ts-check
// The fields of a form as texts by name: what calculators, circuits and settings share. A pressure
// has its unit beside it, on a button that goes on to the next, since the number keyboard of a phone
// has no letters.

import { meant, parted, standing } from "./entry-texts.js";

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */

export class Fields {
  #root;
  #selector;

  /**
   * @param {ParentNode} root where the fields stand
   * @param {string} selector of what holds them
   */
  constructor(root, selector) {
    this.#root = root;
    this.#selector = selector;
  }

  /** Every control; the keys of one choice are several. @returns {Field[]} */
  get all() {
    return [...this.#root.querySelectorAll(`${this.#selector} :is(input, select, textarea)[name]`)].map(
      (field) => /** @type {Field} */ (field),
    );
  }

  get names() {
    return new Set(this.all.map((field) => field.name));
  }

  /** @param {string} name */
  first(name) {
    return this.all.find((field) => field.name === name);
  }

  /** What stands in a field, as typed; of keys the one that is pressed. @param {string} name */
  text(name) {
    const found = this.all.filter((field) => field.name === name);
    return (found.find((field) => isRadio(field) && field.checked) ?? found[0])?.value ?? "";
  }

  /**
   * Every text with the unit that it is meant in.
   * @param {string} unit of the form
   */
  entries(unit) {
    /** @type {Record<string, string>} */
    const entries = {};
    for (const field of this.all) {
      if (isRadio(field) && !field.checked) continue;
      entries[field.name] = "pressure" in field.dataset ? meant(field.value, unitOf(field, unit)) : field.value;
    }
    return entries;
  }

  /**
   * Put a text into a field. A choice only takes what it offers; a wrong word of a link is left for
   * Python to name.
   * @param {string} name
   * @param {string} text as kept: a bare pressure is in psi
   * @param {string} unit of the form
   */
  set(name, text, unit) {
    const found = this.all.filter((field) => field.name === name);
    const offered = found.some((field) => field.value === text);
    for (const field of found) {
      if (isRadio(field)) field.checked = offered ? field.value === text : field.checked;
      else if (field instanceof HTMLSelectElement) {
        if ([...field.options].some((option) => option.value === text)) field.value = text;
      } else if ("pressure" in field.dataset) setPressure(field, text, unit);
      else field.value = text;
    }
  }

  /** @param {Record<string, string>} errors messages by field */
  showErrors(errors) {
    for (const field of this.all) {
      const message = errors[field.name] ?? "";
      const place = document.getElementById(`${this.#idOf(field)}-error`);
      if (place) place.textContent = message;
      if (!message) {
        field.removeAttribute("aria-invalid");
        continue;
      }
      if (!isRadio(field)) field.setAttribute("aria-invalid", "true");
      for (let group = field.closest("details"); group; group = group.parentElement?.closest("details") ?? null) {
        group.open = true;
      }
    }
  }

  /** @param {Field} field */
  #idOf(field) {
    return isRadio(field) ? (field.closest("fieldset")?.id ?? field.id) : field.id;
  }

  /**
   * The form shows another unit: every field follows, whatever it had of its own.
   * @param {string} unit
   */
  unitIs(unit) {
    for (const field of this.all) {
      if (field.dataset.unit === undefined) continue;
      field.value =
        "pressure" in field.dataset && field.dataset.unit !== unit
          ? `${field.value} ${field.dataset.unit}`
          : field.value;
      delete field.dataset.unit;
    }
    for (const label of this.#root.querySelectorAll("[data-unit-label]")) label.textContent = unit;
    const select = this.first("pressure_unit");
    if (select) select.value = unit;
  }

  /**
   * Go on to the next unit of one field; what is typed there stays and means that unit.
   * @param {HTMLButtonElement} button
   * @param {string} unit of the form
   */
  turnUnit(button, unit) {
    const field = this.first(button.dataset.unitOf ?? "");
    if (!field) return;
    /** @type {string[]} */
    const units = JSON.parse(button.dataset.units ?? "[]");
    const typed = parted(field.value);
    // A unit that was typed counts; the button takes it out of the text.
    const now = typed && typed.unit !== "psi" ? typed.unit : unitOf(field, unit);
    setUnit(field, units[(units.indexOf(now) + 1) % units.length], unit);
    if (typed) field.value = typed.figure;
  }
}

/** @param {Field} field @returns {field is HTMLInputElement} */
export function isRadio(field) {
  return field.type === "radio";
}

/** @param {Field} field @param {string} unit of the form */
export function unitOf(field, unit) {
  return field.dataset.unit ?? unit;
}

/** @param {Field} field @param {string} text @param {string} unit */
function setPressure(field, text, unit) {
  const button = buttonOf(field);
  const found = button ? parted(text) : null;
  if (found) {
    field.value = found.figure;
    setUnit(field, found.unit, unit);
    return;
  }
  if (button) setUnit(field, unit, unit);
  field.value = button ? text : standing(text, unit);
}

/** @param {Field} field @param {string} wanted @param {string} unit of the form */
function setUnit(field, wanted, unit) {
  if (wanted === unit) delete field.dataset.unit;
  else field.dataset.unit = wanted;
  const label = buttonOf(field)?.querySelector("[data-unit-label]");
  if (label) label.textContent = wanted;
}

/** @param {Field} field */
function buttonOf(field) {
  return field.parentElement?.querySelector(`button[data-unit-of="${CSS.escape(field.name)}"]`) ?? null;
}
