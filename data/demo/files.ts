import type { Trial } from '@fairbed/trial';
import { makeTrial, type Story } from './garden';
import { chard, leek } from './stories';

/** One entry of a list on each line: short enough to read, and a change shows as one line. */
function trialText(trial: Trial): string {
  const fields = Object.entries(trial).map(([key, value]) => {
    const text =
      Array.isArray(value) && value.length > 0
        ? `[\n${value.map((entry) => `    ${JSON.stringify(entry)}`).join(',\n')}\n  ]`
        : JSON.stringify(value);
    return `  ${JSON.stringify(key)}: ${text}`;
  });
  return `{\n${fields.join(',\n')}\n}\n`;
}

/** The same trial as the sheet a grower would have kept: one row for each plant and round. */
function sheetText(trial: Trial): string {
  const plots = new Map(trial.plots.map((plot) => [plot.id, plot]));
  const names = new Map(trial.treatments.map(({ id, name }) => [id, name]));
  const days = new Map(trial.rounds.map(({ id, day }) => [id, day]));
  const blocked = trial.blocks.length > 0;
  const head = ['date', ...(blocked ? ['block'] : []), 'plot', 'treatment', 'plant'];
  const rows = trial.scores.map((score) => {
    const plot = plots.get(score.plot);
    const lost = (score.lost ?? []).reduce((sum, { leaves }) => sum + leaves, 0);
    return [
      days.get(score.round),
      ...(blocked ? [plot?.block] : []),
      score.plot,
      names.get(plot?.treatment ?? ''),
      score.plant,
      score.standing,
      score.diseased,
      score.stripped,
      lost,
    ].join(',');
  });
  return `${[...head, 'leaves', 'diseased', 'stripped', 'lost'].join(',')}\n${rows.join('\n')}\n`;
}

const truthOf = ({ seed, treatments, spread, head }: Story): object => ({
  trial: head.id,
  seed,
  infectionPrevented: Object.fromEntries(
    treatments.map(({ treatment, prevents }) => [treatment.id, prevents]),
  ),
  diseasedLeavesStripped: Object.fromEntries(
    treatments.map(({ treatment, strips }) => [treatment.id, strips]),
  ),
  spread,
});

/** The files of the demo by name, the same on every machine. */
export function demoFiles(): ReadonlyMap<string, string> {
  const chardTrial = makeTrial(chard);
  const leekTrial = makeTrial(leek);
  return new Map([
    ['chard-leaf-spot.json', trialText(chardTrial)],
    ['chard-leaf-spot.csv', sheetText(chardTrial)],
    ['leek-rust-one-plot-each.json', trialText(leekTrial)],
    ['leek-rust-one-plot-each.csv', sheetText(leekTrial)],
    [
      'truth.json',
      `${JSON.stringify({ invented: true, trials: [truthOf(chard), truthOf(leek)] }, null, 2)}\n`,
    ],
  ]);
}
