import { EvidenceMark } from '@fairbed/report';
import type { Judgement } from '@fairbed/verdict';

/** The answer: the sentence, how sure, and why. */
export function Answer({ verdict }: { readonly verdict: Judgement['verdict'] }) {
  return (
    <section className="answer" aria-label="The answer">
      <p className="sentence" data-testid="sentence">
        {verdict.sentence}
      </p>
      <p className="evidence">
        <EvidenceMark grade={verdict.grade} />
      </p>
      {verdict.reasons.length > 0 && (
        <ul className="reasons">
          {verdict.reasons.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** What the trial can't say stands as large as what it can. */
export function Cautions({ verdict }: { readonly verdict: Judgement['verdict'] }) {
  const { cautions, departures } = verdict;
  if (cautions.length === 0 && departures.length === 0) return null;
  return (
    <section className="cautions" aria-labelledby="cautions">
      <h2 id="cautions">What should you be careful of?</h2>
      <ul data-testid="cautions">
        {cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      {departures.length > 0 && (
        <>
          <h3>What did not go to plan?</h3>
          <ul>
            {departures.map((departure) => (
              <li key={departure}>{departure}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
