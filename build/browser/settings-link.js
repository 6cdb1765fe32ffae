// @ts-check
// A link with a railroad's settings: what it holds is laid beside what this device has, and taken
// over, or used for this visit, only by a tap.

import { entriesOf } from "./address.js";
import { buttonWith, toolsOf, withText } from "./making.js";
import { ask } from "./python-client.js";
import { readRecord, settingsForVisit } from "./settings.js";

/**
 * @typedef {object} Offer
 * @property {{key: string, term: string, old: string, new: string}[]} [rows]
 * @property {number} [same]
 * @property {Record<string, string>} [entries]
 * @property {string[]} [said]
 * @property {string} [failed]
 */

/** @param {HTMLElement} place @param {(settings: Record<string, string>) => Promise<void>} takeOver */
export async function offer(place, takeOver) {
  const head = withText("h2", "Settings from a link");
  const state = withText("p", "Reading them …");
  state.setAttribute("role", "status");
  place.replaceChildren(head, state);
  place.scrollIntoView({ block: "start" });
  try {
    const query = await long(new URLSearchParams(location.search));
    const { entries, repeated } = entriesOf(query);
    if (repeated.length)
      throw new Error(`The link gives ${repeated.join(", ")} more than once; nothing of it was taken.`);
    const own = readRecord().settings;
    /** @type {Offer} */
    const found = await ask({ kind: "settings", do: "offer", settings: own, link: entries }, { form: "settings link" });
    if (found.failed !== undefined) throw new Error(found.failed);
    show(place, head, state, found, own, takeOver);
  } catch (reason) {
    state.textContent = reason instanceof Error ? reason.message : String(reason);
  }
}

/** @param {URLSearchParams} link */
async function long(link) {
  const [short, ...more] = link.getAll("z");
  if (short === undefined) return link;
  const beside = [...more, ...[...link.keys()].filter((name) => name !== "z")];
  const opened = await ask(
    { kind: "short", do: "open", subject: "settings", short, beside },
    { form: "settings link" },
  );
  if (opened.query === undefined) throw new Error(opened.error ?? opened.failed);
  return new URLSearchParams(opened.query);
}

/**
 * @param {HTMLElement} place @param {HTMLElement} head @param {HTMLElement} state @param {Offer} found
 * @param {Record<string, string>} own @param {(settings: Record<string, string>) => Promise<void>} takeOver
 */
function show(place, head, state, { rows = [], same = 0, entries = {}, said = [] }, own, takeOver) {
  const alike = same ? ` ${same} more ${same === 1 ? "is" : "are"} the same as yours.` : "";
  state.textContent = rows.length
    ? `${rows.length} would change.${alike} Nothing has been taken yet.`
    : `Nothing in it would change yours.${alike}`;
  const notes = document.createElement("ul");
  notes.append(...said.map((words) => withText("li", words)));
  /** @param {string} words */
  const end = (words) => {
    history.replaceState(history.state, "", location.pathname);
    place.replaceChildren(head, state);
    state.textContent = words;
  };
  const choices = rows.length
    ? toolsOf(
        buttonWith("Take over", async () => {
          await takeOver(entries);
          end("Taken over and kept on this device. Undo stands below the form.");
        }),
        buttonWith("For this visit only", () => {
          const trouble = settingsForVisit({ ...own, ...entries });
          end(
            trouble
              ? "This browser keeps nothing for a visit: nothing was taken."
              : "They count on every page until this tab is closed. What is kept on this device stays as it is.",
          );
        }),
        buttonWith("Leave mine as they are", () => end("Nothing was taken.")),
      )
    : toolsOf(buttonWith("Close", () => place.replaceChildren()));
  place.replaceChildren(head, state, ...(rows.length ? [table(rows)] : []), ...(said.length ? [notes] : []), choices);
}

/** @param {NonNullable<Offer["rows"]>} rows */
function table(rows) {
  const made = document.createElement("table");
  made.className = "figures";
  const top = document.createElement("tr");
  top.append(...["Setting", "Now", "In the link"].map((words) => withText("th", words)));
  made.append(top);
  for (const row of rows) {
    const line = document.createElement("tr");
    line.append(withText("th", row.term), withText("td", row.old), withText("td", row.new));
    made.append(line);
  }
  return made;
}
