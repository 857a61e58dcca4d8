/* The lamp beside a phone's camera, where a page can light it: it holds the camera while it burns, and lets go of it for a photo. */

/** @returns {boolean} whether the browser knows of lamps; whether the phone has one is seen when it is lit */
export function mayLight(devices = navigator.mediaDevices) {
  return Boolean(devices?.getSupportedConstraints?.().torch && devices.getUserMedia);
}

export class Torch {
  track = null;

  /** @param {() => void} changed hears whenever it is lit or put out */
  constructor(changed, devices = navigator.mediaDevices) {
    Object.assign(this, { changed, devices });
  }

  get burns() {
    return this.track !== null;
  }

  /** @returns {Promise<"lit" | "refused" | "none">} refused: the camera is not given to this page, or busy; none: it has no lamp */
  async light() {
    let stream;
    try {
      stream = await this.devices.getUserMedia({ video: { facingMode: "environment" } });
    } catch {
      return "refused";
    }
    const [track] = stream.getVideoTracks();
    try {
      if (!track.getCapabilities().torch) throw new Error("no lamp");
      await track.applyConstraints({ advanced: [{ torch: true }] });
    } catch {
      track.stop();
      return "none";
    }
    this.track = track;
    track.addEventListener("ended", () => this.putOut());
    this.changed();
    return "lit";
  }

  putOut() {
    this.track?.stop();
    if (!this.track) return;
    this.track = null;
    this.changed();
  }
}
