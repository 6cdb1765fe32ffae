// @ts-check
// Registers the service worker. A script of its own that needs no other: a device whose copy lacks
// one of the others still gets the worker that fetches it.

const root = new URL("..", import.meta.url);

/**
 * The site's registration, made if there is none.
 * @param {URL} at the site's root, where the service worker stands
 * @returns {Promise<ServiceWorkerRegistration>}
 */
export async function registered(at) {
  const known = await navigator.serviceWorker.getRegistration(at.href);
  if (known?.active || known?.waiting || known?.installing) return known;
  return navigator.serviceWorker.register(new URL("service-worker.js", at), { updateViaCache: "none" });
}

// What goes wrong is told by the module that shows the state of the copy.
if (navigator.serviceWorker) registered(root).catch(() => {});
