// @ts-check
// What the drills keep on this device: a record by skill, and sets that are not done with.
//
// Every change is made to what the device holds at that moment, so that two tabs do not undo each
// other's. A record that cannot be read counts as none and stays where it is until new ones are
// kept; then it is set aside.

import { fromOtherTabs, KeptRecord, keepText, keepValue, keptValue } from "./device-store.js";

const KEPT = "study";
const SITTINGS = "study sittings";
const MOST_SITTINGS = 6;
export const FORMAT = "study record";
export const VERSION = 1;

/**
 * @typedef {Record<string, unknown> & {due: number, right: number, wrong: number}} Kept one skill's record, as Python wrote it
 *
 * @typedef {object} Sitting a set under way
 * @property {string} name
 * @property {string} day
 * @property {{skill: string, seed: string, entries?: Record<string, string>}[]} items
 * @property {string[]} said what was answered, a line each
 */

const record = new KeptRecord(KEPT, recordsIn);

/** @returns {{state: "none" | "kept" | "broken" | "refused", records: Record<string, Kept>, raw: string}} */
export function readStudy() {
  const { state, value, raw } = record.read();
  return { state, records: value ?? {}, raw };
}

/** @returns {Record<string, Kept>} */
export function studyRecords() {
  return readStudy().records;
}

/**
 * Keep the records of some skills beside the others.
 * @param {Record<string, Kept>} some
 * @returns {string} why they could not be kept; empty if they were
 */
export function keepStudy(some) {
  const records = { ...studyRecords(), ...some };
  return told(record.write(JSON.stringify({ format: FORMAT, version: VERSION, records })));
}

/** The records as the text of a file. */
export function studyFile() {
  return JSON.stringify({ format: FORMAT, version: VERSION, records: studyRecords() }, null, 1);
}

/** Forget every record and every set under way. @returns {string} why not */
export function forgetStudy() {
  const trouble = record.write(null) || keepText(SITTINGS, null);
  // Asked to forget everything: also what could not be read.
  if (!trouble) record.forgetAside();
  return told(trouble);
}

/** @param {string} name @returns {Sitting | undefined} */
export function keptSitting(name) {
  return sittings().find((one) => one.name === name);
}

/** @param {Sitting} sitting */
export function keepSitting(sitting) {
  const others = sittings().filter((one) => one.name !== sitting.name);
  told(keepValue(SITTINGS, [...others, sitting].slice(-MOST_SITTINGS)));
}

/** @param {string} name */
export function dropSitting(name) {
  told(
    keepValue(
      SITTINGS,
      sittings().filter((one) => one.name !== name),
    ),
  );
}

/** The learner's own day, by the device's calendar: "2026-11-29". @param {Date} [moment] */
export function dayOf(moment = new Date()) {
  const two = (/** @type {number} */ number) => String(number).padStart(2, "0");
  return `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())}`;
}

/** When the learner's day ends: what is due by then is due today. */
export function endOfDay() {
  const end = new Date();
  end.setHours(23, 59, 59, 999);
  return end.getTime();
}

/** Why nothing can be kept. */
const REFUSED = "Nothing can be kept here: this browser lets the page keep nothing.";
const FULL = "Nothing more can be kept here: this browser's store for the page is full.";

/** @returns {Sitting[]} */
function sittings() {
  const kept = keptValue(SITTINGS);
  return Array.isArray(kept) ? kept.filter(isSitting) : [];
}

/** @param {any} one */
function isSitting(one) {
  return (
    typeof one?.name === "string" &&
    typeof one.day === "string" &&
    Array.isArray(one.items) &&
    one.items.length > 0 &&
    one.items.every((/** @type {any} */ item) => typeof item?.skill === "string" && typeof item.seed === "string") &&
    Array.isArray(one.said) &&
    one.said.every((/** @type {unknown} */ line) => typeof line === "string")
  );
}

/** @param {string} raw @returns {Record<string, Kept> | null} */
function recordsIn(raw) {
  try {
    const kept = JSON.parse(raw);
    if (kept?.format !== FORMAT || kept.version !== VERSION) return null;
    const all = kept.records;
    if (!all || typeof all !== "object" || Array.isArray(all)) return null;
    return Object.values(all).every((/** @type {any} */ one) => Number.isFinite(one?.due)) ? all : null;
  } catch {
    return null;
  }
}

/** Say it to the page, or give the words why not. @param {import("./device-store.js").Trouble} trouble */
function told(trouble) {
  if (trouble) return trouble === "full" ? FULL : REFUSED;
  tell();
  return "";
}

function tell() {
  document.dispatchEvent(new CustomEvent("study-kept"));
}

// Another tab answered, or forgot everything: this one follows.
fromOtherTabs([KEPT, SITTINGS], tell);
