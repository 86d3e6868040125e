/** The cautions, each where the work can hurt someone. They defer to data sheets and local rules. */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base } from '../styles/shared.ts';
import { icons } from './icons.ts';

export type CautionPlace = 'spraying' | 'pigments' | 'solvents' | 'record';

const CAUTIONS: Record<
  CautionPlace,
  { readonly title: string; readonly lines: readonly string[] }
> = {
  spraying: {
    title: 'Before you spray',
    lines: [
      'Bind with a little clear medium, then thin to spray; try it on a spare tile first.',
      'Spray only under extraction and with a fitted respirator for mist and vapour.',
      'Never spray a pigment with cadmium, cobalt, lead, chromate or nickel.',
      'Keep the retouching on the fill: not over sound glaze, and so that it can be taken off again.',
    ],
  },
  pigments: {
    title: 'Pigments',
    lines: [
      'Read the data sheet of each paint; it and your local rules come before anything said here.',
      'Cadmium, cobalt, lead, chromate and nickel pigments are marked: keep dust and mist out of the air, wear gloves, and do not spray them.',
    ],
  },
  solvents: {
    title: 'Solvents and thinners',
    lines: [
      'Ventilate, keep flames and sparks away, close the jar, wear the gloves the data sheet names.',
      'Dispose of rags and rinsings by your local rules.',
    ],
  },
  record: {
    title: 'When the piece leaves',
    lines: [
      'Restored ware is not for food or drink: tell the owner, and write it down.',
      'Record the treatment and how it can be undone.',
      'Readings support the trained eye; they do not replace it.',
    ],
  },
};

@customElement('lt-cautions')
export class Cautions extends LitElement {
  @property({ attribute: false }) places: readonly CautionPlace[] = [
    'spraying',
    'pigments',
    'solvents',
    'record',
  ];

  static override styles = [
    base,
    css`
      section + section {
        margin-block-start: 16px;
      }
      h3 {
        display: flex;
        align-items: center;
        gap: 8px;
        font-size: 1rem;
      }
      li {
        margin-block-start: 6px;
        padding-inline-start: 28px;
        line-height: 1.4;
      }
    `,
  ];

  override render() {
    return this.places.map(
      (place) =>
        html`<section>
          <h3>${icons.caution} ${CAUTIONS[place].title}</h3>
          <ul>
            ${CAUTIONS[place].lines.map((line) => html`<li>${line}</li>`)}
          </ul>
        </section>`,
    );
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-cautions': Cautions;
  }
}
