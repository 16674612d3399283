import type { Treatment } from '@fairbed/trial';
import type { TreatmentKind } from './values';

type KindWords = {
  readonly id: TreatmentKind;
  readonly title: string;
  readonly firstName: string;
  /** What this kind of treatment is there to tell. */
  readonly why: string;
};

/** Kinds of treatment in the order they are offered: the untreated control first. */
export const treatmentKinds: readonly KindWords[] = [
  {
    id: 'untreated',
    title: 'Untreated control',
    firstName: 'Untreated',
    why: 'Nothing is done. It tells how much disease there was to stop.',
  },
  {
    id: 'water-only',
    title: 'Water only',
    firstName: 'Water only',
    why: 'As much water as the sprays carry. It tells what wetting alone does.',
  },
  {
    id: 'adjuvant-only',
    title: 'Adjuvant only',
    firstName: 'Adjuvant only',
    why: 'The soap or oil without the rest. Some stop disease by themselves.',
  },
  {
    id: 'product',
    title: 'Product',
    firstName: 'Product',
    why: 'A substance that is sprayed or strewn, named by its active ingredient.',
  },
  {
    id: 'practice',
    title: 'Practice',
    firstName: 'Practice',
    why: 'Something done otherwise: spacing, watering hour, leaves taken off.',
  },
  {
    id: 'cultivar',
    title: 'Cultivar',
    firstName: 'Cultivar',
    why: 'Another variety of the crop.',
  },
];

export const kindWords = (kind: Treatment['kind']): KindWords | undefined =>
  treatmentKinds.find(({ id }) => id === kind);

/** A name that no other treatment has. */
export function freeName(wanted: string, names: readonly string[]): string {
  const taken = new Set(names.map((name) => name.toLowerCase()));
  if (!taken.has(wanted.toLowerCase())) return wanted;
  let n = 2;
  while (taken.has(`${wanted} ${n}`.toLowerCase())) n += 1;
  return `${wanted} ${n}`;
}
