import type { View } from '../route';
import type { OutcomeChoice } from '../work/desk';
import { without } from '../writable';
import { Choice } from './Choice';
import type { Facts } from './facts';
import { FactsControl } from './FactsControl';
import { WorthControl } from './WorthControl';

export type ControlsProps = {
  readonly outcomes: readonly OutcomeChoice[];
  readonly treatments: readonly string[];
  readonly shown: {
    readonly outcome: string;
    readonly control: string | null;
    readonly worth: number;
  };
  readonly facts: Facts;
  readonly visiting: boolean;
  /** Absent where the trial's own ledger says how it was laid out and scored. */
  readonly onFacts: ((facts: Facts) => void) | undefined;
  readonly view: View;
  readonly onView: (view: View) => void;
};

/** What stood before the treatments began; it can be allowed for, and is no answer by itself. */
const isBaseline = (id: string): boolean => id.endsWith('-first') || id === 'baseline-value';

/** What is measured, against what, and how much would be worth having. Each redoes the answer. */
export function Controls(props: ControlsProps) {
  const { outcomes, treatments, shown, view, onView } = props;
  const set = (key: 'outcome' | 'baseline' | 'control', value: string): void =>
    onView(value === '' ? without(view, key) : { ...view, [key]: value });
  const baselines = outcomes.filter(({ id }) => isBaseline(id));
  const outcomeOptions = outcomes.filter(({ id }) => !isBaseline(id));
  const controlOptions = treatments.map((name) => ({ id: name, title: name }));
  return (
    <section className="controls" aria-label="What the answer is about">
      <Choice
        id="outcome"
        label="Judged by"
        value={shown.outcome}
        options={outcomeOptions}
        onChange={(id) => set('outcome', id)}
      />
      <Choice
        id="control"
        label="Compared with"
        value={shown.control ?? ''}
        options={
          shown.control === null
            ? [{ id: '', title: 'No control named' }, ...controlOptions]
            : controlOptions
        }
        onChange={(id) => set('control', id)}
      />
      {baselines.length > 0 && (
        <Choice
          id="baseline"
          label="Allowing for the start"
          value={view.baseline ?? ''}
          options={[{ id: '', title: 'No' }, ...baselines]}
          onChange={(id) => set('baseline', id)}
        />
      )}
      <WorthControl
        worth={shown.worth}
        control={shown.control}
        onWorth={(worth) => onView({ ...view, worth })}
      />
      {props.onFacts && (
        <FactsControl facts={props.facts} onFacts={props.onFacts} visiting={props.visiting} />
      )}
    </section>
  );
}
