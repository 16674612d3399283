import {
  falseCallWords,
  powerAdvice,
  powerAssumptions,
  type PowerFigures,
  type PowerQuestion,
  powerSentence,
} from '@fairbed/verdict';
import { useEffect, useRef, useSyncExternalStore } from 'react';
import { useAnnounce } from '../Announcer';
import { Choice } from '../verdict/Choice';
import { NumberField } from './Field';
import type { PowerRow, PowerWork } from './powerDesk';
import { grounds } from './guess';
import { isSeverity, namedDifference, powerQuestionOf, usualDifference } from './powerQuestion';
import type { Plan } from './usePlan';

function Guesses({ plan }: { readonly plan: Plan }) {
  const { guess } = plan.more;
  return (
    <>
      <div className="plan-row plan-figures">
        <NumberField
          label="Disease expected in the control at the end"
          name="The disease"
          unit="%"
          value={guess.percent}
          least={1}
          most={99}
          onSave={(percent) => percent !== undefined && plan.set({ guess: { ...guess, percent } })}
        />
        {!isSeverity(plan) && (
          <NumberField
            label="Leaves counted on a plant"
            value={guess.leaves}
            least={1}
            most={200}
            whole
            onSave={(leaves) => leaves !== undefined && plan.set({ guess: { ...guess, leaves } })}
          />
        )}
      </div>
      <Choice
        id="plan-ground"
        label="How uneven is the bed by itself?"
        value={guess.ground}
        options={grounds}
        onChange={(id) => {
          const ground = grounds.find((one) => one.id === id)?.id;
          if (ground !== undefined) plan.set({ guess: { ...guess, ground } });
        }}
      />
    </>
  );
}

const inHundred = (share: number): number => Math.round(100 * share);

const calledText = ({ called: { share, low, high } }: PowerFigures): string =>
  `${inHundred(share)} (${inHundred(low)} to ${inHundred(high)})`;

function LargerTrials({ rows }: { readonly rows: readonly PowerRow[] }) {
  const isPlain = rows[0]?.question.request.kind === 'completely-randomised';
  return (
    <table className="plan-power-table">
      <caption>Of 100 such trials, so many would call it</caption>
      <thead>
        <tr>
          <th scope="col">{isPlain ? 'Plots of each' : 'Blocks'}</th>
          <th scope="col">Plants a plot</th>
          <th scope="col">Called (95 % limits)</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ question, figures }) => (
          <tr key={`${question.request.blocks}-${question.plantsPerPlot}`}>
            <td>{question.request.blocks}</td>
            <td>{question.plantsPerPlot}</td>
            <td>{figures === undefined ? '…' : calledText(figures)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** How far the work is, over all its questions. */
function shareDone(rows: readonly PowerRow[]): number {
  const all = rows.reduce((sum, { trials }) => sum + trials, 0);
  const done = rows.reduce((sum, { figures }) => sum + (figures?.simulations ?? 0), 0);
  return all === 0 ? 0 : done / all;
}

function Progress({ work, onStop }: { readonly work: PowerWork; readonly onStop: () => void }) {
  const now = work.rows.find(({ figures, trials }) => (figures?.simulations ?? 0) < trials);
  const name = 'Simulated trials';
  return (
    <div className="work" data-testid="power-work">
      <span>
        {now?.figures?.simulations ?? 0} of {now?.trials ?? 0} trials …
      </span>
      <progress aria-label={name} value={shareDone(work.rows)} max={1} />
      <button type="button" className="button quiet" onClick={onStop}>
        Stop
      </button>
    </div>
  );
}

function Assumed({ question }: { readonly question: PowerQuestion }) {
  return (
    <details>
      <summary>What is assumed</summary>
      <ul className="plan-power-assumed">
        {powerAssumptions(question).map((one) => (
          <li key={one}>{one}</li>
        ))}
        <li>Seed {question.seed}; the same plan gives the same chance.</li>
      </ul>
    </details>
  );
}

function Chance({
  row,
  stale,
}: {
  readonly row: PowerRow & { readonly figures: PowerFigures };
  readonly stale: boolean;
}) {
  const { question, figures } = row;
  const advice = powerAdvice(figures);
  return (
    <>
      {stale && (
        <p className="plan-caution" role="status">
          The plan has changed since. This was the chance before.
        </p>
      )}
      <p className="plan-power-chance" data-testid="chance">
        {powerSentence(question, figures)}
      </p>
      {advice !== undefined && <p>{advice}</p>}
      <p className="soft small">
        {falseCallWords(figures)} From {figures.simulations} simulated trials.
      </p>
    </>
  );
}

/** Says the chance to those who hear the page: once it is found, and where the work was stopped. */
function useSaying({ state, rows }: PowerWork): void {
  const announce = useAnnounce();
  const first = rows[0];
  const isFound = first?.figures?.simulations === first?.trials;
  const latest = useRef(first);
  latest.current = first;
  useEffect(() => {
    const found = latest.current;
    if (found?.figures === undefined || !isFound) return;
    announce(powerSentence(found.question, found.figures));
  }, [announce, isFound]);
  useEffect(() => {
    if (state === 'stopped') announce('Stopped.');
  }, [announce, state]);
}

/** The chance that this trial would show the difference worth having, worked out when asked for. */
export function PowerPanel({ plan }: { readonly plan: Plan }) {
  const { begin, stop, subscribe, now } = plan.power;
  const work = useSyncExternalStore(subscribe, now);
  useSaying(work);
  const question = powerQuestionOf(plan);
  const [first] = work.rows;
  const stale = first !== undefined && JSON.stringify(first.question) !== JSON.stringify(question);
  const named = namedDifference(plan);
  return (
    <section className="plan-power" aria-labelledby="plan-power-title" data-testid="power">
      <h3 id="plan-power-title">Would it show the difference?</h3>
      <p>
        {named === undefined
          ? `A halving is taken (${usualDifference} % less), until you say how much would be worth having.`
          : `The difference: ${named} % less than the control, as you said is worth having.`}
      </p>
      <Guesses plan={plan} />
      {work.state === 'working' ? (
        <Progress work={work} onStop={stop} />
      ) : (
        <button type="button" className="button" onClick={() => begin(question)}>
          {work.state === 'none' ? 'Work out the chance' : 'Work it out again'}
        </button>
      )}
      {work.state === 'refused' && (
        <p className="plan-caution" role="alert">
          {work.why}
        </p>
      )}
      {work.state === 'stopped' && (
        <p className="soft">
          {first?.figures === undefined ? 'Stopped.' : 'Stopped. What came until then:'}
        </p>
      )}
      {first?.figures !== undefined && (
        <>
          <Chance row={{ ...first, figures: first.figures }} stale={stale} />
          <LargerTrials rows={work.rows} />
          <Assumed question={first.question} />
        </>
      )}
    </section>
  );
}
