/* A photo is made smaller the moment it is taken: one at a time, and nothing of the large one is held on to. */

const LONGEST_PX = 2000;
const QUALITY = 0.8;

/** @returns {[number, number]} width and height within the longest side */
export function within(width, height, longest = LONGEST_PX) {
  const scale = Math.min(1, longest / Math.max(width, height));
  return [Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale))];
}

/** @returns {Promise<Blob>} a JPEG; fails where the file is no picture the browser can read */
export async function smaller(file) {
  const whole = await createImageBitmap(file);
  const [width, height] = within(whole.width, whole.height);
  const canvas = document.createElement("canvas");
  Object.assign(canvas, { width, height });
  canvas.getContext("2d").drawImage(whole, 0, 0, width, height);
  whole.close();
  const made = await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
  canvas.width = canvas.height = 0;
  if (!made) throw new Error("no picture");
  return made;
}

export function lettersOf(blob) {
  return new Promise((done, failed) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result.slice(reader.result.indexOf(",") + 1));
    reader.onerror = () => failed(reader.error);
    reader.readAsDataURL(blob);
  });
}
