/** What is said beside the numbers of a suggestion: overshoot, pre-dilution, what is not known, hazard, growth. */
import { deltaE00 } from '../colour/ciede2000.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { hazardOf } from './hazards.ts';
import { leastDose, type Hand } from './hand.ts';
import type { Judged } from './judge.ts';
import { preDilution } from './pre-dilution.ts';
import type { NudgeRequest } from './types.ts';
import { writtenAs } from './writing.ts';

/** What of a request the notes need; the pot may be empty. */
type Asked = Hand & Pick<NudgeRequest, 'palette' | 'glazeLab' | 'pot' | 'writing'>;

/** Dose error by which overshoot is judged: two standard deviations of a hand's 15 %. */
const HEAVY_HAND = 1.3;
/** ΔE₀₀ that a heavy hand may cost before it is warned of. */
const OVERSHOOT = 1;
/** Doses below this many smallest doses are better given pre-diluted. */
const FEW_DOSES = 3;
/** From this growth on, setting part of the pot aside saves paint. */
const LARGE_GROWTH = 0.4;
/** A pot is brought at most this many times its mass for the sake of one dose. */
const MOST_TIMES = 25;

export function notesOf(
  asked: Asked,
  colourAfter: (additions: Float64Array) => LabD65,
  suggestion: Judged,
): string[] {
  const { palette, glazeLab, pot } = asked;
  const written = writtenAs(asked.writing);
  const notes: string[] = [];
  const potGrams = Object.values(pot).reduce((sum, grams) => sum + grams, 0);
  const white = palette.find(({ isWhite }) => isWhite);
  palette.forEach((pigment, p) => {
    const { id } = pigment;
    const grams = suggestion.additions[p]!;
    if (!(grams > 0)) return;
    const heavy = Float64Array.from(suggestion.additions);
    heavy[p] = grams * HEAVY_HAND;
    const overshotLab = colourAfter(heavy);
    const moved = deltaE00(suggestion.lab, overshotLab);
    // What an empty pot begins with cannot be overdone: the rest is measured by it.
    const begins = potGrams === 0 && grams === Math.max(...suggestion.additions);
    if (!begins && moved > OVERSHOOT && deltaE00(glazeLab, overshotLab) > suggestion.deltaE00) {
      notes.push(
        `${id}: overshoot risk, 30 % too much moves the dab by ΔE₀₀ ${written.number(moved, 1)}; give two thirds, look, then the rest`,
      );
    }
    const isCounted = asked.doses?.[id] !== undefined;
    const isDiluted = suggestion.preDiluted?.some((one) => one.pigment === id) ?? false;
    if (white && !pigment.isWhite && !isCounted && !isDiluted) {
      const least = leastDose(id, asked);
      if (grams < FEW_DOSES * least) {
        const parts = preDilution(grams, least);
        notes.push(
          `${id}: hard to dose by hand; stir 1 part into ${parts} parts of ${white.id} first and add ${written.grams(grams * (parts + 1), 2)} of that`,
        );
      }
    }
    if (!pigment.isWhite && !pigment.tint) {
      notes.push(
        `${id}: known by its masstone alone, so what it does is a guess; read a tint in white, about 1 to 9`,
      );
    }
    const hazard = hazardOf(pigment.colourIndex);
    if (hazard) notes.push(`${id} (${pigment.colourIndex!}) ${hazard.caution}`);
  });
  notes.push(...ofSmallPot(asked, suggestion));
  const growth = suggestion.additions.reduce((sum, grams) => sum + grams, 0) / potGrams;
  if (
    potGrams > 0 &&
    growth > LARGE_GROWTH &&
    suggestion.deltaE00 < deltaE00(glazeLab, colourAfter(new Float64Array(palette.length)))
  ) {
    notes.push(
      `the pot grows by ${written.percent(growth)}: set half of it aside first and add half as much`,
    );
  }
  return notes;
}

/** A pot so small that one dose is too much for it: dilute, or make more of it first. */
export function ofSmallPot(asked: Asked, { additions, preDiluted = [] }: Judged): string[] {
  const potGrams = Object.values(asked.pot).reduce((sum, grams) => sum + grams, 0);
  const times = preDiluted.map(({ pigment }) => {
    const p = asked.palette.findIndex(({ id }) => id === pigment);
    return Math.ceil(leastDose(pigment, asked) / additions[p]!);
  });
  const most = Math.max(...times);
  if (potGrams === 0 || times.length === 0) return [];
  const written = writtenAs(asked.writing);
  const which = preDiluted.map(({ pigment, parts }) => `${pigment} 1 : ${parts}`).join(' and ');
  const instead =
    most <= MOST_TIMES
      ? `, or make the pot ${most} times as large first, to about ${written.grams(most * potGrams, 2)} of the same mix`
      : '';
  return [
    `one dose is too much for a pot of ${written.grams(potGrams, 2)}: stir ${which} into white first${instead}`,
  ];
}
