import {
  boxCox,
  chooseScale,
  leaveFrom,
  offScale,
  onScale,
  type Scale,
  scaleFor,
  trimFrom,
} from '@fairbed/stats';
import type { PlotValues } from '@fairbed/trial';
import type { Claim } from './evidence';
import { layoutTerms, treatmentFactor } from './fit';
import type { OutcomeScale, ScaleWord } from './judgement';
import { figure } from './numbers';
import { type Analysed, analyse, type OutcomeSetting, responseFor } from './outcome';

/** An outcome analysed anew on the scale it is compared on, and what is said of that. */
export type Scaled = {
  readonly scale: Scale;
  /** On the scale; undefined where values are compared as they were scored. */
  readonly analysed: Analysed | undefined;
  readonly told: OutcomeScale;
};

const words: Readonly<Record<Scale['name'], ScaleWord>> = {
  'as-scored': 'as scored',
  'square-root': 'square root',
  logarithm: 'logarithm',
  'log-odds': 'log-odds',
};

/** Shares of a whole are in percent; anything else has no upper end. */
const wholeOf = ({ unit }: PlotValues): number => (unit === '%' ? 100 : 0);

const known = ({ values }: PlotValues): number[] =>
  [...values.values()].filter((value) => value !== undefined);

function whyWords(
  name: Scale['name'],
  ratio: number,
  { asked, trimmed }: { readonly asked: boolean; readonly trimmed: boolean },
): string {
  const [high, low] = trimmed ? ['second highest', 'second lowest'] : ['highest', 'lowest'];
  const range = Number.isFinite(ratio)
    ? `the ${high} plot is ${figure(ratio)} times the ${low}`
    : `the ${low} plot has none at all`;
  if (asked) return `Chosen by hand; ${range}.`;
  switch (name) {
    case 'logarithm':
      return `Compared by ratios: ${range}, and from 5 times on effects multiply rather than add.`;
    case 'log-odds':
      return `Compared by odds: ${range} (of what is diseased or of what is not), and from 5 times on effects multiply rather than add.`;
    default:
      return ratio < leaveFrom
        ? `Compared as scored: ${range}, under 5 times.`
        : `Compared as scored: ${range}, and no other scale has a place for all values.`;
  }
}

function powerOf(values: PlotValues, setting: OutcomeSetting): OutcomeScale['boxCox'] {
  const response = responseFor(values, setting);
  const terms = [...layoutTerms(response, setting.layout.latin), treatmentFactor(response)];
  const found = boxCox([...response.y], terms);
  return found && { power: found.power, low: found.low, high: found.high };
}

function movedTo(scale: Scale, values: PlotValues): PlotValues {
  const moved = [...values.values].map(([plot, value]): [string, number | undefined] => [
    plot,
    value === undefined ? undefined : onScale(scale, value),
  ]);
  return { ...values, values: new Map(moved) };
}

/** An outcome moved to the scale that the rule chooses for it; as it was scored where it stays. */
export function onItsScale(values: PlotValues): PlotValues {
  const { scale } = chooseScale(known(values), wholeOf(values));
  return scale.name === 'as-scored' ? values : movedTo(scale, values);
}

/**
 * Chooses the scale of an outcome by the rule (stats, `chooseScale`), or takes the one asked for,
 * and analyses it there: the same analysis, test of the layout included, on the values moved to the
 * scale. The choice heeds the values alone, so that test stays exact.
 */
export function scaledAnalysis(
  values: PlotValues,
  setting: OutcomeSetting,
  asked?: ScaleWord,
): Scaled {
  const list = known(values);
  const whole = wholeOf(values);
  const rule = chooseScale(list, whole);
  const name = (Object.keys(words) as Scale['name'][]).find((one) => words[one] === asked);
  const scale = name === undefined ? rule.scale : scaleFor(name, list, whole);
  const power = powerOf(values, setting);
  const base = {
    used: words[scale.name],
    why: whyWords(scale.name, rule.ratio, {
      asked: name !== undefined && scale.name !== rule.scale.name,
      trimmed: list.length >= trimFrom,
    }),
    ratio: Number.isFinite(rule.ratio) ? rule.ratio : null,
    ...(power ? { boxCox: power } : {}),
  };
  if (scale.name === 'as-scored') return { scale, analysed: undefined, told: base };
  const analysed = analyse(movedTo(scale, values), setting);
  return { scale, analysed, told: { ...base, ...backAgain(scale, analysed, setting) } };
}

const orNull = (value: number | null, back: (value: number) => number): number | null =>
  value === null ? null : back(value);

function backAgain(
  scale: Scale,
  { outcome }: Analysed,
  { table }: OutcomeSetting,
): Pick<OutcomeScale, 'treatments' | 'versusControl' | 'exact'> {
  const back = (place: number): number => offScale(scale, place);
  const control = outcome.treatments.find(
    ({ name }) => name === table.treatment.levels[table.control],
  )?.mean;
  const times = (difference: number | null): number | null => {
    if (difference === null || control === undefined || control === null) return null;
    const base = back(control);
    return base > 0 ? back(control + difference) / base : null;
  };
  return {
    treatments: outcome.treatments.map(({ name, mean, low, high }) => ({
      name,
      value: orNull(mean, back),
      low: orNull(low, back),
      high: orNull(high, back),
    })),
    versusControl: (outcome.versusControl ?? []).map(({ name, difference, low, high, p }) => ({
      name,
      ratio: times(difference),
      low: times(low),
      high: times(high),
      p,
    })),
    ...(outcome.exact ? { exact: outcome.exact } : {}),
  };
}

/**
 * The comparisons that the verdict weighs, from the scale: gains and percentages are those of a
 * middling plot, back on the outcome's own unit; both p-values are of the scale.
 */
export function claimsOnScale(
  { analysed, scale }: Scaled & { readonly analysed: Analysed },
  control: string,
): Claim[] {
  const { outcome, test } = analysed;
  const place = outcome.treatments.find(({ name }) => name === control)?.mean;
  if (place === undefined || place === null) return [];
  const base = offScale(scale, place);
  const sign = outcome.better === 'lower' ? -1 : 1;
  const gainOf = (difference: number): number =>
    sign * (offScale(scale, place + difference) - base);
  const share = (gain: number | null): number | null =>
    gain === null || base <= 0 ? null : (100 * gain) / base;
  const exact = test?.tested === true ? test.result : undefined;
  return (outcome.versusControl ?? []).flatMap(({ name, difference, low, high, p }) => {
    if (difference === null) return [];
    const [near, far] = sign < 0 ? [high, low] : [low, high];
    const gain = gainOf(difference);
    return [
      {
        name,
        gain,
        benefit: share(gain),
        low: share(near === null ? null : gainOf(near)),
        high: share(far === null ? null : gainOf(far)),
        pModel: p,
        pExact: exact?.versusControl.find((row) => row.name === name)?.pStepDown ?? null,
      },
    ];
  });
}
