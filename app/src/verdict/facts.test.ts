import type { Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { factsOf, namedControl, withFacts } from './facts';

const bare = { design: { kind: 'randomised-blocks' } } as Trial;
const told = {
  design: { kind: 'randomised-blocks', seed: 4, randomised: true },
  plan: { outcome: 'audpc', blind: false },
} as Trial;

describe('facts of a trial', () => {
  it('are absent where nobody said, not false', () => {
    expect(factsOf(bare)).toEqual({});
    expect(factsOf(told)).toEqual({ randomised: true, blind: false });
  });

  it('change alone, and can be taken back', () => {
    expect(withFacts(bare, { randomised: false, blind: true })).toEqual({
      design: { kind: 'randomised-blocks', randomised: false },
      plan: { blind: true },
    });
    expect(withFacts(told, {})).toEqual({
      design: { kind: 'randomised-blocks', seed: 4 },
      plan: { outcome: 'audpc' },
    });
    // A plan that held nothing else is gone again.
    expect(withFacts(withFacts(bare, { blind: true }), {})).toEqual(bare);
  });
});

describe('the control a trial names', () => {
  const treatments = [
    { id: 'a', name: 'Milk', kind: 'unstated' },
    { id: 'b', name: 'Nothing', kind: 'untreated' },
  ] as Trial['treatments'];
  it('is the one it names, else the untreated one, else none', () => {
    expect(namedControl({ treatments, control: 'a' })).toBe('Milk');
    expect(namedControl({ treatments })).toBe('Nothing');
    expect(namedControl({ treatments: treatments.slice(0, 1) })).toBeUndefined();
  });
});
