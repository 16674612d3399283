import { DaysChart, LooksChart, RankingChart, type TreatmentStyles } from '@fairbed/report';
import type { Judgement } from '@fairbed/verdict';
import { ChartSheet } from './ChartSheet';
import { useLit } from './lit';

/** What the chances are not; the figures themselves stand in the picture and in its table. */
const caveatOf = (how: Judgement['rankingHow']): string =>
  [
    'These chances lean on what was believed beforehand as well as on the records. They are no error rates, and the answer does not rest on them.',
    ...(how?.earlier === undefined ? [] : [how.earlier.says]),
  ].join(' ');

/** Pictures of what goes beyond a difference from the control: ranks, looks, days. */
export function MethodCharts({
  judgement,
  styles,
}: {
  readonly judgement: Judgement;
  readonly styles: TreatmentStyles;
}) {
  const { lit, pick } = useLit();
  const { control, ranking, rankingHow, looks, looksPlan, time } = judgement;
  const look = { styles, lit, onPick: pick };
  return (
    <>
      {time?.curves && time.curves.length > 0 && (
        <ChartSheet
          id="days"
          question="On which day did it happen?"
          draw={(width) => (
            <DaysChart {...look} width={width} curves={time.curves ?? []} event={time.event} />
          )}
        />
      )}
      {ranking && ranking.length > 0 && (
        <ChartSheet
          id="ranking"
          question="How likely is each to be best, or ahead?"
          under={caveatOf(rankingHow)}
          draw={(width) => (
            <RankingChart
              {...look}
              width={width}
              ranking={ranking}
              control={control}
              worthHavingPercent={judgement.verdict.worthHavingPercent}
            />
          )}
        />
      )}
      {looks && looks.length > 0 && (
        <ChartSheet
          id="looks"
          question="Was it enough to stop, week by week?"
          draw={(width) => <LooksChart width={width} looks={looks} spending={looksPlan} />}
        />
      )}
    </>
  );
}
