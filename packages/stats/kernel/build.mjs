// Assembles src/exact/kernel.wat with the npm package wabt and embeds it as text, so that the room
// ships the kernel without a loader: `node packages/stats/kernel/build.mjs`.
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import wabt from 'wabt';

const source = new URL('../src/exact/kernel.wat', import.meta.url);
const target = new URL('../src/exact/kernel-bytes.ts', import.meta.url);

/** The kernel's bytes, built from its source. */
export async function buildKernel() {
  const tool = await wabt();
  const module = tool.parseWat('kernel.wat', readFileSync(source, 'utf8'), { simd: true });
  try {
    module.resolveNames();
    module.validate({ simd: true });
    return module.toBinary({ write_debug_names: false }).buffer;
  } finally {
    module.destroy();
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const text = Buffer.from(await buildKernel()).toString('base64');
  const lines = text.match(/.{1,88}/g).map((line) => `  '${line}'`);
  writeFileSync(
    target,
    `/** kernel.wat, assembled by kernel/build.mjs; do not edit. */\nexport const KERNEL_BASE64 = [\n${lines.join(',\n')},\n].join('');\n`,
  );
  process.stdout.write(`kernel: ${Buffer.from(text, 'base64').length} bytes\n`);
}
