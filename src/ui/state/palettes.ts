/** The palettes: which is in use, what is on it, what of it is undone. */
import type { Id } from '../../job/ids.ts';
import type { DoseUnit, Pigment } from '../../job/mixing.ts';
import type { Palette } from '../../job/records.ts';
import { solverPalette } from '../../job/solver-palette.ts';
import { withoutLearned } from '../../job/strengths.ts';
import { calibrateDose } from '../../paint/pot.ts';
import type { Characterisation } from '../../paint/quality.ts';
import { faultOfPalette } from '../../paint/request.ts';
import { EMPTY_NUDGE, type BenchState, type Notice } from './bench-state.ts';
import type { DoseName } from './doses.ts';
import { OnePress } from './one-press.ts';
import { PaintNames } from './paint-names.ts';
import type { Store } from './store.ts';
import type { Tools } from './tools.ts';

/** What a pigment is called; its colours come by reading or typing. */
export interface PigmentIdentity {
  readonly name: string;
  readonly colourIndex?: string;
  readonly isWhite?: boolean;
}

export class Palettes {
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  readonly #adding = new OnePress();
  readonly #addingPigment = new OnePress<string | undefined>();

  constructor(store: Store<BenchState>, tools: Tools) {
    this.#store = store;
    this.#tools = tools;
  }

  async list(): Promise<readonly Palette[]> {
    return await this.#tools.records.palettes();
  }

  /** How well each pigment is known; empty while the palette cannot be reckoned with. */
  async quality(palette: Palette): Promise<ReadonlyMap<string, Characterisation>> {
    const answer = await this.#tools.paint.characterisations(solverPalette(palette));
    if (answer === 'superseded' || !answer.ok) return new Map();
    return new Map(answer.characterisations.map((one) => [one.id, one]));
  }

