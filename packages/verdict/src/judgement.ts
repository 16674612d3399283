/** The figures a judgement is made of (whole.ts puts them together). Of all of them: numbers in full
 * precision, probabilities 0..1, `null` where a value can't be computed. */

export type Interval = { readonly low: number | null; readonly high: number | null };

export type AnovaRow = {
  readonly source: string;
  readonly df: number;
  readonly ss: number;
  readonly ms: number | null;
  readonly f: number | null;
  readonly p: number | null;
  /** Error degrees of freedom of F, where rows of one table have different errors. */
  readonly errorDf?: number | null;
};

export type ScaleWord = 'as scored' | 'square root' | 'logarithm' | 'log-odds';

/** The scale on which the verdict compares plots, and the figures of it, back on the outcome's unit. */
export type OutcomeScale = {
  readonly used: ScaleWord;
  readonly why: string;
  /** The second highest plot over the second lowest; null where that is nothing. */
  readonly ratio: number | null;
  /** The power under which residuals are most nearly normal (Box & Cox), with 95 % limits. */
  readonly boxCox?: { readonly power: number; readonly low: number; readonly high: number };
  /** A middling plot of each treatment; the rest is absent where compared as scored. */
  readonly treatments?: readonly (Interval & {
    readonly name: string;
    readonly value: number | null;
  })[];
  /** Times the control; Dunnett on the scale. */
  readonly versusControl?: readonly (Interval & {
    readonly name: string;
    readonly ratio: number | null;
    readonly p: number | null;
  })[];
  readonly exact?: ExactResult;
};

/** A mixed model of plot values: whole plots or incomplete blocks as random effects. */
export type MixedModel = {
  readonly method: 'REML';
  readonly degreesOfFreedom: 'Kenward-Roger';
  /** Standard deviation of each random effect and of what is left; null for a variance below zero. */
  readonly sd: Readonly<Record<string, number | null>>;
};

/** A least-squares mean with its 95 % t interval. */
export type TreatmentMean = Interval & {
  readonly name: string;
  readonly mean: number | null;
  readonly se: number | null;
  readonly plots: number;
};

/** Treatment minus control; Dunnett, two-sided, simultaneous 95 % interval. */
export type ControlComparison = Interval & {
  readonly name: string;
  readonly difference: number | null;
  readonly se: number | null;
  readonly p: number | null;
};

/** a minus b; Tukey-Kramer. */
export type PairComparison = Interval & {
  readonly a: string;
  readonly b: string;
  readonly difference: number;
  readonly se: number;
  readonly p: number;
};

/** A plot beside what the model expects of it, for pictures of what is left over. */
export type PlotResidual = {
  readonly plot: string;
  readonly fitted: number;
  readonly residual: number;
  /** Over its own standard error; null where the model leans on this plot alone. */
  readonly studentised: number | null;
  /** Where the normal would have put a residual of this rank, in standard deviations. */
  readonly normalScore: number | null;
};

/** One question of a split plot by the layouts that answer it. */
export type StratumResult = {
  readonly p: number;
  readonly smallestP: number;
  /** Decimal text. */
  readonly layouts: string;
  readonly enumerated: boolean;
};

export type ExactResult = {
  readonly statistic: 'F';
  readonly observed: number;
  /** Layouts walked: all of them when enumerated, else the draws. Decimal text. */
  readonly layouts: string;
  readonly enumerated: boolean;
  readonly seed?: number;
  readonly p: number;
  readonly versusControl: readonly (Interval & {
    readonly name: string;
    readonly p: number | null;
    readonly pStepDown: number | null;
  })[];
  /** Of a split plot: null where there is nothing to ask, as with a single practice. */
  readonly strata?: {
    readonly practice: StratumResult | null;
    readonly within: StratumResult | null;
    readonly interaction: StratumResult | null;
  };
};

export type Efficacy = Interval & {
  readonly name: string;
  readonly method: 'abbott' | 'henderson-tilton';
  readonly percent: number | null;
};

