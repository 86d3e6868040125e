/**
 * `npm run kernel`: compiles src/colour/delta-e-kernel.as (AssemblyScript) and writes the machine code
 * into src/colour/delta-e-kernel-code.ts. A test holds the two together.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const SOURCE = new URL('../colour/delta-e-kernel.as', import.meta.url);
const CODE = new URL('../colour/delta-e-kernel-code.ts', import.meta.url);

/** The text of delta-e-kernel-code.ts as the source gives it. Throws with the compiler's complaint. */
export async function compiledKernel(): Promise<string> {
  const source = readFileSync(SOURCE, 'utf8');
  let wasm: Uint8Array | undefined;
  let complaint = '';
  const { error } = await asc.main(
    [
      'kernel.ts',
      '-O3',
      '--noAssert',
      '--enable',
      'simd',
      '--runtime',
      'stub',
      '--initialMemory',
      '2',
      '-o',
      'kernel',
    ],
    {
      // The compiler asks for .ts; the source has its own suffix so that nobody takes it for TypeScript.
      readFile: (name) => (name === 'kernel.ts' ? source : null),
      writeFile: (_name, contents) => {
        wasm = contents as Uint8Array;
      },
      listFiles: () => [],
      stderr: {
        write: (text) => {
          complaint += String(text);
        },
      },
    },
  );
  if (error || !wasm) throw new Error(`delta-e-kernel.as does not compile: ${complaint}`);
  return `/** Compiled from delta-e-kernel.as by \`npm run kernel\`: WebAssembly, hexadecimal. */
export const KERNEL_CODE =
  '${Buffer.from(wasm).toString('hex')}';
`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(CODE, await compiledKernel());
