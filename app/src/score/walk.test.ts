import type { Trial } from '@fairbed/trial';
import { expect, it } from 'vitest';
import { stopsOf } from './walk';

type Bed = Pick<Trial, 'plots' | 'plants' | 'beds'>;
const bed = (lost: NonNullable<Trial['plots'][number]['lost']>): Bed => ({
  beds: [],
  plots: [
    { id: '1', code: 'K7', treatment: 'none' },
    { id: '2', code: 'M3', treatment: 'copper', lost },
  ],
  plants: ['1', '2'].flatMap((plot) => ['1', '2'].map((id) => ({ id, plot }))),
});
const walked = (lost: Parameters<typeof bed>[0], day?: string) =>
  stopsOf(bed(lost), day).map(({ code, plant }) => `${code} ${plant}`);
const lostOn = (day: string) => ({
  day: day as NonNullable<Trial['rounds'][number]['day']>,
  why: 'Flooded',
});

it('walks every other plot backwards', () => {
  const all = walked(lostOn('2026-06-02'), '2026-06-01');
  expect(all).toEqual(['K7 1', 'K7 2', 'M3 2', 'M3 1']);
});

it('leaves out a plot lost by the day of the round, not one lost after it', () => {
  expect(walked(lostOn('2026-06-01'), '2026-06-01')).toEqual(['K7 1', 'K7 2']);
  expect(walked(lostOn('2026-06-02'), '2026-06-01')).toHaveLength(4);
  expect(walked({ why: 'Flooded' }, '2026-06-01')).toHaveLength(2);
  expect(walked(lostOn('2026-06-02'))).toHaveLength(2);
});
