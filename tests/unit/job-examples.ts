/** Records of an invented studio: a tureen lid with two areas. */
import { labD65 } from '../../src/colour/spaces.ts';
import { MASK_TYPE, type Attachments } from '../../src/job/attachments.ts';
import { writeGraymap } from '../../src/job/picture-forms.ts';
import type { Area, Attempt, Job, Palette, Picture, Piece } from '../../src/job/records.ts';
import type { Jar } from '../../src/job/jar.ts';
import type { MapRecord } from '../../src/job/map-record.ts';
import type { ReadingRecord } from '../../src/job/reading-record.ts';
import type { Settings } from '../../src/job/settings.ts';
import type { SprayPlan } from '../../src/job/spray-plan.ts';

const dates = {
  schema: 2,
  createdAt: '2026-03-02T09:00:00.000Z',
  updatedAt: '2026-03-02T09:00:00.000Z',
} as const;
const tile = {
  name: 'plain wall tile',
  lab: labD65(93.5, -0.6, 1.4),
  standardUncertainty: [0.8, 0.4, 0.6],
} as const;

export const job: Job = {
  ...dates,
  kind: 'job',
  id: 'job/J1',
  title: 'Tureen with a lid, dining set',
  notes: '',
  tile,
};
export const piece: Piece = {
  ...dates,
  kind: 'piece',
  id: 'piece/J1/P1',
  name: 'Lid of the tureen',
  reference: 'shelf 4, no. 17',
  description: 'Tin-glazed earthenware, pale blue ground, ochre band.',
  conditionAsFound: 'Rim chip of 14 × 6 mm, clean break.',
  treatment: 'Chip filled, smoothed, retouched on the fill.',
  reversibility: 'Fill and retouching come off with acetone vapour.',
  treatedBy: 'Studio on the quay',
  materials: [{ name: 'epoxy resin, two parts', use: 'fill', quantity: 'about 2 g' }],
  notes: '',
};
export const palette: Palette = {
  ...dates,
  kind: 'palette',
  id: 'palette/L1',
  name: 'Bench palette (invented)',
  pigments: [
    {
      id: 'white',
      name: 'Titanium white',
      colourIndex: 'PW 6',
      isWhite: true,
      masstone: labD65(96, -0.5, 2),
    },
    {
      id: 'blue',
      name: 'Blue green shade',
      colourIndex: 'PB 36',
      masstone: labD65(34, -18, -24),
      tint: { lab: labD65(71, -16, -17), pigment: 1, white: 9 },
      strength: 1.1,
      doseUnits: [{ name: 'drop', grams: 0.028 }],
    },
  ],
  doseUnits: [{ name: 'touch', grams: 0.012 }],
  smallest: 0.002,
  notes: '',
};
export const area: Area = {
  ...dates,
  kind: 'area',
  id: 'area/J1/P1/A1',
  name: 'Pale blue ground',
  notes: '',
  targetLab: labD65(78.2, -6.1, -9.4),
  thresholds: { acceptable: 1.8, imperceptible: 0.8 },
  palette: palette.id,
};
export const attempt: Attempt = {
  ...dates,
  kind: 'attempt',
  id: 'attempt/J1/P1/A1/T1',
  palette: palette.id,
  pot: { white: 5, blue: 0.31 },
  addition: { blue: 0.012 },
  medium: 0.4,
  note: '',
};
export const reading: ReadingRecord = {
  ...dates,
  kind: 'reading',
  id: 'reading/J1/P1/A1/R1',
  attempt: attempt.id,
  film: 'wet',
  source: 'demo',
  camera: { label: 'demo bench', settings: { exposureMode: 'manual', iso: 100, torch: false } },
  lamp: 'north light tube',
  frames: 24,
  width: 1280,
  height: 720,
  tile: {
    ...tile,
    polygon: [
      { x: 60.5, y: 70 },
      { x: 260, y: 71 },
      { x: 259, y: 270 },
      { x: 61, y: 269 },
    ],
    level: 0.84,
    found: true,
  },
  thresholds: { acceptable: 1.8, imperceptible: 0.8 },
  pointed: {
    glaze: { x: 700, y: 300, radius: 40 },
    dab: { x: 640, y: 360, radius: 18 },
    dabOn: 'piece',
  },
  glazeLab: labD65(78.2, -6.1, -9.4),
  dabLab: labD65(76.9, -5.2, -8.1),
  difference: {
    lab: [-1.3, 0.9, 1.3],
    deltaE00: 1.72,
    interval95: [1.31, 2.14],
    covariance: [
      [0.04, 0.001, -0.002],
      [0.001, 0.03, 0.004],
      [-0.002, 0.004, 0.05],
    ],
  },
  verdict: { acceptable: 'unsure', imperceptible: 'shows' },
  words: ['a little darker', 'yellower'],
  warnings: [],
  uncertainty: {
    shares: [
      { source: 'shading', share: 0.6 },
      { source: 'tile', share: 0.4 },
    ],
    sentence: 'Turn the piece so that it faces as the tile does.',
  },
  evidence: {
    dabOutline: [
      { x: 622, y: 360 },
      { x: 640, y: 342 },
      { x: 658, y: 360 },
    ],
    ring: {
      inner: { x: 640, y: 360, radius: 24 },
      outer: { x: 640, y: 360, radius: 48 },
    },
    crop: { x: 590, y: 310, width: 8, height: 6 },
    mask: { x: 590, y: 310, width: 4, height: 3, step: 2 },
  },
  algorithm: 'reading 1',
  note: '',
};
export const map: MapRecord = {
  ...dates,
  kind: 'map',
  id: 'map/J1/P1/A1/M1',
  attempt: attempt.id,
  film: 'dry',
  source: 'demo',
  camera: reading.camera,
  lamp: 'north light tube',
  frames: 32,
  width: 1280,
  height: 720,
  tile: reading.tile,
  thresholds: { acceptable: 1.8, imperceptible: 0.8 },
  outline: [
    { x: 600, y: 340 },
    { x: 660, y: 330 },
    { x: 672, y: 372 },
    { x: 618, y: 384 },
  ],
  glaze: { x: 700, y: 300, radius: 40 },
  glazeLab: labD65(78.2, -6.1, -9.4),
  judged: 0.97,
  whole: {
    deltaE00: 0.9,
    interval95: [0.3, 1.6],
    verdict: { acceptable: 'blends', imperceptible: 'unsure' },
    words: ['a little darker'],
  },
  median: 0.62,
  above: { acceptable: 0.04, imperceptible: 0.31 },
  glazeAbove: { acceptable: 0, imperceptible: 0.02 },
  worst: { x: 655, y: 338, deltaE00: 2.9, words: ['darker', 'a little yellower'] },
  lines: {
    acceptable: [
      [
        { x: 650, y: 334 },
        { x: 658, y: 336 },
        { x: 654, y: 343 },
      ],
    ],
    imperceptible: [],
  },
  crop: { x: 560, y: 290, width: 150, height: 130 },
  algorithm: 'blend map 1',
  note: '',
};
export const picture: Picture = {
  ...dates,
  kind: 'picture',
  id: 'picture/J1/P1/X1',
  area: 'area/J1/P1/A1',
  stage: 'before',
  caption: 'Chip at the rim',
  takenAt: '2026-03-02T08:50:00.000Z',
  width: 1,
  height: 1,
};
export const settings: Settings = {
  ...dates,
  kind: 'settings',
  id: 'settings/bench',
  thresholds: { acceptable: 1.8, imperceptible: 0.8 },
  tiles: [tile],
  lamps: ['north light tube'],
  massUnit: 'g',
  spoken: false,
  treatedBy: '',
};

