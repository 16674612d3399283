import { outcomeIds, outcomeTitle, type OutcomeId, type PlanValues } from '@fairbed/trial';
import { ChoiceQuestion } from '../sheet/ChoiceQuestion';
import { Choice } from '../verdict/Choice';
import { without } from '../writable';
import { DayField, NumberField, TextField } from './Field';
import { Question } from './Question';
import type { Plan } from './usePlan';
import { methodFor } from './method';

/** Outcomes of what the scoring screens ask; what stood before the treatments began is none. */
const offered: readonly OutcomeId[] = outcomeIds.filter(
  (id) => !id.endsWith('-first') && !id.includes('value') && !id.includes('grade'),
);

type Rounds = NonNullable<Plan['values']['rounds']>;

const usualRounds: Rounds = { count: 4, everyDays: 7 };

function RoundFields({ plan }: { readonly plan: Plan }) {
  const { rounds } = plan.values;
  const keep = (next: Partial<Rounds>): void => {
    plan.set({ rounds: { ...usualRounds, ...rounds, ...next } });
  };
  return (
    <div className="plan-row plan-figures">
      <NumberField
        label="Rounds of scoring"
        value={rounds?.count}
        least={1}
        most={100}
        whole
        onSave={(count) => count !== undefined && keep({ count })}
      />
      <NumberField
        label="Days from round to round"
        value={rounds?.everyDays}
        least={1}
        most={100}
        whole
        onSave={(everyDays) => everyDays !== undefined && keep({ everyDays })}
      />
      <DayField
        label="First round"
        value={rounds?.firstDay}
        onSave={(firstDay) => {
          const rest = without(rounds ?? usualRounds, 'firstDay');
          plan.set({ rounds: firstDay === undefined ? rest : { ...rest, firstDay } });
        }}
      />
      <DayField
        label="First harvest"
        hint="Optional. Sprays keep their waiting time from it."
        value={plan.values.harvestDay}
        onSave={(day) => plan.set({ harvestDay: day ?? null })}
      />
    </div>
  );
}

const dayNumberOf = (day: string): number => Date.parse(`${day}T00:00:00Z`) / 86_400_000;

/** Days that are in no order: a harvest before the scoring is over. Said, never refused. */
function DaysAmiss({ plan }: { readonly plan: Plan }) {
  const { rounds, harvestDay } = plan.values;
  if (rounds?.firstDay === undefined || harvestDay === undefined) return null;
  const toHarvest = dayNumberOf(harvestDay) - dayNumberOf(rounds.firstDay);
  const toLast = (rounds.count - 1) * rounds.everyDays;
  if (toHarvest >= toLast) return null;
  return (
    <p className="plan-caution" role="status">
      {toHarvest < 0
        ? 'The first harvest is before the first round. Is one of the two days wrong?'
        : `The first harvest is ${toLast - toHarvest} days before the last round: leaves that are picked can’t be scored.`}
    </p>
  );
}

const strippings = [
  { id: 'none', label: 'Nothing is stripped' },
  { id: 'all-diseased', label: 'All diseased leaves, in every plot' },
  { id: 'other', label: 'Something else, in words' },
] as const;

function Stripping({ plan }: { readonly plan: Plan }) {
  const { stripping } = plan.values;
  const isPlain = stripping === 'none' || stripping === 'all-diseased';
  const answer = stripping === undefined ? undefined : isPlain ? stripping : 'other';
  return (
    <>
      <ChoiceQuestion
        question="What is stripped at a round?"
        why="The same in every plot, or the trial compares the stripping."
        choices={strippings}
        answer={answer}
        onAnswer={(id) =>
          plan.set({ stripping: id === 'other' ? 'The oldest leaves that touch the soil' : id })
        }
      />
      {answer === 'other' && (
        <TextField
          label="What is stripped, alike everywhere"
          value={stripping ?? ''}
          onSave={(text) => {
            if (text.trim() === '') return 'Say what is stripped, or choose that nothing is.';
            plan.set({ stripping: text.trim() });
            return undefined;
          }}
        />
      )}
    </>
  );
}

type Spending = NonNullable<PlanValues['looks']>['spending'];
type GroundId = NonNullable<PlanValues['judgedBy']>;

const spendings: readonly { readonly id: Spending; readonly title: string }[] = [
  { id: 'late', title: 'After every round; nearly all of the error is kept for the end' },
  { id: 'even', title: 'After every round; the error is shared out evenly' },
  { id: 'early', title: 'After every round; much of the error may be spent early' },
];

