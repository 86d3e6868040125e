/** TIFF 6.0 photographs, 8 and 16 bits, grey or RGB, as they are or by LZW, Deflate or PackBits. */
import { decompress } from '@developmentseed/lzw-tiff-decoder';
import { addDecoder, BaseDecoder, fromArrayBuffer } from 'geotiff';
import { unsupported, type PhotoFault } from './fault.ts';
import { asCodes16, rgbaOf, upright, type Samples } from './samples.ts';
import { bytesOfTag, firstDirectory, TAG, type TiffTags } from './tiff-header.ts';

const LZW = 5;
/** None, LZW, Deflate by both its numbers, PackBits (TIFF 6.0, tag 259). */
const COMPRESSIONS = [1, LZW, 8, 32946, 32773];
/** Black is zero, RGB (TIFF 6.0, tag 262). */
const PHOTOMETRICS = [1, 2];

/** geotiff's own takes more than a second for a megapixel. */
class FastLzw extends BaseDecoder {
  override decodeBlock(block: ArrayBufferLike): ArrayBufferLike {
    const { tileWidth, tileHeight, bitsPerSample } = this.parameters;
    const bits = typeof bitsPerSample === 'number' ? [bitsPerSample] : Array.from(bitsPerSample);
    const most = (tileWidth * tileHeight * bits.reduce((sum, each) => sum + each, 0)) / 8;
    return decompress(new Uint8Array(block), most).buffer;
  }
}
addDecoder(LZW, () => Promise.resolve(FastLzw));

export async function decodeTiff(bytes: Uint8Array): Promise<Samples | PhotoFault> {
  const buffer = bytes.slice().buffer;
  const view = new DataView(buffer);
  const tags = firstDirectory(view)!;
  const kind = notOurs(tags);
  if (kind) return unsupported(kind);
  const picture = await (await fromArrayBuffer(buffer)).getImage(0);
  const raster = await picture.readRasters({ interleave: true });
  if (!(raster instanceof Uint8Array || raster instanceof Uint16Array)) {
    return unsupported('a TIFF of another kind of numbers');
  }
  const { width, height } = raster;
  const bits = tags.get(TAG.bitsPerSample)![0]!;
  const rgba = rgbaOf(asCodes16(raster, bits), picture.getSamplesPerPixel());
  const icc = bytesOfTag(view, TAG.iccProfile);
  return {
    ok: true,
    ...upright({ width, height, rgba }, tags.get(TAG.orientation)?.[0] ?? 1),
    bits,
    ...(icc && { icc }),
  };
}

/** What kind of TIFF it is that this does not read; undefined: one that it does. */
function notOurs(tags: TiffTags): string | undefined {
  const first = (tag: number, absent: number) => tags.get(tag)?.[0] ?? absent;
  const bits = tags.get(TAG.bitsPerSample) ?? [1];
  if (!COMPRESSIONS.includes(first(TAG.compression, 1))) return 'a TIFF compressed in another way';
  if (!PHOTOMETRICS.includes(first(TAG.photometric, -1))) return 'a TIFF in other than RGB or grey';
  if (first(TAG.sampleFormat, 1) !== 1) return 'a TIFF of numbers with a point';
  if (!bits.every((each) => each === bits[0] && (each === 8 || each === 16))) {
    return `a TIFF of ${bits[0]} bits`;
  }
  return undefined;
}
