/** The pot: what to start with, what to add next, what was added, and what that taught. */
import { deltaE00 } from '../../colour/ciede2000.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import { driedLab, goalOf, withDried } from '../../job/drying.ts';
import { otherLamps } from '../../job/lamp-pairs.ts';
import { withLearned } from '../../job/strengths.ts';
import type { Id } from '../../job/ids.ts';
import type { ReadingRecord } from '../../job/reading-record.ts';
import type { Palette } from '../../job/records.ts';
import type { Hand } from '../../paint/hand.ts';
import type {
  NudgeAnswer,
  NudgeRequest,
  PotGrams,
  Strength,
  Suggestion,
} from '../../paint/types.ts';
import {
  NOTHING_READ,
  potMixes,
  potOf,
  type BenchState,
  type Notice,
  type NudgeState,
} from './bench-state.ts';
import { formatNumber, writingInUse } from '../elements/numbers.ts';
import { countedDoses, smallestOf } from './doses.ts';
import { faultInWords } from './fault.ts';
import type { Feeds } from './feeds.ts';
import { PaintNames } from './paint-names.ts';
import type { Tools } from './tools.ts';
import { lampInUse } from './reading-settings.ts';
import type { Store } from './store.ts';

const LARGEST_GROWTH = 0.8;
/** So many suggestions are handed to the person. */
const MOST_SHOWN = 2;

/** Readings of one mix further apart than this, ΔE₀₀, are not of one dab. */
const SAME_DAB = 3;

/** A recipe from nothing, or why there is none. */
export type FirstMix =
  | { readonly ok: true; readonly recipe: Suggestion; readonly reason?: string }
  | { readonly ok: false; readonly error: string };

/** Where each pigment pulls the dab, Lab per gram, by pigment id. */
export type Pulls = Readonly<Record<string, LabD65>>;

export class Mixing {
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  readonly #feeds: Feeds;
  /** What the last answer says of strengths; kept with the palette once its reading is. */
  #taught:
    | { readonly pot: Id<'attempt'>; readonly strengths: Readonly<Record<string, Strength>> }
    | undefined;

  constructor(store: Store<BenchState>, tools: Tools, feeds: Feeds) {
    this.#store = store;
    this.#tools = tools;
    this.#feeds = feeds;
  }

  /** Asks the paint worker for the next addition to the pot, from a reading of its dab. */
  async suggest(glazeLab: LabD65, dabLab: LabD65): Promise<void> {
    const { palette, held } = this.#store.state;
    this.#taught = undefined;
    if (!palette || Object.keys(potOf(this.#store.state)).length === 0) {
      this.#say('Say what is in the pot, under Pot, and the next addition is suggested.');
      return;
    }
    if (held?.result.verdict.imperceptible === 'blends') {
      this.#say('No addition: it blends even to a close look.');
      return;
    }
    this.#say('Reckoning the next addition.');
    const { names, request, pot } = this.#request(palette, glazeLab, dabLab);
    const isOvertaken = () => this.#store.state.held !== held;
    try {
      const answer = await this.#tools.paint.nudge(request);
      if (answer === 'superseded' || isOvertaken()) return;
      if (!answer.ok) {
        this.#say(inSentence(answer.error));
        return;
      }
      if (pot) this.#taught = { pot, strengths: names.byId(answer.learned) };
      const together = ofAllReadings(answer);
      const suggestions = answer.suggestions.slice(0, MOST_SHOWN).map((one) => {
        const byId = names.suggestionById(one);
        return { ...byId, notes: [...together, ...byId.notes] };
      });
      const none = answer.reason ?? 'no addition brings the dab nearer to the glaze';
      const { startAgain } = answer;
      const reason = [
        ...(suggestions.length > 0 ? [] : together),
        ...(answer.readAgain === undefined ? [startAgain ? withoutRecipe(none) : none] : []),
      ]
        .map(inSentence)
        .join(' ');
      this.#store.set({
        nudge: {
          suggestions,
          chosen: 0,
          message:
            suggestions.length > 0 && answer.reason === undefined ? this.#aim(palette) : reason,
          ...(startAgain && {
            startAgain: {
              pot: names.byId(startAgain.pot),
              preDiluted: names.dilutionsById(startAgain.preDiluted),
              deltaE00: startAgain.predicted.deltaE00,
            },
          }),
          readAgain: answer.readAgain !== undefined,
          warnings: answer.warnings.map(inSentence),
        },
      });
    } catch (error) {
      this.#say(faultInWords(error));
    }
  }

