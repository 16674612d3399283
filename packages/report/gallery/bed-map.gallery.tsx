import { BedMap } from '../src/index';
import {
  fourBeds,
  placedTrial,
  severity,
  sheetTrial,
  sixStyles,
  squareOutcome,
  squareTrial,
  styles,
  twelveOutcome,
  twelveStyles,
  twelveTrial,
} from './trials';

export const maps = {
  'bed-map': (width: number) => (
    <BedMap trial={placedTrial} outcome={severity} width={width} styles={styles} />
  ),
  'bed-map-lit': (width: number) => (
    <BedMap
      trial={placedTrial}
      outcome={severity}
      width={width}
      styles={styles}
      lit={{ treatment: 'Wide spacing' }}
      onPick={() => undefined}
    />
  ),
  'bed-map-four-beds': (width: number) => (
    <BedMap trial={fourBeds} outcome={severity} width={width} styles={styles} />
  ),
  'bed-map-low': (width: number) => (
    <BedMap trial={fourBeds} outcome={severity} width={width} maxHeight={420} styles={styles} />
  ),
  'bed-map-schematic-low': (width: number) => (
    <BedMap trial={sheetTrial} outcome={severity} width={width} maxHeight={420} styles={styles} />
  ),
  'bed-map-codes': (width: number) => (
    <BedMap trial={fourBeds} width={width} styles={styles} codesOnly />
  ),
  'bed-map-schematic': (width: number) => (
    <BedMap trial={sheetTrial} outcome={severity} width={width} styles={styles} />
  ),
  'bed-map-square': (width: number) => (
    <BedMap trial={squareTrial} outcome={squareOutcome} width={width} styles={sixStyles} />
  ),
  'bed-map-twelve': (width: number) => (
    <BedMap trial={twelveTrial} outcome={twelveOutcome} width={width} styles={twelveStyles} />
  ),
};