export type Outcome = {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  readonly better: 'lower' | 'higher';
  readonly plots: readonly {
    readonly plot: string;
    readonly treatment: string;
    readonly block: string | null;
    readonly value: number | null;
  }[];
  readonly anova?: { readonly rows: readonly AnovaRow[]; readonly residualSd: number | null };
  /** Where the comparisons rest on a mixed model and not on least squares. */
  readonly mixed?: MixedModel;
  /** Of the model that weighs this outcome (with a baseline, the adjusted one has its own). */
  readonly residuals?: readonly PlotResidual[];
  readonly treatments: readonly TreatmentMean[];
  readonly versusControl?: readonly ControlComparison[];
  readonly allPairs?: readonly PairComparison[];
  readonly letters?: Readonly<Record<string, string>>;
  /** 5 % points behind the intervals: Dunnett's |t|, and q of the studentised range. */
  readonly criticalValues?: {
    readonly dunnett: number | null;
    readonly studentizedRange: number | null;
  };
  /** Ranks in place of values: within complete blocks, or over all plots where there are none. */
  readonly ranks?: {
    readonly test: 'friedman' | 'kruskal-wallis' | 'within-blocks';
    readonly statistic: number;
    readonly df: number;
    readonly p: number;
  };
  readonly exact?: ExactResult;
  readonly baselineAdjusted?: {
    /** Null where the baseline is the same in every plot. */
    readonly slope: number | null;
    /** Blocks, then baseline, then treatment. */
    readonly anova?: { readonly rows: readonly AnovaRow[]; readonly residualSd: number | null };
    readonly residuals?: readonly PlotResidual[];
    readonly treatments: readonly TreatmentMean[];
    readonly versusControl: readonly ControlComparison[];
    /** The layout's own test, F and differences adjusted for the baseline in every layout. */
    readonly exact?: ExactResult;
  };
  readonly efficacy?: readonly Efficacy[];
  /** Of the main outcome: the scale it is compared on. */
  readonly scale?: OutcomeScale;
  /** Unreplicated trials: how large plot-to-plot variation would have to be (see docs/methods). */
  readonly tippingPoint?: readonly {
    readonly name: string;
    readonly difference: number;
    /** Standard deviation between like plots at which this difference would be ordinary. */
    readonly plotSd: number;
    readonly plotSdPercentOfControl: number | null;
  }[];
};

export type FixedEffect = {
  readonly name: string;
  readonly estimate: number;
  readonly se: number | null;
  readonly p: number | null;
};

export type Counts = {
  readonly model: 'binomial-mixed';
  readonly logLik: number;
  /** Each p by itself, as if plots were many; `versusControl` has those to go by. */
  readonly fixed: readonly FixedEffect[];
  readonly sd: Readonly<Record<string, number>>;
  /** Of a typical plot; limits as if plots were many. */
  readonly treatments: readonly (Interval & {
    readonly name: string;
    readonly probability: number;
    /** Limits with the plots' degrees of freedom; each 95 % by itself. */
    readonly fewPlots?: Interval;
    /** Averaged over blocks, plots and plants as they vary, limits likewise. */
    readonly population?: Interval & { readonly probability: number };
  })[];
  readonly likelihoodRatio?: {
    readonly statistic: number;
    readonly df: number;
    /** Against chi-square: too small with few plots, shown only to compare with other programs. */
    readonly p: number;
    /** Against F with the plots' degrees of freedom: the one to go by. */
    readonly pCorrected: number | null;
    /** Share of made-up trials without effect whose statistic is at least as large. */
    readonly pBootstrap: number | null;
    readonly draws: number;
    readonly caution: string;
  };
  /** All treatments by their estimates and covariance, widened for few plots. */
  readonly wald?: JointTest;
  /** Odds of a diseased leaf, times the control's; the difference of a typical plot in percentage points. */
  readonly versusControl?: readonly (RatioToControl & {
    readonly points: Interval & { readonly difference: number };
  })[];
  /** Pearson's chi-square of the rows over its degrees of freedom, random effects at their modes. */
  readonly overdispersion?: {
    readonly chiSquare: number;
    readonly df: number;
    readonly ratio: number;
  };
  /** Pseudo-leaves, `weight` diseased and as many healthy for each treatment, and what for. */
  readonly penalty?: {
    readonly code: 'separation';
    readonly weight: number;
    readonly treatments: readonly string[];
  };
  readonly betaBinomial?: {
    readonly logLik: number;
    readonly fixed: readonly FixedEffect[];
    readonly precision: number;
  };
};

/** A treatment against the control as a ratio; limits and `p` hold for all of them together. */
export type RatioToControl = Interval & {
  readonly name: string;
  readonly ratio: number | null;
  /** Of the model. */
  readonly p: number | null;
  /** Step-down p of the drawn layout. */
  readonly pExact: number | null;
};

/** All treatments by the model: its likelihood ratio held against F with the plots' degrees of freedom. */
export type JointTest = {
  readonly f: number;
  readonly df1: number;
  readonly df2: number;
  readonly p: number;
};

