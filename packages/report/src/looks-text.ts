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

/** How the chance of a false call is shared out over all looks. */
export type Spending = {
  /** Over all looks together. */
  readonly alpha: number;
  /** What later looks may still spend; all that the last look may not have, where left out. */
  readonly alphaLeft?: number | undefined;
  /** Looks still to come; with none there is nothing to leave. */
  readonly toCome?: number | undefined;
};

/** What may be spent of the chance of a false call by the last look, and what is left for later ones. */
export function leftToSpend(looks: readonly Look[], spending: Spending): string {
  const { alpha, toCome } = spending;
  const spent = looks.at(-1)?.alphaSpent ?? 0;
  const soFar = `May be spent so far: ${chanceFigure(spent)} of ${chanceFigure(alpha)}.`;
  if (toCome === 0) return soFar;
  const left = spending.alphaLeft ?? alpha - spent;
  return `${soFar} Left for later looks: ${chanceFigure(Math.max(0, left))}.`;
}

/** Text alternative of the looks: every figure that is drawn, in the order of the looks. */
export function describeLooks(looks: readonly Look[], spending: Spending): string {
  const rows = looks.map((look, i) => {
    const stop = look.stop ? '; enough to stop' : '';
    return `${lookName(look, i)}: ${lookFigure(look)}${stop}, may be spent ${chanceFigure(look.alphaSpent)}.`;
  });
  return `${rows.join(' ')} ${leftToSpend(looks, spending)}`;
}
