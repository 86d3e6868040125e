/**
 * Colour profiles of the plainest kind, written by hand after ICC.1:2001-04 (version 2): three
 * primaries or a grey, and a gamma.
 */
type Xyz = readonly [number, number, number];

const D50: Xyz = [0.9642, 1, 0.8249];

/**
 * Primaries as seen after Bradford adaptation to D50. Of Adobe RGB (1998), from its encoding
 * specification, 4.3.1.1 (values as in LittleCMS' and colorjs.io's tables).
 */
export const WIDE_PRIMARIES: readonly [Xyz, Xyz, Xyz] = [
  [0.60974, 0.31111, 0.01947],
  [0.20528, 0.62567, 0.06087],
  [0.14919, 0.06322, 0.74457],
];
/** 563/256, as that specification rounds 2.2. */
export const WIDE_GAMMA = 563 / 256;

export function rgbProfile(primaries: readonly [Xyz, Xyz, Xyz], gamma: number): Buffer {
  const [r, g, b] = primaries;
  return profile('RGB ', [
    ['wtpt', xyz(D50)],
    ['rXYZ', xyz(r)],
    ['gXYZ', xyz(g)],
    ['bXYZ', xyz(b)],
    ['rTRC', curve(gamma)],
    ['gTRC', curve(gamma)],
    ['bTRC', curve(gamma)],
  ]);
}

export function greyProfile(gamma: number): Buffer {
  return profile('GRAY', [
    ['wtpt', xyz(D50)],
    ['kTRC', curve(gamma)],
  ]);
}

const fixed = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeInt32BE(Math.round(value * 65536));
  return bytes;
};
const xyz = (value: Xyz): Buffer =>
  Buffer.concat([Buffer.from('XYZ \0\0\0\0', 'latin1'), ...value.map(fixed)]);

/** One entry: a gamma, u8Fixed8. */
function curve(gamma: number): Buffer {
  const bytes = Buffer.alloc(16);
  bytes.write('curv', 0, 'latin1');
  bytes.writeUInt32BE(1, 8);
  bytes.writeUInt16BE(Math.round(gamma * 256), 12);
  return bytes;
}

function description(text: string): Buffer {
  const bytes = Buffer.alloc(12 + text.length + 1 + 78);
  bytes.write('desc', 0, 'latin1');
  bytes.writeUInt32BE(text.length + 1, 8);
  bytes.write(text, 12, 'latin1');
  return bytes;
}

function profile(space: string, tags: readonly (readonly [string, Buffer])[]): Buffer {
  const all = [['desc', description('Invented')] as const, ...tags];
  all.push(['cprt', Buffer.from('text\0\0\0\0none\0\0\0\0', 'latin1')]);
  const table = Buffer.alloc(4 + 12 * all.length);
  table.writeUInt32BE(all.length);
  const bodies: Buffer[] = [];
  let at = 128 + table.length;
  all.forEach(([name, body], i) => {
    table.write(name, 4 + 12 * i, 'latin1');
    table.writeUInt32BE(at, 8 + 12 * i);
    table.writeUInt32BE(body.length, 12 + 12 * i);
    const padded = Buffer.concat([body, Buffer.alloc((4 - (body.length % 4)) % 4)]);
    bodies.push(padded);
    at += padded.length;
  });
  const header = Buffer.alloc(128);
  header.writeUInt32BE(at);
  header.writeUInt32BE(0x02400000, 8);
  header.write('mntr', 12, 'latin1');
  header.write(space, 16, 'latin1');
  header.write('XYZ ', 20, 'latin1');
  header.write('acsp', 36, 'latin1');
  D50.forEach((v, i) => fixed(v).copy(header, 68 + 4 * i));
  return Buffer.concat([header, table, ...bodies]);
}
