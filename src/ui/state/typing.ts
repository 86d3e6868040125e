/** Knows whether something was typed into a form and is not kept: then it is not left without asking. */
import type { ReactiveControllerHost } from 'lit';
import { askBeforeLeavingScreen } from './leaving.ts';

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

export class Typing {
  /** The fields that were gone into, with what stood in them then. */
  readonly #before = new Map<Field, string>();
  readonly #counts: (field: Field) => boolean;

  /**
   * @param host whose fields they are, its own or slotted into it
   * @param counts which of them hold what would be missed
   */
  constructor(
    host: ReactiveControllerHost & EventTarget,
    counts: (field: Field) => boolean = isTypedInto,
  ) {
    this.#counts = counts;
    host.addEventListener('focusin', this.#remember);
    // A browser may give a tick or a choice without the focus.
    host.addEventListener('input', this.#remember);
    askBeforeLeavingScreen(host, () => this.isUnkept);
  }

  get isUnkept(): boolean {
    return [...this.#before].some(([field, was]) => field.isConnected && standsIn(field) !== was);
  }

  /** What stands in the fields now is kept, or let go. */
  done(): void {
    this.#before.clear();
  }

  #remember = (event: Event) => {
    const [field] = event.composedPath();
    if (!isField(field) || this.#before.has(field) || !this.#counts(field)) return;
    this.#before.set(field, event.type === 'input' ? 'as it was' : standsIn(field));
  };
}

/** What is typed into; a tick or a choice is seen and made again in a moment. */
export function isTypedInto(field: Field): boolean {
  if (field instanceof HTMLSelectElement) return false;
  return field instanceof HTMLTextAreaElement || !['checkbox', 'radio'].includes(field.type);
}

function isField(one: EventTarget | undefined): one is Field {
  if (one instanceof HTMLInputElement) return one.type !== 'file';
  return one instanceof HTMLTextAreaElement || one instanceof HTMLSelectElement;
}

const standsIn = (field: Field): string =>
  field instanceof HTMLInputElement && ['checkbox', 'radio'].includes(field.type)
    ? String(field.checked)
    : field.value;
