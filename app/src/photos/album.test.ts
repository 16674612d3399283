import { readDay } from '@fairbed/field';
import { describe, expect, it } from 'vitest';
import { ofPlot, type Photo, plantsShown, roundsShown, sideBySide } from './album';

const day = readDay('2026-05-04');
const later = readDay('2026-05-11');
if (day === undefined || later === undefined) throw new Error('No days.');

const photo = (hash: string, about: Partial<Photo>): Photo => ({
  hash,
  day,
  width: 4,
  height: 3,
  bytes: 9,
  type: 'image/jpeg',
  ...about,
});

const photos = [
  photo('c', { plot: 'p1', plant: '10', round: 'r2', day: later }),
  photo('b', { plot: 'p1', plant: '2', round: 'r1', time: '10:00' }),
  photo('a', { plot: 'p1', plant: '2', round: 'r1', time: '09:30' }),
  photo('d', { plot: 'p2', round: 'r1' }),
  photo('e', {}),
];
const hashes = (list: readonly Photo[]) => list.map(({ hash }) => hash);

describe('an album', () => {
  it('shows a plot or one of its plants in the order of time', () => {
    expect(hashes(ofPlot(photos, 'p1', undefined))).toEqual(['a', 'b', 'c']);
    expect(hashes(ofPlot(photos, 'p1', '10'))).toEqual(['c']);
    expect(plantsShown(photos, 'p1')).toEqual(['2', '10']);
  });

  it('lays plots side by side at one round', () => {
    expect(
      sideBySide(photos, 'r1', ['p2', 'p1', 'p3']).map((one) => [one.plot, hashes(one.photos)]),
    ).toEqual([
      ['p2', ['d']],
      ['p1', ['a', 'b']],
      ['p3', []],
    ]);
  });

  it('offers the rounds that have a photo, latest first', () => {
    const rounds = ['r1', 'r2', 'r3'].map((id) => ({ id }));
    expect(roundsShown({ rounds, photos }).map(({ id }) => id)).toEqual(['r2', 'r1']);
  });
});
