import { BedMap } from '../src/index';
import {
  fourBeds,
  placedTrial,
  severity,
  sheetTrial,
  squareOutcome,
  squareTrial,
  twelveOutcome,
  twelveTrial,
} from './trials';

export const maps = {
  'bed-map': (width: number) => <BedMap trial={placedTrial} outcome={severity} width={width} />,
  'bed-map-lit': (width: number) => (
    <BedMap
      trial={placedTrial}
      outcome={severity}
      width={width}
      lit={{ treatment: 'Wide spacing' }}
      onPick={() => undefined}
    />
  ),
  'bed-map-four-beds': (width: number) => (
    <BedMap trial={fourBeds} outcome={severity} width={width} />
  ),
  'bed-map-codes': (width: number) => <BedMap trial={fourBeds} width={width} codesOnly />,
  'bed-map-schematic': (width: number) => (
    <BedMap trial={sheetTrial} outcome={severity} width={width} />
  ),
  'bed-map-square': (width: number) => (
    <BedMap trial={squareTrial} outcome={squareOutcome} width={width} />
  ),
  'bed-map-twelve': (width: number) => (
    <BedMap trial={twelveTrial} outcome={twelveOutcome} width={width} />
  ),
};
