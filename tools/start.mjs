// The main job on a fresh clone: builds the command line and the app, prints what the demo
// trial's verdict is, and serves the app on this machine only.
import { spawnSync } from 'node:child_process';

const quiet = { shell: true, stdio: ['ignore', 'ignore', 'inherit'] };
process.stdout.write('Building Fairbed ...\n');
for (const command of ['node tools/build-cli.mjs', 'npx vite build app --logLevel error']) {
  if (spawnSync(command, quiet).status !== 0) {
    process.stderr.write(`The build stopped at: ${command}\n`);
    process.exit(3);
  }
}
const cli = ['cli/bin/fairbed.js'];
spawnSync(process.execPath, [...cli, 'judge', '--demo'], { stdio: 'inherit' });
const { status } = spawnSync(process.execPath, [...cli, 'serve', ...process.argv.slice(2)], {
  stdio: 'inherit',
});
process.exit(status ?? 0);
