/**
 * The built-in type of a PDF writes western European letters only. Other letters are written in
 * plain Latin ones (marks dropped, Greek and Cyrillic letter by letter), and what has no such
 * letter becomes a question mark; the sheet then says so.
 */
const greek = zip(
  'α β γ δ ε ζ η θ ι κ λ μ ν ξ ο π ρ σ ς τ υ φ χ ψ ω',
  'a v g d e z i th i k l m n x o p r s s t y f ch ps o',
);
const cyrillic = zip(
  'а б в г ґ д е є ж з и і ї й к л м н о п р с т у ў ф х ц ч ш щ ъ ы ь э ю я ђ ј љ њ ћ џ',
  "a b v g g d e ye zh z i i yi j k l m n o p r s t u u f kh ts ch sh shch ' y ' e yu ya dj j lj nj c dz",
);
const others = zip('ł đ ı ħ ŧ ŋ ĸ ə − ‑ ≤ ≥ ′ ″', 'l d i h t n k e - - <= >= \' "');
const romanised = new Map([...greek, ...cyrillic, ...others]);

function zip(letters: string, spellings: string): [string, string][] {
  const to = spellings.split(' ');
  return letters.split(' ').map((letter, i): [string, string] => [letter, to[i] ?? '?']);
}

const marks = /\p{M}/gu;

/** Spelling of one letter in plain ones, capital for capital; undefined where there is none. */
function spelling(letter: string): string | undefined {
  const small = letter.toLowerCase();
  const bare = small.normalize('NFD').replace(marks, '');
  const found = romanised.get(small) ?? romanised.get(bare) ?? (bare === small ? undefined : bare);
  if (found === undefined || small === letter) return found;
  return found.slice(0, 1).toUpperCase() + found.slice(1);
}

export type Written = { readonly text: string; readonly changed: boolean };

/**
 * A text in letters that can be written (`canWrite` takes one of them), white space made plain.
 * `changed` is true where a letter had to be spelt otherwise.
 */
export function writable(text: string, canWrite: (letter: string) => boolean): Written {
  let changed = false;
  const letters = Array.from(
    text
      .normalize('NFC')
      .replace(/[\s\p{Cc}]+/gu, ' ')
      .trim(),
  );
  const spelt = letters.map((letter) => {
    if (canWrite(letter)) return letter;
    if (letter.replace(marks, '') === '') return '';
    changed = true;
    return Array.from(spelling(letter) ?? '?')
      .map((part) => (canWrite(part) ? part : '?'))
      .join('');
  });
  return { text: spelt.join(''), changed };
}
