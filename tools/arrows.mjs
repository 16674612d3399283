// Holds every import against the list of arrows, and makes sure that there was something to
// hold: a cruiser that reads no file would pass everything.
import { cruise } from 'dependency-cruiser';
import extractConfig from 'dependency-cruiser/config-utl/extract-depcruise-config';

const config = await extractConfig(new URL('../.dependency-cruiser.cjs', import.meta.url).pathname);
const { output } = await cruise(['packages', 'app/src', 'cli/src'], {
  ...config.options,
  ruleSet: config,
  validate: true,
});
const { violations, totalCruised } = output.summary;
for (const { rule, from, to, cycle } of violations) {
  const path = cycle ? ` (${cycle.map((step) => step.name ?? step).join(' -> ')})` : '';
  process.stderr.write(`${rule.name}: ${from} -> ${to}${path}\n`);
}
if (totalCruised < 10) {
  process.stderr.write(`Only ${totalCruised} modules were read; the check is not working.\n`);
  process.exit(1);
}
process.stdout.write(`${totalCruised} modules, ${violations.length} forbidden arrows\n`);
process.exit(violations.length === 0 ? 0 : 1);
