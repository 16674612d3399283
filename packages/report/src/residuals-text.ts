import { numberFormat, signed } from './format';

/** What a model leaves over of a plot. */
export type Residual = {
  readonly plot: string;
  readonly fitted: number;
  readonly residual: number;
  readonly studentised: number | null;
  readonly normalScore: number | null;
};

export const fittedTitle = 'What is left over, beside what the model expects';
export const scoresTitle = 'What is left over, beside what chance alone would leave';

/** Beyond this a studentised residual is named: about one plot in a hundred by chance. */
const farOut = 2.6;

/** Plots far from what the model expects, the farthest first. */
export const farPlots = (residuals: readonly Residual[]): readonly Residual[] =>
  residuals
    .filter(({ studentised }) => studentised !== null && Math.abs(studentised) > farOut)
    .sort((a, b) => Math.abs(b.studentised ?? 0) - Math.abs(a.studentised ?? 0));

/** Text alternative of both pictures: how far plots lie off, and which lie far. */
export function describeResiduals(residuals: readonly Residual[]): string {
  const values = residuals.map(({ residual }) => residual);
  const format = numberFormat(values);
  const low = signed(Math.min(...values), format);
  const high = signed(Math.max(...values), format);
  const far = farPlots(residuals).map(
    ({ plot, studentised }) => `${plot} (${signed(studentised ?? 0, (v) => v.toFixed(1))})`,
  );
  const said =
    far.length === 0
      ? 'No plot lies far from the model.'
      : `Far from the model, in standard errors: ${far.join(', ')}.`;
  return `${residuals.length} plots lie ${low} to ${high} from what the model expects. ${said}`;
}
