/** Spray plans, brushes and jars on the browser's store. */
import { SCHEMA_VERSION } from '../../job/commission.ts';
import { parentOf, type Id, type Kind } from '../../job/ids.ts';
import { leftIn, withoutUse, withUse, type Jar } from '../../job/jar.ts';
import type { MapRecord } from '../../job/map-record.ts';
import type { AnyRecord, Area, Attempt, RecordOf } from '../../job/records.ts';
import type { ReadingRecord } from '../../job/reading-record.ts';
import {
  mapSinceLastStep,
  withStepDone,
  withStepOpen,
  type Brush,
  type SprayPlan,
} from '../../job/spray-plan.ts';
import type { Kept, Store } from '../../store/store.ts';
import type { BenchRecords } from './bench-records.ts';

type Fresh<K extends Kind> = Omit<
  RecordOf<K>,
  'kind' | 'schema' | 'id' | 'createdAt' | 'updatedAt' | 'deletedAt'
>;

export interface SprayOfArea {
  /** Oldest first; the last is at work. */
  readonly plans: readonly SprayPlan[];
  /** The plan of the area this one must match, and that area. */
  readonly first: { readonly plan: SprayPlan; readonly area: Area } | undefined;
  readonly maps: readonly MapRecord[];
}

export class Spraying {
  readonly #store: Store;
  readonly #records: BenchRecords;

  constructor(store: Store, records: BenchRecords) {
    this.#store = store;
    this.#records = records;
  }

  now(): Date {
    return this.#store.now();
  }

