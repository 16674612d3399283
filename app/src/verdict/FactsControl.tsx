import { without } from '../writable';
import { Choice } from './Choice';
import type { Facts } from './facts';

const said = (fact: boolean | undefined): string => (fact === undefined ? '' : String(fact));

const read = (text: string): boolean | undefined => (text === '' ? undefined : text === 'true');

const withFact = (facts: Facts, key: keyof Facts, fact: boolean | undefined): Facts =>
  fact === undefined ? without(facts, key) : { ...facts, [key]: fact };

/** How the trial was laid out and scored: what no sheet says and the step of evidence rests on. */
export function FactsControl({
  facts,
  onFacts,
  visiting,
}: {
  readonly facts: Facts;
  readonly onFacts: (facts: Facts) => void;
  /** An example that says this for the visit only. */
  readonly visiting: boolean;
}) {
  return (
    <>
      <Choice
        id="places"
        label="How did each treatment get its place?"
        value={said(facts.randomised)}
        options={[
          { id: '', title: 'Not said' },
          { id: 'true', title: 'By lot' },
          { id: 'false', title: 'It was chosen' },
        ]}
        onChange={(id) => onFacts(withFact(facts, 'randomised', read(id)))}
      />
      <Choice
        id="scorer"
        label="Did the scorer know the treatments?"
        value={said(facts.blind)}
        options={[
          { id: '', title: 'Not said' },
          { id: 'true', title: 'No, scored blind' },
          { id: 'false', title: 'Yes' },
        ]}
        onChange={(id) => onFacts(withFact(facts, 'blind', read(id)))}
      />
      {visiting && (
        <p className="soft small for-visit">
          What you say of an example lasts until the page is closed.
        </p>
      )}
    </>
  );
}
