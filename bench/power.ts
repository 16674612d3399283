import { type PowerQuestion, powerStudy, unevennessOf, usualExpected } from '@fairbed/verdict';
import { median, type Row } from './timing';

const four: PowerQuestion = {
  request: {
    kind: 'randomised-blocks',
    treatments: ['A', 'B', 'C', 'D'],
    control: 'A',
    blocks: 4,
  },
  plantsPerPlot: 5,
  rounds: 1,
  everyDays: 7,
  expected: usualExpected,
  unevenness: unevennessOf('usual', 'leaves'),
  differencePercent: 50,
  seed: 1,
};

/** Processor time of so many trials, and of the first word of them, milliseconds. */
function timed(question: PowerQuestion, trials: number): number {
  const begun = powerStudy(question);
  if (!begun.ok) throw new Error(begun.problem.what);
  const start = process.cpuUsage();
  begun.study.run(trials);
  const { user, system } = process.cpuUsage(start);
  if (begun.study.figures()?.simulations !== trials) throw new Error('trials are missing');
  return (user + system) / 1000;
}

/** Several runs after one to warm up. */
const middle = (question: PowerQuestion, trials: number): number => {
  timed(question, 50);
  return median(Array.from({ length: 3 }, () => timed(question, trials)));
};

const row = (name: string, question: PowerQuestion, trials: number, mostMs?: number): Row => ({
  name,
  oursMs: middle(question, trials),
  peerMs: null,
  ratio: null,
  ...(mostMs === undefined ? {} : { mostMs }),
});

/** Simulated trials, each judged by the decision of a real one. */
export function benchPower(): readonly Row[] {
  const { request } = four;
  return [
    row('1,000 trials of 4 treatments in 4 blocks, 5 plants a plot', four, 1000, 5000),
    row('the first 10 of them', four, 10, 300),
    row('1,000 of the same in which nothing works', { ...four, differencePercent: 0 }, 1000),
    row('1,000 in 8 blocks', { ...four, request: { ...request, blocks: 8 } }, 1000),
    row('1,000 in 4 blocks, scored at 5 rounds', { ...four, rounds: 5 }, 1000),
  ];
}
