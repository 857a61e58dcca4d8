/* How much room is left on the phone, and whether it promised to keep what waits. */
import { say } from "../desk/say.js";

const LOW = 200e6;

/** Asked for on a tap, once; browsers answer as they please. */
export async function askToKeep() {
  try {
    return (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    return false;
  }
}

/** @returns {Promise<{left: number | null, kept: boolean}>} bytes; null where the browser does not tell */
export async function roomHere() {
  try {
    const [{ quota, usage }, kept] = await Promise.all([navigator.storage.estimate(), navigator.storage.persisted()]);
    return { left: quota - usage, kept };
  } catch {
    return { left: null, kept: false };
  }
}

export const isLow = (left) => left !== null && left < LOW;

export function sizeSaid(bytes) {
  if (bytes >= 2e9) return say("{n} GB", { n: Math.round(bytes / 1e9) });
  if (bytes >= 1e6) return say("{n} MB", { n: Math.round(bytes / 1e6) });
  return say("{n} kB", { n: Math.ceil(bytes / 1e3) });
}
