import { fixedNumber } from '@fairbed/report';
import type { Trial } from '@fairbed/trial';
import type { Counts, FixedEffect, Judgement, TimeToEvent } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { GradesTable } from './GradesTable';
import { noValue, pSaid, pText } from './numbers';
import { OverTimeTable } from './OverTimeTable';
import { RatioTable } from './RatioTable';
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
  reference,
  markOf,
}: {
  readonly counts: Counts;
  readonly scored: Scored;
  readonly reference: string;
  readonly markOf: MarkOf;
}) {
  const { likelihoodRatio: ratio, versusControl, penalty } = counts;
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
      {versusControl && versusControl.length > 0 && (
        <RatioTable
          caption={`Odds of a diseased leaf, times those of ${reference}`}
          of="odds ratio"
          rows={versusControl}
          markOf={markOf}
        />
      )}
      {penalty && (
        <p className="small">
          In {penalty.treatments.join(', ')} every leaf was alike, so {penalty.weight} of a diseased
          leaf and as much of a healthy one were added to each treatment: without, no ratio could be
          given.
        </p>
      )}
      {ratio && <CountsTested {...{ counts, ratio }} />}
    </>
  );
}

function CountsTested({
  counts: { overdispersion },
  ratio,
}: {
  readonly counts: Counts;
  readonly ratio: NonNullable<Counts['likelihoodRatio']>;
}) {
  const corrected = ratio.pBootstrap ?? ratio.pCorrected;
  return (
    <p className="soft small">
      Treatments together: likelihood ratio {fixedNumber(ratio.statistic, 2)} on {ratio.df} df,{' '}
      {pSaid(ratio.p)}. This p is too sure with few plots; the verdict does not use it.
      {typeof corrected === 'number' && ` Corrected for few plots: ${pSaid(corrected)}.`}
      {overdispersion &&
        ` Spread of the rows over what the model expects: ${fixedNumber(overdispersion.ratio, 2)}.`}
    </p>
  );
}

function TimeTable({
  time,
  reference,
  markOf,
}: {
  readonly time: TimeToEvent;
  readonly reference: string;
  readonly markOf: MarkOf;
}) {
  const { withinBlocks, exact, versusControl } = time;
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
      {versusControl && versusControl.length > 0 && (
        <RatioTable
          caption={`Chance of it from look to look, times that of ${reference}`}
          of="hazard ratio"
          rows={versusControl}
          markOf={markOf}
        />
      )}
      <p className="soft small">
        Treatments together: log-rank {fixedNumber(time.logRank.statistic, 2)} on {time.logRank.df}{' '}
        df, {pSaid(time.logRank.p)}, as if plants of one plot stood alone.
        {withinBlocks &&
          ` Within blocks ${fixedNumber(withinBlocks.statistic, 2)} on ${withinBlocks.df} df, ${pSaid(withinBlocks.p)}.`}
        {exact && ` By plots, over the layouts that could have been drawn: ${pSaid(exact.p)}.`}
      </p>
    </>
  );
}

/** What the models of single leaves and of days say, beside the plots. */
export function ModelTables({
  judgement,
  trial,
  reference,
  markOf,
}: {
  readonly judgement: Judgement;
  readonly trial: Trial;
  /** What the others are compared with: `the control`, or the name of another treatment. */
  readonly reference: string;
  readonly markOf: MarkOf;
}) {
  const { counts, ordinal, time, overTime } = judgement;
  return (
    <>
      {time && <TimeTable {...{ time, reference, markOf }} />}
      {counts && <CountsTable {...{ counts, reference, markOf }} scored={scoredOf(trial)} />}
      {ordinal && <GradesTable {...{ ordinal, reference, markOf }} />}
      {overTime && <OverTimeTable {...{ overTime, reference, markOf }} />}
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
