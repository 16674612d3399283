import { encode } from 'uqr';
import type { Box, BoxesMark } from './ink';

export type QrSquare = {
  /** Rows of modules, true for black, without the quiet zone. */
  readonly modules: readonly (readonly boolean[])[];
  readonly level: 'L' | 'M' | 'Q' | 'H';
};

/** Quiet zone round the square, in modules (ISO/IEC 18004). */
export const quiet = 4;
const levels = ['H', 'Q', 'M', 'L'] as const;

/**
 * The QR code of a text, as proof against dirt as its size allows: the strongest correction whose
 * modules are still `finest` millimetres wide when the square with its quiet zone is `side` wide.
 * Undefined where the text does not fit even at the weakest.
 */
export function qrSquare(text: string, side: number, finest: number): QrSquare | undefined {
  for (const level of levels) {
    const size = Math.floor(side / finest) - 2 * quiet;
    const maxVersion = Math.min(40, Math.floor((size - 17) / 4));
    if (maxVersion < 1) return undefined;
    const modules = encoded(text, level, maxVersion);
    if (modules) return { modules, level };
  }
  return undefined;
}

function encoded(text: string, ecc: QrSquare['level'], maxVersion: number) {
  try {
    return encode(text, { ecc, maxVersion, border: 0, boostEcc: false }).data;
  } catch (error) {
    // uqr says "too long" by throwing a RangeError; anything else is not ours to hide.
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** The square drawn into a box that includes the quiet zone: the black runs of every row. */
export function qrMark({ modules }: QrSquare, box: Box): BoxesMark {
  const module = box.width / (modules.length + 2 * quiet);
  const boxes = modules.flatMap((cells, row) =>
    runs(cells).map(([from, to]) => ({
      x: box.x + (quiet + from) * module,
      y: box.y + (quiet + row) * module,
      width: (to - from) * module,
      height: module,
    })),
  );
  return { kind: 'boxes', boxes };
}

/** Stretches of black in a row: from, and the place after the last. */
function runs(cells: readonly boolean[]): [from: number, to: number][] {
  const found: [number, number][] = [];
  let from: number | undefined;
  for (const [i, isBlack] of [...cells, false].entries()) {
    if (isBlack) from ??= i;
    else if (from !== undefined) {
      found.push([from, i]);
      from = undefined;
    }
  }
  return found;
}
