/** Starts OpenCV on Node, from the installed package, by the same factory as the bench worker. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import {
  opencvFactorySource,
  startOpenCv,
  type OpenCv,
  type OpenCvFactory,
} from '../reading/opencv.ts';

let started: OpenCv | undefined;

export function nodeOpenCv(): OpenCv {
  if (!started) {
    const require = createRequire(import.meta.url);
    const source = readFileSync(require.resolve('opencv-wasm/opencv.js'), 'utf8');
    const wasmBytes = readFileSync(require.resolve('opencv-wasm/opencv.wasm'));
    // The package ships one script for Node's module system; this is the only way to hand it a Module.
    // eslint-disable-next-line @typescript-eslint/no-implied-eval
    const factory = new Function('Module', opencvFactorySource(source)) as OpenCvFactory;
    started = startOpenCv(factory, wasmBytes);
  }
  return started;
}
