// Assembles the kernels of src/exact with the npm package wabt and embeds them as text, so that the
// room ships them without a loader: `node packages/stats/kernel/build.mjs`.
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import wabt from 'wabt';

const inSource = (name) => new URL(`../src/exact/${name}`, import.meta.url);

/** The bytes of a kernel (`kernel` or `family-kernel`), built from its source. */
export async function buildKernel(name) {
  const tool = await wabt();
  const source = readFileSync(inSource(`${name}.wat`), 'utf8');
  const module = tool.parseWat(`${name}.wat`, source, { simd: true });
  try {
    module.resolveNames();
    module.validate({ simd: true });
    return module.toBinary({ write_debug_names: false }).buffer;
  } finally {
    module.destroy();
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const [name, constant] of [
    ['kernel', 'KERNEL_BASE64'],
    ['family-kernel', 'FAMILY_KERNEL_BASE64'],
  ]) {
    const text = Buffer.from(await buildKernel(name)).toString('base64');
    const lines = text.match(/.{1,88}/g).map((line) => `  '${line}'`);
    writeFileSync(
      inSource(`${name}-bytes.ts`),
      `/** ${name}.wat, assembled by kernel/build.mjs; do not edit. */\nexport const ${constant} = [\n${lines.join(',\n')},\n].join('');\n`,
    );
    process.stdout.write(`${name}: ${Buffer.from(text, 'base64').length} bytes\n`);
  }
}
