// @ts-check
// Where this device was last: the last pages used and the last lesson, for the home page. Kept on
// the device only; without a place to keep it nothing is remembered.

import { keepValue, keptValue } from "./device-store.js";

const KEPT = "last-used";
const MOST = 3;
const ROOT = new URL("..", import.meta.url);
/** Lists and the frame's own pages are ways to a page, not uses of one. */
const NO_USE = /^(?:|about\/.*|learn\/|my-railroad\/|[a-z-]+\/)$/;

/**
 * @typedef {{ path: string, title: string }} Visit
 * @typedef {Visit & { number: number, of: number }} Lesson
 */

/** @returns {{ pages: Visit[], lesson: Lesson | null }} */
export function visits() {
  const kept = keptValue(KEPT);
  const pages = Array.isArray(kept?.pages) ? kept.pages.filter(isVisit).slice(0, MOST) : [];
  const { lesson } = kept ?? {};
  const isLesson = isVisit(lesson) && Number.isInteger(lesson.number) && Number.isInteger(lesson.of);
  return { pages, lesson: isLesson ? lesson : null };
}

/** @param {any} visit */
function isVisit(visit) {
  return typeof visit?.title === "string" && /^[\w/-]*$/.test(visit?.path ?? "!");
}

/** Note the page that is shown now. */
export function note() {
  const here = new URL(location.pathname, location.href).href;
  if (!here.startsWith(ROOT.href)) return;
  const path = here.slice(ROOT.href.length);
  const title = document.querySelector(".frame-title")?.textContent?.trim() ?? "";
  if (!title || !isVisit({ path, title })) return;
  const before = visits();
  const order = document.querySelector("nav.reading-order");
  const place = order instanceof HTMLElement ? order.dataset : {};
  const lesson = place.lesson ? { path, title, number: Number(place.lesson), of: Number(place.of) } : before.lesson;
  const pages = NO_USE.test(path)
    ? before.pages
    : [{ path, title }, ...before.pages.filter((one) => one.path !== path)].slice(0, MOST);
  // Where nothing can be kept the home page has nothing to go on from.
  keepValue(KEPT, { pages, lesson });
}
