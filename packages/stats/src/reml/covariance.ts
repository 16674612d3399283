import type { Model, Part } from './model';

/** Variance parameters as `Model.size` orders them: random terms, residual, rho. */
export type Theta = Float64Array;

/** rho^gap, 1 on the diagonal. */
const fading = (rho: number, gap: number): number => (gap === 0 ? 1 : rho ** gap);
const firstOf = (rho: number, gap: number): number => (gap === 0 ? 0 : gap * rho ** (gap - 1));
/** At rho = 0 the second derivative of a gap between 1 and 2 is infinite; it is left out there. */
const secondOf = (rho: number, gap: number): number =>
  gap < 2 && (gap <= 1 || rho === 0) ? 0 : gap * (gap - 1) * rho ** (gap - 2);

/** What a row is to another by the serial part: correlation, or a derivative by rho. */
export type SerialForm = 'correlation' | 'first' | 'second';
const forms: Readonly<Record<SerialForm, (rho: number, gap: number) => number>> = {
  correlation: fading,
  first: firstOf,
  second: secondOf,
};

/** A serial matrix of one part, size x size. */
export function serialMatrix(gaps: Float64Array, rho: number, form: SerialForm): Float64Array {
  const of = forms[form];
  return gaps.map((gap) => (gap < 0 ? 0 : of(rho, gap)));
}

/** Covariance of the rows of a part, size x size. */
export function covarianceOf(model: Model, part: Part, theta: Theta): Float64Array {
  const { size, gaps } = part;
  const terms = model.random.length;
  const residual = theta[terms];
  const v = gaps
    ? serialMatrix(gaps, theta[terms + 1], 'correlation')
    : new Float64Array(size * size);
  if (gaps) for (let k = 0; k < v.length; k++) v[k] *= residual;
  else for (let a = 0; a < size; a++) v[a * size + a] = residual;
  part.codes.forEach((codes, k) => {
    const variance = theta[k];
    if (variance === 0) return;
    for (let a = 0; a < size; a++) {
      for (let b = 0; b < size; b++) if (codes[a] === codes[b]) v[a * size + b] += variance;
    }
  });
  return v;
}

/** A symmetric size x size matrix of one part, by how it multiplies. */
export type Slope =
  | { readonly kind: 'levels'; readonly codes: Int32Array; readonly levels: number }
  | { readonly kind: 'identity' }
  | { readonly kind: 'dense'; readonly matrix: Float64Array };

/** Derivative of a part's covariance by each parameter. */
export function slopesOf(model: Model, part: Part, theta: Theta): Slope[] {
  const terms = model.random.length;
  const byLevel = part.codes.map(
    (codes, k): Slope => ({ kind: 'levels', codes, levels: part.levels[k] }),
  );
  const { gaps } = part;
  if (!gaps) return [...byLevel, { kind: 'identity' }];
  const rho = theta[terms + 1];
  const turn = serialMatrix(gaps, rho, 'first');
  for (let k = 0; k < turn.length; k++) turn[k] *= theta[terms];
  return [
    ...byLevel,
    { kind: 'dense', matrix: serialMatrix(gaps, rho, 'correlation') },
    { kind: 'dense', matrix: turn },
  ];
}

/** slope x m, for m with `size` rows and `width` columns, row-major. */
export function timesSlope(slope: Slope, m: Float64Array, width: number): Float64Array {
  if (slope.kind === 'identity') return m;
  const size = m.length / width;
  const out = new Float64Array(m.length);
  if (slope.kind === 'levels') {
    const { codes, levels } = slope;
    const sums = new Float64Array(levels * width);
    for (let a = 0; a < size; a++) {
      const at = codes[a] * width;
      for (let j = 0; j < width; j++) sums[at + j] += m[a * width + j];
    }
    for (let a = 0; a < size; a++) {
      out.set(sums.subarray(codes[a] * width, (codes[a] + 1) * width), a * width);
    }
    return out;
  }
  for (let a = 0; a < size; a++) {
    for (let b = 0; b < size; b++) {
      const weight = slope.matrix[a * size + b];
      if (weight === 0) continue;
      for (let j = 0; j < width; j++) out[a * width + j] += weight * m[b * width + j];
    }
  }
  return out;
}

/** Sum of slope_ab * m_ab over a part, m symmetric size x size: the trace of their product. */
export function traceWith(slope: Slope, m: Float64Array, size: number): number {
  let sum = 0;
  if (slope.kind === 'identity') {
    for (let a = 0; a < size; a++) sum += m[a * size + a];
    return sum;
  }
  if (slope.kind === 'dense') {
    for (let k = 0; k < m.length; k++) sum += slope.matrix[k] * m[k];
    return sum;
  }
  const { codes } = slope;
  for (let a = 0; a < size; a++) {
    for (let b = 0; b < size; b++) if (codes[a] === codes[b]) sum += m[a * size + b];
  }
  return sum;
}
