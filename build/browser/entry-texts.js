// @ts-check
// Texts of fields whose unit stands beside them: a bare number there carries that unit.

const BARE_NUMBER = /^[\s\d.,/+−–-]+$/;
const WITH_UNIT = /^(.*\d)\s*(psi|kPa|bar)$/;
// A comma before a space parts the numbers of a list; one inside a number does not.
const BETWEEN = /,\s+/;

/**
 * What a pressure field means, with its unit in the text unless that is psi.
 * @param {string} text as typed; a list of numbers carries the unit behind each
 * @param {string} unit the unit that stands beside the field
 */
export function meant(text, unit) {
  const bare = text.trim() !== "" && BARE_NUMBER.test(text);
  if (!bare || unit === "psi") return text;
  return withEach(text, unit);
}

/** @param {string} text @param {string} unit */
function withEach(text, unit) {
  return text
    .trim()
    .split(BETWEEN)
    .map((part) => `${part.trim()} ${unit}`)
    .join(", ");
}

/**
 * A text without the unit that stands beside its field.
 * @param {string} text
 * @param {string} unit
 */
export function withoutUnit(text, unit) {
  return text
    .split(BETWEEN)
    .map((part) => (part.endsWith(` ${unit}`) ? part.slice(0, -unit.length - 1) : part))
    .join(", ");
}

/**
 * A text as it stands in a field with a unit beside it: without that unit, and with its own where
 * a bare number would be read in another.
 * @param {string} text as kept: a bare number is in psi
 * @param {string} unit the unit that stands beside the field
 */
export function standing(text, unit) {
  const bare = text.trim() !== "" && BARE_NUMBER.test(text);
  return bare && unit !== "psi" ? withEach(text, "psi") : withoutUnit(text, unit);
}

/**
 * A figure and the unit it is in; null for a text that is no single figure.
 * @param {string} text as kept: a bare number is in psi
 */
export function parted(text) {
  const found = WITH_UNIT.exec(text.trim());
  if (found) return { figure: found[1], unit: found[2] };
  return text.trim() !== "" && BARE_NUMBER.test(text) ? { figure: text.trim(), unit: "psi" } : null;
}
