/** What is said beside the numbers of a suggestion: overshoot, pre-dilution, what is not known, hazard, growth. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { hazardOf } from './hazards.ts';
import type { Judge, Judged } from './judge.ts';
import type { NudgeRequest } from './types.ts';

/** What of a request the notes need; the pot may be empty. */
type Asked = Pick<NudgeRequest, 'palette' | 'glazeLab' | 'smallest' | 'pot'>;

/** Dose error by which overshoot is judged: two standard deviations of a hand's 15 %. */
const HEAVY_HAND = 1.3;
/** ΔE₀₀ that a heavy hand may cost before it is warned of. */
const OVERSHOOT = 1;
/** Doses below this many smallest doses are better given pre-diluted. */
const FEW_DOSES = 3;
/** From this growth on, setting part of the pot aside saves paint. */
const LARGE_GROWTH = 0.4;

export function notesOf(
  { palette, glazeLab, smallest, pot }: Asked,
  judge: Judge,
  suggestion: Judged,
): string[] {
  const notes: string[] = [];
  const potGrams = Object.values(pot).reduce((sum, grams) => sum + grams, 0);
  const white = palette.find(({ isWhite }) => isWhite);
  palette.forEach((pigment, p) => {
    const { id } = pigment;
    const grams = suggestion.additions[p]!;
    if (!(grams > 0)) return;
    const heavy = Float64Array.from(suggestion.additions);
    heavy[p] = grams * HEAVY_HAND;
    const overshot = judge(heavy);
    const moved = deltaE00(suggestion.lab, overshot.lab);
    // What an empty pot begins with cannot be overdone: the rest is measured by it.
    const begins = potGrams === 0 && grams === Math.max(...suggestion.additions);
    if (!begins && moved > OVERSHOOT && overshot.deltaE00 > suggestion.deltaE00) {
      notes.push(
        `${id}: overshoot risk, 30 % too much moves the dab by ΔE₀₀ ${moved.toFixed(1)}; give two thirds, look, then the rest`,
      );
    }
    if (white && !pigment.isWhite && grams < FEW_DOSES * smallest) {
      const parts = preDilution(grams, smallest);
      notes.push(
        `${id}: hard to dose by hand; stir 1 part into ${parts} parts of ${white.id} first and add ${tidy(grams * (parts + 1))} g of that`,
      );
    }
    if (!pigment.isWhite && !pigment.tint) {
      notes.push(
        `${id}: known by its masstone alone, so what it does is a guess; read a tint in white, about 1 to 9`,
      );
    }
    const hazard = hazardOf(pigment.colourIndex);
    if (hazard) notes.push(`${id} (${pigment.colourIndex!}) ${hazard.caution}`);
  });
  const growth = suggestion.additions.reduce((sum, grams) => sum + grams, 0) / potGrams;
  if (
    potGrams > 0 &&
    growth > LARGE_GROWTH &&
    suggestion.deltaE00 < deltaE00(glazeLab, judge(new Float64Array(palette.length)).lab)
  ) {
    notes.push(
      `the pot grows by ${Math.round(100 * growth)} %: set half of it aside first and add half as much`,
    );
  }
  return notes;
}

/** Parts of white to one of pigment, 10 to 50, that make the dose ten smallest doses. */
export function preDilution(grams: number, smallest: number): number {
  const wanted = (10 * smallest) / grams - 1;
  return Math.min(50, Math.max(10, 5 * Math.ceil(wanted / 5)));
}

const tidy = (grams: number) => Number(grams.toPrecision(2));
