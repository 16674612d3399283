// Runs `npm ci` only when the lock file differs from the one last installed, so that
// `npm start` and `npm test` do all the set-up on a fresh clone and none the second time.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const stamp = join(root, 'node_modules', '.installed-lock');
const hash = createHash('sha256')
  .update(readFileSync(join(root, 'package-lock.json')))
  .digest('hex');

// Called by the install itself (`prepare`): what is there now is what the lock file says.
if (process.argv.includes('--installed')) writeFileSync(stamp, hash);
else if (!existsSync(stamp) || readFileSync(stamp, 'utf8') !== hash) {
  process.stderr.write('Installing what Fairbed is built from (once; about a minute) ...\n');
  const { status } = spawnSync('npm', ['ci', '--no-fund', '--no-audit', '--loglevel=error'], {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    shell: process.platform === 'win32',
  });
  if (status !== 0) {
    process.stderr.write(
      'npm ci did not finish. Check the connection, then run the same command again.\n',
    );
    process.exit(1);
  }
  writeFileSync(stamp, hash);
}
