/** The pot: what is in it, what to add next, what was added. */
import { solverPalette } from '../../job/solver-palette.ts';
import type { PotGrams } from '../../paint/types.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import {
  EMPTY_NUDGE,
  potOf,
  type BenchState,
  type Notice,
  type NudgeState,
} from './bench-state.ts';
import type { Feeds } from './feeds.ts';
import type { Tools } from './tools.ts';
import type { Store } from './store.ts';

const LARGEST_GROWTH = 0.8;

export class Mixing {
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  readonly #feeds: Feeds;

  constructor(store: Store<BenchState>, tools: Tools, feeds: Feeds) {
    this.#store = store;
    this.#tools = tools;
    this.#feeds = feeds;
  }

  /** Asks the paint worker for the next addition to the pot, from a reading of its dab. */
  async suggest(glazeLab: LabD65, dabLab: LabD65): Promise<void> {
    const { palette, mixes, readings, held } = this.#store.state;
    const pot = potOf(this.#store.state);
    if (!palette || Object.keys(pot).length === 0) {
      this.#say('Say what is in the pot, under Pot, and the next addition is suggested.');
      return;
    }
    if (held?.result.verdict.imperceptible === 'blends') {
      this.#say('No addition: it blends even to a close look.');
      return;
    }
    this.#say('Reckoning the next addition.');
    const history = mixes.slice(0, -1).flatMap((mix) =>
      readings
        .filter(({ attempt }) => attempt?.id === mix.id)
        .slice(-1)
        .map(({ record }) => ({ pot: mix.pot, dabLab: record.dabLab })),
    );
    try {
      const answer = await this.#tools.paint.nudge({
        palette: solverPalette(palette, pot),
        pot,
        glazeLab,
        dabLab,
        history,
        smallest: palette.smallest,
        largestGrowth: LARGEST_GROWTH,
      });
      if (answer === 'superseded' || this.#store.state.held !== held) return;
      if (!answer.ok) this.#say(answer.error);
      else if (answer.suggestions.length === 0) {
        this.#say(answer.reason ?? 'No addition brings the dab nearer to the glaze.');
      } else {
        this.#store.set({
          nudge: { suggestions: answer.suggestions.slice(0, 2), chosen: 0, message: '' },
        });
      }
    } catch (error) {
      this.#say(error instanceof Error ? error.message : String(error));
    }
  }

  choose(chosen: number): void {
    this.#store.set(({ nudge }) => ({ nudge: { ...nudge, chosen } }));
  }

  /** Puts an addition into the pot, as a mix of its own, and says so with an undo. */
  async add(addition: PotGrams): Promise<void> {
    const before = potOf(this.#store.state);
    const pot: Record<string, number> = { ...before };
    for (const [id, grams] of Object.entries(addition)) {
      // A balance shows no more than a tenth of a milligram.
      pot[id] = Math.round(((pot[id] ?? 0) + grams) * 1e4) / 1e4;
    }
    await this.#record(pot, addition, 'Added to the pot.');
  }

  /** States the pot anew: a first mix, or a correction of what was recorded. */
  async statePot(pot: PotGrams): Promise<void> {
    await this.#record(pot, {}, 'The pot is recorded.');
  }

  /** Takes the newest mix back. */
  async undo(): Promise<void> {
    const last = this.#store.state.mixes.at(-1);
    if (!last) return;
    await this.#feeds.layDabAfter(async () => {
      const restore = await this.#tools.records.remove(last.id);
      await this.#changed({
        text: 'The last addition is taken back.',
        undo: () =>
          this.#feeds.layDabAfter(async () => {
            await restore();
            await this.#changed(undefined);
          }),
      });
    });
  }

  async #record(pot: PotGrams, addition: PotGrams, text: string): Promise<void> {
    const { place, palette } = this.#store.state;
    if (!place || !palette) return;
    await this.#feeds.layDabAfter(async () => {
      await this.#tools.records.addMix(place.area.id, palette.id, pot, addition);
      await this.#changed({ text, undo: () => this.undo() });
    });
  }

  /** Another mix is in the pot: what was read of the one before stands no longer. */
  async #changed(notice: Notice | undefined): Promise<void> {
    const { place } = this.#store.state;
    const opened = place && (await this.#tools.records.openArea(place.area.id));
    this.#store.set({ ...opened, notice, nudge: EMPTY_NUDGE, held: undefined, refused: [] });
  }

  #say(message: string): void {
    const nudge: NudgeState = { suggestions: [], chosen: 0, message };
    this.#store.set({ nudge });
  }
}