  /** A new palette, in use for this area at once. */
  async add(name: string, pigments: readonly Pigment[]): Promise<void> {
    await this.#adding.begin(async () => {
      const palette = await this.#tools.records.addPalette({
        name,
        pigments: [...pigments],
        doseUnits: [],
        smallest: 0.01,
        notes: '',
      });
      await this.use(palette.id);
    });
  }

  /** The area on the bench is mixed from this palette from now on. */
  async use(id: Id<'palette'>): Promise<void> {
    const { place } = this.#store.state;
    if (!place) return;
    await this.#tools.records.usePalette(place.area.id, id);
    const [opened, settings] = await Promise.all([
      this.#tools.records.openArea(place.area.id),
      this.#tools.records.settings(),
    ]);
    this.#store.set({ ...opened, settings, nudge: EMPTY_NUDGE, notice: undefined });
  }

  /** Puts a palette that is not in use into the bin. */
  async remove(palette: Palette): Promise<void> {
    const restore = await this.#tools.records.remove(palette.id);
    this.#say({ text: `The palette ${palette.name} is removed.`, undo: restore });
  }

  /**
   * Edits the palette in use, and says so with an undo. What the paint worker could not reckon with
   * is refused: the fault in the person's words, and nothing is changed.
   */
  async edit(text: string, edit: (palette: Palette) => Palette): Promise<string | undefined> {
    const before = this.#store.state.palette;
    if (!before) return 'There is no palette.';
    const fault = faultIn(edit(before));
    if (fault !== undefined) return fault;
    this.#took(await this.#tools.records.changePalette(before.id, edit));
    this.#say({
      text,
      undo: async () => {
        const back = (now: Palette): Palette => ({ ...before, updatedAt: now.updatedAt });
        this.#took(await this.#tools.records.changePalette(before.id, back));
        this.#say({ text: 'Undone.' });
      },
    });
    return undefined;
  }

  async addPigment(identity: PigmentIdentity): Promise<string | undefined> {
    return await this.#addingPigment.begin(() =>
      this.edit(`${identity.name} is on the palette.`, (palette) => ({
        ...palette,
        pigments: [
          ...onlyWhite(palette.pigments, identity.isWhite),
          { id: newId(identity, palette.pigments), ...identity },
        ],
      })),
    );
  }

  /** Changes a pigment of the palette in use. */
  async changePigment(
    id: string,
    text: string,
    change: (pigment: Pigment) => Pigment,
  ): Promise<string | undefined> {
    return await this.edit(text, (palette) => ({
      ...palette,
      pigments: palette.pigments.map((pigment) => (pigment.id === id ? change(pigment) : pigment)),
    }));
  }

  async rename(id: string, identity: PigmentIdentity): Promise<string | undefined> {
    return await this.edit(`${identity.name} is kept.`, (palette) => ({
      ...palette,
      pigments: onlyWhite(palette.pigments, identity.isWhite).map((pigment) => {
        if (pigment.id !== id) return pigment;
        const { colourIndex, isWhite, ...rest } = pigment;
        const isSame = colourIndex === identity.colourIndex && isWhite === identity.isWhite;
        return { ...(isSame ? pigment : rest), ...identity };
      }),
    }));
  }

  /** A pigment that a mix names is put away rather than lost. */
  async putAway({ id, name }: Pigment): Promise<void> {
    await this.changePigment(id, `${name} is off the palette.`, (pigment) => ({
      ...pigment,
      putAway: true,
    }));
  }
  async bringBack({ id, name }: Pigment): Promise<void> {
    await this.changePigment(id, `${name} is back on the palette.`, (pigment) => {
      const { putAway, ...rest } = pigment;
      return putAway ? rest : pigment;
    });
  }

  async forgetStrength({ id, name }: Pigment): Promise<void> {
    await this.edit(`What was learned of ${name} is taken back.`, (palette) =>
      withoutLearned(palette, id),
    );
  }

  async setDosing(part: Pick<Palette, 'dosing' | 'scaleStep' | 'smallest'>): Promise<void> {
    await this.edit('The way of dosing is kept.', (palette) => ({ ...palette, ...part }));
  }

  /**
   * Keeps what a drop or a touch weighs, of one pigment or of all that were not weighed themselves.
   * @throws RangeError when what was weighed is no mass
   */
  async weigh(
    name: DoseName,
    pigment: string | undefined,
    weighings: readonly number[],
    count: number,
  ): Promise<void> {
    const { grams, spread } = calibrateDose(name, weighings, count);
    const unit: DoseUnit = {
      name,
      grams: Number(grams.toPrecision(6)),
      ...(spread !== undefined && { spread: Number(spread.toPrecision(3)) }),
    };
    await this.#setDose(`The ${name} is kept.`, name, pigment, [unit]);
  }

  async unweigh(name: DoseName, pigment: string | undefined): Promise<void> {
    await this.#setDose(`The ${name} is forgotten.`, name, pigment, []);
  }

  async #setDose(
    text: string,
    name: DoseName,
    pigment: string | undefined,
    units: readonly DoseUnit[],
  ): Promise<void> {
    const changed = (before: readonly DoseUnit[] = []) => [
      ...before.filter((unit) => unit.name !== name),
      ...units,
    ];
    if (pigment !== undefined) {
      await this.changePigment(pigment, text, (one) => ({
        ...one,
        doseUnits: changed(one.doseUnits),
      }));
      return;
    }
    await this.edit(text, (palette) => {
      const doseUnits = changed(palette.doseUnits);
      const { dosing, ...rest } = palette;
      // Nothing is counted in a dose that no longer has a mass.
      const isLost = dosing === name && units.length === 0;
      return { ...(isLost ? rest : palette), doseUnits };
    });
  }

  #took(palette: Palette): void {
    if (this.#store.state.palette?.id === palette.id) this.#store.set({ palette });
  }

  #say(notice: Notice): void {
    this.#store.set({ notice });
  }
}

/** What the paint worker would refuse of a palette, naming the pigment; a palette of nothing passes. */
export function faultIn(palette: Palette): string | undefined {
  const names = new PaintNames(palette);
  if (names.palette.length === 0) return undefined;
  const fault = faultOfPalette(names.palette);
  if (fault === undefined) return undefined;
  const line = fault.replace(/^palette: /, '').replace(' (isWhite)', '');
  return `${line.charAt(0).toUpperCase()}${line.slice(1)}.`;
}

/** One white a palette: the newest choice stands. */
function onlyWhite(pigments: readonly Pigment[], isWhite: boolean | undefined): readonly Pigment[] {
  if (!isWhite) return pigments;
  return pigments.map((pigment) => {
    const { isWhite: was, ...rest } = pigment;
    return was ? rest : pigment;
  });
}

/** "pb-28", "pb-28-2": an id that no pigment of the palette has. */
function newId({ colourIndex, name }: PigmentIdentity, pigments: readonly Pigment[]): string {
  const plain = (colourIndex ?? name)
    .toLowerCase()
    .normalize('NFKD')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 40);
  const base = plain === '' ? 'paint' : plain;
  for (let count = 1; ; count++) {
    const id = count === 1 ? base : `${base}-${count}`;
    if (!pigments.some((pigment) => pigment.id === id)) return id;
  }
}
