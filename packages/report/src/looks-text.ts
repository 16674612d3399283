import { chanceFigure, fixedNumber, shortDate } from './format';

/** One look at a trial: its statistic beside the bound it had to pass. */
export type Look = {
  readonly round?: string;
  readonly date: string | null;
  readonly statistic: number;
  /** Null where no statistic could have been enough. */
  readonly bound: number | null;
  /** Of the chance of a false call, what was spent up to and including this look. */
  readonly alphaSpent: number;
  readonly p: number | null;
  readonly stop: boolean;
};

export const looksTitle = (): string => 'What was seen at each look, and what it had to pass';

/** `look 3, 12 May`. */
export const lookName = ({ date }: Look, place: number): string =>
  `look ${place + 1}${date === null ? '' : `, ${shortDate(date)}`}`;

/** What a look said: `2.31 of 3.42 needed`. */
export function lookFigure({ statistic, bound }: Look): string {
  const seen = fixedNumber(statistic, 2);
  return bound === null
    ? `${seen}; nothing could be enough yet`
    : `${seen} of ${fixedNumber(bound, 2)} needed`;
}

/** What is left of the chance of a false call after the last look. */
export function leftToSpend(looks: readonly Look[], alpha: number): string {
  const spent = looks.at(-1)?.alphaSpent ?? 0;
  const left = Math.max(0, alpha - spent);
  return `Spent so far: ${chanceFigure(spent)} of ${chanceFigure(alpha)}. Left to spend: ${chanceFigure(left)}.`;
}

/** Text alternative of the looks: every figure that is drawn, in the order of the looks. */
export function describeLooks(looks: readonly Look[], alpha: number): string {
  const rows = looks.map((look, i) => {
    const stop = look.stop ? '; enough to stop' : '';
    return `${lookName(look, i)}: ${lookFigure(look)}${stop}, spent ${chanceFigure(look.alphaSpent)}.`;
  });
  return `${rows.join(' ')} ${leftToSpend(looks, alpha)}`;
}
