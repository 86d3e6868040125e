/** The sheets that open over the bench: where the picture comes from, the pot, the keys, cautions. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { choosesFolders, photosInFolder } from '../../camera/folder.ts';
import { PHOTO_KINDS, PHOTO_TYPES } from '../../camera/photo.ts';
import type { PotGrams, Suggestion } from '../../paint/types.ts';
import '../elements/amounts.ts';
import '../elements/cautions.ts';
import { icons } from '../elements/icons.ts';
import '../elements/key-list.ts';
import '../elements/pedals.ts';
import { additionInWords, dilutionsInWords } from '../elements/pigment-names.ts';
import '../elements/sheet.ts';
import { potOf, type BenchState } from '../state/bench-state.ts';
import { faultInWords } from '../state/fault.ts';
import { assignable, KEY_MAP, type BenchAction, type OwnKeys } from '../state/keys.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { base, controls } from '../styles/shared.ts';
import { notRead } from './roll-line.ts';

export type BenchSheet =
  'picture' | 'not-read' | 'keys' | 'about' | 'spraying' | 'added-other' | 'state-pot';

const HEADINGS: Record<BenchSheet, string> = {
  picture: 'Picture',
  'not-read': 'Could not be read',
  keys: 'Keys and pedal',
  about: 'The next addition',
  spraying: 'It blends: what now',
  'added-other': 'What was added',
  'state-pot': 'What is in the pot',
};

/** What a pedal is worth having for. */
const PEDALS: readonly BenchAction[] = [
  'next',
  'read',
  'save',
  'added',
  'undo',
  'next-photo',
  'previous-photo',
];

