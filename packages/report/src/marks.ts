import { type Tone, tone } from './theme';

export type Shape =
  | 'circle'
  | 'square'
  | 'triangle'
  | 'diamond'
  | 'cross'
  | 'ring'
  | 'half'
  | 'bar'
  | 'open';

export type TreatmentStyle = {
  /** Fill of the mark: a CSS colour. */
  readonly colour: string;
  /** The same hue, dark or light enough for thin lines on paper. */
  readonly line: string;
  readonly shape: Shape;
  /** Place in the order of the trial, from 0. */
  readonly index: number;
};

export type TreatmentStyles = ReadonlyMap<string, TreatmentStyle>;

const hues = ['blue', 'vermillion', 'green', 'purple', 'orange', 'sky', 'black', 'yellow'] as const;
const shapes = [
  'circle',
  'square',
  'triangle',
  'diamond',
  'cross',
  'ring',
  'half',
  'bar',
] as const satisfies readonly Shape[];

/**
 * Colour and shape of every treatment, in the order given. Colours are the eight of Okabe and Ito
 * ("Color Universal Design", 2008); the control is always a neutral grey open circle. The first
 * eight differ in both colour and shape; further ones turn the shapes against the colours by one
 * each time round, so that no two of 64 share both.
 */
export function treatmentStyles(names: readonly string[], control: string | null): TreatmentStyles {
  const styles = new Map<string, TreatmentStyle>();
  let others = 0;
  for (const name of names) {
    if (styles.has(name)) continue;
    const index = styles.size;
    styles.set(name, name === control ? controlStyle(index) : styleAt(others++, index));
  }
  return styles;
}

const controlStyle = (index: number): TreatmentStyle => ({
  colour: tone('control'),
  line: tone('control'),
  shape: 'open',
  index,
});

function styleAt(place: number, index: number): TreatmentStyle {
  const turn = Math.floor(place / hues.length);
  const hue = hues[place % hues.length] ?? 'black';
  const shape = shapes[(place + turn) % shapes.length] ?? 'circle';
  const mark: Tone = `mark-${hue}`;
  const line: Tone = `line-${hue}`;
  return { colour: tone(mark), line: tone(line), shape, index };
}

/** A treatment without a style yet (not in the list it was asked for): neutral, like the control. */
export const styleOf = (styles: TreatmentStyles, name: string): TreatmentStyle =>
  styles.get(name) ?? controlStyle(styles.size);
