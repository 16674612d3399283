import type { ReactElement } from 'react';
import { describe, expect, it } from 'vitest';
import { curves, looks, ranking, residuals } from '../gallery/method-parts';
import { control, severity, styles } from '../gallery/trials';
import { daysTitle, describeDays } from './days-text';
import { chanceFigure } from './format';
import {
  DaysChart,
  LooksChart,
  type OnPick,
  RankingChart,
  renderSvg,
  ResidualsChart,
} from './index';
import { describeLooks, leftToSpend } from './looks-text';
import { chanceText, describeRanking } from './ranking-text';
import { describeResiduals, farPlots } from './residuals-text';

const treatmentOf = new Map(severity.plots.map(({ plot, treatment }) => [plot, treatment]));
const charts: Readonly<Record<string, (width: number, onPick?: OnPick) => ReactElement>> = {
  ranking: (width, onPick) => <RankingChart {...{ ranking, control, styles, width, onPick }} />,
  days: (width, onPick) => <DaysChart {...{ curves, styles, width, onPick }} />,
  residuals: (width, onPick) => (
    <ResidualsChart {...{ residuals, treatmentOf, styles, width, onPick }} />
  ),
  looks: (width) => <LooksChart {...{ looks, width }} />,
};
const buttons: Readonly<Record<string, number>> = { ranking: 5, days: 5, residuals: 19, looks: 0 };

describe.each(Object.entries(charts))('%s', (name, draw) => {
  it.each([320, 358, 900])('is one picture with title and description at %d', (width) => {
    const svg = renderSvg(draw(width));
    expect(svg).toContain('role="img"');
    expect(svg).not.toMatch(/tabindex|role="button"|var\(|NaN|undefined|Infinity/i);
    expect(svg).toMatch(/<title[^>]*>[^<]+<\/title><desc[^>]*>[^<]+<\/desc>/);
    const sizes = [...svg.matchAll(/font-size="([\d.]+)"/g)].map((m) => Number(m[1]));
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(13);
  });

  it('has a named button for everything that can be picked, once', () => {
    const svg = renderSvg(draw(358, () => undefined));
    const named = svg.match(/role="button" tabindex="0" aria-label="[^"]+"/g) ?? [];
    expect(named).toHaveLength(buttons[name] ?? -1);
    expect(new Set(named).size).toBe(named.length);
  });
});

describe('words for the pictures of methods', () => {
  it('promises nothing for certain, nor rules it out', () => {
    expect(chanceText(0)).toBe('under 1\u00a0%');
    expect(chanceText(0.9999)).toBe('over 99\u00a0%');
    expect(chanceText(0.83)).toBe('83\u00a0%');
  });

  it('ranks without comparing the control with itself', () => {
    const text = describeRanking(ranking, control, 30);
    expect(text).toContain('Untreated: best under 1\u00a0%.');
    expect(text).toContain(
      'Wide spacing: best 14\u00a0%, ahead of Untreated 96\u00a0%, ahead by 30\u00a0% or more 68\u00a0%.',
    );
  });

  it('tells each look, its bound, and what is left', () => {
    const text = describeLooks(looks, { alpha: 0.05 });
    expect(text).toContain(
      'look 1, 4\u00a0May: 0.40; nothing could be enough yet, may be spent 0.',
    );
    expect(text).toContain(
      'look 4, 26\u00a0May: 3.90 of 3.50 needed; enough to stop, may be spent 0.012.',
    );
    expect(leftToSpend(looks, { alpha: 0.05 })).toBe(
      'May be spent so far: 0.012 of 0.050. Left for later looks: 0.038.',
    );
    expect(leftToSpend([], { alpha: 0.05 })).toContain('Left for later looks: 0.050.');
    // What a layout could not spend, its p-values coming in steps, is left as well.
    expect(leftToSpend(looks, { alpha: 0.05, alphaLeft: 0.041, toCome: 2 })).toContain(
      'Left for later looks: 0.041.',
    );
    expect(leftToSpend(looks, { alpha: 0.05, alphaLeft: 0.041, toCome: 0 })).toBe(
      'May be spent so far: 0.012 of 0.050.',
    );
  });

  it('writes a chance that is nearly nothing by its power of ten', () => {
    expect(chanceFigure(0)).toBe('0');
    expect(chanceFigure(0.00021)).toBe('0.0002');
    expect(chanceFigure(0.00005)).toBe('5.0\u00a0×\u00a010⁻⁵');
  });

  it('says between which looks a curve fell, and before which none was', () => {
    const text = describeDays(curves);
    expect(text).toContain('Untreated: down to 75\u00a0% between day 0 and day 7,');
    expect(text).toContain('Water only: down to 80\u00a0% by day 7,');
    // It ends at 70 %: the fall to nothing has not been seen.
    expect(text).toMatch(
      /Potassium bicarbonate 0\.5 %: down to [^:]*70\u00a0% between day 22 and day 28\./,
    );
    expect(text).not.toContain('0\u00a0% after');
    expect(describeDays([{ name: 'A', steps: [] }])).toContain('A: it happened to none.');
    expect(daysTitle('clean')).toBe('Plants not clean so far, percent');
    expect(daysTitle(undefined)).toContain('has not happened');
  });

  it('names a plot that lies far from the model, and only that', () => {
    expect(farPlots(residuals).map(({ plot }) => plot)).toEqual(['B1-5']);
    expect(describeResiduals(residuals)).toContain('Far from the model, in standard errors: B1-5');
    expect(describeResiduals(residuals.filter(({ plot }) => plot !== 'B1-5'))).toContain(
      'No plot lies far from the model.',
    );
  });
});

describe('a curve of days', () => {
  const curve = (steps: Parameters<typeof describeDays>[0][number]['steps']) =>
    renderSvg(<DaysChart {...{ styles, width: 358 }} curves={[{ name: 'Wide spacing', steps }]} />);
  const limits = { low: null, high: null };

  it('is drawn whole where the days are known, dashed where only the looks are', () => {
    const known = curve([{ from: 7, to: 7, share: 0, ...limits }]);
    const between = curve([{ from: 0, to: 7, share: 0, ...limits }]);
    expect(known).not.toMatch(/d="M[^"]+L[^"]+" fill="none"[^>]*stroke-dasharray/);
    expect(between).toMatch(/d="M[^"]+L[^"]+" fill="none"[^>]*stroke-dasharray/);
  });
});
