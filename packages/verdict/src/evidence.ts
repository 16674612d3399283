import type { EvidenceGrade } from './judgement';

/**
 * The rules of evidence, V1 to V11. docs/evidence.md says them in a grower's words; every rule has
 * a test that carries its number.
 *
 * A treatment counts as different from the control only when two tests that rest on different
 * grounds agree: Dunnett's (normal errors, equal spread) and the step-down test of the layout that
 * was drawn (nothing but the draw). Taking the larger p keeps the stated error rate if either
 * ground holds.
 */

export type Claim = {
  readonly name: string;
  /** Percent of the control's mean, positive in the better direction; null when that is 0. */
  readonly benefit: number | null;
  /** Simultaneous 95 % limits of `benefit`. */
  readonly low: number | null;
  readonly high: number | null;
  /** Positive when the treatment did better than the control, in the outcome's own unit. */
  readonly gain: number;
  readonly pModel: number | null;
  /** Step-down p of the drawn layout; null where there is no such test. */
  readonly pExact: number | null;
};

export type EvidenceInput = {
  readonly replicated: boolean;
  /** False when the places were chosen; undefined when nobody said. */
  readonly randomised: boolean | undefined;
  /** Highest mean disease of the control in any round, percent; undefined for other outcomes. */
  readonly peakDisease: number | undefined;
  readonly claims: readonly Claim[];
  /** Smallest p that the layout's own test could ever give. */
  readonly smallestP: number | null;
  /** Fewest plots of any treatment that gave a value. */
  readonly fewestPlots: number;
  readonly lostShare: number;
  /** The chosen outcome is lowered by stripping itself, and stripping was recorded. */
  readonly strippingHides: boolean;
  readonly worthHavingPercent: number;
  /** Treatments beside the control that stand in the trial; V3 speaks of all of them. */
  readonly others?: number;
  /**
   * Planned rounds are still to come: the treatments whose look passed its bound. Absent at the end,
   * or where no rounds were planned.
   */
  readonly stops?: ReadonlySet<string> | undefined;
};

export type Finding =
  | 'unreplicated'
  | 'hardly-any-disease'
  | 'better'
  | 'worse'
  | 'none-worth-having'
  | 'unclear';

/** A treatment set apart from the control, and how firmly. */
export type Apart = { readonly name: string; readonly grade: EvidenceGrade };

export type Evidence = {
  readonly grade: EvidenceGrade;
  readonly finding: Finding;
  /** Better than the control: the firmest first, then the largest gain. */
  readonly better: readonly Apart[];
  readonly worse: readonly Apart[];
  /** Rules that decided, in order. */
  readonly rules: readonly string[];
};

/** Below this much disease in the control a trial can't tell treatments apart (common practice, no source). */
export const hardlyAnyDiseasePercent = 5;

const steps: readonly EvidenceGrade[] = ['no answer', 'a hint', 'fair', 'firm'];

/** The lower of two steps of evidence. */
function atMost(grade: EvidenceGrade, cap: EvidenceGrade): EvidenceGrade {
  return steps[Math.min(steps.indexOf(grade), steps.indexOf(cap))] ?? 'no answer';
}

/** One step of evidence by the two p-values of a claim. */
function gradeOf(claim: Claim, input: EvidenceInput): { grade: EvidenceGrade; rule: string } {
  const found = gradeByTests(claim, input);
  // Looked at before the end: only a look that passed its own bound may say more than a hint.
  const early = input.stops !== undefined && !input.stops.has(claim.name);
  return early && steps.indexOf(found.grade) > steps.indexOf('a hint')
    ? { grade: 'a hint', rule: 'V11' }
    : found;
}

