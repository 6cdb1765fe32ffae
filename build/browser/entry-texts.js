// @ts-check
// Texts of fields whose unit stands beside them: a bare number there carries that unit.

const BARE_NUMBER = /^[\s\d.,/+−–-]+$/;

/**
 * What a pressure field means, with its unit in the text unless that is psi.
 * @param {string} text as typed
 * @param {string} unit the unit that stands beside the field
 */
export function meant(text, unit) {
  const bare = text.trim() !== "" && BARE_NUMBER.test(text);
  return bare && unit !== "psi" ? `${text.trim()} ${unit}` : text;
}

/**
 * A text without the unit that stands beside its field.
 * @param {string} text
 * @param {string} unit
 */
export function withoutUnit(text, unit) {
  return text.endsWith(` ${unit}`) ? text.slice(0, -unit.length - 1) : text;
}

/**
 * A text as it stands in a field with a unit beside it: without that unit, and with its own where
 * a bare number would be read in another.
 * @param {string} text as kept: a bare number is in psi
 * @param {string} unit the unit that stands beside the field
 */
export function standing(text, unit) {
  const bare = text.trim() !== "" && BARE_NUMBER.test(text);
  return bare && unit !== "psi" ? `${text.trim()} psi` : withoutUnit(text, unit);
}
