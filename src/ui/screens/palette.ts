/** The palette on the bench: pigments by Colour Index name, their colours, strengths and hazards. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { cssColour } from '../../colour/css.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Pigment } from '../../job/mixing.ts';
import { coloursOf } from '../../job/solver-palette.ts';
import { hazardOf } from '../../paint/hazards.ts';
import '../elements/cautions.ts';
import { icons } from '../elements/icons.ts';
import { formatNumber } from '../elements/numbers.ts';
import type { BenchState } from '../state/bench-state.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { paper } from '../styles/paper.ts';
import { base, controls } from '../styles/shared.ts';

@customElement('lt-palette')
export class PaletteScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  #palette = new Select(
    this,
    () => this.services.store,
    ({ palette }: BenchState) => ({ palette }),
  );

  static override styles = [
    base,
    controls,
    paper,
    css`
      .pigments {
        display: grid;
        grid-template-columns: repeat(auto-fill, minmax(min(330px, 100%), 1fr));
        gap: 8px;
      }
      .pigment {
        display: grid;
        grid-template-columns: 132px minmax(0, 1fr);
        margin: 0;
        padding: 0;
      }
      .colours {
        display: grid;
        grid-template-columns: 1fr 1fr;
        grid-template-rows: 1fr auto;
        padding: 12px 12px 4px;
        background: var(--surround);
        color: var(--ink-on-surround);
        font-size: 0.8125rem;
        font-weight: 600;
        text-align: center;
      }
      .colours.one {
        grid-template-columns: 1fr;
      }
      .colours div {
        min-block-size: 64px;
      }
      .text {
        padding: 12px;
      }
      .lab {
        color: var(--ink-quiet);
        font-size: 0.875rem;
      }
      .hazard {
        display: flex;
        gap: 6px;
        margin-block-start: 6px;
        font-size: 0.9375rem;
        line-height: 1.3;
      }
      .hazard svg {
        flex: none;
      }
    `,
  ];

  override render() {
    const { palette } = this.#palette.value;
    if (!palette) return html`<p class="empty">Opening the palette.</p>`;
    return html`
      <div class="bar"><h2>${palette.name}</h2></div>
      ${palette.notes ? html`<p class="panel">${palette.notes}</p>` : nothing}
      <div class="pigments">${palette.pigments.map((pigment) => this.#pigment(pigment))}</div>
      <section class="panel cautions">
        <lt-cautions .places=${['pigments', 'solvents']}></lt-cautions>
      </section>
    `;
  }

  #pigment(pigment: Pigment) {
    const colours = coloursOf(pigment);
    if (!colours) return nothing;
    const { strength } = pigment;
    const { masstone, tint } = colours;
    const hazard = hazardOf(pigment.colourIndex);
    const swatch = (lab: LabD65) => html`<div .style=${`background: ${cssColour(lab)}`}></div>`;
    return html`<article class="panel pigment">
      <div class="colours ${tint ? '' : 'one'}">
        ${swatch(masstone)} ${tint ? swatch(tint.lab) : nothing}
        <span>masstone</span>${tint ? html`<span>tint</span>` : nothing}
      </div>
      <div class="text">
        <h3>${pigment.colourIndex ?? pigment.name}</h3>
        ${pigment.colourIndex ? html`<p>${pigment.name}</p>` : nothing}
        <p class="lab">masstone L a b ${three(masstone)}</p>
        ${
          tint
            ? html`<p class="lab">
                tint ${tint.pigment} : ${tint.white} in white, ${three(tint.lab)}
              </p>`
            : pigment.isWhite
              ? nothing
              : html`<p>No tint read: predictions with it are rough.</p>`
        }
        ${
          strength !== undefined && strength !== 1
            ? html`<p class="lab">learned strength × ${formatNumber(strength, 2)}</p>`
            : nothing
        }
        ${
          hazard
            ? html`<p class="hazard">${icons.caution}<span>${hazard.caution}</span></p>`
            : nothing
        }
      </div>
    </article>`;
  }
}

function three(lab: LabD65): string {
  return lab.map((value) => formatNumber(value, 1)).join('  ');
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-palette': PaletteScreen;
  }
}
