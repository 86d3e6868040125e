/** The blend map: mark what was sprayed, see where it shows and by how much, keep the map. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import type { PixelPoint, PixelPolygon } from '../../reading/types.ts';
import { blendOverlay } from '../elements/blend-overlay.ts';
import '../elements/blend-result.ts';
import { mapInWords } from '../elements/blend-result.ts';
import { icons } from '../elements/icons.ts';
import '../elements/key-list.ts';
import '../elements/refusal.ts';
import '../elements/sheet.ts';
import '../elements/verdict.ts';
import '../elements/viewfinder.ts';
import type { AreaMarked, AreaTarget, Viewfinder } from '../elements/viewfinder.ts';
import { SETTLED } from '../state/settling.ts';
import type { BenchState } from '../state/bench-state.ts';
import { actionAmong, MAP_KEYS, type MapAction } from '../state/keys.ts';
import { mapStep } from '../state/map-step.ts';
import type { MapState } from '../state/mapping.ts';
import { readingSettings } from '../state/reading-settings.ts';
import { hashOf } from '../state/route.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { base, controls } from '../styles/shared.ts';
import { benchLayout } from './bench-layout.ts';
import { feedView } from './feed-view.ts';

const TARGETS = [
  ['area', 'Outline', 'Draw round the sprayed area, or move its corners'],
  ['glaze', 'Glaze', 'Point at the glaze, when what lies round the area is not it'],
  ['tile', 'Tile', 'Move the corners of the tile'],
] as const satisfies readonly (readonly [AreaTarget, string, string])[];

@customElement('lt-map')
export class MapScreen extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;
  @state() private keys = false;
  @query('lt-viewfinder') private viewfinder!: Viewfinder;

  #bench = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => now,
  );
  #map = new Select(
    this,
    () => this.services.mapping.store,
    (now: MapState) => now,
  );

  static override styles = [
    base,
    controls,
    benchLayout,
    css`
      .do .panel {
        flex: 0 1 auto;
        overflow: auto;
      }
      @media (min-width: 760px) {
        .do .panel {
          flex: 1;
        }
      }
      .how {
        display: grid;
        gap: 8px;
        padding-inline-start: 1.2em;
        list-style: decimal;
        line-height: 1.3;
      }
      h2 {
        margin-block-end: 6px;
        font-size: 1.125rem;
      }
      .quiet {
        margin-block-start: 10px;
        line-height: 1.3;
      }
      .fit {
        position: absolute;
        inset: auto 6px 6px auto;
        display: flex;
        gap: 4px;
      }
      .saved {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: 8px;
        margin-block-start: 10px;
      }
      @media (max-width: 1199px) {
        .actions button {
          font-size: 1rem;
          white-space: normal;
        }
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.services.mapping.open();
    window.addEventListener('keydown', this.#key);
  }
  override disconnectedCallback(): void {
    window.removeEventListener('keydown', this.#key);
    void this.services.mapping.close();
    super.disconnectedCallback();
  }

  override render() {
    const [now, map] = [this.#bench.value, this.#map.value];
    return html`
      <div class="see">${this.#guide(now, map)} ${this.#picture(now, map)} ${this.#tools(map)}</div>
      <div class="do">
        <section class="panel" aria-label="Blend map" aria-busy=${map.busy !== undefined}>
          ${this.#result(now, map)}
        </section>
        ${this.#actions(now, map)}
      </div>
      <p class="unseen" role="status">${announcement(now, map)}</p>
      <lt-sheet
        heading="Keys for the blend map"
        ?open=${this.keys}
        @lt-close=${() => (this.keys = false)}
      >
        <lt-key-list
          .keys=${MAP_KEYS}
          .on=${now.singleKeys}
          @lt-keys=${(e: CustomEvent<{ on: boolean }>) =>
            this.services.store.set({ singleKeys: e.detail.on })}
        ></lt-key-list>
      </lt-sheet>
    `;
  }

  #guide(now: BenchState, map: MapState) {
    return html`<div class="guide"><p class="step">${mapStep(map, now)}</p></div>
      ${
        now.trouble
          ? html`<div class="trouble" role="alert">
              <p>${now.trouble}</p>
              <button
                class="plain"
                aria-label="Close the message"
                @click=${() => this.services.store.set({ trouble: undefined })}
              >
                ${icons.close}
              </button>
            </div>`
          : nothing
      }`;
  }

  #picture(now: BenchState, map: MapState) {
    const { feed, live } = now;
    const { mapping } = this.services;
    const shown = shownMap(now, map);
    const { thresholds } = readingSettings(now);
    return html`<lt-viewfinder
      class="picture"
      .pictureWidth=${feed.width}
      .pictureHeight=${feed.height}
      .tile=${map.bare ? undefined : (now.tile ?? live?.tile)}
      .glaze=${map.glaze}
      .area=${map.bare ? undefined : map.outline}
      .target=${map.target}
      .closeUp=${map.near !== undefined}
      .closeTo=${map.near}
      .overlay=${
        shown && !map.bare
          ? (scale: number, view: Parameters<typeof blendOverlay>[3]) =>
              blendOverlay(
                map.target === 'none' ? { ...shown, glazeRound: [] } : shown,
                thresholds,
                scale,
                view,
              )
          : undefined
      }
      @lt-area=${(e: CustomEvent<AreaMarked>) => mapping.mark(e.detail)}
      @lt-point=${(e: CustomEvent<{ point: PixelPoint }>) => mapping.pointAtGlaze(e.detail.point)}
      @lt-tile=${(e: CustomEvent<{ polygon: PixelPolygon }>) => mapping.moveTile(e.detail.polygon)}
    >
      ${feedView(feed, () => (location.hash = hashOf({ screen: 'bench' })))}
      ${
        feed.status === 'running'
          ? html`<p class="chip">${feed.label}<b>${steadiness(now)}</b></p>`
          : nothing
      }
      ${
        map.target === 'area' && map.outline
          ? html`<div class="fit" role="group" aria-label="Whole outline">
              <button aria-label="Outline smaller" @click=${() => mapping.resize(1 / 1.1)}>
                −
              </button>
              <button aria-label="Outline larger" @click=${() => mapping.resize(1.1)}>+</button>
              <button @click=${() => mapping.clear()}>Start again</button>
            </div>`
          : nothing
      }
    </lt-viewfinder>`;
  }

  #tools(map: MapState) {
    const { mapping } = this.services;
    return html`<div class="tools" role="toolbar" aria-label="Marking and looking">
      ${TARGETS.map(
        ([target, name, title]) =>
          html`<button
            aria-pressed=${map.target === target}
            title=${title}
            @click=${() => mapping.setTarget(map.target === target ? 'none' : target)}
          >
            ${target === 'area' ? icons.map : icons[target]} ${name}
          </button>`,
      )}
      <button
        aria-pressed=${map.near !== undefined}
        ?disabled=${!map.outline}
        @click=${() => mapping.toggleNear()}
      >
        ${map.near ? icons.far : icons.near} Close-up
      </button>
      <button
        aria-pressed=${map.bare}
        title="The picture without the map, and back"
        @click=${() => mapping.toggleBare()}
      >
        ${icons.photo} Bare
      </button>
    </div>`;
  }

  #result(now: BenchState, map: MapState) {
    const found = now.live?.map;
    const refused = map.refused.length > 0 ? map.refused : found && !found.ok ? found.refused : [];
    const shown = shownMap(now, map);
    if (!map.outline) return this.#howTo(now);
    if (!map.stale && refused.length > 0) {
      return html`<lt-verdict acceptable="refused"></lt-verdict>
        <lt-refusal .refused=${refused}></lt-refusal>`;
    }
    if (!shown) return html`<p class="empty">${mapStep({ ...map, target: 'none' }, now)}</p>`;
    const { thresholds } = readingSettings(now);
    return html`<lt-blend-result .map=${shown} .thresholds=${thresholds}></lt-blend-result> ${
        map.saved
          ? html`<div class="saved">
              <a class="button" href=${hashOf({ screen: 'map', map: map.saved })}
                >Open the saved map</a
              >
              <a class="button" href=${hashOf({ screen: 'spray' })}>To the spray plan</a>
            </div>`
          : nothing
      }`;
  }

  #howTo(now: BenchState) {
    return html`<h2>Blend map of a sprayed area</h2>
      <ol class="how">
        <li>Lay the tile beside the piece, both facing the lamp. Let the paint dry first.</li>
        <li>
          Draw round the sprayed area with a finger or the mouse, or tap its middle and drag the
          corners. By keys: O, then Tab and the arrows.
        </li>
        <li>Leave sound glaze in sight all round it: the area is held against that glaze.</li>
      </ol>
      <p class="quiet">
        Each place is compared with the glaze in the light of that place. Where the paint shows, it
        is hatched; the worst place is named.
      </p>
      ${
        now.feed.kind === 'demo'
          ? html`<p class="quiet">
              On the demo bench, Spray this mix lays what is in the pot over the fill.
            </p>`
          : nothing
      }`;
  }

  #actions(now: BenchState, map: MapState) {
    const { mapping } = this.services;
    const isDemo = now.feed.kind === 'demo' && now.feed.status === 'running';
    const canSave = shownMap(now, map) !== undefined && !map.busy && !map.saved;
    return html`<div class="actions" role="group" aria-label="Map">
      <button @click=${() => this.#do('bench')}>Bench <kbd>M</kbd></button>
      ${
        isDemo
          ? html`<button
              class=${map.outline ? '' : 'next'}
              ?disabled=${map.busy === 'saving'}
              @click=${() => this.#do('spray')}
            >
              ${map.sprayed ? 'Wipe it off' : 'Spray this mix'} <kbd>P</kbd>
            </button>`
          : html`<button @click=${() => (this.keys = true)}>Keys <kbd>?</kbd></button>`
      }
      <button
        class=${canSave ? 'next' : ''}
        ?disabled=${!canSave}
        @click=${() => void mapping.save()}
      >
        ${map.saved ? 'Saved' : 'Save'} <kbd>S</kbd>
      </button>
    </div>`;
  }

  #key = (event: KeyboardEvent) => {
    const action = actionAmong(MAP_KEYS, event);
    if (!action || this.keys || !this.#bench.value.singleKeys) return;
    event.preventDefault();
    this.#do(action);
  };

  #do(action: MapAction): void {
    const { mapping } = this.services;
    switch (action) {
      case 'bench':
        location.hash = hashOf({ screen: 'bench' });
        return;
      case 'save':
        if (shownMap(this.#bench.value, this.#map.value)) void mapping.save();
        return;
      case 'area':
      case 'glaze':
      case 'tile':
        mapping.setTarget(action);
        return void this.updateComplete.then(() => this.viewfinder.focusTarget(action));
      case 'close-up':
        mapping.toggleNear();
        return;
      case 'bare':
        mapping.toggleBare();
        return;
      case 'spray':
        if (this.#bench.value.feed.kind !== 'demo') return;
        return void (this.#map.value.sprayed ? mapping.wipe() : mapping.spray());
      case 'keys':
        this.keys = true;
    }
  }
}

/** The map that stands; none while the outline is newer than it. */
function shownMap({ live }: BenchState, { stale, outline }: MapState) {
  return outline && !stale && live?.map?.ok ? live.map : undefined;
}

/** Spoken once for each refusal and each save; of a photograph the map too, for it comes once. */
function announcement(now: BenchState, map: MapState): string {
  if (map.saved) return 'The blend map is saved.';
  const refused =
    map.refused[0] ?? (now.live?.map?.ok === false ? now.live.map.refused[0] : undefined);
  if (refused) return `No map. ${refused.message} ${refused.remedy}`;
  const shown = shownMap(now, map);
  if (!shown || now.feed.kind !== 'photo') return '';
  return mapInWords(shown, readingSettings(now).thresholds);
}

function steadiness({ live, feed }: BenchState): string {
  if (feed.kind === 'photo') return 'photograph';
  if (!live) return '';
  if (live.moving) return 'moving';
  return live.settled >= SETTLED ? 'steady' : 'settling';
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-map': MapScreen;
  }
}
