import { clockMs, clockWriter, type Entry, type Json } from '@fairbed/notebook';
import {
  changeWords,
  isOutcomeId,
  type Names,
  outcomeTitle,
  readPlantThing,
  readScoreThing,
  type ScoreField,
  type Trial,
} from '@fairbed/trial';
import { diaryWords } from '../bed/diaryWords';
import { withLongDays } from '../now/dueWords';
import { longDay } from '../plan/today';

/** What has to be known to put an entry into words. */
export type Known = {
  readonly trial: Trial;
  /** Codes only until the reveal. */
  readonly names: Names;
  /** The day of a round; undefined where it is not known. */
  readonly roundDay: (round: string) => string | undefined;
  /** Of what stands for a thing now or stood before. */
  readonly history: (kind: string, thing: string) => readonly Entry[];
};

type Fields = { readonly [key: string]: Json };

export const fieldsOf = (value: Json | undefined): Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Fields) : {};

const textOf = (value: Json | undefined): string => (typeof value === 'string' ? value : '');

const numberOf = (value: Json | undefined): string =>
  typeof value === 'number' ? `${value}` : '–';

/** What the figures of a score are called. */
export const figureNames: Readonly<Record<ScoreField, string>> = {
  standing: 'Standing leaves',
  diseased: 'Diseased leaves',
  stripped: 'Stripped leaves',
  strippedDiseased: 'Diseased among the stripped leaves',
  lost: 'Lost leaves',
  severity: 'Diseased leaf area',
  grade: 'Grade',
  injury: 'Injury by the treatment',
  vigour: 'Vigour',
  stage: 'Growth stage',
  value: 'Value',
  note: 'Note',
  skipped: 'Skipped',
};

const percents: ReadonlySet<ScoreField> = new Set(['severity', 'injury', 'vigour']);

const causes: Readonly<Record<string, string>> = {
  storm: 'storm or hail',
  pest: 'pests',
  'other-disease': 'another disease',
  age: 'old age',
  harvest: 'harvest',
  accident: 'an accident',
  unknown: 'a cause not known',
};

const plotWords = (plot: string, { names }: Known): string =>
  `plot ${names.plot(plot)?.code ?? plot}`;

const roundWords = (round: string, { roundDay }: Known): string => {
  const day = roundDay(round);
  return day === undefined ? `round ${round}` : `round of ${longDay(day)}`;
};

/** `Plot K7F, plant 3, round of 4 May 2026` of what of it is there. */
function placeWords(
  about: { readonly plot?: string; readonly plant?: string; readonly round?: string },
  known: Known,
): string {
  const { plot = '', plant = '', round = '' } = about;
  return [
    ...(plot === '' ? [] : [plotWords(plot, known)]),
    ...(plant === '' ? [] : [`plant ${plant}`]),
    ...(round === '' ? [] : [roundWords(round, known)]),
  ].join(', ');
}

