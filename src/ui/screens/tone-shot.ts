/** One shot of a tone response: what is wrong with it, and what must be known of its light. */
import { html, nothing } from 'lit';
import type { Changed } from '../../reading/profile/exposure-check.ts';
import type { StepCodes } from '../../reading/profile/step-card.ts';
import type { TypedShot, Varies } from '../state/tone-shots.ts';
import { UNIT } from './tone-words.ts';

export type ShotField = 'typed' | 'fNumber' | 'iso';

export interface ShotRow {
  readonly shot: TypedShot;
  readonly codes: StepCodes;
  readonly varies: Varies;
  /** What is asked for beside the time. */
  readonly changed: Changed;
  readonly type: (field: ShotField, text: string) => void;
  readonly takeAway: () => void;
}

export function shotRow({ shot, codes, varies, changed, type, takeAway }: ShotRow) {
  const field = (name: ShotField, words: string) =>
    html`<label>
      ${words}
      <input
        inputmode=${name === 'typed' && varies === 'exposure' ? 'text' : 'decimal'}
        aria-label="${words}: ${shot.name}"
        .value=${shot[name]}
        @input=${(e: Event) => type(name, (e.target as HTMLInputElement).value)}
      />
    </label>`;
  return html`<div class="shot ${changed.fNumber || changed.iso ? 'many' : ''}">
    <p>${shot.name}<span class="quiet">${stateOf(shot, codes, varies)}</span></p>
    <div class="typed">
      ${varies === 'nothing' ? nothing : field('typed', UNIT[varies])}
      ${changed.fNumber ? field('fNumber', 'f-number') : nothing}
      ${changed.iso ? field('iso', 'ISO') : nothing}
    </div>
    <button aria-label="Take away: ${shot.name}" @click=${takeAway}>Take away</button>
  </div>`;
}

function stateOf({ said }: TypedShot, codes: StepCodes, varies: Varies): string {
  const wrong = codes.ok ? codes.warnings.join(' ') : codes.message;
  const isSilent = said === 'nothing' || (said !== undefined && said.timeS === undefined);
  return [
    wrong || 'Usable.',
    said !== undefined && said !== 'nothing' && said.flashFired ? 'The flash fired.' : '',
    isSilent && varies === 'exposure' ? 'Carries no exposure time: type it.' : '',
  ]
    .filter((words) => words !== '')
    .join(' ');
}
