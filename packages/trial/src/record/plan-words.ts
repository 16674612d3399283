import type { Treatment } from '../schema';
import { canonicalJson, sameJson } from './canonical';
import { isPlanField, type PlanField, planShapes, type PlanValues } from './values';

const names: Readonly<Record<PlanField, string>> = {
  title: 'The title',
  question: 'The question',
  note: 'The note',
  crop: 'The crop',
  diseases: 'The diseases',
  garden: 'The garden',
  treatments: 'The treatments',
  control: 'The control',
  beds: 'The beds',
  design: 'The design',
  outcome: 'The main outcome',
  worthHaving: 'The smallest difference worth having',
  rounds: 'The rounds',
  looks: 'The looks',
  stripping: 'The rule for stripping',
  judgedBy: 'What the verdict rests on',
  method: 'The method',
  plantsPerPlot: 'The number of plants in a plot',
  plotSize: 'The size of a plot',
  harvestDay: 'The day of the first harvest',
  spacing: 'The spacing of plants',
  buffer: 'The strip between plots',
  edge: 'The guard strip of a plot',
  blind: 'Blind scoring',
  gradeScale: 'The grades',
  valueMeasure: 'What the value measures',
};

/** What a field of the plan is called at the head of a sentence. */
export const fieldName = (field: string): string =>
  Object.hasOwn(names, field) ? names[field as PlanField] : `“${field.slice(0, 60)}”`;

const many: ReadonlySet<string> = new Set([
  'diseases',
  'treatments',
  'beds',
  'rounds',
  'looks',
  'gradeScale',
]);
const was = (field: string): string => (many.has(field) ? 'were' : 'was');

const cut = (text: string): string => (text.length > 120 ? `${text.slice(0, 119)}…` : text);
const quoted = (text: string): string => `“${cut(text)}”`;
const metres = (n: number): string => `${n} m`;
const plural = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;

const strippingWords: Readonly<Record<string, string>> = {
  'all-diseased': 'all diseased leaves',
  none: 'no leaves',
};

const spendingWords = {
  late: 'the error mostly spent late',
  early: 'the error mostly spent early',
  even: 'the error spent evenly',
} as const;

type Words = { readonly [F in PlanField]?: (value: NonNullable<PlanValues[F]>) => string };

const words: Words = {
  crop: ({ name }) => quoted(name),
  garden: ({ name }) => quoted(name),
  diseases: (list) => list.map(({ name }) => name).join(', '),
  treatments: (list) => list.map(({ name }) => name).join(', '),
  beds: (list) =>
    list
      .map(({ name, width, height, blocked = [] }) => {
        const off = blocked.length === 0 ? '' : `, ${plural(blocked.length, 'part')} left out`;
        return `${name}, ${width} by ${metres(height)}${off}`;
      })
      .join('; '),
  worthHaving: (percent) => `${percent} %`,
  rounds: ({ count, everyDays, firstDay }) =>
    `${plural(count, 'round')}, one every ${plural(everyDays, 'day')}${firstDay === undefined ? '' : ` from ${firstDay}`}`,
  looks: ({ spending, rounds }) =>
    `${spendingWords[spending]}, after ${rounds === undefined ? 'every round' : `round ${rounds.join(', ')}`}`,
  stripping: (text) => strippingWords[text] ?? quoted(text),
  design: ({ kind, blocks, perBlock }) =>
    [
      kind.replaceAll('-', ' '),
      ...(blocks === undefined ? [] : [plural(blocks, 'block')]),
      ...(perBlock === undefined ? [] : [`${plural(perBlock, 'plot')} a block`]),
    ].join(', '),
  plotSize: ({ width, length }) => `${width} by ${metres(length)}`,
  spacing: (value) =>
    typeof value === 'number'
      ? metres(value)
      : `${metres(value.inRow)} in the row, ${metres(value.betweenRows)} between rows`,
  buffer: metres,
  edge: metres,
  blind: (blind) => (blind ? 'blind' : 'the scorer knows the treatments'),
  gradeScale: ({ classes }) => classes.join(', '),
  valueMeasure: ({ name, unit }) => (unit === undefined ? name : `${name} (${unit})`),
};

