import { effort, type LayoutFacts } from '@fairbed/trial';
import { firstStop } from '@fairbed/verdict';
import { useMemo } from 'react';
import { counted } from '../verdict/numbers';
import { countText, leastText } from './figures';
import { PowerPanel } from './PowerPanel';
import type { Plan } from './usePlan';

type Good = Extract<LayoutFacts, { readonly ok: true }>;
type Figure = { readonly id: string; readonly label: string; readonly text: string };

const leastOf = ({ smallestP, practice }: Good): number | null =>
  smallestP === null || practice === undefined
    ? smallestP
    : Math.max(smallestP, practice.smallestP);

function figuresOf(plan: Plan, facts: Good): readonly Figure[] {
  const least = leastOf(facts);
  const { plantsPerPlot } = plan.values;
  const work = plantsPerPlot === undefined ? undefined : effort({ ...plan.request, plantsPerPlot });
  const practiceDf = facts.practice === undefined ? '' : ` and ${facts.practice.errorDf}`;
  return [
    { id: 'layouts', label: 'Possible layouts', text: countText(facts.layouts, facts.exactCount) },
    {
      id: 'least-p',
      label: 'Smallest p-value it can give',
      text: least === null ? 'not known' : leastText(least),
    },
    { id: 'error-df', label: 'Error degrees of freedom', text: `${facts.errorDf}${practiceDf}` },
    { id: 'plots', label: 'Plots', text: `${facts.plots}` },
    {
      id: 'plants',
      label: 'Plants a round',
      text: work === undefined ? '–' : counted(work.plants, '', '').trim(),
    },
    {
      id: 'minutes',
      label: 'Minutes a round',
      text: work === undefined ? '–' : `about ${work.minutesPerRound}`,
    },
  ];
}

const isOutOfReach = (facts: Good): boolean =>
  facts.notes.some(({ code }) => code === 'out-of-reach' || code === 'no-error-df');

/** The first round that can call a winner, for those who look before the last. */
function FirstStop({ plan }: { readonly plan: Plan }) {
  const { rounds, looks } = plan.values;
  const asked = JSON.stringify([plan.request, rounds?.count, looks]);
  const stop = useMemo(() => {
    if (rounds === undefined || rounds.count < 2) return undefined;
    const planned = looks === undefined ? {} : { looks };
    return firstStop({ request: plan.request, rounds: rounds.count, ...planned });
  }, [asked]);
  if (stop === undefined) return null;
  return (
    <p className="small" data-testid="first-stop">
      If you look at the verdict before the end: {firstLower(stop.says)}
    </p>
  );
}

const firstLower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** What the layout can show and what it costs, said at once and never hidden. */
export function FactsPanel({ plan }: { readonly plan: Plan }) {
  const { facts } = plan;
  const { plantsPerPlot } = plan.values;
  return (
    <section className="plan-facts" aria-labelledby="plan-facts-title" data-testid="facts">
      <h2 id="plan-facts-title">What can this layout show?</h2>
      {!facts.ok && (
        <p className="plan-caution">
          {facts.problem.what} {facts.problem.do}
        </p>
      )}
      {facts.ok && (
        <>
          {facts.notes.map(({ code, what, do: remedy }) => (
            <p key={code} className="plan-caution" data-strong={isOutOfReach(facts) || undefined}>
              {what} {remedy}
            </p>
          ))}
          <dl className="plan-figures-list">
            {figuresOf(plan, facts).map(({ id, label, text }) => (
              <div key={id}>
                <dt>{label}</dt>
                <dd data-testid={`fact-${id}`}>{text}</dd>
              </div>
            ))}
          </dl>
          {plantsPerPlot !== undefined && (
            <p className="soft small">{effort({ ...plan.request, plantsPerPlot }).assumed}</p>
          )}
          <FirstStop plan={plan} />
          <PowerPanel plan={plan} />
        </>
      )}
    </section>
  );
}

/** The same in two lines, at the foot of a phone's screen wherever on the page one is. */
export function FactsStrip({ plan }: { readonly plan: Plan }) {
  const { facts } = plan;
  if (!facts.ok) {
    return (
      <div className="plan-strip" role="group" aria-label="What this layout can show">
        <p>{facts.problem.what}</p>
      </div>
    );
  }
  const text = new Map(figuresOf(plan, facts).map((figure) => [figure.id, figure.text]));
  const strong = isOutOfReach(facts);
  return (
    <div
      className="plan-strip"
      role="group"
      aria-label="What this layout can show"
      data-strong={strong || undefined}
    >
      <p>
        <strong>
          p {strong ? 'never below' : 'at best'} {text.get('least-p')}
        </strong>
        {' · '}
        {text.get('layouts')} layouts
      </p>
      <p>
        {text.get('error-df')} error df · {text.get('plots')} plots · {text.get('plants')} plants ·{' '}
        {text.get('minutes')} min
      </p>
    </div>
  );
}
