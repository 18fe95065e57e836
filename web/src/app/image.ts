/** Photographs from a phone are many megabytes and say where they were taken: drawn anew, smaller, they do neither. */

const MOST_PIXELS = 1600;

/** The same photograph as a JPEG of at most 1600 pixels, without anything but the picture. */
export async function smaller(file: Blob): Promise<Blob> {
  const image = await createImageBitmap(file);
  const factor = Math.min(1, MOST_PIXELS / Math.max(image.width, image.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(image.width * factor);
  canvas.height = Math.round(image.height * factor);
  canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  return await new Promise((done, fail) => {
    canvas.toBlob((blob) => (blob ? done(blob) : fail(new Error('no picture'))), 'image/jpeg', 0.82);
  });
}
