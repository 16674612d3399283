import { describe, expect, it } from 'vitest';
import { litTreatment, toggled } from './lit';

const treatmentOf = new Map([
  ['B1', 'Lime'],
  ['B2', 'Untreated'],
]);
const pick = () => undefined;

describe('lighting', () => {
  it('lights the treatment of a picked plot', () => {
    expect(litTreatment({ lit: { plot: 'B1' }, pick, treatmentOf })).toBe('Lime');
    expect(litTreatment({ lit: { treatment: 'Milk' }, pick, treatmentOf })).toBe('Milk');
    expect(litTreatment({ lit: { plot: 'gone' }, pick, treatmentOf })).toBeUndefined();
    expect(litTreatment({ lit: undefined, pick, treatmentOf })).toBeUndefined();
  });

  it('puts the light out when the same thing is picked again', () => {
    expect(toggled({ plot: 'B1' }, { plot: 'B1' })).toBeUndefined();
    expect(toggled({ plot: 'B1' }, { plot: 'B2' })).toEqual({ plot: 'B2' });
    expect(toggled({ plot: 'B1' }, { treatment: 'Lime' })).toEqual({ treatment: 'Lime' });
    expect(toggled(undefined, { treatment: 'Lime' })).toEqual({ treatment: 'Lime' });
  });
});
