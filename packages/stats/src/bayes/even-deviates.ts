import { normalQuantile } from '../distributions/normal';

const firstPrimes = (count: number): number[] => {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n++) {
    if (primes.every((prime) => n % prime !== 0)) primes.push(n);
  }
  return primes;
};

const known = new Map<string, Float64Array>();

/**
 * Standard normal deviates in `dimensions` columns, laid out evenly instead of at random: multiples
 * of the square roots of the first primes fill the cube (Richtmyer 1951), the normal quantile
 * carries them over. One column more is left uniform in (0, 1), for a choice. They are the same
 * every time, so they are kept.
 */
export const evenDeviates = (count: number, dimensions: number): Float64Array => {
  const name = `${count}:${dimensions}`;
  const points = known.get(name) ?? layOutDeviates(count, dimensions);
  known.set(name, points);
  return points;
};

const layOutDeviates = (count: number, dimensions: number): Float64Array => {
  const steps = firstPrimes(dimensions + 1).map((prime) => Math.sqrt(prime) % 1);
  const width = dimensions + 1;
  const points = new Float64Array(count * width);
  for (let n = 0; n < count; n++) {
    for (let j = 0; j < width; j++) {
      const share = Math.max(1e-12, ((n + 1) * steps[j] + 0.5) % 1);
      points[n * width + j] = j < dimensions ? normalQuantile(share) : share;
    }
  }
  return points;
};
