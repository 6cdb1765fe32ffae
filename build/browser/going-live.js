// @ts-check
// From a page that only shows to one that answers: what the build closed is opened by the script
// that will answer it, and by nothing else. See build/generator/closed_forms.py.

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */

/**
 * Open the fields and buttons of an element whose script is at work now.
 * @param {HTMLElement} element
 */
export function goLive(element) {
  for (const control of element.querySelectorAll("[data-closed]")) {
    control.removeAttribute("data-closed");
    control.removeAttribute("disabled");
  }
  element.querySelector(":scope > .not-started")?.remove();
  element.dataset.live = "yes";
}

/**
 * Whether a field still holds what the page was built with. Browsers put back what was typed before
 * a reload, and a field may be filled before its script is there.
 * @param {Field} field
 */
export function isAsBuilt(field) {
  if (field instanceof HTMLSelectElement) {
    const options = [...field.options];
    const built = options.find((option) => option.defaultSelected) ?? options[0];
    return built === undefined || built.selected;
  }
  if (field instanceof HTMLInputElement && /^(radio|checkbox)$/.test(field.type)) {
    return field.checked === field.defaultChecked;
  }
  return field.value === field.defaultValue;
}
