/** The text of a QR code in a picture: by the browser where it can, else by a decoder loaded then. */
import type { EncodedPicture } from '../../reading/types.ts';

// W3C Shape Detection, which TypeScript's DOM library leaves out.
interface Detector {
  detect(source: ImageData): Promise<readonly { readonly rawValue: string }[]>;
}
interface DetectorClass {
  new (options: { readonly formats: readonly string[] }): Detector;
  getSupportedFormats(): Promise<readonly string[]>;
}

/** @param picture 8 bits a channel; @returns undefined where no code is seen */
export async function qrText({ width, height, rgba }: EncodedPicture): Promise<string | undefined> {
  const codes = Uint8ClampedArray.from(rgba);
  const Detect = (globalThis as { BarcodeDetector?: DetectorClass }).BarcodeDetector;
  if (Detect && (await Detect.getSupportedFormats()).includes('qr_code')) {
    const found = await new Detect({ formats: ['qr_code'] }).detect(
      new ImageData(codes, width, height),
    );
    return found[0]?.rawValue;
  }
  const { default: decode } = await import('qr/decode.js');
  try {
    return decode({ width, height, data: codes }, { timeLimit: 500 });
  } catch {
    // It says by an error that it sees none.
    return undefined;
  }
}
