// @ts-check
// What the page says of its offline copy: plain sentences from the plain facts, nothing else.

/**
 * @typedef {object} Failure
 * @property {string} reason line, host, portal, bytes, room or other
 * @property {string} file
 * @property {string} detail
 *
 * @typedef {object} CopyFacts
 * @property {"yes" | "no" | "insecure" | "refused"} support whether the browser can keep a copy
 * @property {string | null} built when the copy that serves was built, ISO 8601
 * @property {number | null} ready files of it that are on the device; null: not known yet
 * @property {number | null} of files it has
 * @property {number | null} readyFirst those of its first part that are on the device
 * @property {number | null} first files of its first part: pages and calculators
 * @property {number} bytes the room that it takes
 * @property {boolean} filling whether more of it is being fetched now
 * @property {Failure | null} failure why not
 * @property {{ready: number, of: number, failure: Failure | null} | null} newer a newer one on its way
 * @property {boolean} offered a newer one is whole and waits to be taken
 * @property {string | null} offeredBuilt when that one was built, ISO 8601
 * @property {boolean} elsewhere another tab has taken a newer one
 * @property {boolean} other the copy that serves is another one than this page's
 * @property {"good" | "none" | "hangs" | "portal" | "host" | null} line what it brought last
 * @property {number | null} checked when an update was last looked for, ms since 1970
 * @property {boolean | null} lasting whether the browser agreed to keep it; null: it does not say
 */

const date = new Intl.DateTimeFormat("en-US", { dateStyle: "medium", timeStyle: "short" });
const MINUTE_MS = 60_000;

/** @param {CopyFacts} facts */
export function builtWords(facts) {
  if (!facts.built) return "When this copy was built is not known yet.";
  return `This copy was built on ${date.format(new Date(facts.built))}.`;
}

/** @param {CopyFacts} facts @param {number} now ms since 1970 */
export function checkedWords(facts, now) {
  const line = lineWords(facts.line);
  if (facts.checked === null) return line || "An update has not been looked for yet.";
  const when = date.format(new Date(facts.checked));
  return `Last checked for an update on ${when} (${ago(now - facts.checked)}).${line && ` ${line}`}`;
}

/** @param {CopyFacts["line"]} line */
function lineWords(line) {
  switch (line) {
    case "none":
      return "There is no line now.";
    case "hangs":
      return "The line hangs: no answer came within 10 seconds.";
    case "portal":
      return "This network answers with a page of its own, most likely to sign in: open it in the browser, sign in, and come back.";
    case "host":
      return "The site's server answers with an error now.";
    default:
      return "";
  }
}

/** @param {number} span ms */
function ago(span) {
  const minutes = Math.floor(Math.max(0, span) / MINUTE_MS);
  if (minutes < 1) return "just now";
  if (minutes < 120) return `${count(minutes, "minute")} ago`;
  const hours = Math.floor(minutes / 60);
  return hours < 48 ? `${count(hours, "hour")} ago` : `${count(Math.floor(hours / 24), "day")} ago`;
}

/** @param {number} number @param {string} thing */
function count(number, thing) {
  return `${number} ${thing}${number === 1 ? "" : "s"}`;
}

/** @param {CopyFacts} facts */
export function readyWords(facts) {
  switch (facts.support) {
    case "no":
      return "This browser cannot keep the site for offline use: pages work only while there is a line.";
    case "insecure":
      return "Not kept for offline use: that needs a secure address (https). Pages work only while there is a line.";
    case "refused":
      return "This browser refused to keep the site for offline use (a private window or a setting does that). Pages work only while there is a line.";
    case "yes":
      return `${countWords(facts)}${failureWords(facts.failure, facts.bytes)}`;
  }
}

/** Whether pages and calculators are on the device, if not all. @param {CopyFacts} facts */
export const isFirstReady = ({ readyFirst, first }) => first !== null && readyFirst === first;

/** @param {CopyFacts} facts */
function countWords(facts) {
  const { ready, of, filling } = facts;
  if (ready === null || of === null) return "Whether this copy works offline is not known yet.";
  const figure = `${ready} of ${of} files are on this device`;
  if (ready === of) return `All ready offline: ${figure}.`;
  if (isFirstReady(facts)) {
    const rest = filling ? "are being fetched" : "are not here yet";
    return `Pages and calculators are ready offline; study, worksheets and fault finding ${rest}: ${figure}.`;
  }
  return filling ? `Not ready offline yet: ${figure}, the rest is being fetched.` : `Not ready offline: ${figure}.`;
}

