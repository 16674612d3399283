import type { Trial } from '@fairbed/trial';
import { useEffect } from 'react';
import { trialHref } from '../route';
import { quickly } from '../work/ask';
import { judgeTrial, openTrial } from '../work/trials';
import { type Work, useWork } from '../work/useWork';
import type { Summary } from './card';
import { summaryOf } from './card';
import { demoIds } from './demos';
import { summarise } from './store';
import { CardFace, factsOf } from './TrialCard';

async function openDemos(): Promise<ReadonlyMap<string, Trial>> {
  const quiet = (): void => undefined;
  const opened = await Promise.all(
    demoIds.map(async (id) => [id, (await openTrial(id, quiet))?.trial] as const),
  );
  return new Map(opened.flatMap(([id, trial]) => (trial ? [[id, trial] as const] : [])));
}

/** Judges an invented trial in the background so that its card can say what it found. */
async function sayOf(id: string): Promise<void> {
  const judgement = await judgeTrial(id, quickly({}), () => undefined);
  await summarise(id, summaryOf(judgement, __FAIRBED_VERSION__));
}

const cardFacts = (trial: Trial): string =>
  factsOf({
    treatments: trial.treatments.length,
    plots: trial.plots.length,
    rounds: trial.rounds.length,
  });

function useMissingSummaries(
  work: Work<unknown>,
  summaries: ReadonlyMap<string, Summary> | undefined,
): void {
  const opened = work.state === 'done';
  const missing = demoIds
    .filter((id) => summaries?.get(id)?.version !== __FAIRBED_VERSION__)
    .join('\n');
  const known = summaries !== undefined;
  useEffect(() => {
    if (!opened || !known || missing === '') return;
    // A demo that can't be judged says why on its own page; the card stays without a sentence.
    void Promise.allSettled(missing.split('\n').map(sayOf));
  }, [opened, known, missing]);
}

/** The invented trials, always there to open. */
export function DemoCards({
  summaries,
}: {
  readonly summaries: ReadonlyMap<string, Summary> | undefined;
}) {
  const work = useWork('demos', openDemos);
  useMissingSummaries(work, summaries);
  if (work.state === 'failed') {
    return (
      <p className="sheet fault" role="alert">
        The examples could not be opened: {work.fault.message} Reload the page.
      </p>
    );
  }
  if (work.state !== 'done' || work.value.size === 0) return null;
  return (
    <section aria-labelledby="examples">
      <h2 id="examples">Examples to learn from</h2>
      <p className="soft">Made up, with the truth known, so that you can see what an answer is.</p>
      <ul className="cards">
        {[...work.value].map(([id, trial]) => (
          <CardFace
            key={id}
            href={trialHref(id)}
            title={trial.title}
            invented
            facts={cardFacts(trial)}
            summary={summaries?.get(id)}
            unread="Open it to read the answer."
          />
        ))}
      </ul>
    </section>
  );
}
