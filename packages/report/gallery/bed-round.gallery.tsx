import { BedMap } from '../src/index';
import { barePlan, farApart, placeless, plan, planned, plants, touching, walk } from './planned';
import { sheetTrial, styles } from './trials';

const nothing = () => undefined;

export const rounds = {
  'garden-bare': (width: number) => (
    <BedMap trial={barePlan} width={width} styles={styles} codesOnly />
  ),
  'garden-plan': (width: number) => (
    <BedMap trial={plan} width={width} styles={styles} codesOnly blocks title="Plots and blocks" />
  ),
  'garden-round': (width: number) => (
    <BedMap
      trial={planned}
      width={width}
      styles={styles}
      codesOnly
      plants={plants}
      lit={{ plot: walk[8] ?? '' }}
      onPick={nothing}
    />
  ),
  'garden-walk': (width: number) => (
    <BedMap trial={planned} width={width} styles={styles} codesOnly walk={walk} />
  ),
  'garden-walk-round': (width: number) => (
    <BedMap
      trial={planned}
      width={width}
      styles={styles}
      codesOnly
      blocks
      plants={plants}
      walk={walk}
      target={56}
      onPick={nothing}
    />
  ),
  'garden-treatments': (width: number) => (
    <BedMap trial={planned} width={width} styles={styles} blocks />
  ),
  'garden-far': (width: number) => (
    <BedMap trial={farApart} width={width} styles={styles} codesOnly walk={walk} />
  ),
  'garden-touching': (width: number) => (
    <BedMap trial={touching} width={width} styles={styles} codesOnly blocks />
  ),
  'sheet-round': (width: number) => (
    <BedMap
      trial={sheetTrial}
      width={width}
      styles={styles}
      codesOnly
      plants={
        new Map(sheetTrial.plots.map(({ id }, i) => [id, placeless.get(String(i + 1)) ?? []]))
      }
    />
  ),
};