  /** Says that the dry colour is aimed at, when it is. */
  #aim(palette: Palette): string {
    const { film } = this.#store.state;
    const goal = goalOf(palette);
    const dab = this.#store.state.held?.result.dabLab;
    return dab && driedLab(palette, dab, film, goal)
      ? `The dab is ${film}: the colour it will have when ${goal} is aimed at.`
      : '';
  }

  choose(chosen: number): void {
    this.#store.set(({ nudge }) => ({ nudge: { ...nudge, chosen } }));
  }

  /** A recipe for so many grams of paint like the glaze. */
  async firstMix(glazeLab: LabD65, totalGrams: number): Promise<FirstMix> {
    const { palette } = this.#store.state;
    if (!palette) return { ok: false, error: 'There is no palette.' };
    const names = new PaintNames(palette);
    const answer = await this.#tools.paint.firstMix({
      palette: names.palette,
      pot: {},
      glazeLab,
      history: [],
      strengths: names.strengths,
      ...this.#hand(palette, names),
      amount: totalGrams,
    });
    if (answer === 'superseded') return { ok: false, error: 'Another recipe was asked for.' };
    if (!answer.ok) return { ok: false, error: inSentence(answer.error) };
    const [best] = answer.suggestions;
    if (!best) return { ok: false, error: inSentence(answer.reason ?? 'there is no recipe') };
    return {
      ok: true,
      recipe: names.suggestionById(best),
      ...(answer.reason !== undefined && { reason: inSentence(answer.reason) }),
    };
  }

  /** Where each pigment would pull the dab of the pot; undefined while there is no pot or no answer. */
  async pulls(dabLab: LabD65): Promise<Pulls | undefined> {
    const { palette } = this.#store.state;
    const pot = potOf(this.#store.state);
    if (!palette || Object.keys(pot).length === 0) return undefined;
    const names = new PaintNames(palette, pot);
    const answer = await this.#tools.paint.pulls(names.palette, names.named(pot), dabLab);
    return answer === 'superseded' || !answer.ok ? undefined : names.byId(answer.pulls);
  }

  /** Keeps with the palette what the last saved reading taught of the strengths. */
  async keepLearned(): Promise<void> {
    const { palette, readings } = this.#store.state;
    const taught = this.#taught;
    const read = readings.at(-1)?.attempt?.id;
    const dried = (now: Palette) =>
      read
        ? withDried(
            now,
            read,
            readings.map(({ record }) => record),
          )
        : now;
    if (!palette || (!taught && dried(palette) === palette)) return;
    this.#taught = undefined;
    const kept = await this.#tools.records.changePalette(palette.id, (now) =>
      taught ? withLearned(dried(now), taught.pot, new Date(), taught.strengths) : dried(now),
    );
    if (this.#store.state.palette?.id === kept.id) this.#store.set({ palette: kept });
  }

  /** A saved reading's state was mended: what its mix taught of drying is reckoned anew. */
  async relearnDrying(attempt: Id<'attempt'>, readings: readonly ReadingRecord[]): Promise<void> {
    const { palette } = this.#store.state;
    if (!palette || withDried(palette, attempt, readings) === palette) return;
    const kept = await this.#tools.records.changePalette(palette.id, (now) =>
      withDried(now, attempt, readings),
    );
    this.#store.set({ palette: kept });
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

  /** The request for the pot as it is, under the names the person knows. */
  #request(palette: Palette, glazeLab: LabD65, dabLab: LabD65) {
    const { readings, place, settings, film } = this.#store.state;
    // Where the palette has learned how it dries, the dry colour is what is aimed at.
    const asDried = (lab: LabD65, state: BenchState['film']) =>
      driedLab(palette, lab, state)?.lab ?? lab;
    const mixes = potMixes(this.#store.state);
    const pot = potOf(this.#store.state);
    const first = mixes[0]?.id;
    const facts = settings?.lampFacts ?? [];
    const lamps =
      facts.length > 0
        ? otherLamps(
            readings.map(({ record }) => record),
            mixes.at(-1)?.id,
            lampInUse({ place, settings }),
            facts,
          )
        : [];
    const names = new PaintNames(palette, pot, first);
    const request: NudgeRequest = {
      palette: names.palette,
      pot: names.named(pot),
      glazeLab,
      dabLab: asDried(dabLab, film),
      history: mixes.flatMap((mix) =>
        (mix === mixes.at(-1)
          ? this.#readBefore(mix.id, dabLab)
          : readings.filter(({ attempt }) => attempt?.id === mix.id).slice(-1)
        ).map(({ record: { dabLab: dab, glazeLab: glaze, film: state } }) => ({
          pot: names.named(mix.pot),
          dabLab: asDried(dab, state),
          glazeLab: glaze,
        })),
      ),
      strengths: names.strengths,
      ...this.#hand(palette, names),
      largestGrowth: LARGEST_GROWTH,
      ...(lamps.length > 0 && { lamps }),
    };
    return { names, request, pot: first };
  }

  /** Saved readings of a mix that are of the same dab as the one now read, as far as colour tells. */
  #readBefore(mix: Id<'attempt'>, dabLab: LabD65) {
    const { readings, held } = this.#store.state;
    return readings.filter(
      ({ attempt, record }) =>
        attempt?.id === mix &&
        record.id !== held?.saved &&
        record.film === this.#store.state.film &&
        deltaE00(record.dabLab, dabLab) < SAME_DAB,
    );
  }

  /** What this palette's hand can dose, and how the person writes numbers. */
  #hand(palette: Palette, names: PaintNames): Hand & Pick<NudgeRequest, 'writing'> {
    const { scaleStep } = palette;
    return {
      smallest: smallestOf(palette),
      doses: names.named(countedDoses(palette)),
      ...(scaleStep !== undefined && { scaleStep }),
      mayPreDilute: true,
      writing: writingInUse(),
    };
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
    this.#store.set({ ...opened, ...NOTHING_READ, notice });
  }

  #say(message: string): void {
    const nudge: NudgeState = { suggestions: [], chosen: 0, message };
    this.#store.set({ nudge });
  }
}

/** What several readings of one dab say together, and whether it is to be read once more. */
function ofAllReadings({ readTogether, readAgain }: Extract<NudgeAnswer, { ok: true }>): string[] {
  if (readAgain !== undefined) return [readAgain];
  if (!readTogether) return [];
  const { count, deltaE00: off } = readTogether;
  return [`the mean of ${count} readings of this mix is ΔE₀₀ ${formatNumber(off, 1)}`];
}

/** The recipe that the reason ends with stands beside it, in grams that a scale shows. */
function withoutRecipe(reason: string): string {
  return reason.replace(/; a fresh mix comes to .*$/, '');
}

/** The worker's lines begin small, and may name their list first. */
function inSentence(line: string): string {
  const text = line.replace(/^palette: /, '');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? '' : '.'}`;
}