export type Ordinal = {
  readonly logLik: number;
  readonly thresholds: readonly number[];
  readonly fixed: readonly FixedEffect[];
  readonly sd: Readonly<Record<string, number>>;
  /** Share of each grade in a typical plot; each interval 95 % by itself. */
  readonly treatments?: readonly {
    readonly name: string;
    readonly meanGrade: number;
    readonly shares: readonly (Interval & { readonly grade: number; readonly share: number })[];
  }[];
  /** Odds of a worse grade, times the control's. */
  readonly versusControl?: readonly RatioToControl[];
  readonly joint?: JointTest;
  /** Ranks of the grades within blocks, averaged by plot, over the layouts that could have been drawn. */
  readonly exact?: ExactResult;
  /** Whether that test decides, or the model because the layout can't go below 0.05. */
  readonly decidedBy?: 'layout' | 'model';
  /** Do treatments shift all thresholds alike? Plants taken one by one. */
  readonly proportionalOdds?: {
    readonly statistic: number;
    readonly df: number;
    readonly p: number;
  };
};

export type TimeToEvent = {
  /** Plants taken one by one, blocks left out. */
  readonly logRank: { readonly statistic: number; readonly df: number; readonly p: number };
  /** `from` and `to`: the looks between which half of the plants got there. */
  readonly median: readonly (Interval & {
    readonly name: string;
    readonly days: number | null;
    readonly from?: number | null;
    readonly to?: number | null;
  })[];
  /** What happened, and whether days were written down or read off the scores of the rounds. */
  readonly event?: 'first-symptom' | 'clean' | 'heading' | 'harvest' | 'other';
  readonly source?: 'times' | 'scores';
  /** The same test within blocks. */
  readonly withinBlocks?: {
    readonly statistic: number;
    readonly df: number;
    readonly p: number;
  };
  /** Log-rank scores within blocks, added up by plot, over the layouts that could have been drawn. */
  readonly exact?: ExactResult;
  readonly decidedBy?: 'layout' | 'model';
  /** Chance of the event from look to look, times the control's (proportional hazards). */
  readonly versusControl?: readonly RatioToControl[];
  readonly joint?: JointTest;
  /** Standard deviations of the logarithm of the hazard. */
  readonly sd?: Readonly<Record<string, number>>;
  /** Share of the plants to which it has not happened; not known inside a step. */
  readonly curves?: readonly {
    readonly name: string;
    readonly steps: readonly (Interval & {
      /** Null: before the first look. */
      readonly from: number | null;
      /** Null: never yet. */
      readonly to: number | null;
      readonly share: number;
    })[];
  }[];
};

/** One treatment against the control in one of several outcomes that are asked about together. */
export type FamilyClaim = {
  /** Id of the outcome. */
  readonly outcome: string;
  readonly name: string;
  /** Treatment minus control over the outcome's spread between plots of one block. */
  readonly statistic: number;
  /** Over the layouts that could have been drawn: this one comparison by itself. */
  readonly p: number;
  /** Adjusted for all treatments and outcomes of the list. */
  readonly pStepDown: number;
};

/**
 * Grounds on which treatments are weighed against the control (docs/methods.md): one value a plot,
 * leaves as counts, ordered grades, all rounds of a plot together, or days to an event.
 */
export type MethodId = 'plots' | 'leaves' | 'grades' | 'weeks' | 'days';

/** What one method finds of the same question; it carries no step of evidence by itself. */
export type MethodResult = {
  readonly method: MethodId;
  readonly title: string;
  /** What it finds, in a sentence for a grower. */
  readonly says: string;
  /** What `estimate` is: "percentage points", "odds ratio" ... */
  readonly measure: string;
  /** No effect of a treatment: 0 for differences, 1 for ratios. */
  readonly none: 0 | 1;
  /** Of "no treatment differs from another"; never a plain likelihood ratio. */
  readonly p: number | null;
  /** Treatment against control; p and limits hold for all comparisons together. */
  readonly versusControl: readonly (Interval & {
    readonly name: string;
    readonly estimate: number | null;
    readonly p: number | null;
    /** By the layouts that could have been drawn, on the method's own statistic; absent where it has none. */
    readonly pExact?: number | null;
    /** Whether the estimate lies on the better side. */
    readonly better: boolean | null;
  })[];
  readonly notes: readonly string[];
};

/** On which grounds the verdict rests, and what other grounds say. */
export type MethodUsed = {
  readonly used: MethodId;
  /** The rule that chose it, in a sentence. */
  readonly rule: string;
  /** Chosen by hand, not by the rule. */
  readonly asked: boolean;
  /** The methods this outcome can be judged by, the one that the rule takes first. */
  readonly offered: readonly { readonly id: MethodId; readonly title: string }[];
  /** What each of them says, the deciding one first; left out in brief. */
  readonly results?: readonly MethodResult[];
  /** The first of them that calls a treatment otherwise. */
  readonly beside?: MethodResult;
};

/** Four plain steps of evidence; docs/evidence.md has the rules. */
export type EvidenceGrade = 'no answer' | 'a hint' | 'fair' | 'firm';
