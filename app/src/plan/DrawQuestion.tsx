import { BedMap, type TreatmentStyles } from '@fairbed/report';
import { drawThing, readDrawThing, type Trial } from '@fairbed/trial';
import { useId, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { useTrialOf } from '../book/useBook';
import { stakesHref } from '../route';
import { isDrawnFor } from './drawnFor';
import { asJson } from './json';
import { drawFor } from './layout';
import { MapFrame } from './MapFrame';
import { Question } from './Question';
import { longDay, today } from './today';
import type { Plan } from './usePlan';

const noStyles: TreatmentStyles = new Map();

/** Codes only: whoever plans may score as well. */
function CodeMap({ trial, maxHeight }: { readonly trial: Trial; readonly maxHeight?: number }) {
  return (
    <MapFrame
      testId="code-map"
      draw={(width) => (
        <BedMap trial={trial} styles={noStyles} codesOnly width={width} maxHeight={maxHeight} />
      )}
    />
  );
}

/** Any of 2^32 seeds, each as likely as the others. */
const chanceSeed = (): number => crypto.getRandomValues(new Uint32Array(1))[0] ?? 0;

/** A number that no layout ever had, those taken back among them. */
const nextDraw = ({ book }: Plan['open']): number =>
  Math.max(0, ...book.everWritten('draw').map(([thing]) => readDrawThing(thing) ?? 0)) + 1;

function useDrawing(plan: Plan) {
  const announce = useAnnounce();
  const [fault, setFault] = useState<string>();
  const draw = (why?: string): void => {
    const number = nextDraw(plan.open);
    const ask = { seed: chanceSeed(), day: today(), ...(why === undefined ? {} : { why }) };
    const drawn = drawFor(plan.request, plan.places, ask);
    if (!drawn.ok) {
      setFault(`${drawn.problem.what} ${drawn.problem.do}`);
      return;
    }
    // Undo must not go back on it: who may draw unseen may draw until it pleases.
    const line = { kind: 'draw', thing: drawThing(number), value: asJson(drawn.draw) };
    plan.open.writeForGood([line]).then(
      () => {
        setFault(undefined);
        announce(`Layout ${number} drawn, seed ${ask.seed}.`);
      },
      (wrong: unknown) => setFault(wrong instanceof Error ? wrong.message : String(wrong)),
    );
  };
  return { draw, fault };
}

function DrawAgain(props: {
  readonly onDraw: (why: string) => void;
  /** Something was scored or sprayed by the layout in use. */
  readonly inUse: boolean;
}) {
  const { onDraw, inUse } = props;
  const id = useId();
  const [isOpen, setOpen] = useState(false);
  const [why, setWhy] = useState('');
  const [fault, setFault] = useState(false);
  if (!isOpen) {
    return (
      <button type="button" className="button quiet" onClick={() => setOpen(true)}>
        Draw again
      </button>
    );
  }
  const draw = (): void => {
    setFault(why.trim() === '');
    if (why.trim() === '') return;
    onDraw(why.trim());
    setWhy('');
    setOpen(false);
  };
  return (
    <div className="plan-why">
      {inUse && (
        <p className="plan-caution">
          Plots were scored or sprayed by the layout in use. A new one gives those plots other
          treatments than they had, and the verdict would be wrong. Draw again only if all begins
          anew.
        </p>
      )}
      <div className="field plan-field">
        <label htmlFor={id}>Why is it drawn again?</label>
        <input
          id={id}
          type="text"
          maxLength={1000}
          value={why}
          aria-describedby={fault ? `${id}-fault` : undefined}
          aria-invalid={fault}
          autoFocus
          onChange={(event) => setWhy(event.target.value)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') draw();
          }}
        />
        {fault && (
          <p id={`${id}-fault`} className="plan-fault" role="alert">
            Say why: a layout that did not please is no reason, a bed under water is one.
          </p>
        )}
      </div>
      <div className="buttons">
        <button type="button" className="button" onClick={draw}>
          Draw it again
        </button>
        <button type="button" className="button quiet" onClick={() => setOpen(false)}>
          Keep this layout
        </button>
      </div>
    </div>
  );
}

function Draws({ plan }: { readonly plan: Plan }) {
  const last = plan.draws.at(-1)?.number;
  return (
    <div>
      <h3 id="plan-draws">Every draw</h3>
      <ol className="plan-draws" aria-labelledby="plan-draws">
        {plan.draws.map(({ number, value: { day, seed, why } }) => (
          <li key={number}>
            <strong>Draw {number}</strong>
            {number === last && ', the one in use'}. {longDay(day)}, seed {seed}
            {why === undefined ? '.' : `. Why again: ${why}`}
          </li>
        ))}
      </ol>
    </div>
  );
}

function Drawn({ plan }: { readonly plan: Plan }) {
  const trial = useTrialOf(plan.open);
  return (
    <>
      {!isDrawnFor(plan) && (
        <p className="plan-caution" role="status">
          The plan was changed after this layout was drawn, so they no longer agree. Draw it again,
          and say what was changed.
        </p>
      )}
      <CodeMap trial={trial} maxHeight={560} />
      <p className="soft small">
        Codes only, so that whoever plans can still score blind. The map for whoever sprays is among
        the sheets to print.
      </p>
      <Draws plan={plan} />
    </>
  );
}

const inUse = ({ book }: Plan['open']): boolean =>
  book.things('score').length > 0 || book.things('spray').length > 0;

/** 7: the draw by lot, its seed, the map with codes, and every draw there ever was. */
export function DrawQuestion({ plan }: { readonly plan: Plan }) {
  const { draw, fault } = useDrawing(plan);
  const { facts, places } = plan;
  const has = plan.draws.length > 0;
  const notYet = !facts.ok ? facts.problem : places.state === 'fault' ? places.problem : undefined;
  return (
    <Question
      number={7}
      title="Which plot gets which treatment?"
      plan={plan}
      fields={[]}
      answered={has}
    >
      <p>
        Drawn by lot: every possible layout is as likely as any other. The seed of the draw is kept,
        so that anyone can draw the same again.
      </p>
      {notYet !== undefined && (
        <p className="plan-caution">
          It can’t be drawn yet. {notYet.what} {notYet.do}
        </p>
      )}
      {notYet === undefined && places.state === 'none' && !has && (
        <p className="soft">No bed is drawn, so the map will not be to scale.</p>
      )}
      {fault !== undefined && (
        <p className="plan-fault" role="alert">
          It could not be drawn: {fault}
        </p>
      )}
      {has && <Drawn plan={plan} />}
      <div className="buttons">
        {!has && notYet === undefined && (
          <button type="button" className="button" onClick={() => draw()}>
            Draw the layout
          </button>
        )}
        {has && notYet === undefined && <DrawAgain onDraw={draw} inUse={inUse(plan.open)} />}
        {has && (
          <a className="button quiet" href={stakesHref(plan.open.id)}>
            Print stakes and maps
          </a>
        )}
      </div>
    </Question>
  );
}
