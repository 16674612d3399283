import { createRandom } from '@fairbed/stats';

/**
 * Capitals and figures that are hard to mistake for one another in wet weather: no O 0 Q D, I 1 L J,
 * S 5, B 8, Z 2, G 6, U V W, E F, R beside P, N beside H, and no A, so that no code is a word.
 */
const signs = Array.from('CHKMPTXY3479');

/** Words over the signs of which any two differ in at least two places: the last sign is a check. */
function words(length: number): string[] {
  let heads: { readonly text: string; readonly sum: number }[] = [{ text: '', sum: 0 }];
  for (let i = 1; i < length; i++) {
    heads = heads.flatMap(({ text, sum }) =>
      signs.map((sign, s) => ({ text: text + sign, sum: sum + s })),
    );
  }
  return heads
    .map(({ text, sum }) => text + (signs[sum % signs.length] ?? ''))
    .filter((word) => /[A-Z]/.test(word));
}

/** Those first whose signs no earlier one has in another order: X4M beside MX4 invites a slip. */
function unlikeFirst(codes: readonly string[]): string[] {
  const seen = new Set<string>();
  const [first, rest]: [string[], string[]] = [[], []];
  for (const code of codes) {
    const sorted = Array.from(code).sort().join('');
    (seen.has(sorted) ? rest : first).push(code);
    seen.add(sorted);
  }
  return [...first, ...rest];
}

/**
 * Codes for n stakes: three signs each (four where there are more than 128), no two alike, any two
 * different in at least two signs, so that one misread sign is noticed and names no other plot; the
 * same signs in another order only where all others are used up.
 * None is all figures, so none passes for a plot number. They depend on the seed and the stake's
 * number only, never on what was drawn for the plot; the stream is another than the draw's.
 * Throws a RangeError where n is not a whole number from 0 to 1724.
 */
export function stakeCodes(n: number, seed: number): string[] {
  const short = words(3);
  const codes = n > short.length ? words(4) : short;
  if (!Number.isInteger(n) || n < 0 || n > codes.length) {
    throw new RangeError(`stakes must be a whole number from 0 to ${codes.length}; got ${n}`);
  }
  const random = createRandom(seed);
  random.split();
  random.shuffle(codes);
  return unlikeFirst(codes).slice(0, n);
}
