// @ts-check
// Starts Python before the rest of the page is read, where the device holds the whole of it.
// Without a copy the page itself comes first on the line, and Python starts when the page is idle.

import { start } from "./python-client.js";

if (navigator.serviceWorker?.controller) start();
