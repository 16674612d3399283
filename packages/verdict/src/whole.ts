import type {
  Counts,
  EvidenceGrade,
  FamilyClaim,
  MethodUsed,
  Ordinal,
  Outcome,
  TimeToEvent,
} from './judgement';
import type { Look, Looks } from './looks';
import type { OverTime } from './over-time';
import type { RankedChance, RankingHow } from './ranking';
import type { CountTippingPoint, Leaning } from './unreplicated';

/**
 * What Fairbed says of a trial: the one JSON document behind every screen, chart and command
 * (docs/commands.md). Numbers are in full precision; probabilities 0..1; `null` where a value
 * can't be computed, its reason among the cautions. A part that was not asked for, or that the
 * data can't carry, is absent.
 */
export type Judgement = {
  readonly title: string;
  readonly invented: boolean;
  readonly control: string | null;
  readonly design: {
    readonly kind: string;
    readonly treatments: number;
    readonly blocks: number;
    readonly plots: number;
    readonly layouts: string;
    readonly smallestP: number | null;
  };
  /** The main outcome first. */
  readonly outcomes: readonly Outcome[];
  readonly method?: MethodUsed;
  /** The round up to which was judged, where not all were. */
  readonly look?: string;
  /** Looks at the running trial, after each round so far; see docs/methods.md. */
  readonly looks?: readonly Look[];
  /** How the chance of a false call is shared out over the looks, and what is left of it. */
  readonly looksPlan?: Omit<Looks, 'looks'>;
  /** The chance of each treatment; no step of evidence rests on it. */
  readonly ranking?: readonly RankedChance[];
  readonly rankingHow?: RankingHow;
  /** One plot of each: held against the spread of earlier trials. */
  readonly earlier?: Leaning;
  /** One plot of each: how widely untreated plots would have to range, by counted leaves. */
  readonly tippingByLeaves?: {
    readonly points: readonly CountTippingPoint[];
    readonly says: string;
  };
  /** All outcomes and treatments weighed together by the layout's own test. */
  readonly family?: readonly FamilyClaim[];
  readonly counts?: Counts;
  readonly ordinal?: Ordinal;
  readonly time?: TimeToEvent;
  readonly overTime?: OverTime;
  readonly leafBalance?: readonly {
    readonly treatment: string;
    readonly newLeaves: number | null;
    readonly strippedLeaves: number | null;
    readonly lostLeaves: number | null;
    readonly cumulativeDiseased: number | null;
    readonly healthyLeafDays: number | null;
  }[];
  /** Disease of each plot round by round, for the progress chart. */
  readonly progress?: {
    readonly measure: string;
    readonly unit: string;
    readonly plots: readonly {
      readonly plot: string;
      readonly treatment: string;
      readonly block: string | null;
      /** Days after the first round; `date` where the sheet had dates. */
      readonly points: readonly {
        readonly day: number;
        readonly date?: string;
        readonly value: number;
      }[];
    }[];
  };
  /** Leaves per plant, mean over a treatment's plots, round by round. */
  readonly balanceOverTime?: readonly {
    readonly treatment: string;
    readonly points: readonly {
      readonly day: number;
      readonly date?: string;
      readonly healthy: number;
      readonly diseased: number;
      /** Totals up to and including this round. */
      readonly strippedSoFar: number;
      readonly lostSoFar: number;
      readonly newSoFar: number;
    }[];
  }[];
  readonly verdict: {
    readonly grade: EvidenceGrade;
    readonly sentence: string;
    readonly reasons: readonly string[];
    readonly cautions: readonly string[];
    readonly departures: readonly string[];
    /** Smallest difference worth having, percent less disease than the control. */
    readonly worthHavingPercent: number;
  };
  /** How each figure was made: seeds, counts of layouts, methods. */
  readonly how: readonly string[];
};
