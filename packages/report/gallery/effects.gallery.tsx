import { EffectsChart } from '../src/index';
import {
  control,
  harmful,
  severity,
  styles,
  threeStyles,
  twelveOutcome,
  twelveStyles,
  unreplicated,
  withValues,
} from './trials';

const base = { control, worthHavingPercent: 30 };
const tiny = withValues(severity, (v) => v * 2e-6, {
  title: 'Copper in the leaf sap',
  unit: 'grams per litre',
});
const zero = withValues(severity, () => 0, { title: 'Leaves diseased in a clean year' });
const gaps = {
  ...severity,
  versusControl: (severity.versusControl ?? []).map((c, i) => {
    if (i === 0) return { ...c, difference: null, se: null, low: null, high: null };
    return i === 1 ? { ...c, se: null, low: null, high: null } : c;
  }),
};

export const effects = {
  effects: (width: number) => (
    <EffectsChart outcome={severity} width={width} styles={styles} {...base} />
  ),
  'effects-lit': (width: number) => (
    <EffectsChart
      outcome={severity}
      width={width}
      styles={styles}
      {...base}
      lit={{ treatment: 'Wide spacing' }}
      onPick={() => undefined}
    />
  ),
  'effects-harm': (width: number) => (
    <EffectsChart outcome={harmful} width={width} styles={styles} {...base} />
  ),
  'effects-twelve': (width: number) => (
    <EffectsChart outcome={twelveOutcome} width={width} styles={twelveStyles} {...base} />
  ),
  'effects-tiny': (width: number) => (
    <EffectsChart outcome={tiny} width={width} styles={styles} {...base} />
  ),
  'effects-zero': (width: number) => (
    <EffectsChart outcome={zero} width={width} styles={styles} {...base} />
  ),
  'effects-gaps': (width: number) => (
    <EffectsChart outcome={gaps} width={width} styles={styles} {...base} />
  ),
  'effects-none': (width: number) => (
    <EffectsChart outcome={unreplicated} width={width} styles={threeStyles} {...base} />
  ),
};
