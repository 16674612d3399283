import { isOutcomeId, type LayoutRequest, outcomeTitle, type PlanValues } from '@fairbed/trial';

const byDesign: Readonly<Record<LayoutRequest['kind'], string>> = {
  'randomised-blocks': 'plots are compared within their blocks',
  'completely-randomised': 'all plots are compared with one another',
  'latin-square': 'plots are compared within their rows and columns',
  'incomplete-blocks': 'plots are compared within their blocks',
  'split-plot': 'treatments are compared within their stretches, and practices between stretches',
};

const grounds: Readonly<Record<NonNullable<PlanValues['judgedBy']>, string>> = {
  plots: 'one value for each plot',
  leaves: 'the leaves as counts',
  grades: 'the grades in their order',
  weeks: 'all rounds together',
  days: 'the days until it happened',
};

const early: Readonly<Record<NonNullable<PlanValues['looks']>['spending'], string>> = {
  late: 'It is looked at after every round, with nearly all of the error kept for the end.',
  even: 'It is looked at after every round, with the error shared out evenly.',
  early: 'It is looked at after every round, and much of the error may be spent early.',
};

const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** How the verdict will be made of a trial so planned, as the verdict makes it; the sealed words. */
export function methodFor(values: PlanValues, { kind }: LayoutRequest): string {
  const { outcome, treatments = [], control, worthHaving, valueMeasure } = values;
  const measured =
    outcome !== undefined && isOutcomeId(outcome)
      ? outcomeTitle(outcome, valueMeasure)
      : 'The main outcome';
  const named = treatments.find(({ id }) => id === control)?.name;
  const against =
    named === undefined
      ? 'Every treatment is compared with every other'
      : `Every treatment is compared with ${named}`;
  const tested =
    kind === 'split-plot'
      ? `${sentence(byDesign[kind])}, each by the error it has. ${against}, by ${named === undefined ? 'Tukey’s' : 'Dunnett’s'} test.`
      : `${sentence(byDesign[kind])}, by the analysis of variance and by the test over the layouts that the draw could have given. ${against}, by ${named === undefined ? 'Tukey’s' : 'Dunnett’s'} test.`;
  const worth =
    worthHaving === undefined
      ? ''
      : ` A difference counts as worth having from ${worthHaving} % less disease.`;
  const measure = `${measured.charAt(0).toLowerCase()}${measured.slice(1)}`;
  const rests =
    values.judgedBy === undefined ? '' : ` The verdict rests on ${grounds[values.judgedBy]}.`;
  const looks = values.looks === undefined ? '' : ` ${early[values.looks.spending]}`;
  return `One value for each plot: ${measure}. ${tested}${rests}${looks}${worth}`;
}
