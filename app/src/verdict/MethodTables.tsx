import { chanceFigure, chanceText, fixedNumber, shortDate, signed } from '@fairbed/report';
import type { Judgement, MethodResult, MethodUsed } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, pText, ratioText, tableFormat } from './numbers';
import { Table, TreatmentRow } from './Table';

type MarkOf = (treatment: string) => ReactNode;
type Compared = MethodResult['versusControl'][number];

function Estimate({ row, none }: { readonly row: Compared | undefined; readonly none: 0 | 1 }) {
  if (row === undefined || row.estimate === null) return <td>{noValue}</td>;
  const values = [row.estimate, row.low, row.high].filter((value) => value !== null);
  const plain = tableFormat(values);
  const format = (value: number): string => (none === 0 ? signed(value, plain) : ratioText(value));
  const p = row.pExact ?? row.p;
  return (
    <td>
      {format(row.estimate)}
      <span className="under">
        {row.low === null || row.high === null
          ? 'no interval'
          : `${format(row.low)} to ${format(row.high)}`}
      </span>
      <span className="under">p {pText(p)}</span>
    </td>
  );
}

/** Every method that can weigh this outcome, side by side, each on its own scale. */
export function MethodsTable({
  method,
  reference,
  markOf,
}: {
  readonly method: MethodUsed;
  readonly reference: string;
  readonly markOf: MarkOf;
}) {
  const all = method.results ?? [];
  if (all.length < 2) return null;
  const names = [...new Set(all.flatMap((one) => one.versusControl.map(({ name }) => name)))];
  const head = [
    'Treatment',
    ...all.map(({ method: id, title, measure }) => (
      <span key={id}>
        {title}
        {id === method.used ? ' (decides)' : ''}
        <span className="under">{measure}</span>
      </span>
    )),
  ];
  return (
    <Table caption={`Against ${reference}, by each way of weighing`} head={head}>
      {names.map((name) => (
        <TreatmentRow key={name} name={name} mark={markOf(name)}>
          {all.map((one) => (
            <Estimate
              key={one.method}
              row={one.versusControl.find((row) => row.name === name)}
              none={one.none}
            />
          ))}
        </TreatmentRow>
      ))}
    </Table>
  );
}

/** Every treatment in every outcome, when all of them are asked about at once. */
export function FamilyTable({
  judgement,
  reference,
}: {
  readonly judgement: Judgement;
  readonly reference: string;
}) {
  const { family = [], outcomes } = judgement;
  if (family.length === 0) return null;
  const names = [...new Set(family.map(({ name }) => name))];
  const asked = outcomes.filter(({ id }) => family.some(({ outcome }) => outcome === id));
  return (
    <details>
      <summary>All outcomes asked about at once</summary>
      <Table
        caption={`p against ${reference}, adjusted for every treatment and outcome here`}
        head={['Outcome', ...names.map((name) => <span key={name}>{name}</span>)]}
      >
        {asked.map(({ id, title }) => (
          <tr key={id}>
            <th scope="row">{title}</th>
            {names.map((name) => {
              const claim = family.find((one) => one.outcome === id && one.name === name);
              return <td key={name}>{claim ? pText(claim.pStepDown) : noValue}</td>;
            })}
          </tr>
        ))}
      </Table>
    </details>
  );
}

/** The chances of the ranking as figures. */
export function RankingTable({
  judgement,
  markOf,
}: {
  readonly judgement: Judgement;
  readonly markOf: MarkOf;
}) {
  const { ranking, control, rankingHow } = judgement;
  if (!ranking || ranking.length === 0) return null;
  const worth = rankingHow?.worthHavingPercent ?? judgement.verdict.worthHavingPercent;
  const head = [
    'Treatment',
    'Best of all',
    `Ahead of ${control ?? 'the control'}`,
    `by ${worth} % or more`,
  ];
  return (
    <Table caption="Chances of each treatment, by the model" head={head}>
      {ranking.map((row) => (
        <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
          <td>{chanceText(row.best)}</td>
          <td>{row.name === control ? noValue : chanceText(row.beatsControl)}</td>
          <td>{row.name === control ? noValue : chanceText(row.beatsWorthwhile)}</td>
        </TreatmentRow>
      ))}
    </Table>
  );
}

/** Every look: what was seen, what it had to pass, what may be spent. */
export function LooksTable({ judgement }: { readonly judgement: Judgement }) {
  const { looks, looksPlan } = judgement;
  if (!looks || looks.length === 0) return null;
  const format = tableFormat(looks.flatMap(({ statistic, bound }) => [statistic, bound ?? 0]));
  const left = looksPlan?.toCome === 0 ? undefined : looksPlan?.alphaLeft;
  const head = [
    'Look',
    'Largest difference',
    'Needed to stop',
    'p so far',
    'May be spent',
    'Enough',
  ];
  return (
    <>
      <Table caption="What each weekly look had to show" head={head}>
        {looks.map((look, i) => (
          <tr key={look.round}>
            <th scope="row" className="plain">
              {i + 1}
              {look.date === null ? '' : `, ${shortDate(look.date)}`}
            </th>
            <td>{format(look.statistic)}</td>
            <td>{look.bound === null ? 'out of reach' : format(look.bound)}</td>
            <td>{pText(look.p)}</td>
            <td>{fixedNumber(look.alphaSpent, 4)}</td>
            <td>{look.stop ? 'yes' : 'no'}</td>
          </tr>
        ))}
      </Table>
      {left !== undefined && (
        <p className="soft small">
          Left for later looks: {left < 1e-9 ? 'nothing' : chanceFigure(left)}.
        </p>
      )}
    </>
  );
}