function gradeByTests(claim: Claim, input: EvidenceInput): { grade: EvidenceGrade; rule: string } {
  const { pModel, pExact } = claim;
  if (pModel === null && pExact === null) return { grade: 'no answer', rule: 'V3' };
  const layoutCanDecide = input.smallestP !== null && input.smallestP <= 0.05;
  if (pExact === null || pModel === null || !layoutCanDecide) {
    const p = layoutCanDecide ? (pExact ?? pModel) : pModel;
    return { grade: p !== null && p <= 0.05 ? 'a hint' : 'no answer', rule: 'V4' };
  }
  const p = Math.max(pModel, pExact);
  if (p <= 0.01 && input.fewestPlots >= 4) return { grade: 'firm', rule: 'V6' };
  if (p <= 0.05) return { grade: 'fair', rule: 'V5' };
  if (p <= 0.1 || Math.min(pModel, pExact) <= 0.05) return { grade: 'a hint', rule: 'V7' };
  return { grade: 'no answer', rule: 'V7' };
}

/** Every rule that holds the step down whatever the p-values say. */
function caps(input: EvidenceInput): { cap: EvidenceGrade; rules: string[] } {
  let cap: EvidenceGrade = 'firm';
  const rules: string[] = [];
  const hold = (to: EvidenceGrade, rule: string): void => {
    cap = atMost(cap, to);
    rules.push(rule);
  };
  if (input.randomised === false) hold('a hint', 'V8');
  if (input.strippingHides) hold('a hint', 'V9');
  if (input.lostShare > 0.2) hold('fair', 'V10');
  return { cap, rules };
}

type Graded = { readonly claim: Claim; readonly grade: EvidenceGrade; readonly rule: string };

const firmestFirst = (a: Graded, b: Graded): number =>
  steps.indexOf(b.grade) - steps.indexOf(a.grade) ||
  Math.abs(b.claim.gain) - Math.abs(a.claim.gain);

/**
 * Weighs the comparisons of a trial's main outcome with its control and says what was found and
 * how firm it is. The finding is the firmest thing that may be said (a gain before a loss of the
 * same step); every treatment set apart carries a step of its own.
 */
export function weigh(input: EvidenceInput): Evidence {
  const nothing = (finding: Finding, rule: string): Evidence => ({
    grade: 'no answer',
    finding,
    better: [],
    worse: [],
    rules: [rule],
  });
  if (!input.replicated) return nothing('unreplicated', 'V1');
  if (input.peakDisease !== undefined && input.peakDisease < hardlyAnyDiseasePercent) {
    return nothing('hardly-any-disease', 'V2');
  }
  const { cap, rules } = caps(input);
  const graded = input.claims
    .map((claim): Graded => ({ claim, ...gradeOf(claim, input) }))
    .sort(firmestFirst);
  const apart = graded.filter(({ grade }) => grade !== 'no answer');
  const [better, worse] = [1, -1].map((sign) =>
    apart.filter(({ claim }) => Math.sign(claim.gain) === sign),
  ) as [Graded[], Graded[]];
  const leader = better[0] ?? worse[0];
  if (leader !== undefined) {
    const say = ({ claim, grade }: Graded): Apart => ({
      name: claim.name,
      grade: atMost(grade, cap),
    });
    return {
      grade: atMost(leader.grade, cap),
      finding: better.length > 0 ? 'better' : 'worse',
      better: better.map(say),
      worse: worse.map(say),
      rules: [leader.rule, ...rules],
    };
  }
  if (noneWorthHaving(input)) {
    return {
      ...nothing('none-worth-having', 'V3'),
      grade: atMost(input.stops === undefined ? 'fair' : 'a hint', cap),
      rules: ['V3', ...rules],
    };
  }
  return { ...nothing('unclear', 'V7'), rules: ['V7', ...rules] };
}

/** Do the simultaneous intervals of all treatments leave out a difference worth having? */
function noneWorthHaving({ claims, worthHavingPercent, others = 0 }: EvidenceInput): boolean {
  return (
    claims.length > 0 &&
    claims.length >= others &&
    claims.every(({ high }) => high !== null && high < worthHavingPercent)
  );
}
