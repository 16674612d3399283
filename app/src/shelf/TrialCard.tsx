import { EvidenceMark } from '@fairbed/report';
import type { ReactNode } from 'react';
import { trialHref } from '../route';
import { counted } from '../verdict/numbers';
import type { Card, Summary } from './card';

export type CardFaceProps = {
  readonly href: string;
  readonly title: string;
  readonly invented: boolean;
  readonly facts: string;
  readonly summary: Summary | undefined;
  /** Stands where the sentence will, while there is none. */
  readonly unread: string;
  readonly children?: ReactNode;
};

/** A card like an index card: title, the sentence, how sure. */
export function CardFace(props: CardFaceProps) {
  const { href, title, invented, facts, summary, unread, children } = props;
  return (
    <li className="card">
      <h2 className="card-title">
        <a href={href}>{title}</a>
      </h2>
      {invented && <span className="stamp">Invented</span>}
      {summary ? (
        <>
          <p className="card-sentence">{summary.sentence}</p>
          <p className="card-mark">
            <EvidenceMark grade={summary.grade} />
          </p>
        </>
      ) : (
        <p className="soft">{unread}</p>
      )}
      <div className="card-foot">
        <p className="soft small">{facts}</p>
        {children}
      </div>
    </li>
  );
}

export const factsOf = (card: Pick<Card, 'treatments' | 'plots' | 'rounds'>): string =>
  [
    counted(card.treatments, 'treatment'),
    counted(card.plots, 'plot'),
    counted(card.rounds, 'round'),
  ].join(', ');

/** A trial of the grower's own. */
export function TrialCard({
  card,
  summary,
  onRemove,
}: {
  readonly card: Card;
  readonly summary: Summary | undefined;
  readonly onRemove: () => void;
}) {
  return (
    <CardFace
      href={trialHref(card.id)}
      title={card.title}
      invented={card.invented}
      facts={factsOf(card)}
      summary={summary}
      unread="Not judged yet. Open it to read the answer."
    >
      <button
        type="button"
        className="button quiet"
        aria-label={`Remove ${card.title}`}
        onClick={onRemove}
      >
        Remove
      </button>
    </CardFace>
  );
}
