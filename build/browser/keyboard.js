// @ts-check
// The theme opens its menu and its search by labels, which only a pointer can reach.
// Here buttons take their place, and Escape closes the menu as it closes the search.

/** @type {Record<string, string>} */
const NAMES = { __drawer: "Open the menu", __search: "Open the search" };

/** Put buttons in the place of the theme's labels in the header; safe to call again. */
export function makeLabelsOperable() {
  for (const [target, name] of Object.entries(NAMES)) {
    for (const label of document.querySelectorAll(`label.md-header__button[for="${target}"]`)) {
      label.replaceWith(buttonFor(label, target, name));
    }
  }
  document.addEventListener("keydown", (event) => {
    const drawer = toggle("__drawer");
    if (event.key !== "Escape" || !drawer?.checked) return;
    drawer.click();
    const opener = document.querySelector("button.opens__drawer");
    if (opener instanceof HTMLElement) opener.focus();
  });
}

/**
 * @param {Element} label
 * @param {string} target
 * @param {string} name
 */
function buttonFor(label, target, name) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = `${label.className} opens${target}`;
  button.setAttribute("aria-label", name);
  button.append(...label.childNodes);
  button.addEventListener("click", () => {
    toggle(target)?.click();
    const query = document.querySelector("[data-md-component=search-query]");
    if (target === "__search" && query instanceof HTMLElement) query.focus();
  });
  return button;
}

/** @param {string} id */
function toggle(id) {
  const found = document.getElementById(id);
  return found instanceof HTMLInputElement ? found : null;
}
