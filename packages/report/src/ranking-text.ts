import { fixedNumber } from './format';

/** Chances of one treatment, 0 to 1; null against itself and where they can't be had. */
export type RankedTreatment = {
  readonly name: string;
  readonly best: number;
  readonly beatsControl: number | null;
  readonly beatsWorthwhile: number | null;
};

/** A chance in percent; never 0 or 100, which a model of few plots can't promise. */
export function chanceText(chance: number): string {
  const percent = 100 * chance;
  if (percent < 1) return 'under 1\u00a0%';
  if (percent > 99) return 'over 99\u00a0%';
  return `${fixedNumber(percent, 0)}\u00a0%`;
}

export const rankingTitle = (): string => 'Chances of being best, and of being ahead';

/** `best 62 %; ahead of Untreated 98 %`: the figure of a row. */
export function rankFigure(row: RankedTreatment, control: string | null): string {
  const best = `best ${chanceText(row.best)}`;
  if (row.beatsControl === null || row.name === control) return best;
  return `${best}, ahead ${chanceText(row.beatsControl)}`;
}

/** What the two bars stand for. */
export const rankingKey = (control: string | null, worthHavingPercent: number | undefined) => ({
  mark: 'chance of being the best',
  ahead: `chance of being ahead of ${control ?? 'the control'} at all`,
  worth:
    worthHavingPercent === undefined || worthHavingPercent <= 0
      ? 'chance of being ahead by what is worth having'
      : `chance of being ahead by ${fixedNumber(worthHavingPercent, 0)}\u00a0% or more`,
});

/** Text alternative of the ranking: each treatment's chances, in the order drawn. */
export function describeRanking(
  ranking: readonly RankedTreatment[],
  control: string | null,
  worthHavingPercent?: number,
): string {
  const { worth } = rankingKey(control, worthHavingPercent);
  const rows = ranking.map((row) => {
    const parts = [`best ${chanceText(row.best)}`];
    if (row.name !== control && row.beatsControl !== null) {
      parts.push(`ahead of ${control ?? 'the control'} ${chanceText(row.beatsControl)}`);
    }
    if (row.name !== control && row.beatsWorthwhile !== null) {
      parts.push(`${worth.replace('chance of being ', '')} ${chanceText(row.beatsWorthwhile)}`);
    }
    return `${row.name}: ${parts.join(', ')}.`;
  });
  return `Chances that the model gives each treatment. ${rows.join(' ')}`;
}
