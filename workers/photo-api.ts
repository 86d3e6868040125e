/**
 * The photo worker's one interface: photographs that the browser cannot open, or not with all their bits.
 * Expected failure is a value; a throw is a bug.
 */
import type { DecodedPhoto } from '../src/photo/decode.ts';
import type { PhotoFault } from '../src/photo/fault.ts';

export interface ShownPhoto extends DecodedPhoto {
  /** The same, 8 bits, for the screen; its longer side is at most 4096 px. */
  readonly likeness: Blob;
}

export interface PhotoWorkerApi {
  /** @param bytes of a file that is this code's own to decode; transferred, as the picture is. */
  decode(bytes: Uint8Array): Promise<ShownPhoto | PhotoFault>;
}
