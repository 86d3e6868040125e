/** The camera profiles that are kept, and which is in use. Events: `lt-use` {name, or none}, `lt-delete` {name}. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { profileInUse, type KeptProfile, type WithProfiles } from '../../job/camera-profiles.ts';
import { base, controls } from '../styles/shared.ts';
import { formatDay, formatNumber } from './numbers.ts';

@customElement('lt-kept-profiles')
export class KeptProfiles extends LitElement {
  @property({ attribute: false }) settings: WithProfiles = {};
  /** The camera that is open; empty where none is. */
  @property() camera = '';

  static override styles = [
    base,
    controls,
    css`
      .profile {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        align-items: center;
        gap: 8px;
        padding-block: 8px;
        border-block-start: 1px solid var(--rule);
      }
      b {
        display: block;
      }
      @media (max-width: 500px) {
        .profile {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  override render() {
    const { settings, camera } = this;
    const { cameraProfiles: profiles = [] } = settings;
    const inUse = profileInUse(settings);
    const isOther = camera !== '' && inUse && inUse.camera !== camera;
    return html`<p class="quiet">
        ${
          profiles.length > 0
            ? 'A profile belongs to one camera, one lamp and one white balance. Readings carry its name.'
            : 'None yet: readings assume that the camera follows sRGB, and their intervals are wider for it.'
        }
      </p>
      ${isOther ? html`<p><b>${inUse.name} was made for ${inUse.camera}; the camera now is ${camera}.</b></p>` : nothing}
      ${profiles.map((one) => this.#profile(one, one.name === inUse?.name))}`;
  }

  #profile(one: KeptProfile, isInUse: boolean) {
    const { name } = one;
    return html`<div class="profile">
      <p>
        <b>${name}</b>
        <span class="quiet">${inWords(one)}</span>
      </p>
      <div class="both">
        <button
          aria-pressed=${isInUse}
          aria-label="${isInUse ? 'In use' : 'Use'}: ${name}"
          @click=${() => this.#say('lt-use', isInUse ? undefined : name)}
        >
          ${isInUse ? 'In use' : 'Use'}
        </button>
        <button aria-label="Delete ${name}" @click=${() => this.#say('lt-delete', name)}>
          Delete
        </button>
      </div>
    </div>`;
  }

  #say(event: 'lt-use' | 'lt-delete', name: string | undefined): void {
    this.dispatchEvent(new CustomEvent(event, { detail: { name } }));
  }
}

/** "Bench camera, 25 Nov 2026; left out ΔE₀₀ 1.12 on average." */
function inWords({ camera, madeOn, colour }: KeptProfile): string {
  const error = colour
    ? `; ΔE₀₀ of patches left out ${formatNumber(colour.leftOut.mean, 2)} on average`
    : '; tone response only';
  return `${camera}, ${formatDay(madeOn)}${error}.`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-kept-profiles': KeptProfiles;
  }
}
