// @ts-check
// Says beside a field that its figure comes from the railroad's settings, or what they say instead.

/**
 * Put each note below its field, and take away those that no longer hold.
 * @param {(HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement)[]} fields
 * @param {Record<string, string>} notes sentences by the field's name, as Python worded them
 */
export function showSettingsNotes(fields, notes) {
  for (const field of fields) {
    const id = `${field.id}-settings`;
    const words = notes[field.name] ?? "";
    const place = document.getElementById(id) ?? (words ? newPlace(field, id) : null);
    if (place && place.textContent !== words) place.textContent = words;
  }
}

/** @param {HTMLElement} field @param {string} id */
function newPlace(field, id) {
  const place = document.createElement("p");
  place.id = id;
  place.className = "from-settings";
  field.closest(".field")?.append(place);
  const described = field.getAttribute("aria-describedby");
  field.setAttribute("aria-describedby", described ? `${described} ${id}` : id);
  return place;
}
