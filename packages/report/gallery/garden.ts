import { readDay } from '@fairbed/field';
import type { Treatment } from '@fairbed/trial';

/** An invented trial as the sheets take it: four treatments, four blocks, two beds with places. */
export const day = readDay('2026-05-04')!;

export const treatments: Treatment[] = [
  { id: 'u', name: 'Untreated', kind: 'untreated' },
  {
    id: 'm',
    name: 'Skim milk',
    kind: 'product',
    activeIngredient: 'dried skim milk',
    rate: { amount: 100, unit: 'g/l' },
  },
  {
    id: 'c',
    name: 'Copper hydroxide',
    kind: 'product',
    activeIngredient: 'copper as hydroxide',
    rate: { amount: 0.75, unit: 'g/l' },
    note: 'Not within 7 days of harvest.',
  },
  { id: 'w', name: 'Water on the same day', kind: 'water-only' },
];

export const beds = [
  {
    id: 'n',
    name: 'North bed',
    x: 0,
    y: 2,
    width: 9,
    height: 1.2,
    blocked: [{ x: 4.2, y: 0, width: 0.6, height: 1.2, why: 'path' as const }],
  },
  {
    id: 's',
    name: 'South bed',
    x: 0,
    y: 0,
    width: 9,
    height: 1.2,
    blocked: [{ x: 4.2, y: 0, width: 0.6, height: 1.2, why: 'unusable' as const }],
  },
];

const letters = 'ACEFHJKMNPRTVWXY';
const drawn = 'umcwcwumumwcwcmu';

export const plots = Array.from({ length: 16 }, (_, i) => ({
  code: `${letters[i]}${2 + (i % 8)}`,
  block: String(1 + Math.floor(i / 4)),
  treatment: drawn[i],
  place: {
    bed: i < 8 ? 'n' : 's',
    x: (i % 8 < 4 ? 0.1 : 4.9) + (i % 4),
    y: 0.1,
    width: 0.9,
    height: 1,
  },
}));

/** Nine treatments in seven blocks, in three beds of 45 m. */
export const longBeds = [1, 2, 3].map((n) => ({
  id: `b${n}`,
  name: `Bed ${n}`,
  width: 1.2,
  height: 45,
}));
export const manyPlots = Array.from({ length: 63 }, (_, i) => ({
  code: `${letters[i % 16]}${2 + (i % 7)}${letters[Math.floor(i / 7)]}`,
  block: String(1 + Math.floor(i / 9)),
  treatment: `t${i % 9}`,
  place: {
    bed: `b${1 + Math.floor(i / 21)}`,
    x: 0.1,
    y: 0.5 + (i % 21) * 2.1,
    width: 1,
    height: 1.5,
  },
}));
export const manyTreatments: Treatment[] = Array.from({ length: 9 }, (_, i) => ({
  id: `t${i}`,
  name: i === 0 ? 'Untreated' : `Potassium bicarbonate with horticultural soap, strength ${i}`,
  kind: i === 0 ? 'untreated' : 'product',
  note: 'Sprayed late in the day when bees are in, to run-off on both sides of the leaf. '.repeat(
    i,
  ),
}));
