/** What a sheet for the scorer may say: nothing that names a treatment. */
const letter = '[\\p{L}\\p{N}]';

/** Does a text name one of the treatments, as words of their own, capitals or not? */
export function names(text: string, treatments: readonly string[]): boolean {
  return treatments.some((name) => {
    const bare = name.trim().replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
    return bare !== '' && new RegExp(`(?<!${letter})${bare}(?!${letter})`, 'iu').test(text);
  });
}

type Texts = {
  readonly title: string;
  readonly garden?: string | undefined;
  readonly plots: readonly { readonly block?: string | undefined }[];
  readonly beds?: readonly { readonly name: string }[] | undefined;
};

export type Blind = {
  readonly title: string;
  readonly garden: string;
  /** The name itself, or undefined where it names a treatment. */
  readonly say: (name: string) => string | undefined;
  /** What was left out: `title`, `block Copper`. */
  readonly left: readonly string[];
};

/** Texts of a sheet for the scorer; one that names a treatment is left out. */
export function blindTexts(input: Texts, treatments: readonly string[]): Blind {
  const { title, garden = '', plots, beds = [] } = input;
  const say = (name: string): string | undefined => (names(name, treatments) ? undefined : name);
  const blocks = new Set(plots.flatMap(({ block }) => (block === undefined ? [] : [block])));
  const told = (kind: string, all: Iterable<string>): string[] =>
    [...all].filter((name) => say(name) === undefined).map((name) => `${kind} ${name}`);
  return {
    title: say(title) ?? '',
    garden: say(garden) ?? '',
    say,
    left: [
      ...(say(title) === undefined ? ['title'] : []),
      ...(say(garden) === undefined ? ['garden'] : []),
      ...told('block', blocks),
      ...told('bed', new Set(beds.map(({ name }) => name))),
    ],
  };
}

/** What the printing person is told of texts left out and letters spelt otherwise. */
export function notesOf(left: readonly string[], hasRespelt: boolean): string[] {
  const blind = left.map(
    (part) => `The ${part} names a treatment, so it was left out of this sheet.`,
  );
  return hasRespelt ? [...blind, respeltNote] : blind;
}

/** Also printed on the sheet itself. */
export const respeltNote = 'Letters the printer type lacks are written in plain Latin letters.';
