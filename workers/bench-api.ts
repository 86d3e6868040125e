/**
 * The bench worker's one interface: frames and photographs in, readings out. It owns OpenCV.
 * Expected failure is a value; a throw is a bug.
 */
import type {
  EncodedPicture,
  PixelPolygon,
  ReadingResult,
  ReadingSettings,
  Regions,
} from '../src/reading/types.ts';

/** What a live feed tells about each analysed frame. */
export interface LiveReport {
  /** Counts analysed frames since the feed started. */
  readonly frame: number;
  readonly width: number;
  readonly height: number;
  /** The tile as found in this frame, or as given. */
  readonly tile?: { readonly polygon: PixelPolygon; readonly level: number };
  /** Milliseconds from fetching the frame to the end of its reading. */
  readonly workMs: number;
  /** 0–1: how far the average has settled; back to 0 when something moves. */
  readonly settled: number;
  readonly framesAveraged: number;
  readonly moving: boolean;
  /** Absent until glaze and dab are pointed at. */
  readonly result?: ReadingResult;
}

/** A reading with the picture it was made from, for the record. */
export interface CapturedReading {
  readonly result: ReadingResult;
  readonly picture: EncodedPicture;
}

export interface BenchWorkerApi {
  /** Loads OpenCV; answers when it is ready. Safe to call again. */
  start(): Promise<{ readonly startMs: number }>;
  /** Reads one photograph. */
  readPicture(
    picture: EncodedPicture,
    regions: Partial<Regions>,
    settings: ReadingSettings,
  ): Promise<ReadingResult>;
  /** Finds the tile by itself; undefined when there is none to be found. */
  findTile(picture: EncodedPicture): Promise<PixelPolygon | undefined>;
  /** Frames from MediaStreamTrackProcessor, transferred; reports until the stream ends or `stop`. */
  follow(
    frames: ReadableStream<VideoFrame>,
    report: (live: LiveReport) => void,
  ): Promise<{ readonly ended: 'stopped' | 'stream-ended' }>;
  /** The fallback: one frame at a time, transferred; answers with the report of that frame. */
  readFrame(frame: ImageBitmap): Promise<LiveReport>;
  /** Where the person points and how readings are made, for live frames from now on. */
  point(regions: Partial<Regions>, settings: ReadingSettings): Promise<void>;
  /** The averaged picture and its reading, now. */
  capture(): Promise<CapturedReading | undefined>;
  stop(): Promise<void>;
}
