import { useEffect, useRef, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { keepMapping } from '../shelf/store';
import { WorkNote } from '../WorkNote';
import { stopReading, takeTrial, tryAnswers } from '../work/sheets';
import type { SheetView, Tried } from '../work/sheetView';
import { type Work, useWork } from '../work/useWork';
import { type Answers, firstAnswers, type OpenProblem, withMapping } from './answers';
import { ChoiceQuestion } from './ChoiceQuestion';
import { ChooseFile } from './ChooseFile';
import { keepAsTrial, titleOf } from './keepAsTrial';
import { Preview } from './Preview';
import { type Question, type Questions, questionsOf } from './questions';
import { choose } from './roles';
import { RowsRead } from './RowsRead';
import { WrittenQuestion } from './WrittenQuestion';

export type SheetRoomProps = {
  readonly view: SheetView;
  /** Answers kept from the last sheet with these headings. */
  readonly kept: Answers | undefined;
  readonly onSheet: (name: string) => void;
  readonly onStopped: () => void;
};

/** The last result stays on show while the next is worked out. */
function useLast<T>(work: Work<T>): T | undefined {
  const [last, setLast] = useState<T>();
  useEffect(() => {
    if (work.state === 'done') setLast(work.value);
  }, [work]);
  return work.state === 'done' ? work.value : last;
}

/** Questions asked so far, so that an answered one stays in its place. */
function useAskedBefore(tried: Tried | undefined): readonly OpenProblem[] {
  const [before, setBefore] = useState<readonly OpenProblem[]>([]);
  useEffect(() => {
    const now = tried?.asking.questions ?? [];
    const keyOf = (p: OpenProblem): string => `${p.code} ${p.column ?? ''} ${p.row ?? ''}`;
    setBefore((was) => {
      const known = new Set(was.map(keyOf));
      const fresh = now.filter((problem) => !known.has(keyOf(problem)));
      return fresh.length > 0 ? [...was, ...fresh] : was;
    });
  }, [tried]);
  return before;
}

function Remembered({ onAfresh }: { readonly onAfresh: () => void }) {
  return (
    <div className="undo">
      <span>Read as you read the last sheet with these headings.</span>
      <button type="button" className="button quiet" onClick={onAfresh}>
        Start afresh
      </button>
    </div>
  );
}

function SheetChoice({ view, onSheet }: Pick<SheetRoomProps, 'view' | 'onSheet'>) {
  if (!view.sheets || view.sheets.length < 2) return null;
  return (
    <div className="field">
      <label htmlFor="which-sheet">Sheet of the workbook</label>
      <select id="which-sheet" value={view.sheet} onChange={(event) => onSheet(event.target.value)}>
        {view.sheets.map((name) => (
          <option key={name}>{name}</option>
        ))}
      </select>
    </div>
  );
}

function OneQuestion({
  question,
  onAnswers,
}: {
  readonly question: Question;
  readonly onAnswers: (answers: Answers) => void;
}) {
  const shared = {
    question: question.question,
    ...(question.why === undefined ? {} : { why: question.why }),
    answer: question.answer,
    onAnswer: (answer: string) => onAnswers(question.withAnswer(answer)),
  };
  return question.write === undefined ? (
    <ChoiceQuestion {...shared} choices={question.choices} />
  ) : (
    <WrittenQuestion
      {...shared}
      id={question.id}
      write={question.write}
      optional={question.optional ?? false}
    />
  );
}

function Asked({
  questions,
  onAnswers,
}: {
  readonly questions: Questions;
  readonly onAnswers: (answers: Answers) => void;
}) {
  const { asked, inColumns } = questions;
  if (asked.length === 0 && inColumns.length === 0) return null;
  return (
    <section aria-labelledby="questions" className="part">
      <h2 id="questions">What can the sheet not say by itself?</h2>
      {inColumns.length > 0 && (
        <ul className="in-columns">
          {inColumns.map((problem, i) => (
            <li key={i}>
              {problem.column !== undefined && <strong>{problem.column}: </strong>}
              {problem.what} {problem.do}
            </li>
          ))}
        </ul>
      )}
      <div className="questions">
        {asked.map((question) => (
          <OneQuestion key={question.id} {...{ question, onAnswers }} />
        ))}
      </div>
    </section>
  );
}

/** What keeps the grower from going on, in words; undefined when nothing does. */
function hindrance(tried: Tried, questions: Questions): string | undefined {
  const open = questions.asked.filter(
    ({ answer, optional }) => answer === undefined && optional !== true,
  ).length;
  if (open > 0)
    return open === 1 ? 'One question is still open.' : `${open} questions are still open.`;
  if (tried.scored) return undefined;
  return tried.rows.used === 0
    ? 'No row can be used yet. Say above what the columns hold.'
    : 'No scores were found. Say above which columns hold them.';
}

function GoOn(props: {
  readonly tried: Tried;
  readonly questions: Questions;
  readonly title: string;
  readonly onTitle: (title: string) => void;
  readonly onGo: () => void;
  readonly busy: boolean;
}) {
  const { tried, questions, title, onTitle, onGo, busy } = props;
  const announce = useAnnounce();
  const why = hindrance(tried, questions);
  const go = (): void => {
    if (busy) return;
    if (why === undefined) {
      onGo();
      return;
    }
    announce(why);
    document.querySelector<HTMLElement>('.question[data-open] input')?.focus();
  };
  const aside = tried.rows.set_aside > 0 || (tried.rows.cells_set_aside ?? 0) > 0;
  return (
    <section aria-labelledby="go-on" className="part go-on">
      <h2 id="go-on">What is the trial called?</h2>
      <div className="field">
        <label htmlFor="title">Title</label>
        <input
          id="title"
          type="text"
          value={title}
          maxLength={200}
          onChange={(event) => onTitle(event.target.value)}
        />
      </div>
      {why !== undefined && <p id="why-not">{why}</p>}
      <div className="buttons">
        <button
          type="button"
          className="button"
          aria-disabled={why !== undefined || busy}
          aria-describedby={why === undefined ? undefined : 'why-not'}
          onClick={go}
        >
          {aside ? 'Go on with the rest' : 'Go on to the verdict'}
        </button>
        <ChooseFile label="Choose another file" quiet />
      </div>
    </section>
  );
}

/** One sheet: what its columns hold, what must be answered, what came of its rows. */
export function SheetRoom({ view, kept, onSheet, onStopped }: SheetRoomProps) {
  const announce = useAnnounce();
  const [answers, setAnswers] = useState<Answers>(kept ?? firstAnswers(view.guess));
  const [remembered, setRemembered] = useState(kept !== undefined);
  const [title, setTitle] = useState(titleOf(view.file));
  const [keeping, setKeeping] = useState<'no' | 'yes' | Error>('no');
  const asked = JSON.stringify(answers);
  const work = useWork(asked, (report) => tryAnswers(answers, report));
  const tried = useLast(work);
  const before = useAskedBefore(tried);
  const questions = tried && questionsOf(answers, tried.asking, before);
  const lines = useRef<string>(undefined);
  const rows = tried && `${tried.rows.used} of ${tried.rows.read} rows used.`;
  useEffect(() => {
    if (rows !== undefined && rows !== lines.current) announce(rows);
    lines.current = rows;
  }, [rows, announce]);
  const change = (next: Answers): void => {
    setRemembered(false);
    setAnswers(next);
  };
  const keep = async (): Promise<void> => {
    const trial = await takeTrial(answers, () => undefined);
    await keepMapping(view.key, answers);
    await keepAsTrial({ ...trial, title: title.trim() || titleOf(view.file) }, view.file);
  };
  const go = (): void => {
    setKeeping('yes');
    keep().catch((fault: unknown) =>
      setKeeping(fault instanceof Error ? fault : new Error(String(fault))),
    );
  };
  return (
    <div className="sheet-room">
      {remembered && <Remembered onAfresh={() => change(firstAnswers(view.guess))} />}
      <SheetChoice view={view} onSheet={onSheet} />
      <p className="soft">
        The columns were taken as their headings suggest. Change what is wrong; the rows are read
        again at once.
      </p>
      <Preview
        view={view}
        mapping={answers.mapping}
        onChoose={(column, choice) =>
          change(withMapping(answers, choose(answers.mapping, view.guess, column, choice)))
        }
      />
      <WorkNote
        work={work}
        onStop={() => {
          stopReading();
          onStopped();
        }}
      />
      {work.state === 'failed' && (
        <p className="sheet fault" role="alert">
          The rows could not be read: {work.fault.message}
        </p>
      )}
      {tried && questions && (
        <>
          <Asked questions={questions} onAnswers={change} />
          <RowsRead tried={tried} file={view.file} />
          <GoOn
            tried={tried}
            questions={questions}
            title={title}
            onTitle={setTitle}
            onGo={go}
            busy={work.state !== 'done' || keeping === 'yes'}
          />
          {keeping instanceof Error && (
            <p className="sheet fault" role="alert">
              The trial could not be kept: {keeping.message} It is still open here; free some space
              and try again.
            </p>
          )}
        </>
      )}
    </div>
  );
}
