import { readFileSync } from 'node:fs';
import { type OutcomeId, plotValues, readTrialText, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { demoFiles } from './files';

const committed = (name: string): string =>
  readFileSync(new URL(name, import.meta.url), 'utf8').replaceAll('\r\n', '\n');

const trialOf = (name: string): Trial => {
  const read = readTrialText(committed(name));
  if (!read.ok) throw new Error(read.problems.map((p) => p.what).join(' '));
  expect(read.notes).toEqual([]);
  return read.trial;
};

describe('the committed demo', () => {
  const files = demoFiles();
  it.each([...files.keys()])('%s is what the script makes', (name) =>
    expect(committed(name)).toBe(files.get(name)),
  );

  it.each([...files.keys()].filter((name) => name.endsWith('.json') && name !== 'truth.json'))(
    '%s is a trial that the door lets in, marked as invented',
    (name) => {
      const trial = trialOf(name);
      expect(trial.invented).toBe(true);
      expect(trial.title).toContain('invented');
    },
  );
});

describe('the chard trial', () => {
  const trial = trialOf('chard-leaf-spot.json');

  it('has five treatments in four blocks of six plants, scored in six rounds', () => {
    expect(trial.treatments).toHaveLength(5);
    expect(trial.blocks).toHaveLength(4);
    expect(trial.plots).toHaveLength(20);
    for (const { id } of trial.blocks) {
      const inBlock = trial.plots.filter(({ block }) => block === id);
      expect(new Set(inBlock.map(({ treatment }) => treatment)).size).toBe(5);
    }
    expect(trial.rounds).toHaveLength(6);
  });

  it('has one lost plot, whose scores end when it was lost, and one storm with torn leaves', () => {
    const lost = trial.plots.filter((plot) => plot.lost !== undefined);
    expect(lost).toHaveLength(1);
    const after = trial.scores.filter(({ plot }) => plot === lost[0]?.id);
    expect(new Set(after.map(({ round }) => round))).toEqual(new Set(['r1', 'r2', 'r3', 'r4']));
    expect(trial.scores).toHaveLength(20 * 6 * 6 - 2 * 6);
    const torn = trial.scores.filter(({ lost: l }) => l?.some(({ why }) => why === 'storm'));
    expect(new Set(torn.map(({ round }) => round))).toEqual(new Set(['r4']));
  });

  it('keeps every account: standing = before + new - stripped - lost, never below zero new', () => {
    const last = new Map<string, number>();
    for (const score of trial.scores) {
      const key = `${score.plot}/${score.plant}`;
      const before = last.get(key);
      const lost = (score.lost ?? []).reduce((sum, { leaves }) => sum + leaves, 0);
      if (before !== undefined) {
        expect(score.standing! - before + lost).toBeGreaterThanOrEqual(0);
        expect(score.standing! - before + lost).toBeLessThanOrEqual(3);
      }
      expect(score.diseased!).toBeLessThanOrEqual(score.standing!);
      expect(score.stripped!).toBeLessThanOrEqual(score.diseased!);
      last.set(key, score.standing! - score.stripped!);
    }
  });

  // What the trial was made up for: stripping prevents nothing (its truth is 0), yet by incidence
  // its plots end cleaner than any.
  it('has plots stripped bare that look cured and are not', () => {
    const truth = JSON.parse(committed('truth.json')).trials[0].infectionPrevented;
    const mean = (id: OutcomeId, treatment: string): number => {
      const { values } = plotValues(trial, id);
      const own = trial.plots.filter((plot) => plot.treatment === treatment);
      const known = own.flatMap((plot) => values.get(plot.id) ?? []);
      return known.reduce((sum, n) => sum + n, 0) / known.length;
    };
    expect([truth['strip-hard'], truth.untreated, truth.bacillus]).toEqual([0, 0, 0.65]);
    expect(mean('incidence-last', 'strip-hard')).toBeLessThan(2);
    expect(mean('incidence-last', 'strip-hard')).toBeLessThan(mean('incidence-last', 'bacillus'));
    expect(mean('incidence-last', 'untreated')).toBeGreaterThan(15);
    const so = (treatment: string) => mean('diseased-cumulative', treatment);
    expect(so('strip-hard')).toBeGreaterThan(0.8 * so('untreated'));
    expect(so('bacillus')).toBeLessThan(0.5 * so('untreated'));
  });

  it('no two plots share ground', () => {
    for (const a of trial.plots) {
      for (const b of trial.plots) {
        if (a.id >= b.id || a.place?.bed !== b.place?.bed) continue;
        expect(Math.abs(a.place!.x - b.place!.x)).toBeGreaterThanOrEqual(a.place!.width);
      }
      const bed = trial.beds.find(({ id }) => id === a.place?.bed)!;
      expect(a.place!.x + a.place!.width).toBeLessThanOrEqual(bed.width);
    }
  });
});

describe('the sheets', () => {
  it.each(['chard-leaf-spot', 'leek-rust-one-plot-each'])('%s has a row for each score', (name) => {
    const trial = trialOf(`${name}.json`);
    const rows = committed(`${name}.csv`).trimEnd().split('\n');
    expect(rows).toHaveLength(trial.scores.length + 1);
    expect(rows[0]?.endsWith('plot,treatment,plant,leaves,diseased,stripped,lost')).toBe(true);
  });
});

it('the leeks have one plot for each treatment', () => {
  const trial = trialOf('leek-rust-one-plot-each.json');
  expect(trial.design.kind).toBe('unreplicated');
  expect(new Set(trial.plots.map(({ treatment }) => treatment)).size).toBe(trial.plots.length);
});
