// @ts-check
// What is tried when a part of the calculators cannot be had: the page itself may be of a copy that
// the server no longer has, a newer copy may wait on the device, or the line was bad for a moment.

import { ours } from "./copy-stamp.js";

const AGAIN_AFTER_S = [3, 8, 15];
let tries = 0;

/**
 * @param {() => boolean} isWanted whether mending is still called for
 * @param {() => void} retry
 */
export function mendLater(isWanted, retry) {
  const pause = AGAIN_AFTER_S[Math.min(tries, AGAIN_AFTER_S.length - 1)];
  tries += 1;
  setTimeout(async () => {
    if (!isWanted()) return;
    // What was typed stands in the address, so that nothing is lost.
    if (await isReplaced()) location.reload();
    else if (tries < 2 || !(await tookNewer())) retry();
  }, pause * 1000);
}

/** Whether the page that is given out now is of another copy than these scripts. */
async function isReplaced() {
  if (!ours) return false;
  try {
    const page = await (await fetch(location.href, { cache: "no-cache" })).text();
    const theirs = /data-copy="([0-9a-f]{16})"/.exec(page)?.[1];
    return theirs !== undefined && theirs !== ours;
  } catch {
    return false;
  }
}

/** Take the copy that waits, whole, in place of one that lacks a part. */
async function tookNewer() {
  const registration = await navigator.serviceWorker?.getRegistration();
  if (!registration?.waiting) return false;
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
  registration.waiting.postMessage({ ask: "take over" });
  return true;
}
