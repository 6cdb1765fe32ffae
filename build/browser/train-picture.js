// @ts-check
// <train-picture> around pictures of cars by time: two sliders choose a time and a car, and the
// readings show the figures of that place. All texts are in the page already, by column and row;
// this moves them. Without this script the readings stand at the end of the run.

const COLUMN_MARK = ";";
const ROW_MARK = "|";

class TrainPicture extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  /** The texts of every reading by column and row, cut when first needed. @type {Map<Element, string[][]>} */
  #texts = new Map();

  connectedCallback() {
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    const sliders = this.querySelector(".sliders");
    if (!(sliders instanceof HTMLElement)) return;
    sliders.hidden = false;
    this.addEventListener("input", (event) => this.#moved(event), { signal });
    this.addEventListener("change", (event) => event.stopPropagation(), { signal });
    this.addEventListener("click", (event) => this.#tapped(event), { signal });
    this.#show();
  }

  disconnectedCallback() {
    this.#listening?.abort();
  }

  /** @param {"column" | "row"} way */
  #slider(way) {
    return /** @type {HTMLInputElement} */ (this.querySelector(`[data-moves="${way}"]`));
  }

  /** @param {Event} event */
  #moved(event) {
    event.stopPropagation();
    this.#show();
  }

  /** A tap in a picture goes to that time and that car. @param {MouseEvent} event */
  #tapped(event) {
    const picture = event.target instanceof Element ? event.target.closest(".heat-picture") : null;
    if (!(picture instanceof SVGSVGElement)) return;
    const box = picture.getBoundingClientRect();
    const across = share((event.clientX - box.left) / box.width, picture.dataset.left, picture.dataset.right);
    const down = share((event.clientY - box.top) / box.height, picture.dataset.top, picture.dataset.bottom);
    put(this.#slider("column"), across);
    put(this.#slider("row"), down);
    this.#show();
  }

  #show() {
    const places = { column: 0, row: 0 };
    for (const way of /** @type {("column" | "row")[]} */ (["column", "row"])) {
      const slider = this.#slider(way);
      places[way] = Number(slider.value);
      const text = (slider.dataset.texts ?? "").split(COLUMN_MARK)[places[way]] ?? "";
      slider.setAttribute("aria-valuetext", `${text} ${slider.dataset.unit ?? ""}`.trim());
    }
    for (const reading of this.querySelectorAll("dd[data-texts]")) {
      const column = this.#textsOf(reading)[places.column] ?? [];
      const text = column[column.length > 1 ? places.row : 0] ?? "";
      reading.textContent = `${text} ${/** @type {HTMLElement} */ (reading).dataset.unit ?? ""}`.trim();
    }
    for (const cursor of this.querySelectorAll("[data-cursor]")) {
      const { cursor: way, first, step } = /** @type {SVGElement} */ (cursor).dataset;
      const at = Number(first) + Number(step) * (way === "column" ? places.column : places.row);
      const names = way === "column" ? ["x1", "x2"] : ["y1", "y2"];
      for (const name of names) cursor.setAttribute(name, at.toFixed(1));
    }
  }

  /** @param {Element} reading */
  #textsOf(reading) {
    let texts = this.#texts.get(reading);
    if (texts === undefined) {
      const whole = /** @type {HTMLElement} */ (reading).dataset.texts ?? "";
      texts = whole.split(COLUMN_MARK).map((column) => column.split(ROW_MARK));
      this.#texts.set(reading, texts);
    }
    return texts;
  }
}

/**
 * Where between two edges a point lies, 0 to 1.
 * @param {number} at @param {string | undefined} from @param {string | undefined} to
 */
function share(at, from, to) {
  const low = Number(from);
  return Math.min(1, Math.max(0, (at - low) / (Number(to) - low)));
}

/** @param {HTMLInputElement} slider @param {number} part */
function put(slider, part) {
  const places = Number(slider.max) + 1;
  slider.value = String(Math.min(places - 1, Math.floor(part * places)));
}

customElements.define("train-picture", TrainPicture);

export {};
