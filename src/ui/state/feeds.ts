/** The picture on the bench: demo, camera or photograph, and what the bench worker says of it. */
import type { DemoBench } from '../../camera/demo.ts';
import type { Camera } from '../../camera/camera.ts';
import type { Photo } from '../../camera/photo.ts';
import type { FeedFailure } from '../../camera/feed.ts';
import type { LiveState } from '../../link/bench-client.ts';
import type { PotGrams } from '../../paint/types.ts';
import { NOTHING_READ, potOf, type BenchState, type FeedState } from './bench-state.ts';
import { faultInWords } from './fault.ts';
import type { Tools } from './tools.ts';
import type { Store } from './store.ts';

/** No oftener than this does the live view change: the eye beside it must be left in peace. */
const VIEW_INTERVAL_MS = 400;
/** A worker that keeps dying is not started for ever. */
const MOST_RESTARTS = 3;
/**
 * A new dab on the demo bench is in the picture, and seen to be new, after this time and after so many
 * more reports: on a slow machine the first few are of frames that were under way when it was laid.
 */
const NEW_DAB_MS = 1000;
const NEW_DAB_REPORTS = 4;

type Live = Camera | DemoBench;

export class Feeds {
  readonly #store: Store<BenchState>;
  readonly #tools: Tools;
  #live: Live | undefined;
  #photo: Photo | undefined;
  #opening = 0;
  #lastView = 0;
  #quietUntil = 0;
  #quietReports = 0;
  /** What lies on the demo's tile to be characterised, g by pigment id; else its dab is of the pot. */
  #onTile: PotGrams | undefined;
  /** From before its first dab is laid: what is chosen meanwhile is laid too. */
  #demo: DemoBench | undefined;
  /** Counts what was laid there. */
  #laying = 0;
  /** On the demo bench, what is in the pot lies sprayed over the fill and not as a dab. */
  #sprayed = false;

  constructor(store: Store<BenchState>, tools: Tools) {
    this.#store = store;
    this.#tools = tools;
  }

