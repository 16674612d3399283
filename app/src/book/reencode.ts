import { sizeToKeep } from './pictureSize';

/** A picture as it is kept: a JPEG that holds nothing but its pixels. */
export type Reencoded = {
  readonly bytes: ArrayBuffer;
  readonly width: number;
  readonly height: number;
  readonly type: string;
};

const type = 'image/jpeg';
const quality = 0.85;

async function jpegOf(canvas: OffscreenCanvas | HTMLCanvasElement): Promise<Blob> {
  if ('convertToBlob' in canvas) return canvas.convertToBlob({ type, quality });
  return new Promise((resolve, reject) => {
    canvas.toBlob(
      (blob) => (blob ? resolve(blob) : reject(new Error('No picture came of it.'))),
      type,
      quality,
    );
  });
}

function canvasOf(width: number, height: number): OffscreenCanvas | HTMLCanvasElement {
  if (typeof OffscreenCanvas !== 'undefined') return new OffscreenCanvas(width, height);
  return Object.assign(document.createElement('canvas'), { width, height });
}

/**
 * Draws a picture upright, no larger than it is kept, and encodes it anew. Nothing of the old file
 * comes through but what is seen: no place, no time, no name of the camera.
 */
export async function reencode(picture: Blob): Promise<Reencoded> {
  const bitmap = await createImageBitmap(picture, { imageOrientation: 'from-image' });
  try {
    const { width, height } = sizeToKeep(bitmap.width, bitmap.height);
    const canvas = canvasOf(width, height);
    const pen = canvas.getContext('2d') as
      | OffscreenCanvasRenderingContext2D
      | CanvasRenderingContext2D
      | null;
    if (pen === null) throw new Error('The browser gave nothing to draw on.');
    pen.imageSmoothingQuality = 'high';
    // JPEG knows no clear ground; a picture cut out is laid on white.
    pen.fillStyle = '#fff';
    pen.fillRect(0, 0, width, height);
    pen.drawImage(bitmap, 0, 0, width, height);
    const jpeg = await jpegOf(canvas);
    // A browser that can't write JPEG gives PNG, which is no photo of a bed's size.
    if (jpeg.type !== type) throw new Error("The browser can't write JPEG.");
    return { bytes: await jpeg.arrayBuffer(), width, height, type };
  } finally {
    bitmap.close();
  }
}
