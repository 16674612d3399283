import type { Claim, Evidence } from './evidence';
import { hardlyAnyDiseasePercent } from './evidence';
import type { EvidenceGrade, Outcome } from './judgement';
import { figure, listed, percent } from './numbers';

/** How an outcome is told: "38 % less [noun] than the untreated[when]". */
type Phrase = {
  readonly noun: string;
  readonly when: string;
  /** What it was a share of, where that must be said. */
  readonly of?: string;
  /** Leaves or days: fewer, not less. */
  readonly counted?: boolean;
};

const disease = (when: string, of: string): Phrase => ({ noun: 'disease', when, of });
const firstRound = 'at the first round';
const lastRound = 'at the last round';

const phrases: Readonly<Record<string, Phrase>> = {
  'incidence-first': disease(firstRound, 'share of leaves'),
  'severity-first': disease(firstRound, 'leaf area'),
  'grade-index-first': disease(firstRound, 'grades'),
  'incidence-last': disease(lastRound, 'share of leaves'),
  'incidence-mean': disease('over the rounds', 'share of leaves'),
  'severity-last': disease(lastRound, 'leaf area'),
  'audpc-incidence': disease('over the season', 'share of leaves'),
  'audpc-severity': disease('over the season', 'leaf area'),
  'audps-incidence': disease('over the season', 'share of leaves'),
  'audps-severity': disease('over the season', 'leaf area'),
  'audpc-incidence-standardised': disease('over the season', 'share of leaves'),
  'audpc-severity-standardised': disease('over the season', 'leaf area'),
  'audpc-grade': disease('over the season', 'grades'),
  'grade-index-last': disease(lastRound, 'grades'),
  'incidence-cumulative-last': disease(
    'over the season',
    'share of all leaves, stripped ones counted',
  ),
  'audpc-incidence-cumulative': disease(
    'over the season',
    'share of all leaves, stripped ones counted',
  ),
  'diseased-cumulative': {
    noun: 'diseased leaves',
    when: 'over the season, stripped ones counted',
    counted: true,
  },
  'healthy-leaf-days': { noun: 'healthy leaf', when: 'over the season' },
  'stripped-total': { noun: 'leaves stripped', when: '', counted: true },
  'onset-days': { noun: 'days before the first disease', when: '', counted: true },
};

/** Any other number: by the name the grower gave it. */
function phraseOf({ id, title }: Outcome): Phrase {
  const known = phrases[id];
  if (known) return known;
  const noun = (title.split(',')[0] ?? title).replace(/^\p{Lu}(?=\p{Ll})/u, (letter) =>
    letter.toLowerCase(),
  );
  return { noun, when: id.startsWith('audpc') ? 'over the season' : '' };
}

const lessOrMore = (outcome: Outcome, gain: boolean): 'less' | 'more' =>
  (outcome.better === 'lower') === gain ? 'less' : 'more';

/** "38 % less disease than untreated over the season (between 20 % and 53 % less)". */
function amount(claim: Claim, outcome: Outcome, control: string): string {
  const word = lessOrMore(outcome, claim.gain > 0);
  const { noun, when, of, counted } = phraseOf(outcome);
  const more = word === 'less' && counted ? 'fewer' : word;
  const than = `${more} ${noun} than ${control}${when === '' ? '' : ` ${when}`}`;
  const size =
    claim.benefit === null
      ? // "3 more days before", not "3 days more days before".
        [figure(Math.abs(claim.gain)), noun.startsWith(outcome.unit) ? '' : outcome.unit]
          .filter((part) => part !== '')
          .join(' ')
      : percent(Math.abs(claim.benefit));
  const aside = [of, claim.benefit === null ? undefined : between(claim, word)];
  const said = aside.filter((part) => part !== undefined);
  return `${size} ${than}${said.length === 0 ? '' : ` (${said.join('; ')})`}`;
}

/**
 * The simultaneous interval in words, the end nearest to nothing first. Nothing can be more than
 * all less, so an upper end beyond 100 % less is told as "at least" the lower one.
 */
