import type { Problem } from '@fairbed/field';
import type { Trial } from './schema';

type Report = (code: string, path: string, what: string, remedy: string) => void;
type WithId = { readonly id: string };

/** The ids of a list; a second use of one is reported, as is one that could harm an object. */
function idsOf(list: readonly WithId[], name: string, report: Report): ReadonlySet<string> {
  const ids = new Set<string>();
  list.forEach(({ id }, i) => {
    const path = `${name}.${i}.id`;
    if (id === '__proto__') {
      report('forbidden-id', path, '"__proto__" can\'t be used as an id.', 'Choose another.');
    }
    if (ids.has(id)) {
      report('duplicate-id', path, `"${id}" is used twice.`, 'Give each its own id.');
    }
    ids.add(id);
  });
  return ids;
}

/** Plant ids need be unique only within their plot; the pair is the plant. */
const pair = (plot: string, plant: string): string => `${plot.length}:${plot}${plant}`;

type Known = {
  readonly treatments: ReadonlySet<string>;
  readonly blocks: ReadonlySet<string>;
  readonly beds: ReadonlySet<string>;
  readonly plots: ReadonlySet<string>;
  readonly rounds: ReadonlySet<string>;
  readonly diseases: ReadonlySet<string>;
  readonly plants: ReadonlySet<string>;
};

function mustBe(set: ReadonlySet<string>, kind: string, report: Report) {
  return (id: string | undefined, path: string): void => {
    if (id === undefined || set.has(id)) return;
    report(
      `unknown-${kind}`,
      path,
      `there is no ${kind} "${id.slice(0, 60)}".`,
      `Correct the id, or add the ${kind}.`,
    );
  };
}

function checkTreatments(trial: Trial, known: Known, report: Report): void {
  const names = new Set<string>();
  trial.treatments.forEach(({ name }, i) => {
    const path = `treatments.${i}.name`;
    if (name === '__proto__') {
      report('forbidden-id', path, '"__proto__" can\'t be used as a name.', 'Choose another.');
    }
    if (names.has(name)) {
      report(
        'duplicate-name',
        path,
        `two treatments are called "${name}".`,
        'Give each its own name, or make them one treatment.',
      );
    }
    names.add(name);
  });
  if (trial.control !== undefined && !known.treatments.has(trial.control)) {
    report(
      'control-not-a-treatment',
      'control',
      `"${trial.control}" is not one of the treatments.`,
      'Name one of the treatments, or leave the control out.',
    );
  }
}

function checkPlots(trial: Trial, known: Known, report: Report): void {
  const treatment = mustBe(known.treatments, 'treatment', report);
  const block = mustBe(known.blocks, 'block', report);
  const bed = mustBe(known.beds, 'bed', report);
  trial.plots.forEach((plot, i) => {
    treatment(plot.treatment, `plots.${i}.treatment`);
    block(plot.block, `plots.${i}.block`);
    bed(plot.place?.bed, `plots.${i}.place.bed`);
  });
  const plotOf = mustBe(known.plots, 'plot', report);
  const plants = new Set<string>();
  trial.plants.forEach(({ id, plot }, i) => {
    plotOf(plot, `plants.${i}.plot`);
    const key = pair(plot, id);
    if (plants.has(key)) {
      report(
        'duplicate-id',
        `plants.${i}.id`,
        `plot "${plot}" has two plants "${id}".`,
        'Give each plant of a plot its own id.',
      );
    }
    plants.add(key);
  });
}

function checkRounds(trial: Trial, report: Report): void {
  const days = new Map<string, number>();
  trial.rounds.forEach(({ day }, i) => {
    if (day === undefined) return;
    const before = days.get(day);
    if (before !== undefined) {
      report(
        'duplicate-day',
        `rounds.${i}.day`,
        `rounds ${before + 1} and ${i + 1} of the list are both on ${day}.`,
        'Make them one round, or correct the day.',
      );
    }
    days.set(day, i);
  });
}

function checkScale(trial: Trial, report: Report): void {
  const scale = trial.gradeScale;
  if (scale === undefined) return;
  const { classes, healthy } = scale;
  if (new Set(classes).size !== classes.length) {
    report(
      'repeated-class',
      'gradeScale.classes',
      'a class stands twice.',
      'Name each class once.',
    );
  }
  if (healthy !== classes[0] && healthy !== classes[classes.length - 1]) {
    report(
      'healthy-not-at-an-end',
      'gradeScale.healthy',
      `the healthy class ${healthy} is neither the first nor the last class.`,
      'Put the classes in order, the healthy one at an end.',
    );
  }
}

function checkRest(trial: Trial, known: Known, report: Report): void {
  const plot = mustBe(known.plots, 'plot', report);
  const treatment = mustBe(known.treatments, 'treatment', report);
  trial.times.forEach((time, i) => {
    plot(time.plot, `times.${i}.plot`);
  });
  trial.sprays.forEach((spray, i) => {
    treatment(spray.treatment, `sprays.${i}.treatment`);
    spray.plots?.forEach((id, j) => {
      plot(id, `sprays.${i}.plots.${j}`);
    });
  });
  trial.events.forEach((event, i) =>
    event.plots?.forEach((id, j) => {
      plot(id, `events.${i}.plots.${j}`);
    }),
  );
  trial.harvests.forEach((harvest, i) => {
    plot(harvest.plot, `harvests.${i}.plot`);
  });
  const round = mustBe(known.rounds, 'round', report);
  for (const name of ['skipped', 'photos', 'notes'] as const) {
    trial[name]?.forEach((about, i) => {
      plot(about.plot, `${name}.${i}.plot`);
      round(about.round, `${name}.${i}.round`);
    });
  }
  idsOf(
    (trial.photos ?? []).map(({ hash }) => ({ id: hash })),
    'photos',
    report,
  );
  idsOf(trial.notes ?? [], 'notes', report);
}

