import type { PlotName } from '@fairbed/trial';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { today } from '../plan/today';
import { answer, Ask, EntryForm } from './EntryForm';

/** Says that a plot is lost, with its day and why; or that it is not, after all. */
export function LostPlot(props: {
  readonly open: OpenBook;
  readonly plot: PlotName;
  readonly lost: { readonly why: string } | undefined;
}) {
  const { open, plot, lost } = props;
  const announce = useAnnounce();
  if (lost !== undefined) {
    const back = (): void => {
      void open.write('lost-plot', plot.id, null);
      announce(`Plot ${plot.code} stands.`);
    };
    return (
      <button type="button" className="button quiet" onClick={back}>
        It is not lost
      </button>
    );
  }
  return (
    <details>
      <summary>Plot {plot.code} is lost</summary>
      <EntryForm
        open={open}
        send={`Write down that ${plot.code} is lost`}
        said={`Plot ${plot.code} is lost.`}
        read={(answers) => {
          const day = answer(answers, 'day');
          const why = answer(answers, 'why');
          if (why === '') return 'Write down why it is lost: flooded, dug up, eaten …';
          const value = { why, ...(day === '' ? {} : { day }) };
          return [{ kind: 'lost-plot', thing: plot.id, value }];
        }}
      >
        <p className="soft small">
          It is left out of the rounds after that day, and named in the report. What was scored
          before stays.
        </p>
        <Ask name="day" type="date" label="Lost on" start={today()} />
        <Ask name="why" label="Why" />
      </EntryForm>
    </details>
  );
}
