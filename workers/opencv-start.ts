/** Loads OpenCV once, after the worker has answered its first messages. */
import wasmUrl from 'opencv-wasm/opencv.wasm?url';
import { startOpenCv, type OpenCv, type OpenCvFactory } from '../src/reading/opencv.ts';

let loading: Promise<{ readonly cv: OpenCv; readonly startMs: number }> | undefined;

/** Rejects when it cannot be fetched; the next call tries again. */
export function openCv(): Promise<{ readonly cv: OpenCv; readonly startMs: number }> {
  loading ??= load().catch((error: unknown) => {
    loading = undefined;
    throw error;
  });
  return loading;
}

async function load(): Promise<{ cv: OpenCv; startMs: number }> {
  const begin = performance.now();
  const [script, compiled] = await Promise.all([import('opencv-wasm/opencv.js'), compile()]);
  // The build turns this script into a factory (opencv-plugin.ts); the package's own types speak of Node.
  const factory = (script as unknown as { default: OpenCvFactory }).default;
  const cv = startOpenCv(factory, compiled);
  return { cv, startMs: performance.now() - begin };
}

async function compile(): Promise<WebAssembly.Module> {
  const response = await fetch(wasmUrl);
  if (!response.ok) throw new Error(`the reading engine could not be loaded (${response.status})`);
  const isWasm = response.headers.get('content-type')?.startsWith('application/wasm');
  // Some servers do not know the type, and streaming insists on it.
  return isWasm
    ? await WebAssembly.compileStreaming(response)
    : await WebAssembly.compile(await response.arrayBuffer());
}
