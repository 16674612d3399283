import { BookPage } from '../book/BookPage';
import { mapForSpraying, namesOf, type Trial } from '@fairbed/trial';
import { useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { useTrialOf } from '../book/useBook';
import { bedHref, planHref } from '../route';
import { ChoiceQuestion } from '../sheet/ChoiceQuestion';
import { counted } from '../verdict/numbers';
import { saveFile } from '../verdict/saveFile';
import { makeSheet, type Paper, sheetFile, type SheetId, walked } from './sheets';
import { today } from './today';
import '../style/plan.css';

type SheetWords = {
  readonly id: SheetId;
  readonly title: string;
  readonly what: string;
  readonly button: string;
  readonly caution?: string;
};

const sheets: readonly SheetWords[] = [
  {
    id: 'stakes',
    title: 'Stakes',
    what: 'A card for each plot: its code, large, and a square that a phone reads to open the plot. No treatment is named.',
    button: 'Make the stakes',
  },
  {
    id: 'scorer',
    title: 'Map for the scorer',
    what: 'The beds with the codes, in the order of the walk. No treatment is named.',
    button: 'Make the scorer’s map',
  },
  {
    id: 'sprayer',
    title: 'Map for whoever sprays',
    what: 'The beds with codes and treatments, rates and waiting times.',
    button: 'Make the map for spraying',
    caution:
      'It names the treatments. Whoever scores should not see it. That it was made is written down.',
  },
  {
    id: 'blank',
    title: 'Sheet to score on paper',
    what: 'Empty lines for every plant, for a day without a phone.',
    button: 'Make the sheet to score on',
  },
];

/** Letter where it is what printers hold; A4 elsewhere. */
const usualPaper = (language: string): Paper =>
  /-(US|CA|MX|PH|CL|CO|VE)$/i.test(language) ? 'letter' : 'a4';

const baseOfApp = (): string => window.location.href.replace(/#.*$/, '');

type SheetProps = {
  readonly open: OpenBook;
  readonly trial: Trial;
  readonly paper: Paper;
  readonly words: SheetWords;
};

type Made =
  | { readonly state: 'idle' | 'making' }
  | { readonly state: 'said'; readonly lines: readonly string[]; readonly fault: boolean };

/** Before the reveal it is written down that the map was made, as it is of the page for spraying. */
function noteMap(open: OpenBook): void {
  if (namesOf(open.trial()).revealed) return;
  const text = 'The map for spraying was made: it shows which plot has which treatment.';
  const thing = `${mapForSpraying}${crypto.randomUUID()}`;
  void open.writeForGood([{ kind: 'note', thing, value: { text, day: today() } }]);
}

function useMaking({ open, trial, paper, words }: SheetProps) {
  const announce = useAnnounce();
  const [made, setMade] = useState<Made>({ state: 'idle' });
  const say = (lines: readonly string[], fault: boolean): void => {
    setMade({ state: 'said', lines, fault });
    announce(lines.join(' '));
  };
  const make = (): void => {
    setMade({ state: 'making' });
    const ask = { id: words.id, trial, paper, day: today(), base: baseOfApp() };
    makeSheet(ask).then(
      (sheet) => {
        if (!sheet.ok) {
          say([sheet.problem.what, sheet.problem.do], true);
          return;
        }
        const name = sheetFile(trial.title, words.id, paper);
        saveFile(name, 'application/pdf', sheet.bytes);
        if (words.id === 'sprayer') noteMap(open);
        say([`${name} is in your downloads.`, ...sheet.notes], false);
      },
      (wrong: unknown) => say([wrong instanceof Error ? wrong.message : String(wrong)], true),
    );
  };
  return { made, make };
}

function SheetCard(props: SheetProps) {
  const { words } = props;
  const { made, make } = useMaking(props);
  return (
    <li className="plan-card">
      <h2>{words.title}</h2>
      <p>{words.what}</p>
      {words.caution !== undefined && <p className="plan-caution">{words.caution}</p>}
      <button
        type="button"
        className="button quiet"
        aria-disabled={made.state === 'making'}
        onClick={() => made.state !== 'making' && make()}
      >
        {made.state === 'making' ? 'Being made …' : words.button}
      </button>
      {made.state === 'said' && (
        <p
          className={made.fault ? 'plan-fault' : 'soft small'}
          role={made.fault ? 'alert' : undefined}
        >
          {made.lines.join(' ')}
        </p>
      )}
    </li>
  );
}

const paperWords: Readonly<Record<Paper, string>> = { a4: 'A4', letter: 'US Letter' };

function Codes({ trial }: { readonly trial: Trial }) {
  return (
    <details className="plan-codes">
      <summary>{counted(trial.plots.length, 'stake')}, in the order of the walk</summary>
      <ol className="plan-code-list">
        {walked(trial).map(({ id, code = id, block, place }) => (
          <li key={id}>
            <strong>{code}</strong>
            {block !== undefined && ` block ${block}`}
            {place !== undefined && (
              <span className="soft"> {trial.beds.find((bed) => bed.id === place.bed)?.name}</span>
            )}
          </li>
        ))}
      </ol>
    </details>
  );
}

function StakesPage({ open }: { readonly open: OpenBook }) {
  const trial = useTrialOf(open);
  const [paper, setPaper] = useState<Paper>(() => usualPaper(navigator.language));
  if (trial.plots.length === 0) {
    return (
      <p className="sheet">
        No layout is drawn yet, so there is nothing to print.{' '}
        <a href={planHref(open.id)}>Go to the plan and draw it.</a>
      </p>
    );
  }
  return (
    <>
      <ChoiceQuestion
        question="Which paper is in the printer?"
        choices={(['a4', 'letter'] as const).map((id) => ({ id, label: paperWords[id] }))}
        answer={paper}
        onAnswer={(id) => setPaper(id as Paper)}
      />
      <ul className="plan-cards plan-sheets" aria-label="Sheets">
        {sheets.map((words) => (
          <SheetCard key={words.id} {...{ open, trial, paper, words }} />
        ))}
      </ul>
      <Codes trial={trial} />
      <div className="buttons">
        <a className="button" href={bedHref(open.id)}>
          Go to the bed
        </a>
        <a className="button quiet" href={planHref(open.id)}>
          Back to the plan
        </a>
      </div>
    </>
  );
}

/** Stakes and maps to print, made on this device. */
export function StakesScreen({ id }: { readonly id: string }) {
  return (
    <BookPage
      id={id}
      className="plan plan-print"
      name="sheets to print"
      question="What do you need on paper?"
    >
      {(open) => <StakesPage open={open} />}
    </BookPage>
  );
}
