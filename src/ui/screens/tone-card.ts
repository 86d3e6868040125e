/** What is known of the grey step card: how many steps it has, and their values where they are stated. */
import { html } from 'lit';
import { MOST_STEPS } from '../../reading/profile/step-card.ts';
import { STATED_AS, type StatedAs } from '../../reading/profile/tone-profile.ts';
import { LEAST_STEPS } from '../../reading/profile/tone-response.ts';
import { typedNumber } from '../elements/typed-number.ts';
import { AS_NAMES } from './tone-words.ts';

export interface TypedCard {
  readonly steps: number;
  /** As typed, in the order of the steps; empty: not known. */
  readonly values: string;
  readonly as: StatedAs;
}

export const USUAL_CARD: TypedCard = { steps: 9, values: '', as: 'lightness' };

/**
 * @param change told the card as it is typed now
 * @param say told what is wrong with it; nothing: ''
 */
export function cardFields(
  card: TypedCard,
  change: (card: TypedCard) => void,
  say: (fault: string) => void,
) {
  const setSteps = (text: string) => {
    const steps = typedNumber(text);
    if (Number.isInteger(steps) && steps >= LEAST_STEPS && steps <= MOST_STEPS) {
      change({ ...card, steps });
      say('');
    } else say(`A step card has ${String(LEAST_STEPS)} to ${String(MOST_STEPS)} steps.`);
  };
  return html`<div class="fields">
      <label>
        Steps
        <input
          inputmode="numeric"
          .value=${String(card.steps)}
          @change=${(e: Event) => setSteps((e.target as HTMLInputElement).value)}
        />
      </label>
      <label>
        Values are
        <select
          @change=${(e: Event) =>
            change({ ...card, as: (e.target as HTMLSelectElement).value as StatedAs })}
        >
          ${STATED_AS.map(
            (as) => html`<option value=${as} ?selected=${as === card.as}>${AS_NAMES[as]}</option>`,
          )}
        </select>
      </label>
    </div>
    <label class="values">
      Values, one for each step in order; empty if not known
      <textarea
        rows="2"
        .value=${card.values}
        @input=${(e: Event) => change({ ...card, values: (e.target as HTMLTextAreaElement).value })}
      ></textarea>
    </label>`;
}
