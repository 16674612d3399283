import { chanceText } from '@fairbed/report';
import { groupedText, type Judgement, type Outcome } from '@fairbed/verdict';
import { textTable, wrapped } from './text-table';

const width = 88;

/** A number for a table: four significant digits, a true minus sign, a dash for what is unknown. */
export function shown(value: number | null | undefined, digits = 4): string {
  if (value === null || value === undefined) return '-';
  if (value === 0) return '0';
  const text =
    Math.abs(value) >= 1e7 || Math.abs(value) < 1e-6
      ? value.toExponential(2)
      : String(Number(value.toPrecision(digits)));
  return text.replace('-', '−');
}

function shownP(p: number | null | undefined): string {
  if (p === null || p === undefined) return '-';
  return p < 0.0001 ? '<0.0001' : p.toFixed(4);
}

const range = (low: number | null, high: number | null): string =>
  low === null || high === null ? '-' : `${shown(low, 3)} to ${shown(high, 3)}`;

function bullets(title: string, items: readonly string[]): string[] {
  if (items.length === 0) return [];
  return ['', title, ...items.flatMap((item) => wrapped(`- ${item}`, width, '  '))];
}

/** The figures the verdict rests on: adjusted for the baseline where there was one to adjust for. */
function decisive(outcome: Outcome): Outcome {
  const adjusted = outcome.baselineAdjusted;
  if (adjusted === undefined || adjusted.slope === null) return outcome;
  const { id, unit, better, plots } = outcome;
  return {
    id,
    unit,
    better,
    plots,
    title: `${outcome.title}, adjusted for the baseline`,
    ...adjusted,
  };
}

function daysLines({ time }: Judgement): string[] {
  if (!time) return [];
  const rows = time.median.map(({ name, days, low, high }) => [
    name,
    shown(days),
    `${shown(low, 3)} to ${shown(high, 3)}`,
  ]);
  const { statistic, df, p } = time.logRank;
  return [
    '',
    'Days until half of the plants got there',
    ...textTable(['treatment', 'days', '95 %'], rows),
    '',
    time.exact === undefined
      ? `Log-rank test, plants taken one by one: ${shown(statistic)} on ${df} df, p ${pWords(p)}.`
      : `Log-rank test over the layouts of the draw, plots taken whole: p ${pWords(time.exact.p)}.`,
  ];
}

const pWords = (p: number): string => (p < 0.0001 ? '< 0.0001' : `= ${p.toFixed(4)}`);

/** The scale that plots are compared on, where it is not the one they were scored on. */
function scaleLines({ scale }: Outcome, control: string | null): string[] {
  if (scale?.treatments === undefined) return [];
  const against = new Map(scale.versusControl?.map((row) => [row.name, row]));
  const exact = new Map(scale.exact?.versusControl.map((row) => [row.name, row]));
  const rows = scale.treatments.map(({ name, value, low, high }) => {
    const row = against.get(name);
    return [
      name === control ? `${name} (control)` : name,
      shown(value),
      range(low, high),
      shown(row?.ratio),
      range(row?.low ?? null, row?.high ?? null),
      shownP(row?.p),
      shownP(exact.get(name)?.pStepDown),
    ];
  });
  const headings = ['treatment', 'middling plot', '95 %', 'times the control', '95 % together'];
  return [
    '',
    ...wrapped(`${scale.why} The verdict goes by these figures:`, width),
    ...textTable([...headings, 'p Dunnett', 'p layout'], rows),
  ];
}

/** The chance of each treatment, which decides nothing. */
function rankingLines({ ranking, rankingHow, control }: Judgement): string[] {
  if (!ranking || !rankingHow) return [];
  const percent = (share: number): string => chanceText(share).replace('\u00a0', ' ');
  const rows = ranking.map(({ name, best, beatsControl, beatsWorthwhile }) => [
    name,
    percent(best),
    name === control ? '-' : percent(beatsControl),
    name === control ? '-' : percent(beatsWorthwhile),
  ]);
  const worth = `better by ${shown(rankingHow.worthHavingPercent)} %`;
  return [
    '',
    'Chances, given these records and weak priors; they are no error rates',
    ...textTable(['treatment', 'best', 'better than control', worth], rows),
  ];
}

/** Looks at the running trial, each held against its bound. */
function looksLines({ looks, looksPlan }: Judgement): string[] {
  if (!looks || !looksPlan?.planned) return [];
  const rows = looks.map(({ number, date, statistic, bound, alphaSpent, p, stop }) => [
    String(number),
    date ?? '-',
    shown(statistic),
    bound === null ? 'none' : shown(bound),
    shown(alphaSpent, 2),
    shownP(p),
    stop ? 'yes' : 'no',
  ]);
  return [
    '',
    `Looks so far, ${looksPlan.toCome} of ${looksPlan.of} still to come`,
    ...textTable(
      ['round', 'date', 'largest difference', 'bound', 'may be spent', 'p so far', 'stop'],
      rows,
    ),
  ];
}

