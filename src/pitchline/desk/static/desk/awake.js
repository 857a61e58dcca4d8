/* The screen stays on while somebody walks round a machine: asked for on a tap, and again whenever the page comes back. A phone that refuses goes dark as ever. */

/**
 * @param {Document} page
 * @param {{wakeLock?: {request: (kind: string) => Promise<EventTarget & {release: () => Promise<void>}>}}} phone
 * @returns {() => void} lets the screen go dark again
 */
export function keepAwake(page = document, phone = navigator) {
  let lock = null;
  let asking = false;
  let isWanted = false;
  const ask = async () => {
    if (!isWanted || lock || asking || page.visibilityState !== "visible" || !phone.wakeLock) return;
    asking = true;
    try {
      const got = await phone.wakeLock.request("screen");
      lock = got;
      got.addEventListener("release", () => (lock = lock === got ? null : lock));
      if (!isWanted) await got.release();
    } catch {
      lock = null; // a flat battery, an old phone: nothing anybody could do about it
    } finally {
      asking = false;
    }
  };
  const tapped = () => {
    isWanted = true;
    return ask();
  };
  page.addEventListener("click", tapped);
  page.addEventListener("visibilitychange", ask);
  return () => {
    isWanted = false;
    page.removeEventListener("click", tapped);
    page.removeEventListener("visibilitychange", ask);
    lock?.release();
  };
}
