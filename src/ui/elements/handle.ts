/**
 * A point on the picture that is dragged with a finger or moved with the arrow keys.
 * Events: `lt-drag`, `lt-step`, and `lt-tap` when it was only tapped.
 */
import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { base } from '../styles/shared.ts';

/** Where a pointer has dragged the handle to, in client pixels. */
export interface HandleDrag {
  readonly clientX: number;
  readonly clientY: number;
}
/** One press of an arrow key, in picture pixels. */
export interface HandleStep {
  readonly dx: number;
  readonly dy: number;
}

/** A finger that moves less than this has tapped. */
const TAP_PX = 6;

const ARROWS: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

@customElement('lt-handle')
export class Handle extends LitElement {
  @property() name = '';
  /** Picture pixels, spoken to a person who moves it with the keys. */
  @property({ type: Number }) atX = 0;
  @property({ type: Number }) atY = 0;
  /** A tile corner is drawn as a square, dab and glaze as a cross. */
  @property({ reflect: true }) shape: 'corner' | 'cross' = 'cross';

  #dragging = false;
  #moved = false;
  #grip = { x: 0, y: 0 };
  #start = { x: 0, y: 0 };

  static override styles = [
    base,
    css`
      :host {
        position: absolute;
        inline-size: 0;
        block-size: 0;
      }
      button {
        position: absolute;
        inset: -24px auto auto -24px;
        inline-size: 48px;
        block-size: 48px;
        padding: 0;
        border: 0;
        border-radius: 50%;
        background: transparent;
        cursor: grab;
        touch-action: none;
      }
      button::before,
      button::after {
        position: absolute;
        inset: 50% auto auto 50%;
        translate: -50% -50%;
        content: '';
      }
      :host([shape='corner']) button::before {
        inline-size: 14px;
        block-size: 14px;
        border: 3px solid #ffffff;
        background: #000000;
        outline: 2px solid #000000;
      }
      :host([shape='cross']) button::before {
        inline-size: 2px;
        block-size: 14px;
        background: #ffffff;
        outline: 1px solid #000000;
      }
      :host([shape='cross']) button::after {
        inline-size: 14px;
        block-size: 2px;
        background: #ffffff;
        outline: 1px solid #000000;
      }
    `,
  ];

  override render() {
    return html`<button
      aria-label="${this.name}, at ${this.atX.toFixed(0)}, ${this.atY.toFixed(0)}"
      aria-roledescription="movable point"
      title="${this.name}: drag, or move with the arrow keys"
      @pointerdown=${this.#down}
      @pointermove=${this.#move}
      @pointerup=${this.#up}
      @pointercancel=${this.#up}
      @keydown=${this.#key}
    ></button>`;
  }

  override focus(): void {
    this.renderRoot.querySelector('button')?.focus();
  }

  #down = (event: PointerEvent) => {
    event.stopPropagation();
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    const middle = this.getBoundingClientRect();
    // Held where it was gripped, so that a fat finger does not make it jump.
    this.#grip = { x: middle.x - event.clientX, y: middle.y - event.clientY };
    this.#dragging = true;
    this.#moved = false;
    this.#start = { x: event.clientX, y: event.clientY };
  };

  #move = (event: PointerEvent) => {
    if (!this.#dragging) return;
    event.stopPropagation();
    const way = Math.hypot(event.clientX - this.#start.x, event.clientY - this.#start.y);
    this.#moved ||= way > TAP_PX;
    if (!this.#moved) return;
    this.#emit('lt-drag', {
      clientX: event.clientX + this.#grip.x,
      clientY: event.clientY + this.#grip.y,
    });
  };

  #up = (event: PointerEvent) => {
    event.stopPropagation();
    // A tap was meant for the picture under the handle: at arm's length the two are hard to part.
    if (this.#dragging && !this.#moved && event.type === 'pointerup') {
      this.#emit('lt-tap', { clientX: event.clientX, clientY: event.clientY });
    }
    this.#dragging = false;
  };

  #key = (event: KeyboardEvent) => {
    const arrow = ARROWS[event.key];
    if (!arrow) return;
    event.preventDefault();
    const step = event.shiftKey ? 1 : 8;
    this.#emit('lt-step', { dx: arrow[0] * step, dy: arrow[1] * step });
  };

  #emit(type: string, detail: HandleDrag | HandleStep): void {
    this.dispatchEvent(new CustomEvent(type, { detail }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'lt-handle': Handle;
  }
}
