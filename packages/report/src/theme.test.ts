import { describe, expect, it } from 'vitest';
import {
  resolveTones,
  type Theme,
  type ThemeName,
  themeCss,
  themes,
  tone,
  type Tone,
} from './theme';

/** Relative luminance and contrast ratio as WCAG 2.2 defines them. */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(theme: Theme, a: Tone, b: Tone): number {
  const [x, y] = [luminance(theme[a]), luminance(theme[b])];
  return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
}

const grounds = ['paper', 'plot', 'worth'] as const;
const lines = (Object.keys(themes.light) as Tone[]).filter((key) => key.startsWith('line-'));

describe.each(Object.keys(themes) as ThemeName[])('theme %s', (name) => {
  const theme = themes[name];

  it('measures black on white as 21 (WCAG)', () => {
    const mono = { ...theme, ink: '#000000', paper: '#ffffff' };
    expect(contrast(mono, 'ink', 'paper')).toBeCloseTo(21, 10);
  });

  it.each(grounds)('text keeps 4.5:1 on %s', (ground) => {
    expect(contrast(theme, 'ink', ground)).toBeGreaterThanOrEqual(4.5);
    expect(contrast(theme, 'ink-soft', ground)).toBeGreaterThanOrEqual(4.5);
  });

  it.each(lines)('%s keeps 3:1 on paper', (line) => {
    expect(contrast(theme, line, 'paper')).toBeGreaterThanOrEqual(3);
  });

  it('outlines, control and zone edge keep 3:1, bars in plots too', () => {
    expect(contrast(theme, 'control', 'paper')).toBeGreaterThanOrEqual(3);
    expect(contrast(theme, 'worth-edge', 'worth')).toBeGreaterThanOrEqual(3);
    expect(contrast(theme, 'soil-edge', 'plot')).toBeGreaterThanOrEqual(3);
  });

  it('bands of the leaf balance that touch differ in lightness by 1.8:1 at least', () => {
    expect(contrast(theme, 'healthy', 'diseased')).toBeGreaterThanOrEqual(1.8);
    expect(contrast(theme, 'diseased', 'stripped')).toBeGreaterThanOrEqual(1.8);
  });

  it('resolves every tone to its own colour', () => {
    for (const key of Object.keys(theme) as Tone[]) {
      expect(resolveTones(`fill="${tone(key)}"`, name)).toBe(`fill="${theme[key]}"`);
      expect(themeCss(name)).toContain(`--fb-${key}: ${theme[key]};`);
    }
  });
});