/** A whole PNG of one grey pixel, written out by hand after ISO/IEC 15948. */
export const onePixelPng = Uint8Array.from(
  Buffer.from(
    'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==',
    'base64',
  ),
);
export const readingPictures: Attachments = {
  crop: { contentType: 'image/png', bytes: onePixelPng },
  mask: {
    contentType: MASK_TYPE,
    bytes: writeGraymap({
      width: 4,
      height: 3,
      values: Uint8Array.from([0, 1, 1, 0, 1, 2, 2, 1, 0, 1, 3, 0]),
    }),
  },
};

/** How the ground of the lid was sprayed, as far as it came. */
export const plan: SprayPlan = {
  ...dates,
  kind: 'plan',
  id: 'plan/J1/P1/A1/S1',
  attempt: attempt.id,
  shape: { kind: 'band', diameterMm: 120, heightMm: 8, turn: 0.25 },
  unit: 'mm',
  areaCm2: 7.54,
  coats: 2,
  dryFilmMicrometres: 10,
  volumeSolidsPercent: 35,
  densityGramsPerMl: 1.2,
  transferPercent: 40,
  deadMl: 0.5,
  mediumPercent: 5,
  dryMinutes: 20,
  hollow: true,
  brush: {
    name: 'fine brush',
    nozzleMm: 0.2,
    pressureBar: 1.1,
    distanceMm: 40,
    thinner: 'water',
    thinnerParts: 1,
    note: '',
  },
  paintGrams: 0.43,
  range: [0.3, 0.6],
  pot: { white: 0.39, blue: 0.02 },
  mediumGrams: 0.02,
  thinnerMl: 0.36,
  roundingDeltaE00: 0.2,
  steps: [
    { kind: 'bind', at: '2026-03-02T10:00:00.000Z', note: '' },
    {
      kind: 'check',
      coat: 1,
      at: '2026-03-02T10:30:00.000Z',
      map: map.id,
      reading: reading.id,
      note: 'even',
    },
    { kind: 'coat', coat: 2, note: '' },
  ],
  note: '',
};
export const jar: Jar = {
  ...dates,
  kind: 'jar',
  id: 'jar/J1/P1/A1/B1',
  label: 'Pale blue ground',
  attempt: attempt.id,
  palette: palette.id,
  pot: attempt.pot,
  lab: labD65(78, -6, -9),
  grams: 3.1,
  mediumPercent: 0,
  thinned: false,
  thinner: 'water',
  goodUntil: '2026-05-01T09:00:00.000Z',
  note: '',
};
