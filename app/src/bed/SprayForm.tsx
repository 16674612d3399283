import { readDay } from '@fairbed/field';
import { namesOf, openedForSpraying, type Trial } from '@fairbed/trial';
import { useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { dayAndTime } from '../book/photos';
import { useWho } from '../book/useBook';
import { readNumber } from '../plan/figures';
import { today } from '../plan/today';
import { badDay } from './DiaryForms';
import {
  answer,
  Ask,
  AskLong,
  AskOne,
  AskPlots,
  EntryForm,
  freshThing,
  type Sent,
  ticked,
} from './EntryForm';

type FormProps = { readonly open: OpenBook; readonly trial: Trial };
type Treatment = Trial['treatments'][number];

/** An answer in figures that may be left out: the number, undefined, or what is wrong. */
function figure(answers: FormData, name: string, most: number): number | undefined | string {
  const typed = answer(answers, name);
  if (typed === '') return undefined;
  const title = name === 'hours' ? 'The re-entry interval in hours' : 'The rate';
  const read = readNumber(typed, { name: title, least: 0, most });
  return read.ok ? read.value : read.what;
}

function readSpray(answers: FormData, { plots }: Trial): Sent {
  const day = readDay(answer(answers, 'day'));
  const treatment = answer(answers, 'treatment');
  const sprayed = ticked(answers, 'plots');
  const hours = figure(answers, 'hours', 10_000);
  const amount = figure(answers, 'amount', 1e9);
  if (day === undefined) return badDay;
  // It would count for nothing until then: no interval would run.
  if (day > today()) return 'That day is still to come. Write a spray down when it is done.';
  if (sprayed.length === 0) return 'Tick the plots that were sprayed.';
  if (typeof hours === 'string') return hours;
  if (typeof amount === 'string') return amount;
  const own = plots.filter((plot) => plot.treatment === treatment).map(({ id }) => id);
  const usual = own.length === sprayed.length && own.every((id) => sprayed.includes(id));
  const words = (name: string): string | undefined => answer(answers, name) || undefined;
  const value = {
    day,
    time: words('time'),
    treatment,
    plots: usual ? undefined : sprayed,
    activeIngredient: words('ingredient'),
    rate: amount === undefined ? undefined : { amount, unit: answer(answers, 'unit') },
    reentryHours: hours,
    by: words('by'),
    note: words('note'),
  };
  return [{ kind: 'spray', thing: freshThing(), value }];
}

const isSprayed = ({ kind }: Treatment): boolean =>
  kind === 'product' || kind === 'adjuvant-only' || kind === 'water-only' || kind === 'unstated';

function SprayForm({ open, trial }: FormProps) {
  const by = useWho();
  const treatments = trial.treatments.filter(isSprayed);
  const [chosen, setChosen] = useState(treatments[0]?.id);
  const treatment = treatments.find(({ id }) => id === chosen);
  const { day, time } = dayAndTime(new Date());
  if (treatment === undefined) {
    return <p>The plan has no treatment that is sprayed.</p>;
  }
  const own = trial.plots.filter((plot) => plot.treatment === treatment.id);
  return (
    <EntryForm
      open={open}
      send="Write the spray down"
      said="The spray is written down."
      read={(answers) => readSpray(answers, trial)}
      onSent={() => setChosen(treatments[0]?.id)}
    >
      <AskOne
        name="treatment"
        label="Treatment"
        start={treatment.id}
        options={treatments.map(({ id, name }) => ({ id, title: name }))}
        onChange={setChosen}
      />
      <div key={treatment.id} className="bed-form">
        <AskPlots
          name="plots"
          label={`Plots; those of ${treatment.name} are ticked`}
          plots={namesOf(trial).plots}
          checked={new Set(own.map(({ id }) => id))}
        />
        <div className="bed-row">
          <Ask name="day" type="date" label="Day" start={day} />
          <Ask name="time" type="time" label="Time it ended" start={time} />
        </div>
        <Ask
          name="ingredient"
          label="Active ingredient"
          start={treatment.activeIngredient ?? ''}
          hint="What is in it, not its brand."
        />
        <div className="bed-row">
          <Ask
            name="amount"
            label="Rate"
            figures
            start={treatment.rate === undefined ? '' : String(treatment.rate.amount)}
          />
          <Ask name="unit" label="Unit of the rate" start={treatment.rate?.unit ?? ''} />
        </div>
        <Ask
          name="hours"
          label="Keep out for, hours"
          figures
          start={treatment.reentryHours === undefined ? '' : String(treatment.reentryHours)}
          hint="The re-entry interval of the label."
        />
      </div>
      <Ask name="by" label="Sprayed by" start={by} />
      <AskLong name="note" label="Note" />
    </EntryForm>
  );
}

/** Whoever sprays has to know the treatments, whoever scores must not: a step between them. */
function Gate({ open, onPass }: { readonly open: OpenBook; readonly onPass: () => void }) {
  const announce = useAnnounce();
  const pass = (): void => {
    const text = 'The page for spraying was opened: it shows which plot has which treatment.';
    const thing = `${openedForSpraying}${freshThing()}`;
    void open.writeForGood([{ kind: 'note', thing, value: { text, day: today() } }]);
    announce('The page for spraying is open. That is written down.');
    onPass();
  };
  return (
    <div className="bed-form">
      <p className="bed-caution">
        The next step shows which plot gets which treatment. Who scores this trial must not see it.
        That it was opened is written down, with your name and the day.
      </p>
      <div className="buttons">
        <button type="button" className="button" onClick={pass}>
          I spray, I don’t score
        </button>
      </div>
    </div>
  );
}

/** The form to write a spray down; before the reveal behind a step, for it names the treatments. */
export function SprayGate({ open, trial }: FormProps) {
  const [passed, setPassed] = useState(false);
  const names = namesOf(trial);
  const leave = (isOpen: boolean): void => {
    if (!isOpen) setPassed(false);
  };
  return (
    <details className="bed-write" onToggle={(event) => leave(event.currentTarget.open)}>
      <summary>Write down a spray</summary>
      {names.revealed || passed ? (
        <SprayForm {...{ open, trial }} />
      ) : (
        <Gate open={open} onPass={() => setPassed(true)} />
      )}
    </details>
  );
}
