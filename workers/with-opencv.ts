/** Work that needs OpenCV, with its errors made plain. */
import { opencvError, type OpenCv } from '../src/reading/opencv.ts';
import { openCv } from './opencv-start.ts';

/** OpenCV throws numbers, and once its memory is spoilt nothing of it can be trusted again. */
export async function withOpenCv<T>(work: (cv: OpenCv) => T | Promise<T>): Promise<T> {
  const { cv } = await openCv();
  try {
    return await work(cv);
  } catch (thrown) {
    if (thrown instanceof WebAssembly.RuntimeError) {
      // Uncaught on purpose: whoever started this worker hears of it and starts another.
      setTimeout(() => {
        throw thrown;
      });
    }
    throw opencvError(cv, thrown);
  }
}
