/** The longest side of a photo that is kept, pixels: a leaf's spots can still be counted on it. */
export const longestSide = 1600;

/** Width and height at which a picture is kept: never larger than it is, its shape kept. */
export function sizeToKeep(width: number, height: number): { width: number; height: number } {
  const share = Math.min(1, longestSide / Math.max(width, height));
  return {
    width: Math.max(1, Math.round(width * share)),
    height: Math.max(1, Math.round(height * share)),
  };
}
