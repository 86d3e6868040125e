/**
 * Other benches, other hands, other callers: what a session may differ in. The solver is never told
 * which, and none of its constants is of one of them.
 */
import type { Conditions } from './nudges-scene.ts';
import { USUAL_MAKE, type Make } from './paint-truth.ts';

const make = (changed: Partial<Make>) => ({ make: { ...USUAL_MAKE, ...changed } });

export const VARIANTS: Readonly<Record<string, Partial<Conditions>>> = {
  usual: {},
  'stop at 1.0': { stop: { reads: 1 } },
  'stop at 1.0, read again where advised': { stop: { reads: 1 }, readsAgain: true },
  'stop at 0.8, read again where advised': { readsAgain: true },
  'glaze each time, stop at 1.0, read again': {
    glaze: 'each time',
    history: 'dabs and glazes',
    stop: { reads: 1 },
    readsAgain: true,
  },
  'stop at blends, T = 0.8': { stop: { blendsAt: 0.8 } },
  'stop at blends, T = 1.8': { stop: { blendsAt: 1.8 } },
  'until nothing is suggested': { stop: 'nothing suggested' },
  'glaze read once': { glaze: 'once' },
  'glaze read once, stop at 1.0': { glaze: 'once', stop: { reads: 1 } },
  'glaze read each time': { glaze: 'each time' },
  'glaze each time, stop at 1.0': { glaze: 'each time', stop: { reads: 1 } },
  'glaze each time, sent along': { glaze: 'each time', history: 'dabs and glazes' },
  'light misjudged, σ 0.2': { lightSigma: 0.2 },
  'light misjudged, glaze each time': {
    lightSigma: 0.2,
    glaze: 'each time',
    history: 'dabs and glazes',
    stop: { reads: 1 },
  },
  'no history': { history: 'none' },
  'starting again where advised': { startsAgain: true },
  'single additions': { follow: 'single' },
  'steep flanks': make({ widths: 0.4 }),
  'hooks and shoulders': make({ hooks: 4 }),
  'staining pigments': make({ staining: 3 }),
  'weak earths': make({ earths: 0.4 }),
  'a white that scatters less': make({ whiteS: 0.5, whiteTilt: -0.4 }),
  'a white that scatters more': make({ whiteS: 1.6, whiteTilt: 0.4 }),
  'no surface': make({ surface: { k1: 0, k2: 0 } }),
  'a matt surface': make({ surface: { k1: 0.02, k2: 0.35 } }),
  'twice the departure': make({ departure: 2 }),
  'Kubelka–Munk to the letter': make({ departure: 0 }),
  'tints at 1:4': { tintParts: 4 },
  'tints at 1:20': { tintParts: 20 },
  'a third without tint': { untinted: 0.33 },
  'palette read σ 0.25': { paletteSigma: 0.25 },
  'palette read σ 0.8': { paletteSigma: 0.8 },
  'smallest dose 0.01 g': { smallest: 0.01 },
  'smallest dose 0.05 g': { smallest: 0.05 },
  'growth at most 0.3': { largestGrowth: 0.3 },
  'growth at most 2': { largestGrowth: 2 },
  'pot of 20 g': { potGrams: 20 },
  'pot of 20 g, smallest 0.05 g': { potGrams: 20, smallest: 0.05 },
  'first pot weighed well': { firstDoseError: 0.01 },
  'all at once': {
    glaze: 'once',
    stop: { reads: 1 },
    smallest: 0.01,
    paletteSigma: 0.5,
    ...make({ widths: 0.6, hooks: 2, staining: 2, departure: 1.5 }),
  },
};
