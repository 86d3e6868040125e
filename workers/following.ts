/** One feed being read; the frame that is under way when it is stopped is taken in and closed. */

/** A camera that has fallen silent is not waited for longer than this, ms. */
const LAST_FRAME_MS = 200;

export class Following {
  readonly #reader: ReadableStreamDefaultReader<VideoFrame>;
  #stopped = false;
  #ended: Promise<unknown> = Promise.resolve();

  constructor(frames: ReadableStream<VideoFrame>) {
    this.#reader = frames.getReader();
  }

  /** @param take what to do with a frame, which is closed when it is done */
  run(take: (frame: VideoFrame) => Promise<void>): Promise<{ ended: 'stopped' | 'stream-ended' }> {
    const running = this.#run(take);
    this.#ended = running.catch(() => undefined);
    return running;
  }

  async stop(): Promise<void> {
    this.#stopped = true;
    await Promise.race([this.#ended, new Promise((late) => setTimeout(late, LAST_FRAME_MS))]);
    await this.#reader.cancel();
  }

  async #run(take: (frame: VideoFrame) => Promise<void>) {
    for (;;) {
      const { value: frame, done } = await this.#reader.read();
      if (done) return { ended: this.#stopped ? 'stopped' : 'stream-ended' } as const;
      try {
        if (this.#stopped) return { ended: 'stopped' } as const;
        await take(frame);
      } finally {
        frame.close();
      }
    }
  }
}
