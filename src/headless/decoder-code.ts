/** The decoders' WebAssembly on Node, from the installed packages. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { DecoderCode } from '../photo/libraries.ts';

const require = createRequire(import.meta.url);
const code = (file: string) => () => readFile(require.resolve(file));

export const nodeDecoderCode: DecoderCode = {
  colour: code('lcms-wasm/dist/lcms.wasm'),
  heif: code('libheif-js/libheif-wasm/libheif.wasm'),
  raw: code('libraw-wasm/dist/libraw.wasm'),
};
