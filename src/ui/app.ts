/** The frame round the screens: opens the records, hands the services down, follows the address. */
import { provide } from '@lit/context';
import { html, LitElement, nothing, type TemplateResult } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { icons } from './elements/icons.ts';
import './elements/sheet.ts';
import './screens/bench.ts';
import { SCREENS, screenOf, WITHIN } from './screens/by-route.ts';
import { bring, bringAll, isHere } from './screens/later.ts';
import './screens/standing-lines.ts';
import { startServices } from './start.ts';
import { writeNumbersBy } from './elements/numbers.ts';
import { faultInWords } from './state/fault.ts';
import { HandsFree } from './state/hands-free.ts';
import { LightWatch } from './state/light-watch.ts';
import { INITIAL, isReadingUnsaved, type BenchState } from './state/bench-state.ts';
import { wouldLoseOnScreen } from './state/leaving.ts';
import { hashOf, routeOf, type Route } from './state/route.ts';
import { servicesContext, type Services } from './state/services.ts';
import { Select, Store } from './state/store.ts';
import { frame } from './styles/frame.ts';
import { base, controls } from './styles/shared.ts';

@customElement('lt-app')
export class App extends LitElement {
  @provide({ context: servicesContext }) protected services: Services | undefined;
  @state() private route: Route = routeOf(location.hash);
  @state() private failure: string | undefined;
  /** A screen that could not be loaded; the others go on. */
  @state() private missing: { readonly screen: string; readonly why: string } | undefined;

  /** The screen that is wanted over what is not kept on this one, until the person has said. */
  @state() private wanted: Route | undefined;

  readonly #store = new Store<BenchState>(INITIAL);
  readonly #place = new Select(
    this,
    () => this.#store,
    (now: BenchState) => ({ place: now.place, unsaved: isReadingUnsaved(now) }),
  );

  static override styles = [base, controls, frame];

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener('hashchange', this.#follow);
    window.addEventListener('dragover', refuseDrop);
    window.addEventListener('drop', refuseDrop);
    window.addEventListener('keydown', refuseHeld, { capture: true });
    void this.#bring();
    void this.#open();
  }
  override disconnectedCallback(): void {
    window.removeEventListener('hashchange', this.#follow);
    window.removeEventListener('dragover', refuseDrop);
    window.removeEventListener('drop', refuseDrop);
    window.removeEventListener('keydown', refuseHeld, { capture: true });
    super.disconnectedCallback();
  }

  override render() {
    const { place } = this.#place.value;
    return html`
      <header>
        <div class="where">
          <h1>${place ? place.piece.name : 'Lamp & Tile'}</h1>
          ${place ? html`<span>${place.area.name}<i> · ${place.job.title}</i></span>` : nothing}
        </div>
        <nav aria-label="Screens">
          ${SCREENS.map(
            ([screen, name]) =>
              html`<a
                href="#/${screen}"
                aria-current=${WITHIN[this.route.screen] === screen ? 'page' : nothing}
                >${name}</a
              >`,
          )}
        </nav>
      </header>
      ${this.services ? html`<lt-standing-lines></lt-standing-lines>` : html`<div></div>`}
      <main tabindex=${this.route.screen === 'bench' ? nothing : '0'}>${this.#screen()}</main>
      ${this.#question()}
    `;
  }

  #question() {
    const stay = () => (this.wanted = undefined);
    return html`<lt-sheet
      heading=${this.wanted ? 'Not kept yet' : ''}
      ?open=${this.wanted !== undefined}
      @lt-close=${stay}
    >
      <p class="lost">What stands here and is not kept is lost when you leave.</p>
      <div class="both">
        <button class="next" @click=${stay}>Stay here</button>
        <button @click=${() => this.#show(this.wanted!)}>Leave without keeping it</button>
      </div>
    </lt-sheet>`;
  }

  #screen() {
    if (this.failure) return failure(this.failure, nothing);
    const { screen } = this.route;
    if (this.missing?.screen === screen) {
      return failure(
        `This screen could not be loaded: ${this.missing.why}. Nothing is lost. Try again, or reload.`,
        html`${
            this.#place.value.unsaved
              ? html`<p>
                  The reading on the <a href="#/bench">bench</a> is not saved yet: save it before
                  you reload.
                </p>`
              : nothing
          } <button class="next" @click=${() => void this.#bring()}>Try again</button>`,
      );
    }
    if (!this.services) return html`<p class="opening">Opening your jobs.</p>`;
    if (!isHere(screen)) return html`<p class="opening" role="status">Opening.</p>`;
    return screenOf(this.route);
  }

  async #open(): Promise<void> {
    try {
      this.services = await startServices(this.#store);
      await this.updateComplete;
      // Twice: the bench has been drawn, and shown, before the workers start.
      await new Promise(requestAnimationFrame);
      await new Promise(requestAnimationFrame);
      this.services.safekeeping.begin();
      new HandsFree(this.#store).begin();
      new LightWatch(this.#store).begin();
      this.#store.addEventListener('change', this.#writeNumbers);
      await this.services.session.begin();
      void bringAll();
      await this.services.version.begin();
    } catch (error) {
      this.failure = faultInWords(error);
    }
  }

  #settings: BenchState['settings'];
  #writeNumbers = () => {
    const { settings } = this.#store.state;
    if (settings && settings !== this.#settings) writeNumbersBy(settings);
    this.#settings = settings;
  };

  async #bring(): Promise<void> {
    const { screen } = this.route;
    this.missing = undefined;
    try {
      await bring(screen);
    } catch (error) {
      this.missing = { screen, why: faultInWords(error) };
    }
    this.requestUpdate();
  }

  #follow = () => {
    const route = routeOf(location.hash);
    if (wouldLoseOnScreen()) {
      // The screen stays, and so does its address, until the person has said.
      history.pushState(null, '', hashOf(this.route));
      this.wanted = route;
    } else this.#show(route);
  };

  #show(route: Route): void {
    this.wanted = undefined;
    if (hashOf(route) !== hashOf(routeOf(location.hash)))
      history.pushState(null, '', hashOf(route));
    this.route = route;
    void this.#bring();
    // Another screen begins at its top.
    const main = this.renderRoot.querySelector('main');
    if (main) main.scrollTop = 0;
  }
}

/** A file dropped where no screen takes it would open in place of the app, and what is not saved be gone. */
function refuseDrop(event: DragEvent): void {
  if (event.defaultPrevented || !event.dataTransfer?.types.includes('Files')) return;
  event.preventDefault();
  event.dataTransfer.dropEffect = 'none';
}

/** Enter held down presses what has the focus once, not step after step. */
function refuseHeld(event: KeyboardEvent): void {
  const isTyped = event.composedPath()[0] instanceof HTMLTextAreaElement;
  if (event.repeat && event.key === 'Enter' && !isTyped) event.preventDefault();
}

/** What went wrong, and what can be done: to load the page anew, last. */
function failure(what: string, first: TemplateResult | typeof nothing) {
  return html`<div class="failure" role="alert">
    <p>${what}</p>
    ${first}
    <button @click=${() => location.reload()}>${icons.undo} Reload</button>
  </div>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-app': App;
  }
}
