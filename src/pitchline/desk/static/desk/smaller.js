/* A photo made smaller on the phone, upright and without what it tells beside its picture; as it is where that cannot be done. */

const LONGEST_PX = 1600; // as photos/pictures.py keeps them
const QUALITY = 0.85;

/** @param {Blob} photo  @returns {Promise<Blob>} a JPEG, or the same blob where it is none or the smaller one would not be smaller */
export async function smaller(photo) {
  if (!/^image\/(jpeg|png|webp)$/.test(photo.type) || !globalThis.createImageBitmap) return photo;
  try {
    const drawn = await canvasOf(photo, LONGEST_PX);
    const less = await new Promise((done) => drawn.toBlob(done, "image/jpeg", QUALITY));
    drawn.width = drawn.height = 0; // phones count the memory of a canvas until it is let go
    return less && less.size < photo.size ? less : photo;
  } catch {
    return photo;
  }
}

/** @param {Blob} photo  @param {number} longest pixels of its longer side  @returns {Promise<HTMLCanvasElement>} */
export async function canvasOf(photo, longest) {
  const bitmap = await createImageBitmap(photo, { imageOrientation: "from-image" });
  const canvas = document.createElement("canvas");
  const share = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
  canvas.width = Math.max(1, Math.round(bitmap.width * share));
  canvas.height = Math.max(1, Math.round(bitmap.height * share));
  const ink = canvas.getContext("2d");
  ink.fillStyle = "white";
  ink.fillRect(0, 0, canvas.width, canvas.height);
  ink.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  return canvas;
}
