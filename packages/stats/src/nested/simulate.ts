import type { GroupTerm } from '../mixed/groups';
import { logistic } from '../mixed/likelihood';
import type { Random } from '../random';

/** A trial of counts to be made up: what a fit says, or what a grower fears. */
export type CountsPlan = {
  /** Logit of each row in a typical group, all group effects zero. */
  readonly logits: ArrayLike<number>;
  /** Leaves looked at in each row. */
  readonly trials: ArrayLike<number>;
  readonly terms: readonly GroupTerm[];
  /** Standard deviation of the effects of each term, in logits. */
  readonly sd: ArrayLike<number>;
};

/**
 * Diseased leaves of every row: logit p = the row's own + one normal effect for each of its groups,
 * then binomial. Draws a normal for each group, term by term, then a binomial for each row, so one
 * state of `random` gives one trial. Fills and returns `into`.
 */
export const simulateCounts = (
  plan: CountsPlan,
  random: Random,
  into: Float64Array = new Float64Array(plan.trials.length),
): Float64Array => {
  for (let i = 0; i < into.length; i++) into[i] = plan.logits[i];
  plan.terms.forEach(({ codes, size }, k) => {
    const effects = new Float64Array(size);
    for (let g = 0; g < size; g++) effects[g] = plan.sd[k] * random.normal();
    for (let i = 0; i < into.length; i++) into[i] += effects[codes[i]];
  });
  for (let i = 0; i < into.length; i++) {
    into[i] = random.binomial(plan.trials[i], logistic(into[i]));
  }
  return into;
};