function between({ low, high, gain }: Claim, word: 'less' | 'more'): string | undefined {
  if (low === null || high === null) return undefined;
  const [near, far] = gain > 0 ? [low, high] : [-high, -low];
  const other = word === 'less' ? 'more' : 'less';
  const end = (size: number, which: 'less' | 'more'): string =>
    which === 'less' && size >= 100 ? 'none at all' : `${percent(size)} ${which}`;
  if (near < 0) return `anything from ${end(-near, other)} to ${end(far, word)}`;
  return word === 'less' && far >= 100
    ? `at least ${percent(near)} ${word}`
    : `between ${percent(near)} and ${percent(far)} ${word}`;
}

export type SentenceInput = {
  readonly evidence: Evidence;
  readonly outcome: Outcome;
  readonly control: string;
  readonly claims: readonly Claim[];
  readonly peakDisease: number | undefined;
  readonly worthHavingPercent: number;
};

/** The one sentence of the verdict, never stronger than its grade. */
export function sentence(input: SentenceInput): string {
  const { evidence, outcome, control, claims } = input;
  const claimOf = (name: string | undefined): Claim | undefined =>
    claims.find((claim) => claim.name === name);
  const leading = [...claims].sort((a, b) => b.gain - a.gain)[0];
  switch (evidence.finding) {
    case 'unreplicated':
      return unreplicated(outcome);
    case 'hardly-any-disease':
      return `There was hardly any disease in ${control} (${percent(input.peakDisease ?? 0)} at its worst, under the ${hardlyAnyDiseasePercent} % a trial needs), so this trial can't tell the treatments apart.`;
    case 'none-worth-having':
      return `No treatment made a difference worth having (${percent(input.worthHavingPercent)} or more) against ${control}; the trial was good enough to have shown one.`;
    case 'unclear':
      return leading === undefined
        ? 'This trial has nothing to compare.'
        : leading.gain === 0 && claims.every(({ gain }) => gain === 0)
          ? `This trial can't tell the treatments apart: none differed from ${control} at all.`
          : `This trial can't say which treatment worked: the nearest to a difference, ${leading.name} with ${amount(leading, outcome, control)}, is no larger than chance makes often.`;
    case 'worse':
    case 'better':
      return found(input, claimOf);
  }
}

function found(
  { evidence, outcome, control }: SentenceInput,
  claimOf: (name: string | undefined) => Claim | undefined,
): string {
  const apart = evidence.finding === 'better' ? evidence.better : evidence.worse;
  const claim = claimOf(apart[0]?.name);
  if (claim === undefined) return '';
  const what = amount(claim, outcome, control);
  if (evidence.grade === 'a hint') {
    return `${claim.name} may have made a difference: it had ${what}, but this trial gives no more than a hint.`;
  }
  const alike = apart.slice(1).filter(({ grade }) => grade === evidence.grade);
  const also =
    alike.length === 0
      ? ''
      : `; ${listed(alike.map(({ name }) => name))} also did ${evidence.finding === 'better' ? 'better' : 'worse'} than ${control}`;
  return `${claim.name} had ${what}${also}.`;
}

function unreplicated(outcome: Outcome): string {
  const ordered = outcome.treatments
    .flatMap(({ name, mean }) => (mean === null ? [] : [{ name, mean }]))
    .sort((a, b) => (outcome.better === 'lower' ? a.mean - b.mean : b.mean - a.mean));
  const [first, last] = [ordered[0], ordered.at(-1)];
  const shown =
    first === undefined || last === undefined || first === last
      ? ''
      : ` Here ${first.name} came out best (${figure(first.mean)} ${outcome.unit}) and ${last.name} worst (${figure(last.mean)}).`;
  return `With one plot of each treatment nobody can tell what the treatment did from what the ground did, so this trial describes and does not judge.${shown}`;
}

/** What was found of days, never stronger than its step. */
export function daysSentence(says: string, grade: EvidenceGrade): string {
  const said = says.endsWith('.') ? says : `${says}.`;
  return grade === 'a hint' ? `${said} This trial gives no more than a hint of it.` : said;
}