  get photo(): Photo | undefined {
    return this.#photo;
  }
  /** Whether a picture has been asked for since the window was opened. */
  get isChosen(): boolean {
    return this.#opening > 0;
  }
  /** What the camera says of itself, kept with a reading. */
  get cameraSettings(): object {
    if (this.#photo) return { bits: this.#photo.bits, light: lightOf(this.#photo) };
    return this.#live?.stream.getVideoTracks()[0]?.getSettings() ?? {};
  }

  /** Asks the camera again to hold exposure, white balance and focus where they are. */
  async hold(): Promise<void> {
    const camera = this.#live;
    if (camera?.kind !== 'camera') return;
    const held = await camera.hold();
    if (this.#live === camera) this.#setFeed({ held });
  }

  /** Lets the camera set itself: to the light as it is now, before it is held again. */
  async release(): Promise<void> {
    const camera = this.#live;
    if (camera?.kind !== 'camera') return;
    await camera.release();
    this.lookWhetherHeld();
  }

  /** A camera may let go of what it held: its settings tell. */
  lookWhetherHeld(): void {
    const { held } = this.#store.state.feed;
    const camera = this.#live;
    if (!held || camera?.kind !== 'camera') return;
    const now = camera.stillHeld(held);
    const isNews = (['exposure', 'whiteBalance', 'focus'] as const).some(
      (control) => now[control] !== held[control],
    );
    if (isNews) this.#setFeed({ held: now });
  }

  /** The list of cameras, now and whenever one is plugged in or out. */
  watchCameras(): void {
    const list = async () => {
      this.#store.set({ cameras: await this.#tools.cameras.listCameras() });
    };
    this.#tools.cameras.onCamerasChanged(() => void list());
    void list();
  }

  async openDemo(): Promise<DemoBench['scene'] | undefined> {
    const isWanted = this.#starting('demo', 'Demo bench');
    const demo = await this.#tools.cameras.openDemo({});
    let refused: string | undefined;
    if (demo.ok && isWanted()) {
      this.#demo = demo;
      refused = await this.#lay(demo);
    }
    // Opening and laying both take a while: a photograph may have been brought, or a camera asked for.
    if (!isWanted()) {
      if (demo.ok) demo.stop();
      return undefined;
    }
    if (refused !== undefined) this.#store.set({ trouble: refused });
    this.#run(demo);
    return demo.ok ? demo.scene : undefined;
  }

  async openCamera(deviceId?: string): Promise<void> {
    const isWanted = this.#starting('camera', 'Camera');
    const camera = await this.#tools.cameras.openCamera(deviceId);
    if (!isWanted()) {
      if (camera.ok) camera.stop();
      return;
    }
    this.#run(camera);
    if (!camera.ok) return;
    const [held, cameras] = await Promise.all([camera.hold(), this.#tools.cameras.listCameras()]);
    if (this.#live !== camera) return;
    this.#store.set(({ feed }) => ({ feed: { ...feed, held }, cameras }));
    if (camera.substituted) {
      this.#store.set({ notice: { text: `That camera is not there: this is ${camera.label}.` } });
    }
  }

  /** A photograph that cannot be read leaves the bench as it was, and says why. */
  async openPhoto(file: Blob & { readonly name?: string }): Promise<boolean> {
    // A large one takes its time, and what was said of the one before holds no longer.
    const notice = { text: `Opening ${file.name ?? 'the photograph'}.` };
    this.#store.set({ notice, trouble: undefined });
    const photo = await this.#tools.cameras.photoFromFile(file);
    if (this.#store.state.notice === notice) this.#store.set({ notice: undefined });
    if (!photo.ok) {
      this.#store.set({ trouble: `${photo.message} ${photo.remedy}` });
      return false;
    }
    this.#put(photo, file);
    return true;
  }

  /** One photograph after another: places pointed at in a picture of the same size stay. */
  showPhoto(photo: Photo, file: Blob): void {
    const { feed, tile, dab, glaze, target } = this.#store.state;
    const { width, height } = photo.picture;
    const isSame = feed.kind === 'photo' && feed.width === width && feed.height === height;
    this.#put(photo, file);
    if (isSame) this.#store.set({ tile, dab, glaze, target });
  }

  #put(photo: Photo, file: Blob): void {
    this.#starting('photo', labelOf(photo));
    this.#photo = photo;
    this.#setFeed({
      status: 'running',
      width: photo.picture.width,
      height: photo.picture.height,
      address: URL.createObjectURL(photo.likeness ?? file),
    });
    if (photo.notes.length > 0) this.#store.set({ notice: { text: photo.notes.join(' ') } });
  }

  /**
   * The demo's dab follows the pot. From before the work that changes the pot until the new dab is
   * seen, what was seen of the old one counts no more.
   */
  async layDabAfter(work: () => Promise<void>): Promise<void> {
    const demo = this.#demo;
    if (demo) {
      this.#quietUntil = Infinity;
      this.#store.set({ live: undefined });
    }
    try {
      await work();
    } finally {
      const refused = demo && (await this.#lay(demo));
      if (refused !== undefined) this.#store.set({ trouble: refused });
      this.#seeNewDab();
    }
  }

  /**
   * On the demo bench, a coat of this lies on the tile from now on; undefined: the dab of the pot is
   * back on the piece. Says why when the demo bench has no such paint; other pictures are as they are.
   */
  async layOnTile(grams: PotGrams | undefined): Promise<string | undefined> {
    this.#onTile = grams;
    const demo = this.#demo;
    if (!demo) return undefined;
    this.#quietUntil = Infinity;
    this.#store.set({ live: undefined });
    try {
      return await this.#lay(demo);
    } finally {
      // Also when the bench was given up meanwhile: another picture must not stay unseen.
      this.#seeNewDab();
    }
  }

  #seeNewDab(): void {
    this.#quietUntil = performance.now() + NEW_DAB_MS;
    this.#quietReports = NEW_DAB_REPORTS;
  }

  /** Where things lie on the demo bench; undefined with any other picture. */
  get scene(): DemoBench['scene'] | undefined {
    return this.#live?.kind === 'demo' ? this.#live.scene : undefined;
  }

  /** On the demo bench, the pot is sprayed over the fill, or that is wiped off for the dab. */
  async spray(sprayed: boolean): Promise<void> {
    await this.layDabAfter(() => {
      this.#sprayed = sprayed;
      return Promise.resolve();
    });
  }

  /** The demo bench knows its paints by Colour Index name, whatever a palette calls them. */
  async #lay(demo: DemoBench): Promise<string | undefined> {
    const { palette } = this.#store.state;
    this.#laying += 1;
    const laying = this.#laying;
    const grams: Record<string, number> = {};
    for (const [id, mass] of Object.entries(this.#onTile ?? potOf(this.#store.state))) {
      const pigment = palette?.pigments.find((one) => one.id === id);
      const name = pigment?.colourIndex ?? pigment?.name ?? id;
      grams[name] = (grams[name] ?? 0) + mass;
    }
    const laid = await (this.#onTile
      ? demo.layOnTile(grams)
      : this.#sprayed
        ? demo.spray(grams)
        : demo.setPot(grams));
    // Another paint may have been chosen meanwhile, and lies there now.
    if (laid.ok || laying !== this.#laying) return undefined;
    await (this.#onTile ? demo.layOnTile({}) : demo.setPot({}));
    return `Nothing lies there now: ${laid.message}. Paints of your own are read with your camera, or typed.`;
  }

  stop(): void {
    const { address } = this.#store.state.feed;
    if (address) URL.revokeObjectURL(address);
    this.#live?.stop();
    this.#live = undefined;
    this.#demo = undefined;
    this.#photo = undefined;
  }

  /** @returns whether this picture is still the one that is wanted when it has come */
  #starting(kind: FeedState['kind'], label: string): () => boolean {
    this.stop();
    this.#sprayed = false;
    this.#opening += 1;
    this.#quietUntil = 0;
    this.#quietReports = 0;
    const opening = this.#opening;
    this.#store.set({
      feed: { kind, status: 'starting', label, width: 0, height: 0 },
      ...NOTHING_READ,
      live: undefined,
      notice: undefined,
      trouble: undefined,
      tile: undefined,
      dab: undefined,
      glaze: undefined,
      target: 'dab',
      closeUp: false,
    });
    return () => opening === this.#opening;
  }

  #setFeed(part: Partial<FeedState>): void {
    this.#store.set(({ feed }) => ({ feed: { ...feed, ...part } }));
  }

  #run(feed: Live | FeedFailure): void {
    if (!feed.ok) {
      this.#setFeed({ status: 'failed', failure: feed });
      return;
    }
    this.#live = feed;
    const { label, width, height, stream } = feed;
    this.#setFeed({ status: 'running', label, width, height, stream });
    void this.#follow(feed);
    void feed.ended.then((end) => {
      if (end !== 'lost' || this.#live !== feed) return;
      this.#live = undefined;
      this.#setFeed({
        status: 'failed',
        failure: {
          message: `${label} is gone: it was unplugged, or taken by another program.`,
          remedy: 'Plug it in again and choose it, or go on with a photograph. Nothing is lost.',
        },
      });
    });
  }

  async #follow(feed: Live): Promise<void> {
    const { bench, cameras } = this.#tools;
    for (let restart = 0; restart <= MOST_RESTARTS && this.#live === feed; restart += 1) {
      try {
        await bench.start();
        this.#store.set({ engine: 'ready' });
        await bench.follow(cameras.frameSource(feed.stream), (live) => {
          if (this.#live === feed) this.#show(live);
        });
        return;
      } catch (error) {
        const failed = faultInWords(error);
        this.#store.set({ engine: { failed }, live: undefined });
      }
    }
  }

  #show(report: LiveState): void {
    const { live, feed } = this.#store.state;
    const now = performance.now();
    this.#quietReports -= 1;
    if (now < this.#quietUntil || this.#quietReports >= 0) return;
    const isNews =
      live?.moving !== report.moving ||
      (live.tile === undefined) !== (report.tile === undefined) ||
      (live.result === undefined) !== (report.result === undefined) ||
      live.map?.ok !== report.map?.ok;
    if (!isNews && now - this.#lastView < VIEW_INTERVAL_MS) return;
    this.#lastView = now;
    // A phone that is turned over changes the shape of its picture.
    if (feed.width !== report.width || feed.height !== report.height) {
      this.#setFeed({ width: report.width, height: report.height });
    }
    this.#store.set({
      live: {
        tile: report.tile?.polygon,
        tileFound: report.tile?.found ?? false,
        tileLevel: report.tile?.level,
        ...(report.tile?.light && { tileLight: report.tile.light }),
        settled: report.settled,
        framesAveraged: report.framesAveraged,
        moving: report.moving,
        result: report.result,
        ...(report.map && { map: report.map }),
      },
    });
  }
}

const lightOf = ({ picture }: Photo): string =>
  picture.light === 'sensor' ? 'camera raw, linear' : 'developed by the camera';

function labelOf(photo: Photo): string {
  if (photo.picture.light === 'sensor') return `${photo.name} (camera raw, linear)`;
  return photo.bits > 8 ? `${photo.name} (${photo.bits} bits)` : photo.name;
}
