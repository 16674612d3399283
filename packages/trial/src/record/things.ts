/**
 * Names of the things that entries of a trial are about. A thing made of several ids is those ids,
 * each with its `/` and other signs written as %XX (RFC 3986), joined by `/`, so that any id can
 * stand in it and there is one name for one thing.
 */

const plain = /^[A-Za-z0-9\-_.!~*'()/]*$/;

/** Joins ids to one thing. Halves of a surrogate pair, which no text has, become U+FFFD. */
export const thingOf = (...parts: readonly string[]): string =>
  parts.map((part) => encodeURIComponent(part.replace(/\p{Surrogate}/gu, '\u{fffd}'))).join('/');

/** The ids of a thing; undefined where it was not made by {@link thingOf}. */
export function partsOf(thing: string): readonly string[] | undefined {
  if (plain.test(thing)) return thing.split('/');
  try {
    const parts = thing.split('/').map(decodeURIComponent);
    return thingOf(...parts) === thing ? parts : undefined;
  } catch {
    // decodeURIComponent throws at a % that begins no sign.
    return undefined;
  }
}

/** What is written down of a plant at a round. */
export const scoreFields = [
  'standing',
  'diseased',
  'stripped',
  'strippedDiseased',
  'lost',
  'severity',
  'grade',
  'injury',
  'vigour',
  'stage',
  'value',
  'note',
  'skipped',
] as const;
export type ScoreField = (typeof scoreFields)[number];
const fields: ReadonlySet<string> = new Set(scoreFields);
export const isScoreField = (name: string): name is ScoreField => fields.has(name);

/** One figure of one plant; without `plant` of the whole plot, without `disease` of the target. */
export type ScorePlace = {
  readonly round: string;
  readonly plot: string;
  readonly plant?: string;
  readonly disease?: string;
  readonly field: ScoreField;
};

/** The thing of a score: round / plot / plant / disease / field, plant and disease often empty. */
export const scoreThing = ({ round, plot, plant, disease, field }: ScorePlace): string =>
  thingOf(round, plot, plant ?? '', disease ?? '', field);

/** What a score is of, its field left out. */
export type ScoreUnit = Omit<ScorePlace, 'field'>;

/**
 * A score's thing cut before its field: `unit` is the same text for all figures of one plant, round
 * and disease, and {@link readScoreUnit} reads it. Undefined where the field is none.
 */
export function cutScoreThing(
  thing: string,
): { readonly unit: string; readonly field: ScoreField } | undefined {
  const at = thing.lastIndexOf('/');
  const field = thing.slice(at + 1);
  return at > 0 && isScoreField(field) ? { unit: thing.slice(0, at), field } : undefined;
}

/** What the unit of a score's thing names; undefined where it names nothing. */
export function readScoreUnit(unit: string): ScoreUnit | undefined {
  const parts = partsOf(unit);
  if (parts?.length !== 4) return undefined;
  const [round = '', plot = '', plant = '', disease = ''] = parts;
  if (round === '' || plot === '') return undefined;
  return {
    round,
    plot,
    ...(plant === '' ? {} : { plant }),
    ...(disease === '' ? {} : { disease }),
  };
}

/** The rounds that the things of scores name, each unit read once. */
export function roundsOfScores(things: Iterable<string>): ReadonlySet<string> {
  const units = new Set<string>();
  for (const thing of things) units.add(thing.slice(0, thing.lastIndexOf('/')));
  const rounds = new Set<string>();
  for (const unit of units) {
    const round = readScoreUnit(unit)?.round;
    if (round !== undefined) rounds.add(round);
  }
  return rounds;
}

/** The place that a score's thing names; undefined where it names none. */
export function readScoreThing(thing: string): ScorePlace | undefined {
  const cut = cutScoreThing(thing);
  const unit = cut && readScoreUnit(cut.unit);
  return cut === undefined || unit === undefined ? undefined : { ...unit, field: cut.field };
}

/** The thing of a plant: plot / plant. */
export const plantThing = (plot: string, plant: string): string => thingOf(plot, plant);

/** The plot and plant that a thing names; undefined where it names none. */
export function readPlantThing(
  thing: string,
): { readonly plot: string; readonly plant: string } | undefined {
  const parts = partsOf(thing);
  const [plot = '', plant = ''] = parts ?? [];
  return parts?.length === 2 && plot !== '' && plant !== '' ? { plot, plant } : undefined;
}

/** The thing of a draw: its running number from 1, as text. */
export const drawThing = (number: number): string => String(number);

/** The running number that a draw's thing names; undefined where it names none. */
export const readDrawThing = (thing: string): number | undefined =>
  /^[1-9]\d{0,5}$/.test(thing) ? Number(thing) : undefined;

/**
 * How the things of those notes begin that say somebody opened the page for spraying, which shows
 * which plot has which treatment; and of those that say its map was made to be printed.
 */
export const openedForSpraying = 'spraying-';
export const mapForSpraying = `${openedForSpraying}map-`;

/** The one thing of the kinds `seal` and `reveal`. */
export const sealThing = 'seal';
export const revealThing = 'reveal';
