import { type Likelihood, logChoose, logistic } from './likelihood';

/**
 * Sums over j = 0..count-1 of log(m + j r) and of its derivatives. `s[k]` = sum (m + j r)^-k,
 * `t[k]` = sum j (m + j r)^-k.
 */
type Rising = { log: number; s: [number, number, number]; t: [number, number, number] };

const rising = (m: number, r: number, count: number, into: Rising): void => {
  let log = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let t1 = 0;
  let t2 = 0;
  let t3 = 0;
  for (let j = 0; j < count; j++) {
    const a = m + j * r;
    const v = 1 / a;
    const v2 = v * v;
    log += Math.log(a);
    s1 += v;
    s2 += v2;
    s3 += v2 * v;
    t1 += j * v;
    t2 += j * v2;
    t3 += j * v2 * v;
  }
  into.log = log;
  into.s = [s1, s2, s3];
  into.t = [t1, t2, t3];
};

const newRising = (): Rising => ({ log: 0, s: [0, 0, 0], t: [0, 0, 0] });

/**
 * Beta-binomial counts, logit mean m, precision phi = alpha + beta, written with r = 1/phi as
 * rising products: log C(n, y) + sum_{j<y} log(m + j r) + sum_{j<n-y} log(1 - m + j r)
 * - sum_{j<n} log(1 + j r) (Griffiths 1973, Biometrics 29:637-648, eq. 2, divided through by phi).
 * This form needs no gamma functions and holds at r = 0, where it is the binomial. The one shape
 * parameter is the root t of r = t^2: the likelihood is even and smooth in t, so that "no
 * overdispersion" is an ordinary stationary point, t = 0.
 */
export const betaBinomialLikelihood = (
  successes: ArrayLike<number>,
  trials: ArrayLike<number>,
): Likelihood => {
  const rows = successes.length;
  const y = Int32Array.from(successes);
  const n = Int32Array.from(trials);
  const constant = Float64Array.from(y, (v, i) => logChoose(n[i], v));
  const up = newRising();
  const down = newRising();
  const whole = newRising();
  return {
    rows,
    shapes: 1,
    evaluate: (eta, shape, { value, first, second, third }) => {
      const r = shape[0] ** 2;
      let total = 0;
      for (let i = 0; i < rows; i++) {
        const p = logistic(eta[i]);
        const q = logistic(-eta[i]);
        rising(p, r, y[i], up);
        rising(q, r, n[i] - y[i], down);
        rising(1, r, n[i], whole);
        const m1 = up.s[0] - down.s[0];
        const m2 = -up.s[1] - down.s[1];
        const m3 = 2 * (up.s[2] - down.s[2]);
        const p1 = p * q;
        const p2 = p1 * (q - p);
        const p3 = p1 * (1 - 6 * p1);
        value[i] = constant[i] + up.log + down.log - whole.log;
        first[i] = m1 * p1;
        second[i] = m2 * p1 * p1 + m1 * p2;
        third[i] = m3 * p1 ** 3 + 3 * m2 * p1 * p2 + m1 * p3;
        total += value[i];
      }
      return total;
    },
    addShapeGradient: (eta, shape, weights, gradient) => {
      const r = shape[0] ** 2;
      let sum = 0;
      for (let i = 0; i < rows; i++) {
        const p = logistic(eta[i]);
        const q = logistic(-eta[i]);
        rising(p, r, y[i], up);
        rising(q, r, n[i] - y[i], down);
        rising(1, r, n[i], whole);
        const p1 = p * q;
        const m1 = down.t[1] - up.t[1];
        const m2 = 2 * (up.t[2] + down.t[2]);
        sum +=
          weights.value[i] * (up.t[0] + down.t[0] - whole.t[0]) +
          weights.first[i] * m1 * p1 +
          weights.second[i] * (m2 * p1 * p1 + m1 * p1 * (q - p));
      }
      gradient[0] += sum * 2 * shape[0];
    },
  };
};
