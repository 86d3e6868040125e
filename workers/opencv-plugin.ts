/**
 * Vite transform that turns `opencv-wasm/opencv.js`, made for Node's module system, into an ES
 * module whose default export is a factory taking the Module (see src/reading/opencv.ts).
 */
import type { Plugin } from 'vite';
import { opencvFactorySource } from '../src/reading/opencv.ts';

export function opencvPlugin(): Plugin {
  return {
    name: 'opencv-wasm-factory',
    enforce: 'pre',
    transform(source, id) {
      if (!/opencv-wasm[\\/]opencv\.js/.test(id)) return undefined;
      return {
        code: `export default function (Module) {\n${opencvFactorySource(source)}\n}`,
        map: null,
      };
    },
  };
}
