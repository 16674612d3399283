import { describe, expect, it } from 'vitest';
import { endedPlots, meanCourses, type PlotCourse, roundDays } from './course';

const plot = (name: string, treatment: string, values: readonly number[]): PlotCourse => ({
  plot: name,
  treatment,
  block: null,
  points: values.map((value, i) => ({ day: i * 7, value })),
});

describe('meanCourses', () => {
  it('means the plots scored on a day, and says how many they were', () => {
    const courses = meanCourses([
      plot('1', 'A', [2, 4, 9]),
      plot('2', 'B', [1]),
      plot('3', 'A', [4, 8]),
    ]);
    expect(courses).toEqual([
      {
        treatment: 'A',
        points: [
          { day: 0, value: 3, plots: 2 },
          { day: 7, value: 6, plots: 2 },
          { day: 14, value: 9, plots: 1 },
        ],
      },
      { treatment: 'B', points: [{ day: 0, value: 1, plots: 1 }] },
    ]);
  });
});

describe('endedPlots', () => {
  it('finds plots that stop before the last round, not those that merely missed one', () => {
    const missed = { ...plot('2', 'A', []), points: [{ day: 14, value: 3 }] };
    const plots = [plot('1', 'A', [1, 2, 3]), missed, plot('3', 'A', [1, 2]), plot('4', 'A', [])];
    expect(endedPlots(plots).map((p) => p.plot)).toEqual(['3']);
  });
});

describe('roundDays', () => {
  it('lists days once, in order, with a date where any plot has one', () => {
    const points = [{ day: 7 }, { day: 0, date: '2026-05-04' }, { day: 7, date: '2026-05-11' }];
    expect(roundDays(points)).toEqual([
      { day: 0, date: '2026-05-04' },
      { day: 7, date: '2026-05-11' },
    ]);
  });
});