type ScoreCheck = { readonly trial: Trial; readonly known: Known; readonly report: Report };

/** Ids, grades and values of every score, without building text for rows that are in order. */
function checkScores({ trial, known, report }: ScoreCheck): void {
  const plot = mustBe(known.plots, 'plot', report);
  const round = mustBe(known.rounds, 'round', report);
  const disease = mustBe(known.diseases, 'disease', report);
  const classes = new Set(trial.gradeScale?.classes);
  trial.scores.forEach((score, i) => {
    if (!known.plots.has(score.plot)) plot(score.plot, `scores.${i}.plot`);
    if (!known.rounds.has(score.round)) round(score.round, `scores.${i}.round`);
    if (score.disease !== undefined) disease(score.disease, `scores.${i}.disease`);
    if (
      score.plant !== undefined &&
      known.plants.size > 0 &&
      !known.plants.has(pair(score.plot, score.plant))
    ) {
      report(
        'unknown-plant',
        `scores.${i}.plant`,
        `plot "${score.plot}" has no plant "${score.plant.slice(0, 60)}".`,
        'Correct the id, or add the plant.',
      );
    }
    if (score.grade !== undefined && !classes.has(score.grade)) {
      report(
        'not-a-class',
        `scores.${i}.grade`,
        `grade ${score.grade} is not one of the classes${classes.size === 0 ? ': the trial names none' : ''}.`,
        classes.size === 0 ? 'Add gradeScale.' : 'Correct the grade, or add the class.',
      );
    }
    if (score.value !== undefined && trial.valueMeasure === undefined) {
      report(
        'value-not-named',
        `scores.${i}.value`,
        'a value is given, but nothing says what it measures.',
        'Add valueMeasure: its name, unit and which way is better.',
      );
    }
  });
}

const whose = ({ plot, plant, round }: Trial['scores'][number]): string =>
  `plot "${plot}"${plant === undefined ? '' : `, plant "${plant}"`}, round "${round}"`;

/**
 * Two scores of the same leaves would be counted twice: the same plot, plant, round, disease, part
 * and leaf position; a plant in whole and in parts; a plot in whole and plant by plant.
 */
function checkTwice({ trial, report }: ScoreCheck): void {
  const target = trial.diseases[0]?.id ?? '';
  const seen = new Map<string, number>();
  const units = new Map<string, number>();
  const cells = new Map<string, number>();
  trial.scores.forEach((score, i) => {
    const cell = `${pair(score.plot, score.round)}|${score.disease ?? target}`;
    const unit = `${pair(score.plant ?? '', cell)}|${score.plant === undefined ? '' : 'p'}`;
    const row = `${unit}|${score.leafPosition ?? ''}|${score.part ?? ''}`;
    // Bit 1: in whole; bit 2: in parts. Both together mean the same leaves twice.
    const whole = score.leafPosition === undefined && score.part === undefined;
    const unitParts = (units.get(unit) ?? 0) | (whole ? 1 : 2);
    const cellParts = (cells.get(cell) ?? 0) | (score.plant === undefined ? 1 : 2);
    const before = seen.get(row);
    if (before !== undefined) {
      report(
        'duplicate-score',
        `scores.${i}`,
        `${whose(score)} was already scored in scores.${before}.`,
        'Keep one of the two.',
      );
    } else if (unitParts === 3) {
      report(
        'whole-and-parts',
        `scores.${i}`,
        `${whose(score)} is scored both in whole and in parts.`,
        'Keep one or the other, or its leaves are counted twice.',
      );
    } else if (cellParts === 3) {
      report(
        'whole-and-parts',
        `scores.${i}`,
        `${whose(score)} is scored both as a whole plot and plant by plant.`,
        'Keep one or the other, or its leaves are counted twice.',
      );
    }
    seen.set(row, i);
    units.set(unit, unitParts);
    cells.set(cell, cellParts);
  });
}

/**
 * What a document of the right shape can still have wrong: ids that lead nowhere, ids, names and
 * scores that stand twice, a control that is no treatment, grades outside the scale.
 */
export function referenceProblems(trial: Trial): Problem[] {
  const problems: Problem[] = [];
  const report: Report = (code, path, what, remedy) =>
    problems.push({ kind: 'fault', code, what: `At ${path}: ${what}`, do: remedy });
  const known: Known = {
    treatments: idsOf(trial.treatments, 'treatments', report),
    blocks: idsOf(trial.blocks, 'blocks', report),
    beds: idsOf(trial.beds, 'beds', report),
    plots: idsOf(trial.plots, 'plots', report),
    rounds: idsOf(trial.rounds, 'rounds', report),
    diseases: idsOf(trial.diseases, 'diseases', report),
    plants: new Set(trial.plants.map(({ plot, id }) => pair(plot, id))),
  };
  checkTreatments(trial, known, report);
  checkPlots(trial, known, report);
  checkRounds(trial, report);
  checkScale(trial, report);
  checkScores({ trial, known, report });
  checkTwice({ trial, known, report });
  checkRest(trial, known, report);
  return problems;
}
