/** What is typed and in no record yet: it waits while one goes to another screen, and comes back. */
import type { Id } from '../../job/ids.ts';
import type { TypedPart } from './spray-reckoning.ts';
import { withTyped } from './spray-start.ts';

/** The card of one coat. */
export interface TypedCard {
  /** By field, as typed. */
  readonly texts: Readonly<Record<string, string>>;
  /** It has served: nothing is lost with it. */
  readonly isReckoned: boolean;
}

export class Drafts {
  readonly cards = new Map<Id<'area'>, TypedCard>();
  /** For spraying, by area and by the plan that the fields began with. */
  readonly plans = new Map<string, TypedPart>();

  typePlan(key: string, part: TypedPart): void {
    this.plans.set(key, withTyped(this.plans.get(key) ?? {}, part));
  }

  /** Closing the window would lose something. */
  get isUnkept(): boolean {
    return this.plans.size > 0 || [...this.cards.values()].some(({ isReckoned }) => !isReckoned);
  }
}
