// @ts-check
// The theme opens its menu and its search by labels that only a pointer can reach.
// Here they become buttons for the keyboard too.

/** @type {Record<string, string>} */
const NAMES = { __drawer: "Open the menu", __search: "Open the search" };

/** Make the theme's labels in the header work by keyboard; safe to call again. */
export function makeLabelsOperable() {
  for (const [target, name] of Object.entries(NAMES)) {
    for (const label of document.querySelectorAll(`.md-header__button[for="${target}"]`)) {
      if (!(label instanceof HTMLElement) || label.getAttribute("role") === "button") continue;
      label.setAttribute("role", "button");
      label.setAttribute("aria-label", name);
      label.tabIndex = 0;
      label.addEventListener("keydown", (event) => {
        if (event.key !== "Enter" && event.key !== " ") return;
        event.preventDefault();
        label.click();
      });
    }
  }
}
