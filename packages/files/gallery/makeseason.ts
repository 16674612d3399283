import type { Trial } from '@fairbed/trial';
import type { LedgerEntry } from '../src/ledgertable';

/** A small seeded generator (mulberry32), so that a season is the same on every machine. */
export function dice(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

type SeasonSize = {
  readonly blocks: number;
  readonly treatments: number;
  readonly plants: number;
  readonly rounds: number;
};

/** 30 plots of 5 plants, 20 rounds, 8 figures a plant: 24,000 entries. */
export const wholeSeason: SeasonSize = { blocks: 6, treatments: 5, plants: 5, rounds: 20 };

const names = ['Untreated', 'Water only', 'Potassium bicarbonate', 'Wide spacing', 'Copper'];

function seasonTrial({ blocks, treatments, plants, rounds }: SeasonSize): Trial {
  const ids = (count: number, of: (i: number) => string) =>
    Array.from({ length: count }, (_, i) => of(i + 1));
  const plots = ids(blocks, String).flatMap((block, b) =>
    ids(treatments, (i) => `t${i}`).map((treatment, t) => ({
      id: `${block}0${t + 1}`,
      code: `K${7 + ((b * 5 + t) % 80)}`,
      treatment,
      block,
      place: { bed: 'bed-1', x: t * 1.4, y: b * 1.3, width: 1.2, height: 1 },
    })),
  );
  const day = (r: number) => new Date(Date.UTC(2026, 4, 4 + r * 7)).toISOString().slice(0, 10);
  return {
    format: 'fairbed-trial',
    version: 1,
    id: 'season-2026',
    title: 'A whole season of chard',
    diseases: [{ id: 'spot', name: 'Leaf spot' }],
    beds: [{ id: 'bed-1', name: 'Long bed', width: 7, height: 8 }],
    treatments: ids(treatments, (i) => `t${i}`).map((id, i) => ({
      id,
      name: names[i] ?? id,
      kind: i === 0 ? 'untreated' : 'unstated',
    })),
    control: 't1',
    design: { kind: 'randomised-blocks', seed: 7, randomised: true },
    blocks: ids(blocks, (i) => String(i)).map((id) => ({ id, name: `Block ${id}` })),
    plots,
    plants: plots.flatMap(({ id }) => ids(plants, String).map((p) => ({ id: p, plot: id }))),
    rounds: ids(rounds, (r) => `r${r}`).map((id, r) => ({ id, day: day(r), blind: true })),
    scores: [],
    times: [],
    sprays: [],
    events: [],
    harvests: [],
  } as unknown as Trial;
}

/**
 * A season as two phones write it down: every figure of every plant at every round, one entry each,
 * none corrected. Clocks run as a person types (one to six seconds an entry), each writer counts
 * its own entries.
 */
export function makeSeason(
  size: SeasonSize,
  seed = 20261125,
): { readonly trial: Trial; readonly entries: readonly LedgerEntry[] } {
  const random = dice(seed);
  const trial = seasonTrial(size);
  const below = (n: number) => Math.floor(random() * n);
  const phones = [
    { writer: 'k3x9q2ab', who: 'Ana', n: 0 },
    { writer: 'z81m4wtc', who: 'Jo', n: 0 },
  ];
  const entries: LedgerEntry[] = [];
  const scores: unknown[] = [];
  let ms = 0;
  const write = (phone: (typeof phones)[number], thing: string, value: number): void => {
    ms += 1000 + below(5000);
    phone.n++;
    const id = `${phone.writer}.${phone.n.toString(36)}`;
    const clock = `${ms.toString(36).padStart(9, '0')}0000-${phone.writer}`;
    const at = random() < 0.02 ? { at: ms - 3_600_000 } : {};
    entries.push({ id, clock, ...at, who: phone.who, kind: 'score', thing, value, replaces: [] });
  };
  trial.rounds.forEach((round, r) => {
    ms = Date.UTC(2026, 4, 4 + r * 7, 6, 30);
    trial.plants.forEach((plant, i) => {
      const phone = phones[i % 10 < 5 ? 0 : 1];
      const standing = 6 + below(12);
      const diseased = below(Math.min(standing, 2 + r) + 1);
      const stripped = Math.min(diseased, below(4));
      const figures = {
        standing,
        diseased,
        stripped,
        strippedDiseased: stripped,
        severity: below(60),
        injury: below(10),
        vigour: 60 + below(40),
        stage: 10 + r * 2,
      };
      scores.push({
        plot: plant.plot,
        plant: plant.id,
        round: round.id,
        ...figures,
        by: phone.who,
      });
      for (const [field, value] of Object.entries(figures)) {
        const thing = `${round.id}/${plant.plot}/${plant.id}//${field}`;
        write(phone, thing, value);
      }
    });
  });
  return { trial: { ...trial, scores } as Trial, entries };
}
