/** A reading as it is spoken: verdict, number, the largest difference, the next addition. */
import { formatNumber } from '../elements/numbers.ts';
import { additionInWords } from '../elements/pigment-names.ts';
import { EMPTY_NUDGE, type BenchState } from './bench-state.ts';

type Spoken = Pick<BenchState, 'held' | 'refused' | 'nudge' | 'busy' | 'palette'>;

/** Empty when there is nothing to say; undefined while it is not yet known. */
export function resultToSpeak({ held, refused, nudge, busy, palette }: Spoken): string | undefined {
  if (busy === 'reading') return undefined;
  if (refused.length > 0) return `No reading. ${refused[0]!.message} ${refused[0]!.remedy}`;
  if (!held) return '';
  const { verdict, difference, words } = held.result;
  const parts = [
    `${verdict.acceptable}, ${formatNumber(difference.deltaE00, 1)}.`,
    ...(words[0] ? [`The dab is ${words[0]}.`] : []),
  ];
  const chosen = nudge.suggestions[nudge.chosen];
  if (chosen) {
    const additions = additionInWords(chosen.additions, palette?.pigments ?? []);
    return [...parts, `Add ${additions}.`].join(' ');
  }
  const isReckoned = nudge !== EMPTY_NUDGE && !nudge.message.startsWith('Reckoning');
  return isReckoned ? parts.join(' ') : undefined;
}