/** @param {Failure | null} failure @param {number} bytes */
function failureWords(failure, bytes) {
  if (failure === null) return "";
  const file = failure.file ? ` (${failure.file})` : "";
  switch (failure.reason) {
    case "line":
      return ` The line was lost${file}; fetching goes on when there is one.`;
    case "host":
      return ` The server had an error in place of a file${file}; it is asked for again soon.`;
    case "portal":
      return " The network sent a page of its own in place of a file, most likely to sign in; fetching goes on after that.";
    case "bytes":
      return ` A file did not arrive as it was built and was refused${file}; it is asked for again later.`;
    case "room":
      return ` The browser did not store it: no room, or storage is refused. The copy takes about ${megabytes(bytes)}. Pages still work while there is a line; make room and load this page again.`;
    default:
      return ` Fetching stopped: ${failure.detail}.`;
  }
}

/** @param {number} bytes */
function megabytes(bytes) {
  return `${Math.max(1, Math.ceil(bytes / 1_000_000))} MB`;
}

/** Whether a button stands beside the words on another copy. @param {CopyFacts} facts */
export const isOffered = (facts) => facts.offered || facts.elsewhere || facts.other;

/** What that button says. @param {CopyFacts} facts */
export function offerLabel({ elsewhere, other, offeredBuilt, built }) {
  if (elsewhere || other) return "Load this page anew";
  return offeredBuilt && built && offeredBuilt < built ? "Use the older copy" : "Use the newer copy";
}

/** @param {CopyFacts} facts */
export function newerWords(facts) {
  if (facts.elsewhere) {
    return "A newer copy was taken in another tab. Load this page anew to use it here too.";
  }
  if (facts.other) {
    return "This page is of another copy than the one that is kept on this device now. Load this page anew.";
  }
  if (facts.offered && facts.offeredBuilt && facts.built && facts.offeredBuilt < facts.built) {
    const when = date.format(new Date(facts.offeredBuilt));
    return `The site was set back to an older copy, built on ${when}; it is ready. Newer figures may have been taken back.`;
  }
  if (facts.offered) {
    return "A newer copy of this reference is ready. It may hold corrected figures.";
  }
  if (facts.newer === null) return "";
  const { ready, of, failure } = facts.newer;
  return failure === null
    ? `A newer copy is being fetched: ${ready} of ${of} files. This copy stays in use meanwhile.`
    : `A newer copy did not come whole; this copy stays in use.${failureWords(failure, facts.bytes)}`;
}

/**
 * The few things worth saying aloud, each once; "" where there is nothing to say.
 * @param {CopyFacts} before @param {CopyFacts} facts
 */
export function announcement(before, facts) {
  if (facts.offered !== before.offered || facts.elsewhere !== before.elsewhere || facts.other !== before.other) {
    return newerWords(facts);
  }
  const wasWhole = before.ready !== null && before.ready === before.of;
  const isWhole = facts.ready !== null && facts.ready === facts.of;
  if (isWhole && !wasWhole && before.ready !== null) return "The whole site is now ready offline.";
  const isFirstNow = isFirstReady(facts) && !isFirstReady(before) && before.ready !== null;
  if (isFirstNow && !isWhole) return "Pages and calculators are now ready offline.";
  if (facts.failure !== null && facts.failure.reason !== before.failure?.reason) {
    return readyWords(facts);
  }
  return "";
}

/** @param {boolean | null} lasting */
export function lastingWords(lasting) {
  if (lasting === null) return "The browser does not say whether it keeps the copy for good.";
  return lasting
    ? "The browser has agreed not to remove this copy by itself."
    : "The browser may remove this copy when the device runs short of room, or after some time without a visit.";
}

/**
 * How to put the site on the device, for the kind of device.
 * @param {"apple-touch" | "android" | "desktop"} device
 */
export function installWords(device) {
  switch (device) {
    case "apple-touch":
      return "On an iPhone or iPad: open the Share menu and choose Add to Home Screen. Then open the site once from the home screen while there is a line and wait until it says all ready offline: the home screen has a copy of its own. A copy kept only in the browser may be removed after about a week without a visit.";
    case "android":
      return "On an Android phone or tablet: open the browser's menu and choose Install app or Add to Home screen. The copy is then less likely to be removed.";
    case "desktop":
      return "On a desk computer: choose Install in the address bar or the browser's menu where it is offered; else keep a bookmark. The copy works offline either way.";
  }
}
