// Remakes the committed answers of R and compares them number by number.
// `npm run oracle` runs every script in packages/stats/oracle/R; `npm run oracle -- mixed cases_b` those
// whose name contains a word. The answers go to a temporary folder: the committed ones are never touched.
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const oracle = fileURLToPath(new URL('../packages/stats/oracle/', import.meta.url));
const say = (line) => process.stdout.write(`${line}\n`);

const libraries = (script) =>
  [...readFileSync(join(oracle, 'R', script), 'utf8').matchAll(/library\((\w+)\)/g)].map(
    ([, name]) => name,
  );

const starts = (command) => spawnSync(command, ['--version'], { stdio: 'ignore' }).status === 0;

/** The R packages that are missing; all of them where R itself is. */
function missing(packages) {
  if (!starts('Rscript')) return packages;
  const list = packages.map((name) => `"${name}"`).join(',');
  const code = `cat(Filter(function(p) !requireNamespace(p, quietly = TRUE), c(${list})))`;
  const { stdout } = spawnSync('Rscript', ['-e', code], { encoding: 'utf8' });
  return stdout.trim().split(/\s+/).filter(Boolean);
}

/** Debian's R, where this may be installed. */
function install(packages) {
  const root = process.getuid?.() === 0;
  if (!root || !starts('apt-get')) return;
  const debian = ['r-base-core', ...packages.map((name) => `r-cran-${name.toLowerCase()}`)];
  say(`Installing ${debian.join(' ')} ...`);
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const options = { stdio: ['ignore', 'ignore', 'inherit'], env };
  spawnSync('apt-get', ['update', '-qq'], options);
  spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...debian], options);
}

function run(script, folder) {
  const started = Date.now();
  return new Promise((done) => {
    const child = spawn('Rscript', ['--vanilla', join(oracle, 'R', script), folder]);
    let said = '';
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (part) => (said += part));
    child.on('error', (error) => done({ script, status: 1, said: String(error), seconds: 0 }));
    child.on('close', (status) => {
      done({ script, status, said, seconds: (Date.now() - started) / 1000 });
    });
  });
}

/** Runs every script, as many at once as there are processors; the slow ones are begun first. */
async function runAll(scripts, folder) {
  const slow = ['linear.R', 'cases_a.R'];
  const rank = (script) => (slow.includes(script) ? slow.indexOf(script) : slow.length);
  const queue = [...scripts].sort((a, b) => rank(a) - rank(b));
  const results = [];
  const worker = async () => {
    for (let next = queue.shift(); next !== undefined; next = queue.shift()) {
      results.push(await run(next, folder));
    }
  };
  await Promise.all(Array.from({ length: Math.max(1, availableParallelism()) }, worker));
  return results;
}

const covers = (rule, path) =>
  rule.length <= path.length && rule.every((step, i) => step === '*' || step === path[i]);

/** The tolerance for a place in the answers: the longest rule that covers it, else `default`. */
function toleranceAt(tolerances, path) {
  let best = { length: 0, tolerance: tolerances.default ?? {} };
  for (const [key, tolerance] of Object.entries(tolerances)) {
    const rule = key.split('/');
    if (key === 'default' || rule.length < best.length || !covers(rule, path)) continue;
    best = { length: rule.length, tolerance };
  }
  return best.tolerance;
}

const near = (old, remade, { abs = 0, rel = 0 }) =>
  Math.abs(remade - old) <= abs || Math.abs(remade - old) <= rel * Math.abs(old);

/**
 * Walks both answers together. A committed null is R's NA and is skipped; anything present on one
 * side only is a difference.
 */
