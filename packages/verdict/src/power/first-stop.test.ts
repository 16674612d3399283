import { describe, expect, it } from 'vitest';
import { firstStop } from './first-stop';

const blocks = (treatments: readonly string[], n: number) =>
  ({ kind: 'randomised-blocks', treatments, control: treatments[0] ?? '', blocks: n }) as const;

describe('the first round after which a planned trial can stop', () => {
  it('is none where two treatments stand in four blocks: 2 / 2^4 is above 0.05', () => {
    expect(firstStop({ request: blocks(['A', 'B'], 4), rounds: 5 })?.round).toBeUndefined();
  });

  it('of two treatments in six blocks, 2 / 2^6 = 0.031, is late in five rounds', () => {
    // Lan & DeMets, like O'Brien & Fleming, two-sided: 0.0244 by 4/5, 0.05 at the end.
    expect(firstStop({ request: blocks(['A', 'B'], 6), rounds: 5 })?.round).toBe(5);
  });

  it('of four treatments in four blocks, 6 / 12^4 = 0.00029, is the second of five', () => {
    // By 1/5 next to nothing may be spent (5e-6 of it), by 2/5 0.0008.
    expect(firstStop({ request: blocks(['A', 'B', 'C', 'D'], 4), rounds: 5 })?.round).toBe(2);
  });

  it('heeds the looks that the plan names', () => {
    const request = blocks(['A', 'B', 'C', 'D'], 4);
    const looks = { rounds: [1, 5], spending: 'early' as const };
    expect(firstStop({ request, rounds: 5, looks })?.round).toBe(1);
  });

  it('is unknown where layouts can only be drawn', () => {
    const request = { ...blocks(['A', 'B', 'C', 'D', 'E', 'F'], 6), kind: 'latin-square' } as const;
    expect(firstStop({ request, rounds: 5 })).toBeUndefined();
  });
});
