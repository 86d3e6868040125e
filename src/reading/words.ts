/**
 * A difference in the words a mixer uses: lighter or darker, stronger or weaker, and the direction
 * of hue by its name; largest first.
 */
import { deltaE00Parts } from '../colour/ciede2000.ts';
import type { LabD65 } from '../colour/spaces.ts';

/** Weighted differences smaller than this are not worth a word. */
const WORTH_A_WORD = 0.25;
/** Chroma under which a hue has no name of its own, and the lean towards one is what is seen. */
const NEAR_GREY = 6;

const degree = () => ['', 'a little ', '', 'much '] as const;

/** How the dab differs from the glaze. Empty when nothing is worth a word. */
export function differenceWords(glazeLab: LabD65, dabLab: LabD65): string[] {
  const parts = deltaE00Parts(glazeLab, dabLab);
  const said: { size: number; word: string }[] = [
    { size: Math.abs(parts.lightness), word: parts.lightness > 0 ? 'lighter' : 'darker' },
  ];
  const chroma = Math.min(Math.hypot(glazeLab[1], glazeLab[2]), Math.hypot(dabLab[1], dabLab[2]));
  const da = dabLab[1] - glazeLab[1];
  const db = dabLab[2] - glazeLab[2];
  if (chroma < NEAR_GREY) {
    const lean = Math.hypot(parts.chroma, parts.hue);
    said.push({ size: lean, word: leanName(da, db) });
  } else {
    said.push({ size: Math.abs(parts.chroma), word: parts.chroma > 0 ? 'stronger' : 'weaker' });
    said.push({ size: Math.abs(parts.hue), word: hueTurn(glazeLab, parts.hue) });
  }
  return said
    .filter((s) => s.size >= WORTH_A_WORD)
    .sort((p, q) => q.size - p.size)
    .map((s) => sized(s.size) + s.word);
}

function sized(size: number): string {
  const [, little, plain, much] = degree();
  return size < 1 ? little : size < 4 ? plain : much;
}

/** Where a near-grey leans: the nearest of eight directions in the a*–b* plane. */
function leanName(da: number, db: number): string {
  const names = [
    'redder',
    'more orange',
    'yellower',
    'more yellow-green',
    'greener',
    'more blue-green',
    'bluer',
    'more violet',
  ] as const;
  const angle = (Math.atan2(db, da) / Math.PI) * 4;
  return names[(Math.round(angle) + 8) % 8]!;
}

/**
 * Which neighbour hue a colour turns towards. Hue angles from memory of CIELAB hue names; red has one,
 * so that a red that turns to crimson is not called redder.
 */
const HUES = [
  [25, 'redder'],
  [65, 'more orange'],
  [95, 'yellower'],
  [165, 'greener'],
  [210, 'more blue-green'],
  [265, 'bluer'],
  [320, 'more violet'],
] as const;

function hueTurn([, a, b]: LabD65, hue: number): string {
  const h = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  const away = (to: number) => (hue > 0 ? (to - h + 360) % 360 : (h - to + 360) % 360);
  let best: (typeof HUES)[number] = HUES[0];
  for (const named of HUES) {
    const distance = away(named[0]);
    if (distance > 14 && distance < away(best[0]) + (away(best[0]) <= 14 ? 360 : 0)) best = named;
  }
  return best[1];
}