function compare(old, remade, tolerances, path = []) {
  const at = path.join('/');
  if (old === null) return { numbers: 0, skipped: 1, faults: [] };
  if (typeof old === 'number') {
    const tolerance = toleranceAt(tolerances, path);
    const ok = typeof remade === 'number' && near(old, remade, tolerance);
    const faults = ok
      ? []
      : [`${at}: committed ${old}, remade ${remade}, allowed ${JSON.stringify(tolerance)}`];
    return { numbers: 1, skipped: 0, faults };
  }
  if (typeof old !== 'object') {
    const faults = old === remade ? [] : [`${at}: committed ${old}, remade ${remade}`];
    return { numbers: 0, skipped: 0, faults };
  }
  if (remade === null || typeof remade !== 'object') {
    return { numbers: 0, skipped: 0, faults: [`${at}: committed a list, remade ${remade}`] };
  }
  const total = { numbers: 0, skipped: 0, faults: [] };
  for (const key of new Set([...Object.keys(old), ...Object.keys(remade)])) {
    if (!(key in old) || !(key in remade)) {
      const where = key in old ? 'only committed' : 'only remade';
      total.faults.push(`${[...path, key].join('/')}: ${where}`);
      continue;
    }
    const part = compare(old[key], remade[key], tolerances, [...path, key]);
    total.numbers += part.numbers;
    total.skipped += part.skipped;
    total.faults.push(...part.faults);
  }
  return total;
}

const readJson = (file) => JSON.parse(readFileSync(file, 'utf8'));

/** One line a case, and a line for every number that differs; true where all agree. */
function report(name, folder) {
  const committed = join(oracle, `${name}.json`);
  if (!existsSync(committed)) {
    say(`FAIL ${name}: a script makes it, but no such answers are committed`);
    return false;
  }
  const old = readJson(committed);
  const remade = readJson(join(folder, `${name}.json`));
  const { numbers, skipped, faults } = compare(old.expected, remade.expected, old.tolerances);
  const also = skipped > 0 ? `, ${skipped} not available in R` : '';
  say(
    `${faults.length === 0 ? 'ok  ' : 'FAIL'} ${name}: ${numbers} numbers, ${faults.length} differ${also}`,
  );
  for (const fault of faults.slice(0, 20)) say(`       ${fault}`);
  if (faults.length > 20) say(`       and ${faults.length - 20} more`);
  return faults.length === 0;
}

/** Made with rstanarm, which takes minutes to compile and is asked of nobody. */
const madeElsewhere = new Set(['h_bayes_cbpp.json', 'h_bayes_leaf_4x4x6.json']);

const isCaseOfR = (file) =>
  file.endsWith('.json') && readJson(join(oracle, file)).meta?.R !== undefined;

async function main(words) {
  const scripts = readdirSync(join(oracle, 'R')).filter(
    (file) =>
      file.endsWith('.R') &&
      file !== 'lib.R' &&
      (words.length === 0 || words.some((word) => file.includes(word))),
  );
  if (scripts.length === 0) {
    say(`No script in packages/stats/oracle/R has a name with: ${words.join(', ')}.`);
    return 1;
  }
  const packages = [...new Set(scripts.flatMap(libraries))].sort();
  if (missing(packages).length > 0 || !starts('Rscript')) install(packages);
  if (!starts('Rscript') || missing(packages).length > 0) {
    const debian = ['r-base-core', ...packages.map((name) => `r-cran-${name.toLowerCase()}`)];
    say(
      `R or one of its packages (${packages.join(', ')}) is missing and can't be installed from here, so nothing was compared. On Debian: sudo apt-get install ${debian.join(' ')}`,
    );
    return 1;
  }
  const folder = mkdtempSync(join(tmpdir(), 'oracle-'));
  try {
    const results = await runAll(scripts, folder);
    let ok = true;
    for (const { script, status, said, seconds } of results) {
      say(`${status === 0 ? 'ran ' : 'FAIL'} R/${script} (${seconds.toFixed(0)} s)`);
      if (status === 0) continue;
      ok = false;
      say(said.trim());
    }
    const made = readdirSync(folder).map((file) => file.slice(0, -'.json'.length));
    for (const name of made.sort()) ok = report(name, folder) && ok;
    if (words.length === 0) {
      for (const file of readdirSync(oracle).filter(isCaseOfR)) {
        if (made.includes(file.slice(0, -'.json'.length))) continue;
        if (madeElsewhere.has(file)) {
          say(
            `left ${file}: its package of R is not installed here (packages/stats/oracle/h_bayes.R)`,
          );
          continue;
        }
        say(`FAIL ${file}: no script made it again`);
        ok = false;
      }
    }
    say(ok ? 'R gives the committed answers again.' : 'R does not give the committed answers.');
    return ok ? 0 : 1;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

process.exitCode = await main(process.argv.slice(2));
