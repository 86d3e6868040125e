/** Names a camera profile that was found, to keep it. Event: `lt-keep` {name, camera}. */
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { askBeforeLeavingScreen } from '../state/leaving.ts';
import { base, controls } from '../styles/shared.ts';
import { typedField } from './typed-number.ts';

export interface ProfileNamed {
  readonly name: string;
  readonly camera: string;
}

@customElement('lt-keep-profile')
export class KeepProfile extends LitElement {
  /** The camera in use, to begin with. */
  @property() camera = '';
  @state() private fault = '';
  /** It stands here from when a profile is found. */
  #isHandedOn = false;

  static override styles = [
    base,
    controls,
    css`
      form {
        display: grid;
        gap: 12px;
        margin-block-start: 12px;
      }
    `,
  ];

  constructor() {
    super();
    askBeforeLeavingScreen(this, () => !this.#isHandedOn);
  }

  override render() {
    return html`<form @submit=${(event: SubmitEvent) => this.#keep(event)}>
      <label>Name <input name="name" required maxlength="80" autocomplete="off" /></label>
      <label>
        Camera
        <input name="camera" required maxlength="200" .value=${this.camera} />
      </label>
      ${this.fault ? html`<p role="alert">${this.fault}</p>` : nothing}
      <button type="submit">Keep the profile</button>
    </form>`;
  }

  #keep(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const name = typedField(form, 'name');
    this.fault = name === '' ? 'Give the profile a name.' : '';
    if (name === '') return;
    const detail: ProfileNamed = { name, camera: typedField(form, 'camera') };
    this.#isHandedOn = true;
    this.dispatchEvent(new CustomEvent('lt-keep', { detail }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-keep-profile': KeepProfile;
  }
}