@customElement('lt-bench-sheets')
export class BenchSheets extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @property() sheet: BenchSheet | undefined;
  @property({ attribute: false }) bench!: BenchState;
  /** Paints are being read on the tile: where the dab lies is no question. */
  @property({ type: Boolean }) onTile = false;

  static override styles = [
    base,
    controls,
    css`
      .stack {
        display: grid;
        gap: 8px;
      }
      .stack button,
      .file {
        inline-size: 100%;
      }
      h3 {
        margin-block: 16px 6px;
        font-size: 1rem;
      }
      .hint {
        color: var(--ink-quiet);
        font-size: 0.9375rem;
      }
      .note {
        display: flex;
        gap: 8px;
      }
      .note svg {
        flex: none;
      }
      .row {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 8px;
      }
    `,
  ];

  override render() {
    const { sheet } = this;
    return html`<lt-sheet
      heading=${sheet ? HEADINGS[sheet] : ''}
      asks
      ?open=${sheet !== undefined}
      @lt-close=${() => this.#open(undefined)}
    >
      ${this.#content()}
    </lt-sheet>`;
  }

  #content() {
    const suggestion = this.bench.nudge.suggestions[this.bench.nudge.chosen];
    switch (this.sheet) {
      case 'picture':
        return this.#picture();
      case 'not-read':
        return notRead(this.services.roll.store.state);
      case 'keys':
        return html`<lt-key-list
            .keys=${KEY_MAP}
            .on=${this.bench.singleKeys}
            @lt-keys=${(e: CustomEvent<{ on: boolean }>) =>
              this.services.store.set({ singleKeys: e.detail.on })}
          ></lt-key-list>
          <lt-pedals
            .actions=${KEY_MAP.filter(({ action }) => PEDALS.includes(action))}
            .own=${this.bench.settings?.keys ?? {}}
            .assignable=${assignable}
            @lt-assign=${(e: CustomEvent<{ own: OwnKeys }>) => void this.#assign(e.detail.own)}
          ></lt-pedals>`;
      case 'about':
        return this.#about(suggestion);
      case 'spraying':
        return html`<div class="stack">
          <lt-cautions .places=${['spraying', 'solvents', 'record']}></lt-cautions>
          <a class="button next" href="#/spray">Plan the spraying</a>
          <a class="button" href="#/map">${icons.map} Sprayed: where does it show?</a>
        </div>`;
      case 'added-other':
        return html`<lt-amounts
          action="Added it"
          .pigments=${this.bench.palette?.pigments ?? []}
          .grams=${suggestion?.additions ?? {}}
          @lt-amounts=${(e: CustomEvent<{ grams: PotGrams }>) => {
            this.#open(undefined);
            void this.services.session.added(e.detail.grams);
          }}
        ></lt-amounts>`;
      case 'state-pot':
        return html`<lt-amounts
          action="This is in the pot"
          .pigments=${this.bench.palette?.pigments ?? []}
          .grams=${potOf(this.bench)}
          @lt-amounts=${(e: CustomEvent<{ grams: PotGrams }>) => {
            this.#open(undefined);
            void this.services.session.statePot(e.detail.grams);
          }}
        ></lt-amounts>`;
      case undefined:
        return nothing;
    }
  }

  /** The next addition in full, where its panel is short of room. */
  #about(suggestion: Suggestion | undefined) {
    const { nudge, palette } = this.bench;
    const pigments = palette?.pigments ?? [];
    if (!suggestion) return html`<p>${nudge.message}</p>`;
    const { preDiluted, additions, notes } = suggestion;
    return html`<div class="stack">
      ${
        preDiluted
          ? html`<p>
              Less than can be dosed by itself: ${dilutionsInWords(preDiluted, pigments)}. In all:
              ${additionInWords(additions, pigments)}.
            </p>`
          : nothing
      }
      <ul class="stack">
        ${notes.map((note) => html`<li class="note">${icons.caution}<span>${note}</span></li>`)}
      </ul>
    </div>`;
  }

  #picture() {
    const { session } = this.services;
    const { feed, cameras, tile } = this.bench;
    const close = (work: () => Promise<void>) => () => {
      this.#open(undefined);
      void work();
    };
    return html`
      <div class="stack">
        ${
          cameras.length > 1
            ? cameras.map(
                (camera) =>
                  html`<button
                    aria-current=${feed.kind === 'camera' && feed.label === camera.label}
                    @click=${close(() => session.feeds.openCamera(camera.id))}
                  >
                    ${icons.camera} ${camera.label}
                  </button>`,
              )
            : html`<button
                aria-current=${feed.kind === 'camera'}
                @click=${close(() => session.feeds.openCamera())}
              >
                ${icons.camera} Use the camera
              </button>`
        }
        <label class="button file">
          <input type="file" accept=${PHOTO_TYPES} multiple @change=${this.#chosen} />
          <span>Open photographs (${PHOTO_KINDS})</span>
        </label>
        ${
          choosesFolders()
            ? html`<label class="button file">
                <input type="file" webkitdirectory @change=${this.#folder} />
                <span>Open a folder of photographs</span>
              </label>`
            : nothing
        }
        <button aria-current=${feed.kind === 'demo'} @click=${close(() => session.openDemo())}>
          Demo bench, no camera needed
        </button>
      </div>
      <p class="hint">Photographs can also be dropped on the bench, or pasted.</p>
      ${this.onTile ? nothing : this.#dabLies()} ${this.#light()}
      ${
        tile
          ? html`<h3>Tile</h3>
              <button class="file" @click=${close(() => session.pointing.findTile())}>
                Find the tile by itself again
              </button>`
          : nothing
      }
      ${feed.kind === 'demo' ? DEMO_NOTE : nothing}
    `;
  }

  #dabLies() {
    const { session } = this.services;
    const { dabOn } = this.bench;
    return html`<h3>The dab lies on</h3>
      <div class="row" role="group" aria-label="The dab lies on">
        <button
          aria-pressed=${dabOn === 'piece'}
          @click=${() => void session.pointing.setDabOn('piece')}
        >
          the glaze
        </button>
        <button
          aria-pressed=${dabOn === 'tile'}
          @click=${() => void session.pointing.setDabOn('tile')}
        >
          the tile or a card
        </button>
      </div>
      <p class="hint">
        On a card beside the piece the reading is less sure; its interval says so.
      </p>`;
  }

  /** What the tile and the camera say of the light. */
  #light() {
    const { live, feed } = this.bench;
    const level = live?.tileLevel;
    return html`<h3>Light and camera</h3>
      <ul class="hint">
        <li>
          ${
            level === undefined
              ? 'No tile is read yet: lay a plain white one beside the piece, whole in the picture.'
              : `The tile reads ${Math.round(level * 100)} %: ${levelInWords(level)}`
          }
        </li>
        ${
          feed.held
            ? html`<li>
                Exposure ${HELD[feed.held.exposure]}, white balance ${HELD[feed.held.whiteBalance]},
                focus ${HELD[feed.held.focus]}.
              </li>`
            : nothing
        }
        <li>
          One lamp only, daylight kept out, grey card round the piece; let the piece face the lamp
          as the tile does.
        </li>
      </ul>
      <p><a class="button" href="#/light">Set up light and camera, point by point</a></p>`;
  }

  #chosen = (event: Event) => {
    const files = filesOf(event);
    if (files.length === 0) return;
    this.#open(undefined);
    void this.services.roll.open(files);
  };

  #folder = async (event: Event) => {
    const photos = await photosInFolder(filesOf(event));
    this.#open(undefined);
    if (photos.length > 0) await this.services.roll.open(photos);
    else this.services.store.set({ trouble: 'There is no photograph in this folder.' });
  };

  async #assign(keys: OwnKeys): Promise<void> {
    const { records, store } = this.services;
    try {
      const settings = await records.saveSettings({ ...(await records.settings()), keys });
      store.set({ settings });
    } catch (error) {
      store.set({ trouble: faultInWords(error) });
    }
  }

  #open(sheet: BenchSheet | undefined): void {
    this.dispatchEvent(new CustomEvent('lt-sheet', { detail: { sheet } }));
  }
}

const filesOf = (event: Event): File[] => [
  ...((event.currentTarget as HTMLInputElement).files ?? []),
];

/** 75–90 % of the range: enough light, and room above it. */
function levelInWords(level: number): string {
  if (level < 0.75) return 'raise the exposure or bring the lamp nearer, to 75–90 %.';
  if (level > 0.9) return 'lower the exposure or move the lamp back, to 75–90 %.';
  return 'good.';
}

const HELD = {
  held: 'held still',
  'not-offered': 'not offered by this camera',
  refused: 'not held: the camera refused',
} as const;

const DEMO_NOTE = html`<h3>About the demo bench</h3>
  <p class="hint">
    The piece, the paints and their spectra are invented, and the picture is rendered. The dab
    follows what you add to the pot.
  </p>`;

declare global {
  interface HTMLElementTagNameMap {
    'lt-bench-sheets': BenchSheets;
  }
}