const isSpending = (id: string): id is Spending => spendings.some((one) => one.id === id);

/** Grounds that the chosen outcome can carry beside one value a plot. */
function groundsFor(
  outcome: string | undefined,
): { readonly id: GroundId; readonly title: string }[] {
  return [
    { id: 'plots', title: 'One value a plot (usual)' },
    ...(outcome === 'incidence-last' ? [{ id: 'leaves' as const, title: 'Leaves, counted' }] : []),
    ...(outcome?.startsWith('incidence') === true || outcome?.startsWith('severity') === true
      ? [{ id: 'weeks' as const, title: 'All rounds together' }]
      : []),
  ];
}

/** What the verdict rests on, and whether it may come before the last round. */
function Grounds({ plan }: { readonly plan: Plan }) {
  const { outcome, judgedBy, looks } = plan.values;
  const grounds = groundsFor(outcome);
  return (
    <div className="plan-row">
      {(grounds.length > 1 || judgedBy !== undefined) && (
        <Choice
          id="plan-grounds"
          label="The verdict rests on"
          value={judgedBy ?? 'plots'}
          options={grounds}
          onChange={(id) => {
            const chosen = grounds.find((one) => one.id === id)?.id;
            plan.set({ judgedBy: chosen === undefined || chosen === 'plots' ? null : chosen });
          }}
        />
      )}
      <Choice
        id="plan-looks"
        label="A winner may be called"
        value={looks?.spending ?? ''}
        options={[{ id: '', title: 'After the last round only' }, ...spendings]}
        onChange={(id) => plan.set({ looks: isSpending(id) ? { ...looks, spending: id } : null })}
      />
    </div>
  );
}

function Method({ plan }: { readonly plan: Plan }) {
  const suggested = methodFor(plan.values, plan.request);
  const { method = '' } = plan.values;
  return (
    <>
      <TextField
        label="How it will be judged"
        value={method}
        long
        hint="Written before there is anything to see, so that nobody can choose the test by its answer."
        onSave={(text) => {
          plan.set({ method: text.trim() === '' ? null : text.trim() });
          return undefined;
        }}
      />
      {method !== suggested && (
        <div className="plan-advice">
          <p className="small">{suggested}</p>
          <button
            type="button"
            className="button quiet"
            onClick={() => plan.set({ method: suggested })}
          >
            Take these words
          </button>
        </div>
      )}
    </>
  );
}

/** 6: rounds, stripping, main outcome, what would be worth having, and the method. */
export function JudgeQuestion({ plan }: { readonly plan: Plan }) {
  const { rounds, stripping, outcome, worthHaving, method, valueMeasure } = plan.values;
  const answers = [rounds, stripping, outcome, worthHaving, method];
  return (
    <Question
      number={6}
      title="When and how will you score and judge?"
      plan={plan}
      fields={[
        'rounds',
        'harvestDay',
        'stripping',
        'outcome',
        'worthHaving',
        'judgedBy',
        'looks',
        'method',
      ]}
      answered={answers.every((answer) => answer !== undefined)}
    >
      <RoundFields plan={plan} />
      <DaysAmiss plan={plan} />
      <Stripping plan={plan} />
      <div className="plan-row">
        <Choice
          id="plan-outcome"
          label="Main outcome"
          value={outcome ?? ''}
          options={[
            { id: '', title: 'Not chosen yet' },
            ...offered.map((id) => ({ id, title: outcomeTitle(id, valueMeasure) })),
          ]}
          onChange={(id) => plan.set({ outcome: id === '' ? null : id })}
        />
        <NumberField
          label="Smallest difference worth having"
          hint="Percent less disease than the control. Below it you would not bother."
          value={worthHaving}
          least={0}
          most={100}
          unit="%"
          onSave={(percent) => percent !== undefined && plan.set({ worthHaving: percent })}
        />
      </div>
      {stripping === 'all-diseased' && outcome?.startsWith('audpc-incidence') === true && (
        <p className="plan-caution">
          Where diseased leaves are stripped, disease on the plant misleads: a plot stripped bare
          looks clean. Choose diseased leaves so far, or healthy leaf-days.
        </p>
      )}
      <Grounds plan={plan} />
      <Method plan={plan} />
    </Question>
  );
}
