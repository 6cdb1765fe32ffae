// @ts-check
// My railroad: the settings kept on this device, as texts by key, used by every calculator.
//
// What the device holds is never thrown away unread: a record that cannot be read counts as none,
// stays where it is, and is shown on the page of the settings.

import { fromOtherTabs, KeptRecord } from "./device-store.js";

const KEPT = "my-railroad";
/** Settings of a link that count until the tab is closed; the device's own stay as they are. */
const VISIT = "my-railroad of a link";
const LONGEST = 20000;
const PLAIN_NAME = /^[\w.-]+$/;

/**
 * @typedef {object} Stored what the device holds
 * @property {"none" | "kept" | "broken" | "refused"} state
 * @property {Record<string, string>} settings texts by key; empty unless kept
 * @property {string} raw the record as it stands in the device's storage
 *
 * @typedef {import("./device-store.js").Trouble} Trouble
 */

const record = new KeptRecord(KEPT, parsed);

/** Read the record. @returns {Stored} */
export function readRecord() {
  const { state, value, raw } = record.read();
  return { state, settings: value ?? {}, raw };
}

/**
 * The settings that count; a broken record counts as none.
 * @returns {Record<string, string>}
 */
export function railroadSettings() {
  return visitSettings() ?? readRecord().settings;
}

/** The settings of a link that count for this visit. @returns {Record<string, string> | null} */
function visitSettings() {
  try {
    const raw = sessionStorage.getItem(VISIT);
    return raw === null ? null : parsed(raw);
  } catch {
    return null;
  }
}

/** Let settings count for this visit, or (null) the device's own again. @param {Record<string, string> | null} settings @returns {Trouble} */
export function settingsForVisit(settings) {
  try {
    if (settings === null) sessionStorage.removeItem(VISIT);
    else sessionStorage.setItem(VISIT, JSON.stringify(settings));
  } catch {
    return "refused";
  }
  tell();
  return "";
}

/**
 * Keep settings on this device. A record that could not be read is set aside first.
 * @param {Record<string, string>} settings
 * @returns {Trouble}
 */
export function keepRailroadSettings(settings) {
  const text = JSON.stringify(settings);
  if (text.length > LONGEST) return "full";
  const trouble = record.write(text);
  if (!trouble) tell();
  return trouble;
}

/** Forget the settings; a record that could not be read is set aside. @returns {Trouble} */
export function forgetRailroadSettings() {
  const trouble = record.write(null);
  if (!trouble) tell();
  return trouble;
}

/** Records that could not be read and were set aside, one below the other. */
export function recordsSetAside() {
  return record.aside();
}

/** Throw away what was set aside, because the user said so. */
export function forgetRecordsSetAside() {
  record.forgetAside();
}

/**
 * Whether the settings stand for anything in this element, by the keys that the build wrote on it.
 * @param {HTMLElement} element
 */
export function touchedBySettings(element) {
  const settings = railroadSettings();
  return (element.dataset.fields ?? "").split(" ").some((key) => key in settings);
}

/** Say on the document which settings this device has, as the script in the page's head does. */
function markDocument() {
  const { state } = readRecord();
  const visit = visitSettings();
  const names = state === "broken" && !visit ? ["broken"] : Object.keys(railroadSettings());
  const shown = names.filter((name) => PLAIN_NAME.test(name));
  if (shown.length) document.documentElement.dataset.own = shown.join(" ");
  else delete document.documentElement.dataset.own;
}

/** Say on every page that a link's settings count, and how to end that. */
function showVisit() {
  const shown = document.querySelector(".visit-settings");
  if (!visitSettings()) return shown?.remove();
  if (shown) return;
  const bar = document.createElement("aside");
  bar.className = "visit-settings";
  bar.append("The settings of a link count for this visit. ");
  const end = document.createElement("button");
  end.type = "button";
  end.textContent = "Back to mine";
  end.addEventListener("click", () => settingsForVisit(null));
  bar.append(end);
  document.querySelector("header")?.after(bar);
}

showVisit();

function tell() {
  markDocument();
  showVisit();
  document.dispatchEvent(new CustomEvent("railroad-settings"));
}

/**
 * The texts of a record, blank ones left out; null if it is no record.
 * @param {string} raw
 * @returns {Record<string, string> | null}
 */
function parsed(raw) {
  if (raw.length > LONGEST) return null;
  let texts;
  try {
    texts = JSON.parse(raw);
  } catch {
    return null;
  }
  if (!texts || typeof texts !== "object" || Array.isArray(texts)) return null;
  const pairs = Object.entries(texts);
  if (pairs.some(([, text]) => typeof text !== "string")) return null;
  return Object.fromEntries(pairs.filter(([, text]) => text.trim()));
}

// Another tab kept or forgot settings: this one follows.
fromOtherTabs([KEPT], tell);

// A page that the back key brings back as it stood may have missed what was kept meanwhile.
window.addEventListener("pageshow", (event) => {
  if (event.persisted) tell();
});
