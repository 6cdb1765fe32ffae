// @ts-check
// Handing a link on by the device's own sheet of apps, where it has one. Nothing leaves the page
// unless the user chooses an app there.

export const canShare = typeof navigator.share === "function";

/** Show the buttons that need a sheet of apps. @param {ParentNode} root */
export function offerSharing(root) {
  for (const button of root.querySelectorAll('button[data-do="share"]')) {
    if (button instanceof HTMLElement) button.hidden = !canShare;
  }
}

/** @param {string} title @param {string} url */
export async function shareLink(title, url) {
  try {
    await navigator.share({ title, url });
  } catch {
    // The user closed the sheet, or there is none: the link can still be copied.
  }
}