function scoreSubject(thing: string, known: Known): string {
  const place = readScoreThing(thing);
  if (place === undefined) return `Figure ${thing}`;
  const { field, disease } = place;
  const own = field === 'value' ? known.trial.valueMeasure?.name : undefined;
  const of = known.trial.diseases.find(({ id }) => id === disease)?.name ?? disease;
  const name = `${own ?? figureNames[field]}${of === undefined ? '' : ` (${of})`}`;
  return `${name}, ${placeWords(place, known)}`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What an entry is about: `Diseased leaves, plot K7F, plant 3, round of 4 May 2026`. */
export function subjectOf(kind: string, thing: string, known: Known): string {
  switch (kind) {
    case 'score':
      return scoreSubject(thing, known);
    case 'round':
      return capital(roundWords(thing, known));
    case 'lost-plot':
      return capital(plotWords(thing, known));
    case 'plant':
      return capital(placeWords(readPlantThing(thing) ?? { plot: thing }, known));
    case 'draw':
      return `Layout ${thing}`;
    case 'plan':
      return `Plan, ${thing}`;
    case 'seal':
      return 'Seal of the plan';
    case 'reveal':
      return 'Reveal of the codes';
    case 'spray':
      return 'Spray';
    case 'event':
      return 'What happened';
    case 'harvest':
      return 'Harvest';
    case 'note':
      return 'Note';
    case 'photo':
      return 'Photo';
    default:
      return `${kind} ${thing}`;
  }
}

function lossWords(value: Json): string {
  if (!Array.isArray(value)) return '';
  const parts = value.map((part: Json) => {
    const { leaves, why } = fieldsOf(part);
    return `${numberOf(leaves)} to ${causes[textOf(why)] ?? textOf(why)}`;
  });
  return parts.join(', ');
}

function scoreValue(thing: string, value: Json, { trial }: Known): string {
  const field = readScoreThing(thing)?.field;
  if (field === 'lost') return lossWords(value);
  if (typeof value === 'string') return `“${value}”`;
  if (typeof value !== 'number' || field === undefined) return JSON.stringify(value);
  if (percents.has(field)) return `${value} %`;
  const unit = field === 'value' ? trial.valueMeasure?.unit : undefined;
  return unit === undefined ? `${value}` : `${value} ${unit}`;
}

function roundValue(value: Json): string {
  const { day, done, stripping, baseline, blind } = fieldsOf(value);
  return [
    `held on ${longDay(textOf(day))}`,
    ...(baseline === true ? ['before any treatment'] : []),
    ...(stripping === true ? ['diseased leaves stripped'] : []),
    ...(stripping === false ? ['nothing stripped'] : []),
    ...(blind === false ? ['not blind'] : []),
    ...(done === true ? ['done'] : []),
  ].join(', ');
}

function lostValue(value: Json): string {
  const { day, why } = fieldsOf(value);
  const on = textOf(day) === '' ? '' : ` on ${longDay(textOf(day))}`;
  return `lost${on}: ${textOf(why)}`;
}

function plantValue(value: Json): string {
  const { guard, lost, note } = fieldsOf(value);
  const parts = [
    ...(guard === true ? ['a guard plant'] : []),
    ...(lost === undefined ? [] : [lostValue(lost)]),
    ...(textOf(note) === '' ? [] : [`“${textOf(note)}”`]),
  ];
  return parts.length === 0 ? 'stands' : parts.join(', ');
}

function photoValue(value: Json, known: Known): string {
  const { day, time, plot, plant, round } = fieldsOf(value);
  const place = placeWords(
    { plot: textOf(plot), plant: textOf(plant), round: textOf(round) },
    known,
  );
  const at = `${longDay(textOf(day))}${textOf(time) === '' ? '' : `, ${textOf(time)}`}`;
  return place === '' ? at : `${place}; ${at}`;
}

/** What an entry says, without what it is about. No treatment of a plot before the reveal. */
export function valueOf(kind: string, thing: string, value: Json, known: Known): string {
  if (value === null) return 'taken back';
  switch (kind) {
    case 'score':
      return scoreValue(thing, value, known);
    case 'round':
      return roundValue(value);
    case 'lost-plot':
      return lostValue(value);
    case 'plant':
      return plantValue(value);
    case 'photo':
      return photoValue(value, known);
    case 'draw':
      return drawValue(value);
    case 'seal':
      return `sealed on ${longDay(textOf(fieldsOf(value)['day']))}`;
    case 'reveal':
      return revealValue(value);
    case 'spray':
    case 'event':
    case 'harvest':
    case 'note':
      return `${longDay(textOf(fieldsOf(value)['day']))}. ${diaryWords(kind, value, known)}`;
    default:
      return JSON.stringify(value).slice(0, 200);
  }
}

/** The layout itself is not told: it would name the treatments. */
function drawValue(value: Json): string {
  const { seed, layout, day, why } = fieldsOf(value);
  const plots = Array.isArray(layout) ? layout.length : 0;
  const again = textOf(why) === '' ? '' : `, drawn again: ${textOf(why)}`;
  return `${plots} plots drawn by lot on ${longDay(textOf(day))}, seed ${numberOf(seed)}${again}`;
}

function revealValue(value: Json): string {
  const { day, why } = fieldsOf(value);
  return `revealed on ${longDay(textOf(day))}${textOf(why) === '' ? '' : `: ${textOf(why)}`}`;
}

/** What stood when an entry was written; undefined where nothing did. */
export function entryBefore(entry: Entry, known: Known): Entry | undefined {
  if (entry.replaces.length === 0) return undefined;
  const stood = new Set(entry.replaces);
  return known.history(plainKind(entry), entry.thing).findLast(({ id }) => stood.has(id));
}

/** The kind without the version that it was written in. */
export const plainKind = ({ kind }: Pick<Entry, 'kind'>): string => kind.split('@')[0] ?? kind;

function planSentence({ thing, value }: Entry, before: Json, { trial }: Known): string {
  const nameOf = (id: string): string =>
    trial.treatments.find((one) => one.id === id)?.name ??
    (isOutcomeId(id) ? outcomeTitle(id, trial.valueMeasure) : id);
  const given = (one: Json): unknown => one ?? undefined;
  const said = changeWords({ field: thing, before: given(before), now: given(value) }, nameOf);
  return said.length === 0 ? `Plan, ${thing}: entered again` : withLongDays(said.join('. '));
}

const stopped = (text: string): string => (/[.!?…”]$/.test(text) ? text : `${text}.`);

/** An entry in one sentence: `Diseased leaves, plot K7F, plant 3, round of 4 May 2026: 5, replaced 4.` */
export function sentenceOf(entry: Entry, known: Known): string {
  const kind = plainKind(entry);
  const { thing, value } = entry;
  const before = entryBefore(entry, known)?.value ?? null;
  if (kind === 'plan') return stopped(planSentence(entry, before, known));
  const subject = subjectOf(kind, thing, known);
  if (value === null) {
    const was = before === null ? '' : `, was ${valueOf(kind, thing, before, known)}`;
    return stopped(`${subject}: taken back${was}`);
  }
  const now = valueOf(kind, thing, value, known);
  if (before === null) return stopped(`${subject}: ${now}`);
  const was = valueOf(kind, thing, before, known);
  return stopped(
    was === now ? `${subject}: ${now}, entered again` : `${subject}: ${now}, replaced ${was}`,
  );
}

const two = (n: number): string => String(n).padStart(2, '0');

/** Letters of a writer that are its device's own; the rest are of the page. */
const deviceLetters = 6;

/** The device of an entry, by its letters. */
export const deviceOf = ({ clock }: Pick<Entry, 'clock'>): string =>
  clockWriter(clock).slice(0, deviceLetters);

/** When the device's own clock says that it was written. */
export function whenOf({ at, clock }: Pick<Entry, 'at' | 'clock'>): string {
  const when = new Date(at ?? clockMs(clock));
  const day = `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())}`;
  return `${longDay(day)}, ${two(when.getHours())}:${two(when.getMinutes())}`;
}

/** `by Ann on this device, 4 May 2026, 14:05`. `device`: the letters of this one. */
export function writtenBy(entry: Entry, device: string): string {
  const own = deviceOf(entry);
  const where = own === device ? 'on this device' : `on device ${own}`;
  const who = entry.who === '' ? 'without a name' : `by ${entry.who}`;
  return `${who} ${where}, ${whenOf(entry)}`;
}
