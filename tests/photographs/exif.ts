/**
 * Exif data written by hand after CIPA DC-008-2019: 4.5 (TIFF's layout), 4.6.5 (tags of how a picture was
 * taken), 4.6.6 (tags of place), and how JPEG (4.5.4), PNG (third edition, § 11.3.3.5) and TIFF carry them.
 */
import { crc32 } from 'node:zlib';
import { big, joined, latin, viewOf, zeros } from './bytes.ts';
import { tiffWith } from './with-tags.ts';

export interface ExifWish {
  /** Ratios are written as they stand. */
  readonly time?: readonly [number, number];
  readonly fNumber?: readonly [number, number];
  readonly iso?: number;
  readonly flash?: number;
}

const [ASCII, SHORT, LONG, RATIONAL] = [2, 3, 4, 5];
/** Bytes of one value. */
const SIZE: Readonly<Record<number, number>> = { 2: 1, 3: 2, 4: 4, 5: 8 };

type Entry = readonly [tag: number, type: number, values: readonly number[]];

/** A directory that begins at `at` of its file, its long values right behind it. */
function directory(entries: readonly Entry[], at: number, little: boolean): Uint8Array {
  const head = 2 + 12 * entries.length + 4;
  const sizeOf = ([, type, values]: Entry) =>
    (SIZE[type]! * values.length) / (type === RATIONAL ? 2 : 1);
  const behind = entries.reduce((sum, entry) => sum + (sizeOf(entry) > 4 ? sizeOf(entry) : 0), 0);
  const view = new DataView(new ArrayBuffer(head + behind));
  view.setUint16(0, entries.length, little);
  let end = head;
  entries.forEach((entry, i) => {
    const [tag, type, values] = entry;
    const place = 2 + 12 * i;
    const size = sizeOf(entry);
    view.setUint16(place, tag, little);
    view.setUint16(place + 2, type, little);
    view.setUint32(place + 4, values.length / (type === RATIONAL ? 2 : 1), little);
    if (size > 4) view.setUint32(place + 8, at + end, little);
    let to = size > 4 ? end : place + 8;
    for (const value of values) {
      if (type === ASCII) view.setUint8(to, value);
      else if (type === SHORT) view.setUint16(to, value, little);
      else view.setUint32(to, value, little);
      to += type === RATIONAL ? 4 : SIZE[type]!;
    }
    if (size > 4) end += size;
  });
  return new Uint8Array(view.buffer);
}

const takenBy = ({ time, fNumber, iso, flash }: ExifWish): Entry[] => [
  ...(time ? [[0x829a, RATIONAL, time] as const] : []), // ExposureTime
  ...(fNumber ? [[0x829d, RATIONAL, fNumber] as const] : []), // FNumber
  ...(iso === undefined ? [] : [[0x8827, SHORT, [iso]] as const]), // PhotographicSensitivity
  ...(flash === undefined ? [] : [[0x9209, SHORT, [flash]] as const]), // Flash
];

/** A whole block, with a maker and a place beside what is wished for: who reads these reads too much. */
export function exifBlock(wish: ExifWish, little = true): Uint8Array {
  const make = [...latin('Invented\0\0')];
  const first = (exif: number, place: number) =>
    directory(
      [
        [0x010f, ASCII, make],
        [0x8769, LONG, [exif]],
        [0x8825, LONG, [place]],
      ],
      8,
      little,
    );
  const exifAt = 8 + first(0, 0).length;
  const exif = directory(takenBy(wish), exifAt, little);
  const placeAt = exifAt + exif.length;
  const place = directory(
    [
      [1, ASCII, [...latin('N\0')]], // GPSLatitudeRef
      [2, RATIONAL, [12, 1, 34, 1, 56, 1]], // GPSLatitude
    ],
    placeAt,
    little,
  );
  const header = new DataView(new ArrayBuffer(8));
  header.setUint16(0, little ? 0x4949 : 0x4d4d);
  header.setUint16(2, 42, little);
  header.setUint32(4, 8, little);
  return joined(new Uint8Array(header.buffer), first(exifAt, placeAt), exif, place);
}

export function jpegWithExif(jpeg: Uint8Array, block: Uint8Array): Uint8Array {
  const body = joined(latin('Exif\0\0'), block);
  const segment = joined(Uint8Array.of(0xff, 0xe1), big(2, body.length + 2), body);
  return joined(jpeg.subarray(0, 2), segment, jpeg.subarray(2));
}

export function pngWithExif(png: Uint8Array, block: Uint8Array): Uint8Array {
  const body = joined(latin('eXIf'), block);
  const chunk = joined(big(4, block.length), body, big(4, crc32(body)));
  const afterHeader = 8 + 25;
  return joined(png.subarray(0, afterHeader), chunk, png.subarray(afterHeader));
}

/** Of a little-endian TIFF, DNG among them. */
export function tiffWithExif(tiff: Uint8Array, wish: ExifWish): Uint8Array {
  const even = joined(tiff, zeros(tiff.length % 2));
  if (viewOf(even).getUint16(0) !== 0x4949) throw new Error('not little-endian');
  const exif = directory(takenBy(wish), even.length, true);
  return tiffWith(joined(even, exif), { exifAt: even.length });
}

/** RAF as far as its header and its JPEG (LibRaw, `parse_fuji`): place and length stand at 84, high byte first. */
export const rafWithExif = (jpeg: Uint8Array): Uint8Array =>
  joined(
    latin('FUJIFILMCCD-RAW '),
    zeros(68),
    big(4, 160, jpeg.length),
    zeros(68),
    jpeg,
    zeros(64),
  );

/** A TIFF under a number of its maker's, as ORF and RW2 are: four bytes in place of "II" or "MM" and 42. */
export const calledOtherwise = (tiff: Uint8Array, start: string): Uint8Array =>
  joined(latin(start), tiff.subarray(4));

const box = (type: string, ...inside: readonly Uint8Array[]): Uint8Array => {
  const body = joined(...inside);
  return joined(big(4, 8 + body.length), latin(type), body);
};

/**
 * CR3 as far as its Exif data (L. Clévy, “Canon CR3 file format”): `CMT1` a main directory, `CMT2` the one of
 * how it was taken, `CMT4` the place, each a TIFF of its own in a box that a UUID names.
 * @param uuid the box's name, when it shall be another
 */
export function cr3WithExif(wish: ExifWish, little = true, uuid = CR3_UUID): Uint8Array {
  const tiff = (entries: readonly Entry[]) => {
    const header = new DataView(new ArrayBuffer(8));
    header.setUint16(0, little ? 0x4949 : 0x4d4d);
    header.setUint16(2, 42, little);
    header.setUint32(4, 8, little);
    return joined(new Uint8Array(header.buffer), directory(entries, 8, little));
  };
  return joined(
    box('ftyp', latin('crx '), zeros(4), latin('crx isom')),
    box(
      'moov',
      box(
        'uuid',
        uuid,
        box('CNCV', latin('Invented')),
        box('CMT1', tiff([[0x010f, ASCII, [...latin('Invented\0')]]])),
        box('CMT2', tiff(takenBy(wish))),
        box('CMT4', tiff([[1, ASCII, [...latin('N\0')]]])),
      ),
    ),
    box('mdat', zeros(64)),
  );
}
const CR3_UUID = big(4, 0x85c0b687, 0x820f11e0, 0x8111f4ce, 0x462b6a48);
