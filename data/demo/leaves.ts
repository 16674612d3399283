import type { Random } from '@fairbed/stats';
import type { LossCause } from '@fairbed/trial';

/** What the weather and the gardener do to every plot between one round and the next. */
export type Week = {
  /** Infections a healthy leaf would catch in this time in an ordinary plot, on average. */
  readonly pressure: number;
  /** Share of leaves that a storm breaks off. */
  readonly storm: number;
};

export type Stripping = {
  /** Share of the diseased leaves that are bad enough to be stripped after scoring. */
  readonly share: number;
};

export type PlantRound = {
  readonly standing: number;
  readonly diseased: number;
  readonly stripped: number;
  readonly lost: { readonly leaves: number; readonly why: LossCause }[];
};

export type PlantPlan = {
  readonly weeks: readonly Week[];
  readonly firstLeaves: number;
  readonly newLeavesPerWeek: number;
  /** Share of leaves that die of age in a week. */
  readonly ageing: number;
  readonly stripping: Stripping;
  /** Times the pressure: what the treatment lets through, the plot's place and the plant itself. */
  readonly exposure: number;
};

const drawCount = (chance: Random, tries: number, share: number): number => {
  let n = 0;
  for (let i = 0; i < tries; i++) if (chance.uniform() < share) n++;
  return n;
};

/**
 * One plant through the season, leaf by leaf: new leaves open, healthy leaves catch the disease
 * with chance 1 - exp(-pressure x exposure), some leaves die of age or break in a storm, the plant
 * is scored, and a share of its diseased leaves is stripped. The first week is the one before the
 * first round.
 */
export function growPlant(chance: Random, plan: PlantPlan): PlantRound[] {
  let healthy = plan.firstLeaves;
  let diseased = 0;
  return plan.weeks.map((week, i) => {
    if (i > 0) healthy += drawCount(chance, 3, plan.newLeavesPerWeek / 3);
    const caught = drawCount(chance, healthy, 1 - Math.exp(-week.pressure * plan.exposure));
    healthy -= caught;
    diseased += caught;
    const lose = (share: number): number => {
      const lostHealthy = drawCount(chance, healthy, share);
      const lostDiseased = drawCount(chance, diseased, share);
      healthy -= lostHealthy;
      diseased -= lostDiseased;
      return lostHealthy + lostDiseased;
    };
    const losses: readonly (readonly [LossCause, number])[] =
      i === 0
        ? []
        : [
            ['storm', lose(week.storm)],
            ['age', lose(plan.ageing)],
          ];
    const stripped = drawCount(chance, diseased, plan.stripping.share);
    const scored: PlantRound = {
      standing: healthy + diseased,
      diseased,
      stripped,
      lost: losses.filter(([, leaves]) => leaves > 0).map(([why, leaves]) => ({ leaves, why })),
    };
    diseased -= stripped;
    return scored;
  });
}