/** Whether a value has the shape of its field; a seal may hold what this version does not know. */
const isReadable = (field: string, value: unknown): boolean =>
  isPlanField(field) && planShapes[field].safeParse(value).success;

/** A value of the plan in words. `nameOf` turns the id of a treatment or outcome into its name. */
function valueWords(field: string, value: unknown, nameOf: (id: string) => string): string {
  if (!isReadable(field, value)) return cut(canonicalJson(value));
  if (field === 'control' || field === 'outcome') return quoted(nameOf(String(value)));
  const say = (words as Readonly<Record<string, ((value: never) => string) | undefined>>)[field];
  if (say !== undefined) return cut(say(value as never));
  return typeof value === 'string' ? quoted(value) : cut(canonicalJson(value));
}

const treatmentFields: Readonly<Record<string, string>> = {
  name: 'name',
  kind: 'kind',
  activeIngredient: 'active ingredient',
  rate: 'rate',
  modeOfAction: 'mode of action group',
  practice: 'practice',
  cultivar: 'cultivar',
  everyDays: 'spray interval',
  preHarvestDays: 'pre-harvest interval',
  reentryHours: 're-entry interval',
  note: 'note',
};

function treatmentValue(field: string, value: unknown): string {
  if (value === undefined) return 'none';
  if (field === 'rate') {
    const { amount, unit } = value as NonNullable<Treatment['rate']>;
    return `${amount} ${unit}`;
  }
  if (field === 'practice') {
    const { what, value: how } = value as NonNullable<Treatment['practice']>;
    return quoted(`${what}: ${how}`);
  }
  if (field === 'everyDays' || field === 'preHarvestDays') return plural(Number(value), 'day');
  if (field === 'reentryHours') return plural(Number(value), 'hour');
  return typeof value === 'string' ? quoted(value) : cut(canonicalJson(value));
}

/** A treatment as it was written, with whatever fields it has. */
type Row = { readonly id: string; readonly name: string; readonly [field: string]: unknown };

function treatmentChanges(before: readonly Row[], now: readonly Row[]): string[] {
  const old = new Map(before.map((row) => [row.id, row]));
  const present = new Map(now.map((row) => [row.id, row]));
  const changed = now.flatMap((row) => {
    const was = old.get(row.id);
    if (was === undefined) return [`Treatment ${quoted(row.name)} was added`];
    const fields = [...new Set([...Object.keys(was), ...Object.keys(row)])];
    return fields
      .filter((field) => canonicalJson(was[field]) !== canonicalJson(row[field]))
      .map((field) => {
        const from = treatmentValue(field, was[field]);
        return `The ${treatmentFields[field] ?? field} of treatment ${quoted(was.name)} was changed from ${from} to ${treatmentValue(field, row[field])}`;
      });
  });
  const gone = before.filter(({ id }) => !present.has(id));
  const all = [...changed, ...gone.map(({ name }) => `Treatment ${quoted(name)} was taken out`)];
  return all.length > 0 ? all : ['The order of the treatments was changed'];
}

export type Change = { readonly field: string; readonly before: unknown; readonly now: unknown };

/**
 * What changed in a field of the plan, old and new value in words, as beginnings of sentences: one,
 * or one for each treatment that changed. Empty where the two are the same.
 */
export function changeWords(
  { field, before, now }: Change,
  nameOf: (id: string) => string,
): string[] {
  if (before === undefined || now === undefined) {
    if (before === now) return [];
    const value = valueWords(field, before ?? now, nameOf);
    const name = fieldName(field);
    return [
      before === undefined
        ? `${name} ${was(field)} added to the plan (${value})`
        : `${name} ${was(field)} taken out of the plan (${value})`,
    ];
  }
  if (sameJson(before, now)) return [];
  if (field === 'treatments' && isReadable(field, before) && isReadable(field, now)) {
    return treatmentChanges(before as readonly Row[], now as readonly Row[]);
  }
  const [from, to] = [before, now].map((value) => valueWords(field, value, nameOf));
  // Two values that read the same differ in a part that has no words.
  return from === to
    ? [`${fieldName(field)} ${was(field)} changed in its details (still ${to ?? ''})`]
    : [`${fieldName(field)} ${was(field)} changed from ${from ?? ''} to ${to ?? ''}`];
}
