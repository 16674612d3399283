import type { Json } from '@fairbed/notebook';
import type { Names, Trial } from '@fairbed/trial';

type Known = { readonly trial: Pick<Trial, 'treatments'>; readonly names: Names };
type Fields = { readonly [key: string]: Json };

/** Words of the kinds of event. */
export const eventTitles: Readonly<Record<Trial['events'][number]['kind'], string>> = {
  storm: 'Storm',
  hail: 'Hail',
  frost: 'Frost',
  flood: 'Flood',
  drought: 'Drought',
  irrigation: 'Watering',
  pest: 'Pest',
  other: 'Something else',
};

const text = (value: Json | undefined): string => (typeof value === 'string' ? value.trim() : '');

const stop = (sentence: string): string => (/[.!?…]$/.test(sentence) ? sentence : `${sentence}.`);

const codes = (plots: Json | undefined, { names }: Known): string =>
  Array.isArray(plots) && plots.length > 0
    ? ` Plots ${plots.map((plot) => names.plot(String(plot))?.code ?? String(plot)).join(', ')}.`
    : '';

function rateWords(rate: Json | undefined): string {
  const { amount, unit } = (typeof rate === 'object' && rate !== null ? rate : {}) as {
    readonly amount?: Json;
    readonly unit?: Json;
  };
  return typeof amount === 'number' ? `${amount} ${text(unit)}`.trim() : '';
}

/** A spray in words; what was sprayed on which plots only once the codes are revealed. */
function sprayWords(fields: Fields, known: Known): string {
  const { names, trial } = known;
  const id = text(fields['treatment']);
  const name = trial.treatments.find((one) => one.id === id)?.name ?? id;
  const at = text(fields['time']);
  const hours = fields['reentryHours'];
  const by = text(fields['by']);
  const parts = [
    `Sprayed${names.revealed ? ` ${name}` : ''}${at === '' ? '' : ` at ${at}`}${by === '' ? '' : ` by ${by}`}.`,
    ...(names.revealed
      ? [text(fields['activeIngredient']), rateWords(fields['rate'])]
          .filter((part) => part !== '')
          .map((part) => `${part}.`)
      : []),
    typeof hours === 'number'
      ? `Keep out for ${hours} hours.`
      : 'No re-entry interval is written down.',
  ];
  const note = text(fields['note']);
  const where = names.revealed ? codes(fields['plots'], known) : '';
  // A note by whoever sprays may name what was sprayed.
  const tail = names.revealed && note !== '' ? ` ${stop(note)}` : '';
  return `${parts.join(' ')}${where}${tail}`;
}

function eventWords(fields: Fields, known: Known): string {
  const kind = text(fields['kind']);
  const title = Object.entries(eventTitles).find(([id]) => id === kind)?.[1] ?? kind;
  const note = text(fields['note']);
  return `${title}.${codes(fields['plots'], known)}${note === '' ? '' : ` ${stop(note)}`}`;
}

function harvestWords(fields: Fields, { names }: Known): string {
  const plot = text(fields['plot']);
  const { grams, pieces } = fields;
  const amounts = [
    ...(typeof grams === 'number' ? [`${grams} g`] : []),
    ...(typeof pieces === 'number' ? [`${pieces} ${pieces === 1 ? 'piece' : 'pieces'}`] : []),
  ];
  const note = text(fields['note']);
  return `Harvested plot ${names.plot(plot)?.code ?? plot}: ${amounts.join(', ')}.${note === '' ? '' : ` ${stop(note)}`}`;
}

function noteWords(fields: Fields, known: Known): string {
  const plot = text(fields['plot']);
  const where = plot === '' ? '' : `Plot ${known.names.plot(plot)?.code ?? plot}: `;
  return `${where}${stop(text(fields['text']))}`;
}

/** An entry of the diary as a grower reads it. Codes only until the reveal. */
export function diaryWords(kind: string, value: Json, known: Known): string {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return 'Taken back.';
  const fields = value as Fields;
  if (kind === 'spray') return sprayWords(fields, known);
  if (kind === 'event') return eventWords(fields, known);
  if (kind === 'harvest') return harvestWords(fields, known);
  return noteWords(fields, known);
}