function treatmentTable(outcome: Outcome, control: string | null): string[] {
  const against = new Map(outcome.versusControl?.map((row) => [row.name, row]));
  const exact = new Map(outcome.exact?.versusControl.map((row) => [row.name, row]));
  const efficacy = new Map(outcome.efficacy?.map((row) => [row.name, row]));
  const rows = outcome.treatments.map((treatment) => {
    const { name, mean, low, high, plots } = treatment;
    const row = against.get(name);
    return [
      name === control ? `${name} (control)` : name,
      String(plots),
      shown(mean),
      range(low, high),
      shown(row?.difference),
      range(row?.low ?? null, row?.high ?? null),
      shownP(row?.p),
      shownP(exact.get(name)?.pStepDown),
      shown(efficacy.get(name)?.percent, 3),
      outcome.letters?.[name] ?? '-',
    ];
  });
  const headings = [
    'treatment',
    'plots',
    'mean',
    '95 %',
    'difference',
    '95 % together',
    'p Dunnett',
    'p layout',
    'efficacy %',
    'letters',
  ];
  const used = headings.map((_, i) => i < 3 || rows.some((row) => row[i] !== '-'));
  const kept = (row: readonly string[]): string[] => row.filter((_, i) => used[i]);
  return textTable(kept(headings), rows.map(kept));
}

function anovaLines(outcome: Outcome): string[] {
  if (!outcome.anova) return [];
  const rows = outcome.anova.rows.map(({ source, df, ss, ms, f, p }) => [
    source,
    String(df),
    shown(ss, 6),
    shown(ms),
    shown(f),
    shownP(p),
  ]);
  return ['', ...textTable(['source', 'df', 'SS', 'MS', 'F', 'p'], rows)];
}

function layoutLine({ design }: Judgement, outcome: Outcome): string[] {
  const { exact } = outcome;
  const could = `The draw could have given ${groupedText(design.layouts)} layouts`;
  if (!exact) return ['', `${could}.`];
  const walked = exact.enumerated
    ? 'all were tried'
    : `${groupedText(exact.layouts)} of them were tried, seed ${String(exact.seed ?? '')}`;
  const least =
    design.smallestP === null
      ? ''
      : ` The smallest p this layout can give is ${shown(design.smallestP, 3)}.`;
  return [
    '',
    ...wrapped(
      `${could}; ${walked}: F = ${shown(exact.observed)}, p ${pWords(exact.p)}.${least}`,
      width,
    ),
  ];
}

function balanceLines({ leafBalance }: Judgement): string[] {
  if (!leafBalance || leafBalance.length === 0) return [];
  const rows = leafBalance.map((row) => [
    row.treatment,
    shown(row.newLeaves, 3),
    shown(row.strippedLeaves, 3),
    shown(row.lostLeaves, 3),
    shown(row.cumulativeDiseased, 3),
    shown(row.healthyLeafDays, 4),
  ]);
  return [
    '',
    'Leaf balance (leaves a plant, mean over plots)',
    ...textTable(
      ['treatment', 'new', 'stripped', 'lost', 'diseased in all', 'healthy leaf-days'],
      rows,
    ),
  ];
}

/** The grounds of the verdict, where they are not one value a plot by the rule. */
function methodLine({ method }: Judgement): string[] {
  if (method === undefined) return [];
  const { used, asked, offered, rule } = method;
  const isUsual = used === 'plots' && !asked && (offered[0]?.id ?? used) === used;
  if (isUsual) return [];
  const title = offered.find(({ id }) => id === used)?.title ?? used;
  const said = `${title.charAt(0).toLowerCase()}${title.slice(1)}`;
  return ['', ...wrapped(`Judged by: ${said}. ${rule}`, width, '    ')];
}

/** The comparisons on which the verdict rests, where another method than one value a plot decides. */
function comparedLines({ method }: Judgement): string[] {
  const deciding = method?.results?.find((one) => one.method === method.used);
  if (deciding === undefined || deciding.method === 'plots') return [];
  const { title, measure, versusControl } = deciding;
  const byLayout = versusControl.some(({ pExact }) => typeof pExact === 'number');
  return [
    '',
    `${title}, against the control: ${measure}`,
    ...textTable(
      ['treatment', 'estimate', '95 % together', 'p', ...(byLayout ? ['p layout'] : [])],
      versusControl.map(({ name, estimate, low, high, p, pExact }) => [
        name,
        shown(estimate),
        range(low, high),
        shownP(p),
        ...(byLayout ? [shownP(pExact)] : []),
      ]),
    ),
  ];
}

/** The judgement as text for a terminal: the answer first, then its figures, then its limits. */
export function printJudgement(judgement: Judgement): string {
  const { verdict, outcomes, control } = judgement;
  const main = outcomes[0] && decisive(outcomes[0]);
  const marks = { 'no answer': '○○○', 'a hint': '●○○', fair: '●●○', firm: '●●●' };
  const lines = [
    judgement.title + (judgement.invented ? ' [invented trial]' : ''),
    '',
    ...wrapped(`${marks[verdict.grade]} ${verdict.grade}: ${verdict.sentence}`, width, '    '),
    ...bullets('Why', verdict.reasons),
    ...methodLine(judgement),
    ...comparedLines(judgement),
  ];
  if (main) {
    lines.push(
      '',
      `${main.title} (${main.unit === '' ? '' : `${main.unit}; `}${main.better} is better)`,
    );
    lines.push(
      ...treatmentTable(main, control),
      ...scaleLines(main, control),
      ...anovaLines(main),
      ...layoutLine(judgement, main),
    );
  }
  lines.push(
    ...daysLines(judgement),
    ...looksLines(judgement),
    ...rankingLines(judgement),
    ...balanceLines(judgement),
  );
  lines.push(
    ...bullets('Cautions', verdict.cautions),
    ...bullets('Departures', verdict.departures),
  );
  lines.push(...bullets('How this was computed', judgement.how));
  return `${lines.join('\n')}\n`;
}
