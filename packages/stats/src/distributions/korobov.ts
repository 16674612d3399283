const primes: number[] = [];

/**
 * Fractional parts of the square roots of the first primes, at least `count` of them: their multiples
 * fill the cube evenly (Richtmyer 1951), which makes them shifts.
 */
function primeShifts(count: number): number[] {
  for (let n = (primes.at(-1) ?? 1) + 1; primes.length < count; n++) {
    if (primes.every((prime) => n % prime !== 0)) primes.push(n);
  }
  return primes.map((prime) => Math.sqrt(prime) % 1);
}

/** Multipliers tried for one lattice, evenly spread. */
const MOST_TRIED = 250;

const vectors = new Map<string, readonly number[]>();

/**
 * Korobov's generating vector (1, a, a^2, ...) / size with the smallest worst-case error P_2 for smooth
 * periodic integrands (Sloan & Joe 1994, Lattice Methods for Multiple Integration, section 4.5). `size` is a prime; the
 * best of at most 250 multipliers is taken.
 */
export function generatingVector(size: number, dimensions: number): readonly number[] {
  const name = `${size}:${dimensions}`;
  const known = vectors.get(name);
  if (known) return known;
  let best: number[] = [];
  let least = Infinity;
  const stride = Math.max(1, Math.floor(size / (2 * MOST_TRIED)));
  for (let a = 2; a <= (size - 1) / 2; a += stride) {
    const powers = [1];
    while (powers.length < dimensions) powers.push((powers[powers.length - 1] * a) % size);
    const error = worstCase(size, powers, least);
    if (error < least) {
      least = error;
      best = powers;
    }
  }
  const vector = best.map((power) => power / size);
  vectors.set(name, vector);
  return vector;
}

/** Sum over the lattice of prod(1 + 2 pi^2 B_2(x)), given up once above `enough`. */
function worstCase(size: number, powers: readonly number[], enough: number): number {
  let sum = 0;
  for (let i = 0; i < size && sum < enough; i++) {
    let product = 1;
    for (const power of powers) {
      const x = ((i * power) % size) / size;
      product *= 1 + 2 * Math.PI * Math.PI * (x * x - x + 1 / 6);
    }
    sum += product;
  }
  return sum;
}

/**
 * The points of a lattice with the shift of a numbered cell (1, 2, ...), by rows, inside the open cube.
 * The baker's transformation makes the integrand periodic, which doubles the order of the rule.
 */
export function cellPoints(size: number, vector: readonly number[], cell: number): Float64Array {
  const dimensions = vector.length;
  const shifts = primeShifts(dimensions);
  const points = new Float64Array(size * dimensions);
  for (let n = 0; n < size; n++) {
    for (let j = 0; j < dimensions; j++) {
      const raw = n * vector[j] + cell * shifts[j];
      points[n * dimensions + j] = Math.abs(2 * (raw - Math.floor(raw)) - 1);
    }
  }
  return points;
}
