/** Jars on the shelf that are near the glaze of the area on the bench; nothing when none is. */
import { consume } from '@lit/context';
import { css, html, LitElement, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { leftIn } from '../../job/jar.ts';
import { nearestJars } from '../../paint/spray/leftovers.ts';
import { formatGrams, formatNumber } from '../elements/numbers.ts';
import type { BenchState } from '../state/bench-state.ts';
import { glazeOf } from '../state/glaze.ts';
import { hashOf } from '../state/route.ts';
import { recordsTask } from '../state/records-watch.ts';
import { servicesContext, type Services } from '../state/services.ts';
import { Select } from '../state/store.ts';
import { base } from '../styles/shared.ts';

/** Further off than this a jar saves no work. */
const NEAR_DELTA_E = 6;
const MOST = 3;

@customElement('lt-near-jars')
export class NearJars extends LitElement {
  @consume({ context: servicesContext }) private services!: Services;

  /** It stands on the shelf itself. */
  @property({ type: Boolean }) here = false;

  #bench = new Select(
    this,
    () => this.services.store,
    (now: BenchState) => ({ place: now.place, glaze: glazeOf(now) }),
  );
  #jars = recordsTask(this, () => this.services.records, {
    task: () => this.services.spraying.jars(),
    args: () => [],
  });

  static override styles = [
    base,
    css`
      section {
        margin-block-end: 8px;
        padding: 16px;
        background: var(--control);
        color: var(--ink);
      }
      h3 {
        font-size: 1.125rem;
      }
      li {
        padding-block: 4px;
      }
      a {
        display: inline-flex;
        align-items: center;
        min-block-size: var(--touch);
      }
    `,
  ];

  override render() {
    const { glaze, place } = this.#bench.value;
    if (!glaze || !place) return nothing;
    const near = nearestJars(
      (this.#jars.value ?? []).filter((jar) => leftIn(jar) > 0),
      glaze,
      MOST,
    ).filter(({ deltaE00 }) => deltaE00 <= NEAR_DELTA_E);
    if (near.length === 0) return nothing;
    return html`<section aria-labelledby="near">
      <h3 id="near">On the shelf, near the glaze of the ${place.area.name}</h3>
      <ol>
        ${near.map(
          ({ jar, deltaE00 }) =>
            html`<li>
              ΔE₀₀ ${formatNumber(deltaE00, 1)}: ${jar.label}, ${formatGrams(leftIn(jar))} left
            </li>`,
        )}
      </ol>
      ${this.here ? nothing : html`<a href=${hashOf({ screen: 'shelf' })}>See the shelf</a>`}
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-near-jars': NearJars;
  }
}
