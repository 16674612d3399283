import { fixedNumber, intervalText, shortDate, signed, unitWords } from '@fairbed/report';
import type { Judgement } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { noValue, pSaid, pText, tableFormat } from './numbers';
import { Table, TreatmentRow } from './Table';

type OverTime = NonNullable<Judgement['overTime']>;

const roundName = ({ day, date }: OverTime['rounds'][number]): string =>
  date === undefined ? `day ${day}` : shortDate(date);

const tested = (name: string, test: OverTime['tests']['treatment']): string =>
  test === null ? '' : ` ${name}: F = ${fixedNumber(test.f, 2)}, ${pSaid(test.p)}.`;

/** All rounds in one model: the mean of each round, and the difference over all of them. */
export function OverTimeTable({
  overTime,
  reference,
  markOf,
}: {
  readonly overTime: OverTime;
  readonly reference: string;
  readonly markOf: (treatment: string) => ReactNode;
}) {
  const { rounds, treatments, versusControl, tests, measure } = overTime;
  const unit = unitWords(overTime.unit);
  const means = treatments.flatMap(({ course }) => course.map(({ mean }) => mean ?? 0));
  const format = tableFormat([...means, ...versusControl.map(({ difference }) => difference ?? 0)]);
  const head = [
    'Treatment',
    ...rounds.map((round) => roundName(round)),
    'All rounds',
    `Less or more than ${reference}`,
    'p',
  ];
  return (
    <>
      <Table
        caption={`${measure}, all rounds in one model${unit === '' ? '' : `, ${unit}`}`}
        head={head}
      >
        {treatments.map((row) => {
          const against = versusControl.find(({ name }) => name === row.name);
          const difference = against?.difference ?? null;
          const over = (value: number): string => signed(value, format);
          return (
            <TreatmentRow key={row.name} name={row.name} mark={markOf(row.name)}>
              {row.course.map(({ day, mean }) => (
                <td key={day}>{mean === null ? noValue : format(mean)}</td>
              ))}
              <td>
                {row.mean === null ? noValue : format(row.mean)}
                <span className="under">{intervalText(row.low, row.high, format)}</span>
              </td>
              <td>
                {difference === null ? noValue : over(difference)}
                <span className="under">
                  {against && intervalText(against.low, against.high, over)}
                </span>
              </td>
              <td>{pText(against?.p)}</td>
            </TreatmentRow>
          );
        })}
      </Table>
      <p className="soft small">
        Over the rounds.{tested('Treatments', tests.treatment)}
        {tested('Treatments change apart with time', tests.treatmentByTime)}
      </p>
    </>
  );
}
