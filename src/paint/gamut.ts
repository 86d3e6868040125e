/** What a palette lacks to reach a glaze, in a mixer's words. */
import { deltaE00Parts } from '../colour/ciede2000.ts';
import type { LabD65 } from '../colour/spaces.ts';

/** Chroma under which a glaze has no hue of its own. */
const NEAR_GREY = 4;

/** What is missing from `reached`, the nearest there is, to the glaze: the largest part of it. */
export function missing(glazeLab: LabD65, reached: LabD65): string {
  const { lightness, chroma, hue } = deltaE00Parts(reached, glazeLab);
  const parts = [
    { size: Math.abs(lightness), word: lightness > 0 ? 'a lighter paint' : 'a darker paint' },
  ];
  const angle = hueAngle(glazeLab[1], glazeLab[2]);
  if (Math.hypot(glazeLab[1], glazeLab[2]) < NEAR_GREY) {
    const lean = hueAngle(glazeLab[1] - reached[1], glazeLab[2] - reached[2]);
    parts.push({ size: Math.hypot(chroma, hue), word: `a ${nearest(lean).turned} paint` });
  } else {
    const name = nearest(angle).name;
    parts.push({ size: Math.abs(chroma), word: `a ${chroma > 0 ? 'stronger' : 'duller'} ${name}` });
    parts.push({ size: Math.abs(hue), word: `a ${turn(angle, hue)} ${name}` });
  }
  return parts.sort((a, b) => b.size - a.size)[0]!.word;
}

interface Hue {
  readonly degrees: number;
  readonly name: string;
  readonly turned: string;
}
/** CIELAB hue angles of the hue names, from memory. */
const HUES: readonly Hue[] = [
  { degrees: 0, name: 'pink', turned: 'pinker' },
  { degrees: 30, name: 'red', turned: 'redder' },
  { degrees: 62, name: 'orange', turned: 'more orange' },
  { degrees: 92, name: 'yellow', turned: 'yellower' },
  { degrees: 120, name: 'yellow green', turned: 'more yellow-green' },
  { degrees: 160, name: 'green', turned: 'greener' },
  { degrees: 208, name: 'turquoise', turned: 'more turquoise' },
  { degrees: 268, name: 'blue', turned: 'bluer' },
  { degrees: 315, name: 'violet', turned: 'more violet' },
];

const hueAngle = (a: number, b: number) => ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;

function nearest(angle: number): Hue {
  const away = ({ degrees }: Hue) =>
    Math.min(Math.abs(angle - degrees), 360 - Math.abs(angle - degrees));
  return HUES.reduce((best, hue) => (away(hue) < away(best) ? hue : best));
}

/** The neighbour of the hue at `angle` in the direction of `sign`. */
function turn(angle: number, sign: number): string {
  const at = HUES.indexOf(nearest(angle));
  return HUES[(at + (sign > 0 ? 1 : -1) + HUES.length) % HUES.length]!.turned;
}
