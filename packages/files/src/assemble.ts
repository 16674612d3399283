import { detectDesign, type Score, type Treatment, type Trial } from '@fairbed/trial';
import { type Mapping, mappingKey } from './mapping';
import type { Places } from './plots';
import type { RowBook } from './rowbook';
import type { Slot, Units } from './scores';
import { largerIsBetter } from './synonyms';
import type { Found, TrialOptions } from './found';
import { say } from './say';

type Parts = {
  readonly book: RowBook;
  readonly options: TrialOptions;
  readonly mapping: Mapping;
  readonly found: Found;
  readonly places?: Places;
  readonly units?: Units;
  readonly scores?: Score[];
  readonly times?: Trial['times'];
  readonly slots?: readonly Slot[];
  readonly gradeScale?: Trial['gradeScale'];
};

const untreated =
  /^(untreated|unsprayed|no treatment|nothing|unbehandelt|non trait|sin tratar|testigo sin|non trattato|sem tratamento|onbehandeld)/i;
const control =
  /^(control|check|ctrl|con|ck|utc|kontrolle|temoin|témoin|testigo|testimone|controle)\b/i;

/** Puts the trial document together from what was read. */
export function assemble(parts: Parts): Trial {
  const { book, options, places, units } = parts;
  const scores = parts.scores ?? [];
  const treatments = treatmentsOf(parts);
  const plots = (units?.plots.list ?? []).map((p) => {
    const label = (
      part: { labels: readonly string[] } | undefined,
      i: number,
    ): string | undefined => (i < 0 ? undefined : part?.labels[i]);
    const [block, row, column] = [
      label(places?.block, p.block),
      label(places?.row, p.row),
      label(places?.column, p.column),
    ];
    const whole = label(places?.wholePlot, p.wholePlot);
    return {
      id: p.id,
      treatment: label(places?.treatment, p.treatment) ?? '',
      ...(block === undefined ? {} : { block }),
      ...(row === undefined ? {} : { row }),
      ...(column === undefined ? {} : { column }),
      // Whole plots are lettered or named alike in every block: the block makes them one of a kind.
      ...(whole === undefined
        ? {}
        : { wholePlot: block === undefined ? whole : `${block}/${whole}` }),
    };
  });
  const blocks = [...new Set(plots.flatMap((p) => p.block ?? []))].map((id) => ({ id, name: id }));
  const compared = controlOf(treatments, options.control, book);
  const design = detectDesign(plots);
  for (const doubt of design.notes) book.add({ ...doubt, file: book.table.file });
  return {
    format: 'fairbed-trial',
    version: 1,
    id: options.id ?? `sheet-${mappingKey(book.table)}`,
    title: (options.title ?? book.table.file.replace(/\.[a-z0-9]{1,5}$/i, '')).slice(0, 1000),
    diseases: [],
    beds: [],
    treatments,
    ...(compared === undefined ? {} : { control: compared }),
    design: { kind: design.kind },
    blocks,
    plots,
    plants: plantsOf(units, parts.slots ?? []),
    rounds: scores.length > 0 ? [...(units?.rounds ?? [])] : [],
    scores,
    ...(parts.gradeScale === undefined ? {} : { gradeScale: parts.gradeScale }),
    ...valueMeasureOf(parts),
    times: parts.times ?? [],
    sprays: [],
    events: [],
    harvests: [],
  };
}

function treatmentsOf({ places, units }: Parts): Treatment[] {
  const used = new Set(units?.plots.list.map((p) => p.treatment));
  return (places?.treatment.labels ?? [])
    .filter((_, i) => used.has(i))
    .map((name) => ({ id: name, name, kind: untreated.test(name) ? 'untreated' : 'unstated' }));
}

function controlOf(
  treatments: readonly Treatment[],
  wanted: string | undefined,
  book: RowBook,
): string | undefined {
  const file = book.table.file;
  if (wanted !== undefined) {
    const key = wanted.trim().replace(/\s+/g, ' ').toLowerCase();
    const found = treatments.find((t) => t.name.toLowerCase() === key);
    if (!found)
      book.add(
        say(
          'no-such-control',
          { file },
          wanted,
          treatments.map((t) => t.name),
        ),
      );
    return found?.id;
  }
  const likely =
    treatments.filter((t) => t.kind === 'untreated').length > 0
      ? treatments.filter((t) => t.kind === 'untreated')
      : treatments.filter((t) => control.test(t.name));
  const only = likely.length === 1 ? likely[0] : undefined;
  if (only) book.add(say('control-guessed', { file }, only.name));
  return only?.id;
}

function plantsOf(units: Units | undefined, slots: readonly Slot[]): Trial['plants'] {
  if (units === undefined) return [];
  const plants = new Map<string, string>();
  units.plantIds.forEach((id, i) =>
    plants.set(id, units.plots.list[units.plotOfPlant[i] ?? -1]?.id ?? ''),
  );
  for (const slot of slots) {
    slot.plantOfPlot?.forEach((id, plot) => plants.set(id, units.plots.list[plot]?.id ?? ''));
  }
  return [...plants].map(([id, plot]) => ({ id, plot }));
}

function valueMeasureOf({
  options,
  book,
  found,
  mapping,
  slots,
}: Parts): Pick<Trial, 'valueMeasure'> {
  const used = slots?.some((s) => s.measured.some((m) => m.measure === 'value'));
  if (used !== true) return {};
  const name =
    found.one('value')?.name ??
    mapping.wide?.find((g) => g.measure === 'value')?.columns[0]?.column ??
    'value';
  const better = options.better ?? (largerIsBetter(name) ? 'higher' : 'lower');
  if (options.better === undefined) {
    book.add(say('value-better', { file: book.table.file, column: name }, better));
  }
  const unit = options.valueUnit === undefined ? {} : { unit: options.valueUnit };
  return { valueMeasure: { name, ...unit, better } };
}
