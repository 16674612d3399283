import { describe, expect, it } from 'vitest';
import { styleOf, treatmentStyles } from './marks';

const names = Array.from({ length: 65 }, (_, i) => `T${i}`);

describe('treatmentStyles', () => {
  it('gives 64 treatments beside the control pairs of colour and shape that differ', () => {
    const styles = treatmentStyles(names, 'T7');
    const pairs = names.filter((n) => n !== 'T7').map((n) => styleOf(styles, n));
    expect(new Set(pairs.map((s) => `${s.colour} ${s.shape}`)).size).toBe(64);
    expect(new Set(pairs.slice(0, 8).map((s) => s.colour)).size).toBe(8);
    expect(new Set(pairs.slice(0, 8).map((s) => s.shape)).size).toBe(8);
  });

  it('draws the control alike wherever it stands, and takes no colour from the others', () => {
    const first = treatmentStyles(['C', 'A', 'B'], 'C');
    const last = treatmentStyles(['A', 'B', 'C'], 'C');
    expect(styleOf(first, 'C')).toMatchObject({ shape: 'open', colour: styleOf(last, 'C').colour });
    expect(styleOf(first, 'A').colour).toBe(styleOf(last, 'A').colour);
    expect(styleOf(last, 'C').index).toBe(2);
  });

  it('counts a name that comes twice once, and has a neutral style for a stranger', () => {
    const styles = treatmentStyles(['A', 'A', 'B'], null);
    expect(styles.size).toBe(2);
    expect(styleOf(styles, 'nobody').shape).toBe('open');
  });
});
