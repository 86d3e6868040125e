/** What every live feed, a camera or the demo bench, offers the screen. */

export type FeedEnd =
  /** `stop` was called. */
  | 'stopped'
  /** The camera was unplugged, or taken away by the system. */
  | 'lost';

export interface Feed {
  readonly ok: true;
  readonly kind: 'camera' | 'demo';
  /** The device's own name, or "Demo bench". */
  readonly label: string;
  /** For the viewfinder's `<video>`. Frames for reading come from `frameSource(stream)`. */
  readonly stream: MediaStream;
  readonly width: number;
  readonly height: number;
  /** Settles once, when the feed ends. */
  readonly ended: Promise<FeedEnd>;
  stop(): void;
}

/** Why there is no live picture, in the person's words, and what to do about it. */
export interface FeedFailure {
  readonly ok: false;
  readonly reason:
    'unsupported' | 'insecure' | 'denied' | 'none' | 'in-use' | 'settings' | 'demo' | 'failed';
  readonly message: string;
  readonly remedy: string;
}
