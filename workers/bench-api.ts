/**
 * The bench worker's one interface: frames and photographs in, readings out. It owns OpenCV.
 * Expected failure is a value; a throw is a bug.
 */
import type { BlendMapRequest, BlendMapResult } from '../src/reading/blend-map.ts';
import type { ReferencePatch } from '../src/reading/profile/cgats.ts';
import type { ChartReading } from '../src/reading/profile/chart-profile.ts';
import type {
  EncodedPicture,
  PixelPoint,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  Regions,
} from '../src/reading/types.ts';

/** What a live feed tells about each analysed frame. Positions are pixels of the whole frame. */
export interface LiveReport {
  /** Counts analysed frames since the feed started, from 1. */
  readonly frame: number;
  readonly width: number;
  readonly height: number;
  /** Which call of `point` or `watchArea` this report answers: the count given with it, else 0. */
  readonly pointing: number;
  /** The tile as found, or as given; absent while none is found. */
  readonly tile?: {
    readonly polygon: PixelPolygon;
    readonly found: boolean;
    /** Its brightest channel as a share of the encoded range, 0–1, when the tile was last read. */
    readonly level: number;
    /** ln of its light, ln R/G and ln B/G, while nothing moves. */
    readonly light?: readonly [number, number, number];
  };
  /** Milliseconds from asking for the frame's pixels to the end of its work; readings not included. */
  readonly workMs: number;
  /** Milliseconds that the last reading took, beside the frames; 0 before the first. */
  readonly readingMs: number;
  /** 0–1: how far the average has settled; back to 0 when something moves. */
  readonly settled: number;
  readonly framesAveraged: number;
  /** The average has settled and been read: the number holds still until something changes. */
  readonly held: boolean;
  /** The camera, the piece or a hand moves: nothing is averaged. */
  readonly moving: boolean;
  /** The light on the tile is no longer what it was: the average starts anew. */
  readonly lampChanged: boolean;
  /**
   * A new reading, when this frame brought one; the last one stands until then. Refused with
   * `moving` or `lamp-changed` as soon as either begins.
   */
  readonly result?: ReadingResult;
  /**
   * The same for the blend map, while an area is watched in place of a dab: a new map, or the reason
   * why the last one no longer stands.
   */
  readonly map?: BlendMapResult;
}

/** A blend map with the picture it was made from, for the record. */
export interface CapturedMap {
  /** Positions are pixels of `picture`. */
  readonly result: BlendMapResult;
  /** The part of the frame that holds tile, area and the glaze round it, averaged, 16 bits. */
  readonly picture: EncodedPicture;
  /** As given, in pixels of `picture`; the tile as found when none was given. */
  readonly request: BlendMapRequest;
  /** Where the top-left corner of `picture` lies in the frame. */
  readonly at: PixelPoint;
}

/** A reading with the picture it was made from, for the record. */
export interface CapturedReading {
  /** Positions are pixels of `picture`. */
  readonly result: ReadingResult;
  /** The part of the frame that holds tile, glaze and dab, averaged, 16 bits. */
  readonly picture: EncodedPicture;
  /** The regions as given, in pixels of `picture`; the tile as found when none was given. */
  readonly regions: Regions;
  /** Where the top-left corner of `picture` lies in the frame. */
  readonly at: PixelPoint;
}

export interface BenchWorkerApi {
  /** Loads OpenCV; answers when it is ready. Safe to call again. */
  start(): Promise<{ readonly startMs: number }>;
  /** Keeps a photograph for the calls below, in place of the one before. */
  openPicture(picture: EncodedPicture): Promise<void>;
  /** Reads the kept photograph. */
  readPicture(regions: Partial<Regions>, settings: ReadingSettings): Promise<ReadingResult>;
  /** The blend map of an area of the kept photograph. */
  mapPicture(request: BlendMapRequest, settings: ReadingSettings): Promise<BlendMapResult>;
  /** Finds the tile in the kept photograph; undefined when there is none to be found. */
  findTile(): Promise<PixelPolygon | undefined>;
  /** A chart of 24 patches in the kept photograph; without corners it is found. */
  readChart(reference: readonly ReferencePatch[], corners?: PixelPolygon): Promise<ChartReading>;
  /** Frames from MediaStreamTrackProcessor, transferred; reports until the stream ends or `stop`. */
  follow(
    frames: ReadableStream<VideoFrame>,
    report: (live: LiveReport) => void,
  ): Promise<{ readonly ended: 'stopped' | 'stream-ended' }>;
  /** The fallback: one frame at a time, transferred; answers with the report of that frame. */
  readFrame(frame: ImageBitmap): Promise<LiveReport>;
  /**
   * Where the person points and how readings are made, for live frames from now on. Without glaze
   * and dab only the tile is looked for.
   */
  point(regions: Partial<Regions>, settings: ReadingSettings, pointing: number): Promise<void>;
  /**
   * Live frames from now on are for the blend map of an area; readings rest until the next `point`.
   * The map is made anew now and then, beside the frames: the newest counts, and none of what was
   * before a movement or another lamp.
   */
  watchArea(request: BlendMapRequest, settings: ReadingSettings, pointing: number): Promise<void>;
  /** The averaged picture and its blend map, now; undefined while no area is watched. */
  captureMap(): Promise<CapturedMap | undefined>;
  /** The averaged picture and its reading, now; undefined until glaze and dab are pointed at. */
  capture(): Promise<CapturedReading | undefined>;
  /** Ends `follow` and forgets the average. */
  stop(): Promise<void>;
}
