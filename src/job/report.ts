/**
 * The treatment record of one piece, as a model that a page can print. Its headings are those that
 * conservation guidance on documentation asks for: identity and dates, condition, treatment with
 * materials, results with their uncertainty, images, and who did it (AIC Guidelines for Practice,
 * Documentation; ECCO Professional Guidelines II; from memory).
 */
import { ancestorsOf, parentOf, type Id } from './ids.ts';
import type { MapRecord } from './map-record.ts';
import type { ReadingRecord } from './reading-record.ts';
import type { Area, Attempt, Job, Palette, Picture, Piece } from './records.ts';
import type { SprayPlan } from './spray-plan.ts';

export interface ReportSource {
  readonly job: Job;
  readonly piece: Piece;
  readonly areas: readonly Area[];
  readonly attempts: readonly Attempt[];
  readonly readings: readonly ReadingRecord[];
  readonly maps: readonly MapRecord[];
  readonly plans?: readonly SprayPlan[];
  readonly palettes: readonly Palette[];
  readonly pictures: readonly Picture[];
}

/** One component of a mix. */
export interface MixPart {
  /** Colour Index generic name with the pigment's own name; the id when its palette is not at hand. */
  readonly name: string;
  readonly grams: number;
  /** Share of the pigments' mass, 0–1. */
  readonly share: number;
}
export interface AreaReport {
  readonly area: Area;
  /** What the area was retouched with: the mix whose reading is shown, else the last mix. */
  readonly mix: readonly MixPart[];
  readonly mediumGrams: number;
  readonly thinnerGrams: number;
  readonly attempts: number;
  /** Oldest first. */
  readonly readings: readonly ReadingRecord[];
  /** Blend maps of what was sprayed, oldest first. */
  readonly maps: readonly MapRecord[];
  /** How it was sprayed, oldest first. */
  readonly plans: readonly SprayPlan[];
  /** The reading that says how it ended: the last dry one, else the last. */
  readonly result: ReadingRecord | undefined;
}
export interface TreatmentReport {
  readonly identity: {
    readonly piece: string;
    readonly reference: string;
    readonly job: string;
    readonly description: string;
  };
  /** First and last day of the work, ISO 8601 dates, UTC. */
  readonly dates: { readonly from: string; readonly to: string };
  readonly conditionAsFound: string;
  readonly treatment: string;
  readonly areas: readonly AreaReport[];
  readonly materials: Piece['materials'];
  readonly images: Readonly<Record<Picture['stage'], readonly Picture[]>>;
  readonly reversibility: string;
  readonly treatedBy: string;
  /** Tiles and lamps the readings were made with, each once. */
  readonly tiles: readonly string[];
  readonly lamps: readonly string[];
  readonly cautions: readonly string[];
  /** Headings with nothing under them yet, in the person's words. */
  readonly missing: readonly string[];
}

const CAUTIONS = [
  'Readings support the trained eye and do not replace it. They hold for the lamp they were made under.',
  'Restored ware is not for food or drink.',
] as const;

function lastOf<T>(items: readonly T[], wanted: (item: T) => boolean): T | undefined {
  return items.filter(wanted).at(-1) ?? items.at(-1);
}

function byDate<T extends { readonly createdAt: string }>(items: readonly T[]): readonly T[] {
  return [...items].sort((a, b) => a.createdAt.localeCompare(b.createdAt));
}

function partsOf(mix: Attempt, palettes: readonly Palette[]): readonly MixPart[] {
  const pigments = palettes.find(({ id }) => id === mix.palette)?.pigments ?? [];
  const total = Object.values(mix.pot).reduce((sum, grams) => sum + grams, 0);
  return Object.entries(mix.pot)
    .filter(([, grams]) => grams > 0)
    .map(([id, grams]) => {
      const pigment = pigments.find((p) => p.id === id);
      const names = pigment ? [pigment.colourIndex, pigment.name] : [id];
      return {
        name: names.filter((name) => name !== undefined).join(', '),
        grams,
        share: grams / total,
      };
    })
    .sort((a, b) => b.grams - a.grams);
}

function areaReport(area: Area, source: ReportSource): AreaReport {
  const attempts = byDate(source.attempts.filter(({ id }) => parentOf(id) === area.id));
  const readings = byDate(source.readings.filter(({ id }) => parentOf(id) === area.id));
  const result = lastOf(readings, ({ film }) => film === 'dry');
  const mix = attempts.find(({ id }) => id === result?.attempt) ?? attempts.at(-1);
  return {
    area,
    mix: mix ? partsOf(mix, source.palettes) : [],
    mediumGrams: mix?.medium ?? 0,
    thinnerGrams: mix?.thinner ?? 0,
    attempts: attempts.length,
    readings,
    maps: byDate(source.maps.filter(({ id }) => parentOf(id) === area.id)),
    plans: byDate((source.plans ?? []).filter(({ id }) => parentOf(id) === area.id)),
    result,
  };
}

/** What belongs to one piece of a job, as its treatment record. */
export function treatmentReport(source: ReportSource): TreatmentReport {
  const { job, piece } = source;
  const isOwn = ({ id }: { readonly id: Id }) => ancestorsOf(id).includes(piece.id);
  const areas = source.areas
    .filter(({ id }) => parentOf(id) === piece.id)
    .map((area) => areaReport(area, source));
  const pictures = byDate(source.pictures.filter(isOwn));
  const stage = (wanted: Picture['stage']) => pictures.filter((p) => p.stage === wanted);
  const readings = areas.flatMap((area) => area.readings);
  const maps = areas.flatMap((area) => area.maps);
  const measured = [...readings, ...maps];
  const days = [piece, ...pictures, ...measured, ...source.attempts.filter(isOwn)]
    .map(({ createdAt }) => createdAt.slice(0, 10))
    .sort();
  const asked: readonly (readonly [string, string])[] = [
    ['reference of the piece', piece.reference],
    ['description', piece.description],
    ['condition as found', piece.conditionAsFound],
    ['treatment', piece.treatment],
    ['reversibility note', piece.reversibility],
    ['who did it', piece.treatedBy],
  ];
  return {
    identity: {
      piece: piece.name,
      reference: piece.reference,
      job: job.title,
      description: piece.description,
    },
    dates: { from: days[0]!, to: days.at(-1)! },
    conditionAsFound: piece.conditionAsFound,
    treatment: piece.treatment,
    areas,
    materials: piece.materials,
    images: { before: stage('before'), during: stage('during'), after: stage('after') },
    reversibility: piece.reversibility,
    treatedBy: piece.treatedBy,
    tiles: [...new Set(measured.map(({ tile }) => tile.name))],
    lamps: [...new Set(measured.map(({ lamp }) => lamp))].filter((lamp) => lamp !== ''),
    cautions: CAUTIONS,
    missing: [
      ...asked.filter(([, text]) => text.trim() === '').map(([heading]) => heading),
      ...(['before', 'after'] as const)
        .filter((name) => stage(name).length === 0)
        .map((name) => `photograph ${name} treatment`),
      ...areas
        .filter(({ readings: all }) => all.length === 0)
        .map(({ area }) => `a reading of ${area.name}`),
    ],
  };
}
