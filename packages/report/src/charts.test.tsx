import type { ReactElement } from 'react';
import { describe, expect, it } from 'vitest';
import {
  balance,
  control,
  events,
  five,
  harmful,
  placedTrial,
  progress,
  severity,
  sheetTrial,
  styles,
  threeStyles,
  unreplicated,
} from '../gallery/trials';
import {
  BalanceChart,
  BedMap,
  describeBalance,
  describeBed,
  describeEffects,
  describePlotValues,
  describeProgress,
  EffectsChart,
  EvidenceMark,
  type OnPick,
  PlotValuesChart,
  ProgressChart,
  renderSvg,
} from './index';

const at = (width: number, onPick?: OnPick) => ({ width, styles, onPick });
const charts: Readonly<Record<string, (width: number, onPick?: OnPick) => ReactElement>> = {
  effects: (w, p) => (
    <EffectsChart outcome={severity} control={control} worthHavingPercent={30} {...at(w, p)} />
  ),
  progress: (w, p) => <ProgressChart progress={progress} events={events} {...at(w, p)} />,
  balance: (w, p) => <BalanceChart balance={balance} {...at(w, p)} />,
  bed: (w, p) => <BedMap trial={placedTrial} outcome={severity} {...at(w, p)} />,
  values: (w, p) => <PlotValuesChart outcome={severity} {...at(w, p)} />,
};
const buttons: Readonly<Record<string, number>> = {
  effects: 4,
  progress: 5,
  balance: 5,
  bed: 20,
  values: 5 + 19,
};

describe.each(Object.entries(charts))('%s', (name, draw) => {
  it.each([358, 900])('is one picture with a title and a description at %d', (width) => {
    const svg = renderSvg(draw(width));
    expect(svg).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" width="\d+"/);
    expect(svg).toContain('role="img"');
    expect(svg).not.toMatch(/tabindex|role="button"|var\(|NaN|undefined|Infinity/i);
    expect(svg).toMatch(/<title[^>]*>[^<]+<\/title><desc[^>]*>[^<]+<\/desc>/);
  });

  it('is a group of named buttons where things can be picked', () => {
    const svg = renderSvg(draw(358, () => undefined));
    expect(svg).toContain('role="group"');
    expect(svg.match(/role="button" tabindex="0" aria-label="[^"]+"/g)).toHaveLength(buttons[name]);
  });

  it('has no text below 13 pixels and no target lower than a thumb', () => {
    for (const width of [320, 358, 900]) {
      const svg = renderSvg(draw(width, () => undefined));
      const sizes = [...svg.matchAll(/font-size="([\d.]+)"/g)].map((m) => Number(m[1]));
      expect(Math.min(...sizes)).toBeGreaterThanOrEqual(13);
      const heights = [...svg.matchAll(/height="([\d.]+)" fill="transparent"/g)].map((m) =>
        Number(m[1]),
      );
      expect(heights.length).toBeGreaterThan(0);
      expect(Math.min(...heights)).toBeGreaterThanOrEqual(44);
    }
  });

  it('is drawn 320 wide on anything narrower', () => {
    expect(renderSvg(draw(120))).toContain('viewBox="0 0 320 ');
  });
});

describe('words for those who do not see the picture', () => {
  it('effects: each difference with its interval, and what is worth having', () => {
    const text = describeEffects(severity, control, 30);
    expect(text).toContain(
      'Differences from Untreated in percentage points with 95\u00a0% intervals.',
    );
    expect(text).toContain('Below zero is better.');
    // 30 % of the control's 48.2.
    expect(text).toContain('worth having is −14.5 or beyond');
    expect(text).toContain('Wide spacing: −17.8 (−29.4 to\u00a0−6.2).');
  });

  it('effects: the better direction of a good thing is up, and nothing compared is said', () => {
    expect(describeEffects(harmful, control, 30)).toContain('worth having is +96 or beyond');
    expect(describeEffects(unreplicated, control)).toMatch(/nothing was compared/);
  });

  it('progress: start, peak and end, the plot that stopped, the events', () => {
    const text = describeProgress(progress, events);
    expect(text).toContain('6 rounds');
    for (const name of five) expect(text).toContain(`${name}: `);
    expect(text).toContain('plot B2-4 (Skim milk 1:9), not scored after 26\u00a0May');
    expect(text).toContain('storm, 38 mm');
  });

  it('balance: the four fates of each treatment', () => {
    expect(describeBalance(balance)).toContain(
      'Wide spacing: 3.1 healthy, 0.4 diseased, 6.5 stripped, 0.9 lost.',
    );
  });

  it('bed: every plot with treatment and value; codes only before the reveal', () => {
    const text = describeBed(placedTrial, severity);
    expect(text).toContain('20 plots.');
    expect(text).toMatch(/plot B2-4, Skim milk 1:9, block\u00a02: lost\./);
    const blind = describeBed(placedTrial, undefined, true);
    for (const name of five) expect(blind).not.toContain(name);
    const svg = renderSvg(<BedMap trial={placedTrial} codesOnly {...at(358)} />);
    for (const name of five) expect(svg).not.toContain(name);
  });

  it('plot values: a single plot is called one', () => {
    expect(describePlotValues(unreplicated)).toContain('Copper hydroxide: 18, one plot.');
    const svg = renderSvg(
      <PlotValuesChart outcome={unreplicated} width={358} styles={threeStyles} />,
    );
    expect(svg).not.toContain('mean');
  });
});

describe('details', () => {
  it('a map without places says so', () => {
    expect(renderSvg(<BedMap trial={sheetTrial} {...at(358)} />)).toContain('Not to scale');
  });

  it('a plot is found by the code the judgement calls it', () => {
    const renamed = {
      ...placedTrial,
      plots: placedTrial.plots.map((p, i) => ({ ...p, id: `id${i}` })),
    };
    expect(describeBed(renamed, severity)).toBe(describeBed(placedTrial, severity));
  });

  it('a name with mark-up in it stays text', () => {
    const rude = { ...unreplicated, title: '<script>alert(1)</script> & co' };
    const svg = renderSvg(<PlotValuesChart outcome={rude} width={358} styles={threeStyles} />);
    expect(svg).not.toContain('<script');
    expect(svg).toContain('&lt;script&gt;');
  });

  it('an evidence mark says its word', () => {
    expect(renderSvg(<EvidenceMark grade="no answer" />)).toContain(
      'aria-label="Evidence: no answer"',
    );
  });
});
