/** What is said while paints are read on the tile: which step, how to lay it, what is missing. */
import { html, nothing } from 'lit';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import { COMPLETE_HIDING } from '../../paint/hiding.ts';
import { formatNumber } from '../elements/numbers.ts';
import { SETTLED } from '../state/settling.ts';
import type { BenchState, CharacterStep } from '../state/bench-state.ts';
import { contrastOf, missingStep, nextStepOf } from '../state/characterising.ts';

export const HEADINGS: Readonly<Record<CharacterStep, string>> = {
  masstone: 'Masstone',
  tint: 'Tint in white',
  'more-tint': 'Second, paler tint',
  black: 'Masstone over black',
};

export function refusedNow({ live }: BenchState) {
  return live?.result && !live.result.ok ? live.result.refused : [];
}

export function steadiness({ live, feed, busy }: BenchState): string {
  if (busy === 'reading') return 'reading';
  if (feed.kind === 'photo') return 'photograph';
  if (!live) return '';
  if (live.moving) return 'moving';
  return live.settled >= SETTLED ? 'steady' : 'settling';
}

/** Spoken once for each reading, refusal and notice. */
export function announcement({ refused, characterising, notice }: BenchState): string {
  if (refused.length > 0) return `No reading. ${refused.map(({ message }) => message).join(' ')}`;
  return characterising?.fault ?? notice?.text ?? '';
}

export function guideLine(now: BenchState, palette: Palette, pigment: Pigment | undefined): string {
  const { feed, live, dab, characterising } = now;
  if (now.busy === 'reading') return 'Reading. Hold still.';
  if (feed.status === 'failed') return 'There is no picture. Choose another under Picture.';
  if (feed.status === 'starting') return `Starting: ${feed.label}.`;
  if (!dab) return 'Tap the paint on the tile in the picture.';
  if (typeof now.engine === 'object') return now.engine.failed;
  if (!live) return 'One moment.';
  if (!live.tile) return 'No white tile found. Lay it in the picture, or drag its corners.';
  if (!nextStepOf(palette)) return 'Every paint is characterised. Read any again, or go on.';
  if (!pigment || !characterising) return '';
  const name = pigment.colourIndex ?? pigment.name;
  return `${name}: lay the ${HEADINGS[characterising.step].toLowerCase()}, then Read and keep.`;
}

export function instruction(
  step: CharacterStep,
  pigment: Pigment,
  white: Pigment | undefined,
): string {
  const wait = 'Read it as you will read your dabs, wet or dry.';
  switch (step) {
    case 'masstone':
      return `Lay ${pigment.name} alone on the tile, as thick as it takes to hide it. ${wait}`;
    case 'black':
      return 'Lay the same coat over black: on a black card beside the tile, or over a black line. If it reads the same, it hides.';
    case 'tint':
      return white
        ? `Mix a little into ${white.name}, weigh both, and lay it on the tile so that it hides. About one part in nine.`
        : 'Mark one paint as the white first: Palette, Edit.';
    case 'more-tint':
      return 'A paler one, about one part in thirty, nearer to what you will mix. Weigh both.';
  }
}

export function stepsOf({ isWhite, tint }: Pigment): readonly CharacterStep[] {
  if (isWhite) return ['masstone', 'black'];
  return tint ? ['masstone', 'tint', 'more-tint', 'black'] : ['masstone', 'tint', 'black'];
}

export function isDone(pigment: Pigment, step: CharacterStep): boolean {
  if (step === 'more-tint') return (pigment.moreTints ?? []).length > 0;
  if (step === 'black') return pigment.overBlack !== undefined;
  return missingStep(pigment) === undefined || keptBefore(pigment, step) !== undefined;
}

export function keptBefore(pigment: Pigment, step: CharacterStep): LabD65 | undefined {
  switch (step) {
    case 'masstone':
      return pigment.masstone;
    case 'tint':
      return pigment.tint?.lab;
    case 'more-tint':
      return pigment.moreTints?.at(-1)?.lab;
    case 'black':
      return pigment.overBlack;
  }
}

export function hidingLine(pigment: Pigment) {
  const contrast = contrastOf(pigment);
  if (contrast === undefined) return nothing;
  return html`<p class="quiet">
    ${
      contrast >= COMPLETE_HIDING
        ? `It hides: contrast ratio ${formatNumber(contrast, 2)}.`
        : `It does not hide yet: contrast ratio ${formatNumber(contrast, 2)}, wanted ${COMPLETE_HIDING}. Lay it thicker and read the masstone again.`
    }
  </p>`;
}
