import { fixedNumber } from '@fairbed/report';
import type { AnovaRow, Judgement, Outcome } from '@fairbed/verdict';
import { ModelDetails } from './ModelTables';
import { groupedText, noValue, pText, squares, tableFormat } from './numbers';
import { Table } from './Table';

const exactly = (value: number | null, decimals: number): string =>
  value === null ? noValue : fixedNumber(value, decimals);

function AnovaTable({ rows }: { readonly rows: readonly AnovaRow[] }) {
  return (
    <Table
      caption="Where the variation lies (analysis of variance)"
      head={['Source', 'df', 'Sum of squares', 'Mean square', 'F', 'p']}
    >
      {rows.map((row) => (
        <tr key={row.source}>
          <th scope="row" className="plain">
            {row.source}
          </th>
          <td>{row.df}</td>
          <td>{squares(row.ss)}</td>
          <td>{row.ms === null ? noValue : squares(row.ms)}</td>
          <td>{exactly(row.f, 2)}</td>
          <td>{row.f === null ? '' : pText(row.p)}</td>
        </tr>
      ))}
    </Table>
  );
}

function PairsTable({ outcome }: { readonly outcome: Outcome }) {
  const pairs = outcome.allPairs ?? [];
  const format = tableFormat(
    pairs.flatMap((pair) => [pair.difference, pair.low, pair.high]).filter((v) => v !== null),
  );
  return (
    <Table
      caption="Every pair of treatments (Tukey-Kramer)"
      head={['First less second', 'Difference', '95 % interval', 'p']}
    >
      {pairs.map((pair) => (
        <tr key={`${pair.a}\n${pair.b}`}>
          <th scope="row" className="plain">
            {pair.a} less {pair.b}
          </th>
          <td>{format(pair.difference)}</td>
          <td>
            {pair.low === null || pair.high === null
              ? noValue
              : `${format(pair.low)} to ${format(pair.high)}`}
          </td>
          <td>{pText(pair.p)}</td>
        </tr>
      ))}
    </Table>
  );
}

function Layout({
  judgement,
  outcome,
}: {
  readonly judgement: Judgement;
  readonly outcome: Outcome | undefined;
}) {
  const { design } = judgement;
  const exact = outcome?.exact;
  return (
    <dl className="facts">
      <div>
        <dt>Layout</dt>
        <dd>
          {design.kind.replaceAll('-', ' ')}: {design.treatments} treatments, {design.plots} plots
          {design.blocks > 0 ? `, ${design.blocks} blocks` : ''}
        </dd>
      </div>
      <div>
        <dt>Layouts that could have been drawn</dt>
        <dd data-testid="layouts">{groupedText(design.layouts)}</dd>
      </div>
      <div>
        <dt>Smallest p this layout can give</dt>
        <dd>
          {design.smallestP === null
            ? 'none: there is no test'
            : String(Number(design.smallestP.toPrecision(3)))}
        </dd>
      </div>
      {exact && (
        <>
          <div>
            <dt>Layouts compared</dt>
            <dd>
              {groupedText(exact.layouts)}
              {exact.enumerated ? ', all of them' : `, drawn with seed ${exact.seed ?? 'unknown'}`}
            </dd>
          </div>
          <div>
            <dt>Exact test of all treatments together</dt>
            <dd>
              F = {fixedNumber(exact.observed, 2)}, p {exact.p < 0.0001 ? '' : '= '}
              {pText(exact.p)}
            </dd>
          </div>
        </>
      )}
      <div>
        <dt>Worked out by</dt>
        <dd>Fairbed {__FAIRBED_VERSION__}, on this device</dd>
      </div>
    </dl>
  );
}

/** How every figure on the page was made: layouts, seeds, methods, release. */
export function How({
  judgement,
  outcome,
}: {
  readonly judgement: Judgement;
  readonly outcome: Outcome | undefined;
}) {
  return (
    <details className="how">
      <summary>Layouts, seeds and methods</summary>
      <div className="stack">
        <Layout judgement={judgement} outcome={outcome} />
        <ul className="how-lines">
          {judgement.how.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
        {outcome?.anova && <AnovaTable rows={outcome.anova.rows} />}
        {outcome?.allPairs && outcome.allPairs.length > 0 && <PairsTable outcome={outcome} />}
        {judgement.design.kind !== 'unreplicated' && <ModelDetails judgement={judgement} />}
      </div>
    </details>
  );
}
