/** What holds until the person says otherwise. */
import { labD65 } from '../colour/spaces.ts';
import type { ReadingSettings, TileColour } from './types.ts';
import { DEFAULT_THRESHOLDS } from './verdict.ts';

/** A typical glazed white wall tile; from memory, hence the wide uncertainty. */
export const DEFAULT_TILE: TileColour = {
  lab: labD65(93, -0.6, 1.5),
  standardUncertainty: [1.2, 0.4, 1],
};

export const DEFAULT_SETTINGS: ReadingSettings = {
  tileColour: DEFAULT_TILE,
  thresholds: DEFAULT_THRESHOLDS,
};
