/**
 * The paint worker speaks of pigments by their ids: it is given the names the person knows them by, so
 * that whatever it says names them so, and its answers are turned back.
 */
import { solverPalette } from '../../job/solver-palette.ts';
import type { Id } from '../../job/ids.ts';
import type { Palette } from '../../job/records.ts';
import { strengthBelief } from '../../job/strengths.ts';
import type {
  PalettePigment,
  PotGrams,
  PreDilution,
  Strength,
  Suggestion,
} from '../../paint/types.ts';

export class PaintNames {
  /** The palette under names, as the worker takes it. */
  readonly palette: readonly PalettePigment[];
  /** What is believed of the strengths, by name. */
  readonly strengths: Readonly<Record<string, Strength>>;
  readonly #names: ReadonlyMap<string, string>;
  readonly #ids: ReadonlyMap<string, string>;

  /** @param before a pot whose own teaching is left out of the strengths */
  constructor(palette: Palette, pot: PotGrams = {}, before?: Id<'attempt'>) {
    const names = new Map<string, string>();
    for (const { id, name, colourIndex } of palette.pigments) {
      const isTwice = palette.pigments.some((other) => other.id !== id && other.name === name);
      // Two tubes of one name: the Colour Index name, else the id, tells them apart.
      names.set(id, isTwice ? `${name} (${colourIndex ?? id})` : name);
    }
    const taken = new Set<string>();
    for (const [id, name] of names) {
      if (taken.has(name)) names.set(id, `${name} ${id}`);
      taken.add(names.get(id)!);
    }
    this.#names = names;
    this.#ids = new Map([...names].map(([id, name]) => [name, id]));
    this.palette = solverPalette(palette, pot, before).map((pigment) => ({
      ...pigment,
      id: this.nameOf(pigment.id),
    }));
    // The white stands still: only ratios of strengths show.
    this.strengths = Object.fromEntries(
      palette.pigments
        .filter(({ isWhite }) => !isWhite)
        .map(({ id }) => [this.nameOf(id), strengthBelief(palette, id, before)]),
    );
  }

  nameOf(id: string): string {
    return this.#names.get(id) ?? id;
  }
  idOf(name: string): string {
    return this.#ids.get(name) ?? name;
  }

  /** Values by id → by name. */
  named<T>(byId: Readonly<Record<string, T>>): Readonly<Record<string, T>> {
    return renamed(byId, (id) => this.nameOf(id));
  }
  /** Values by name → by id. */
  byId<T>(byName: Readonly<Record<string, T>>): Readonly<Record<string, T>> {
    return renamed(byName, (name) => this.idOf(name));
  }
  suggestionById(suggestion: Suggestion): Suggestion {
    const { additions, preDiluted } = suggestion;
    return {
      ...suggestion,
      additions: this.byId(additions),
      ...(preDiluted && { preDiluted: this.dilutionsById(preDiluted) }),
    };
  }
  dilutionsById(preDiluted: readonly PreDilution[] = []): readonly PreDilution[] {
    return preDiluted.map((one) => ({ ...one, pigment: this.idOf(one.pigment) }));
  }
}

function renamed<T>(values: Readonly<Record<string, T>>, rename: (key: string) => string) {
  return Object.fromEntries(Object.entries(values).map(([key, value]) => [rename(key), value]));
}
