/** The reading worker's one interface: the bench worker alone speaks to it. */
import type { BlendMapRequest, BlendMapResult } from '../src/reading/blend-map.ts';
import type { ReferencePatch } from '../src/reading/profile/cgats.ts';
import type { ChartReading } from '../src/reading/profile/chart-profile.ts';
import type { NoTile } from '../src/reading/reference.ts';
import type {
  EncodedPicture,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  Regions,
} from '../src/reading/types.ts';

export interface ReadingWorkerApi {
  /** Loads OpenCV; answers when it is ready. */
  start(): Promise<void>;
  read(
    picture: EncodedPicture,
    regions: Regions,
    settings: ReadingSettings,
  ): Promise<ReadingResult>;
  map(
    picture: EncodedPicture,
    request: BlendMapRequest,
    settings: ReadingSettings,
  ): Promise<BlendMapResult>;
  /** The tile in a live frame, and its level; or why there is none to be found. */
  find(
    picture: EncodedPicture,
    regions: Partial<Regions>,
  ): Promise<{ readonly polygon: PixelPolygon; readonly level: number } | NoTile>;
  /** Keeps a photograph for the calls below, in place of the one before. */
  open(picture: EncodedPicture): Promise<void>;
  readOpened(regions: Regions, settings: ReadingSettings): Promise<ReadingResult>;
  mapOpened(request: BlendMapRequest, settings: ReadingSettings): Promise<BlendMapResult>;
  findTile(): Promise<PixelPolygon | undefined>;
  readChart(reference: readonly ReferencePatch[], corners?: PixelPolygon): Promise<ChartReading>;
}
