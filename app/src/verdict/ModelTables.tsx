import { fixedNumber } from '@fairbed/report';
import type { Trial } from '@fairbed/trial';
import type { Counts, FixedEffect, Judgement, TimeToEvent } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, pSaid, pText } from './numbers';
import { Table, TreatmentRow } from './Table';

type MarkOf = (treatment: string) => ReactNode;

/** What a table of single leaves must be read with. */
type Scored = { readonly rounds: number; readonly stripped: boolean };

const scoredOf = ({ rounds, scores }: Trial): Scored => ({
  rounds: rounds.length,
  stripped: scores.some(
    ({ stripped, round }) => (stripped ?? 0) > 0 && round !== rounds.at(-1)?.id,
  ),
});

const share = (value: number): string => fixedNumber(100 * value, 1);

function CountsTable({
  counts,
  scored,
  markOf,
}: {
  readonly counts: Counts;
  readonly scored: Scored;
  readonly markOf: MarkOf;
}) {
  const { likelihoodRatio: ratio } = counts;
  const when = scored.rounds > 1 ? ' at the last round' : '';
  return (
    <>
      <Table
        caption={`Chance that a leaf on the plant${when} is diseased (plots and plants as random parts)`}
        head={['Treatment', '% of leaves', '95 % interval']}
      >
        {counts.treatments.map((row) => (
          <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
            <td>{share(row.probability)}</td>
            <td>
              {row.low === null || row.high === null
                ? noValue
                : `${share(row.low)} to ${share(row.high)}`}
            </td>
          </TreatmentRow>
        ))}
      </Table>
      {scored.stripped && (
        <p className="small" data-testid="stripped-not-here">
          Diseased leaves were stripped in this trial. Those stripped at earlier rounds are not in
          this table; the leaf balance counts them.
        </p>
      )}
      {ratio && (
        <p className="soft small">
          Treatments together: likelihood ratio {fixedNumber(ratio.statistic, 2)} on {ratio.df} df,{' '}
          {pSaid(ratio.p)}. This p is too sure with few plots; the verdict does not use it.
        </p>
      )}
    </>
  );
}

function TimeTable({ time, markOf }: { readonly time: TimeToEvent; readonly markOf: MarkOf }) {
  const days = (value: number | null): string => (value === null ? noValue : fixedNumber(value, 0));
  return (
    <>
      <Table
        caption="Days until half of them"
        head={['Treatment', 'Median, days', '95 % interval']}
      >
        {time.median.map((row) => (
          <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
            <td>{days(row.days)}</td>
            <td>
              {days(row.low)} to {row.high === null ? 'later' : days(row.high)}
            </td>
          </TreatmentRow>
        ))}
      </Table>
      <p className="soft small">
        Treatments together: log-rank {fixedNumber(time.logRank.statistic, 2)} on {time.logRank.df}{' '}
        df, {pSaid(time.logRank.p)}.
      </p>
    </>
  );
}

/** What the models of single leaves and of days say, beside the plots. */
export function ModelTables({
  judgement,
  trial,
  markOf,
}: {
  readonly judgement: Judgement;
  readonly trial: Trial;
  readonly markOf: MarkOf;
}) {
  const { counts, time } = judgement;
  return (
    <>
      {time && <TimeTable time={time} markOf={markOf} />}
      {counts && <CountsTable counts={counts} scored={scoredOf(trial)} markOf={markOf} />}
    </>
  );
}

function FixedTable({
  caption,
  fixed,
}: {
  readonly caption: string;
  readonly fixed: readonly FixedEffect[];
}) {
  return (
    <Table caption={caption} head={['Term', 'Estimate', 'Standard error', 'p']}>
      {fixed.map((row) => (
        <tr key={row.name}>
          <th scope="row" className="plain">
            {row.name}
          </th>
          <td>{fixedNumber(row.estimate, 4)}</td>
          <td>{row.se === null ? noValue : fixedNumber(row.se, 4)}</td>
          <td>{pText(row.p)}</td>
        </tr>
      ))}
    </Table>
  );
}

const spreads = (sd: Readonly<Record<string, number>>): string =>
  Object.entries(sd)
    .map(([name, value]) => `${name} ${fixedNumber(value, 4)}`)
    .join(', ');

/** The coefficients behind the models, for who wants to check them. */
export function ModelDetails({ judgement }: { readonly judgement: Judgement }) {
  const { counts, ordinal } = judgement;
  return (
    <>
      {counts && (
        <>
          <FixedTable caption="Counts: log-odds of disease" fixed={counts.fixed} />
          <p className="soft small">
            Log-likelihood {fixedNumber(counts.logLik, 4)}. Standard deviations:{' '}
            {spreads(counts.sd)}.
          </p>
        </>
      )}
      {ordinal && (
        <>
          <FixedTable caption="Grades: shift in log-odds of a higher grade" fixed={ordinal.fixed} />
          <p className="soft small">
            Log-likelihood {fixedNumber(ordinal.logLik, 4)}. Thresholds:{' '}
            {ordinal.thresholds.map((value) => fixedNumber(value, 3)).join(', ')}. Standard
            deviations: {spreads(ordinal.sd)}.
          </p>
        </>
      )}
    </>
  );
}
