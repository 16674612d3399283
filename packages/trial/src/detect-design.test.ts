import { describe, expect, it } from 'vitest';
import { detectDesign } from './detect-design';

const blocks = (words: readonly string[]) =>
  words.flatMap((word, b) => Array.from(word).map((treatment) => ({ treatment, block: `${b}` })));
const square = (columns: readonly string[]) =>
  columns.flatMap((word, c) =>
    Array.from(word).map((treatment, r) => ({ treatment, row: `${r}`, column: `${c}` })),
  );

describe('detectDesign', () => {
  it.each([
    ['one plot for each', Array.from('ABCD').map((treatment) => ({ treatment })), 'unreplicated'],
    ['one plot for each, in one block', blocks(['ABCD']), 'unreplicated'],
    [
      'no blocks',
      Array.from('AABBCC').map((treatment) => ({ treatment })),
      'completely-randomised',
    ],
    ['one block', blocks(['AABBCC']), 'completely-randomised'],
    ['whole blocks', blocks(['ABC', 'CBA', 'BCA']), 'randomised-blocks'],
    ['a control four times in each block', blocks(['AAAABC', 'CABAAA']), 'randomised-blocks'],
    ['blocks of two of three', blocks(['AB', 'BC', 'CA']), 'incomplete-blocks'],
    [
      'blocks of six of seven',
      blocks(['ABCDEF', 'BCDEFG', 'CDEFGA', 'DEFGAB', 'EFGABC', 'FGABCD', 'GABCDE']),
      'incomplete-blocks',
    ],
    ['rows and columns', square(['ABC', 'BCA', 'CAB']), 'latin-square'],
    [
      'rows and columns, treatments twice in a row',
      square(['ABC', 'BCA', 'ACB']),
      'completely-randomised',
    ],
    [
      'whole plots',
      ['1', '2', '3', '4'].flatMap((wholePlot) =>
        ['a', 'b'].map((n) => ({ treatment: n, block: '1', wholePlot })),
      ),
      'split-plot',
    ],
  ])('%s: %#', (_name, plots, kind) => expect(detectDesign(plots)).toEqual({ kind, notes: [] }));

  it.each([
    [
      'a plot lost from a block',
      blocks(['ABC', 'CB', 'BCA']),
      'randomised-blocks',
      'blocks-with-gaps',
    ],
    [
      'a plot lost from each of two blocks',
      blocks(['ABCDEF', 'ABCDE', 'ABCD']),
      'randomised-blocks',
      'blocks-with-gaps',
    ],
    [
      'one whole block among incomplete ones',
      blocks(['ABCD', 'AB', 'BC', 'CD', 'DA']),
      'incomplete-blocks',
      'blocks-uneven',
    ],
    ['a square with a gap', square(['ABC', 'BCA', 'CA']), 'latin-square', 'square-with-gaps'],
    [
      'each treatment in its own block',
      blocks(['AA', 'BB', 'CC']),
      'unreplicated',
      'block-is-treatment',
    ],
  ])('%s is asked about', (_name, plots, kind, code) => {
    const detected = detectDesign(plots);
    expect(detected.kind).toBe(kind);
    expect(detected.notes.map((note) => note.code)).toEqual([code]);
  });
});
