import { readDay } from '@fairbed/field';
import { namesOf, type Trial } from '@fairbed/trial';
import type { OpenBook, Writing } from '../book/liveBook';
import { readNumber } from '../plan/figures';
import { today } from '../plan/today';
import { eventTitles } from './diaryWords';
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

export const badDay = 'Choose the day.';

function readEvent(answers: FormData): Sent {
  const day = readDay(answer(answers, 'day'));
  if (day === undefined) return badDay;
  const plots = ticked(answers, 'plots');
  const note = answer(answers, 'note');
  const value = {
    day,
    kind: answer(answers, 'kind'),
    ...(plots.length === 0 ? {} : { plots }),
    ...(note === '' ? {} : { note }),
  };
  return [{ kind: 'event', thing: freshThing(), value }];
}

/** Hail, a storm, a flood: what happened to the bed. */
export function EventForm({ open, trial }: FormProps) {
  const kinds = Object.entries(eventTitles).map(([id, title]) => ({ id, title }));
  return (
    <details className="bed-write">
      <summary>Write down what happened: storm, hail, pest …</summary>
      <EntryForm open={open} send="Write it down" said="Written down." read={readEvent}>
        <AskOne name="kind" label="What" options={kinds} />
        <Ask name="day" type="date" label="Day" start={today()} />
        <AskPlots
          name="plots"
          label="Which plots? None ticked: the whole trial."
          plots={namesOf(trial).plots}
        />
        <AskLong name="note" label="More about it" />
      </EntryForm>
    </details>
  );
}

const weight = { least: 0, most: 1_000_000 };

function readHarvest(answers: FormData, { plots }: Pick<Trial, 'plots'>): Sent {
  const day = readDay(answer(answers, 'day'));
  if (day === undefined) return badDay;
  const list: Writing[] = [];
  for (const { id, code = id } of plots) {
    const value: Record<string, number> = {};
    for (const [name, whole] of [
      ['grams', false],
      ['pieces', true],
    ] as const) {
      const typed = answer(answers, `${name} ${id}`);
      if (typed === '') continue;
      const read = readNumber(typed, { name: `Plot ${code}: ${name}`, ...weight, whole });
      if (!read.ok) return read.what;
      value[name] = read.value;
    }
    if (Object.keys(value).length > 0) {
      list.push({ kind: 'harvest', thing: freshThing(), value: { day, plot: id, ...value } });
    }
  }
  return list.length === 0 ? 'Write down the grams or pieces of at least one plot.' : list;
}

/** What was picked from each plot on a day. */
export function HarvestForm({ open, trial }: FormProps) {
  const standing = trial.plots.filter(({ lost }) => lost === undefined);
  return (
    <details className="bed-write">
      <summary>Write down a harvest</summary>
      <EntryForm
        open={open}
        send="Write the harvest down"
        said="The harvest is written down."
        read={(answers) => readHarvest(answers, trial)}
      >
        <Ask name="day" type="date" label="Day" start={today()} />
        <table className="bed-harvest">
          <caption>Grams, pieces or both; leave the plots blank that were not picked.</caption>
          <thead>
            <tr>
              <th scope="col">Plot</th>
              <th scope="col">Grams</th>
              <th scope="col">Pieces</th>
            </tr>
          </thead>
          <tbody>
            {standing.map(({ id, code = id }) => (
              <tr key={id}>
                <th scope="row" className="plain">
                  {code}
                </th>
                {(['grams', 'pieces'] as const).map((name) => (
                  <td key={name}>
                    <input
                      type="text"
                      inputMode="decimal"
                      autoComplete="off"
                      name={`${name} ${id}`}
                      aria-label={`Plot ${code}, ${name}`}
                    />
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </EntryForm>
    </details>
  );
}

function readNote(answers: FormData): Sent {
  const text = answer(answers, 'text');
  const day = readDay(answer(answers, 'day'));
  if (text === '') return 'Write the note first.';
  if (day === undefined) return badDay;
  const plot = answer(answers, 'plot');
  const value = { text, day, ...(plot === '' ? {} : { plot }) };
  return [{ kind: 'note', thing: freshThing(), value }];
}

/** A note on the trial or on one plot. */
export function NoteForm({ open, trial }: FormProps) {
  const plots = namesOf(trial).plots.map(({ id, code }) => ({ id, title: `Plot ${code}` }));
  return (
    <details className="bed-write">
      <summary>Write a note</summary>
      <EntryForm open={open} send="Keep the note" said="The note is kept." read={readNote}>
        <AskOne
          name="plot"
          label="About"
          options={[{ id: '', title: 'The whole trial' }, ...plots]}
        />
        <Ask name="day" type="date" label="Day" start={today()} />
        <AskLong name="text" label="Note" />
      </EntryForm>
    </details>
  );
}