  async of(area: Area): Promise<SprayOfArea> {
    const matched = area.matches && (await this.#store.get(area.matches));
    const [plans, maps, firsts] = await Promise.all([
      this.#store.list('plan', area.id),
      this.#store.list('map', area.id),
      matched ? this.#store.list('plan', matched.id) : [],
    ]);
    const plan = firsts.at(-1);
    return { plans, maps, first: plan && matched ? { plan, area: matched } : undefined };
  }

  async addPlan(area: Id<'area'>, content: Fresh<'plan'>): Promise<SprayPlan> {
    const id = this.#store.newId('plan', area);
    return await this.#put({ ...this.#fresh('plan', id), ...content });
  }

  async changePlan(id: Id<'plan'>, edit: (plan: SprayPlan) => SprayPlan): Promise<SprayPlan> {
    return sure(await this.#store.change(id, edit));
  }

  /**
   * A step is done now, with what was mapped and read for it. Once the paint is bound, the bound mix is
   * what is sprayed, dabbed and read from then on.
   * @returns whether there is such a new mix
   */
  async stepDone(
    plan: SprayPlan,
    { index, note }: { readonly index: number; readonly note: string },
    maps: readonly MapRecord[],
    readings: readonly ReadingRecord[],
    palette: Id<'palette'>,
  ): Promise<boolean> {
    const { kind } = plan.steps[index]!;
    const map = kind === 'check' ? mapSinceLastStep(plan, maps) : undefined;
    const isRead = kind === 'thin' || kind === 'card';
    const reading = isRead && readings.findLast(({ createdAt }) => createdAt > plan.createdAt);
    const done = {
      at: this.now().toISOString(),
      note,
      ...(map && { map: map.id }),
      ...(reading && { reading: reading.id }),
    };
    // Pressed twice, it is done once, and bound once.
    const now = await this.changePlan(plan.id, (before) =>
      before.steps[index]?.at === undefined ? withStepDone(before, index, done) : before,
    );
    if (now.steps[index]?.at !== done.at || kind !== 'bind' || (await this.#isBound(now)))
      return false;
    const { id } = await this.#addBoundMix(plan, palette, 'Bound for spraying.');
    await this.changePlan(plan.id, (before) => ({ ...before, attempt: id }));
    return true;
  }

  async stepOpen(id: Id<'plan'>, index: number): Promise<void> {
    await this.changePlan(id, (now) => withStepOpen(now, index));
  }

  async remove(id: Id): Promise<() => Promise<void>> {
    sure(await this.#store.remove(id));
    return async () => {
      sure(await this.#store.restore(id));
    };
  }

  /** Whether the mix of a plan has its medium in it: the step was done before, and opened again. */
  async #isBound({ attempt, pot, mediumGrams }: SprayPlan): Promise<boolean> {
    const mix = attempt && (await this.#store.get(attempt));
    const paints = Object.entries(pot);
    return mix?.medium === mediumGrams && paints.every(([id, grams]) => mix.pot[id] === grams);
  }

  /** The pot as scaled and bound: what is dabbed and read from now on. */
  async #addBoundMix(
    { id, pot, mediumGrams }: SprayPlan,
    palette: Id<'palette'>,
    note: string,
  ): Promise<Attempt> {
    const area = parentOf(id);
    const fresh = this.#fresh('attempt', this.#store.newId('attempt', area));
    return await this.#put({ ...fresh, palette, pot, addition: {}, medium: mediumGrams, note });
  }

  async brushes(): Promise<readonly Brush[]> {
    return (await this.#records.settings()).brushes ?? [];
  }

  /** How a brush sprayed well, in place of what was known of it; the newest first. */
  async keepBrush(brush: Brush): Promise<void> {
    const settings = await this.#records.settings();
    const others = (settings.brushes ?? []).filter(({ name }) => name !== brush.name);
    await this.#records.saveSettings({ ...settings, brushes: [brush, ...others].slice(0, 50) });
  }

  /** Jars that are not emptied, oldest first. */
  async jars(): Promise<readonly Jar[]> {
    return (await this.#store.list('jar')).filter(({ emptiedAt }) => emptiedAt === undefined);
  }

  async addJar(area: Id<'area'>, content: Fresh<'jar'>): Promise<Jar> {
    const id = this.#store.newId('jar', area);
    return await this.#put({ ...this.#fresh('jar', id), ...content });
  }

  /** Some of a jar, for a plan or for something else; the way back takes it off both again. */
  async takeFromJar(
    { id, label }: Jar,
    grams: number,
    what: string,
    plan?: Id<'plan'>,
  ): Promise<{ readonly left: number; readonly undo: () => Promise<void> }> {
    const at = this.now().toISOString();
    const taken = sure(await this.#store.change(id, (jar) => withUse(jar, { at, grams, what })));
    if (plan) {
      const one = { at, label, grams };
      await this.changePlan(plan, (now) => ({
        ...now,
        fromShelf: [...(now.fromShelf ?? []), one],
      }));
    }
    const undo = async () => {
      sure(await this.#store.change(id, (jar) => withoutUse(jar, { at })));
      if (plan) {
        await this.changePlan(plan, ({ fromShelf = [], ...rest }) => {
          const kept = fromShelf.filter((one) => one.at !== at);
          return kept.length > 0 ? { ...rest, fromShelf: kept } : rest;
        });
      }
    };
    return { left: leftIn(taken), undo };
  }

  async emptyJar(id: Id<'jar'>): Promise<() => Promise<void>> {
    const emptiedAt = this.now().toISOString();
    sure(await this.#store.change(id, (jar) => ({ ...jar, emptiedAt })));
    return async () => {
      const filled = await this.#store.change(id, (jar) => {
        const { emptiedAt: was, ...rest } = jar;
        return was === undefined ? jar : rest;
      });
      sure(filled);
    };
  }

  #fresh<K extends Kind>(kind: K, id: Id<K>) {
    const at = this.#store.now().toISOString();
    return { kind, schema: SCHEMA_VERSION, id, createdAt: at, updatedAt: at } as const;
  }

  async #put<R extends AnyRecord>(record: R): Promise<R> {
    return sure(await this.#store.put(record));
  }
}

function sure<K extends AnyRecord>(kept: Kept<K>): K {
  if (!kept.ok) throw new Error(kept.message);
  return kept.record;
}
