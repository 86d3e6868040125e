/**
 * The app kept for use offline, and its updates: a new version is fetched in the background and
 * waits. It is taken when the person says so, and in this window only; another window that is in
 * the middle of a reading is told, and reloads when its own person wants.
 */
import type { Workbox } from 'workbox-window';
import { dropOldFiles, keepOldFiles } from './old-files.ts';
import { Store } from './store.ts';

export interface VersionState {
  /** Every file of the app is kept: it opens without a network. */
  readonly offline: 'yes' | 'not-yet' | 'cannot';
  readonly update:
    | 'none'
    /** Fetched, and waits to be taken. */
    | 'waiting'
    /** Being taken; the page reloads. */
    | 'taking'
    /** Another window has taken it: this one runs the version before. */
    | 'taken-elsewhere';
}

/** The part of workbox-window that is used. */
export type Registration = Pick<
  Workbox,
  'register' | 'update' | 'messageSkipWaiting' | 'addEventListener'
>;

const HOUR_MS = 3_600_000;

export class Version extends Store<VersionState> {
  readonly #reload: () => void;
  #registration: Registration | undefined;

  constructor(reload: () => void = () => location.reload()) {
    super({ offline: 'not-yet', update: 'none' });
    this.#reload = reload;
  }

  /** Registers the service worker. Where the browser allows none, the app works as it is. */
  async begin(): Promise<void> {
    const registration = await serviceWorker();
    if (!registration) {
      this.set({ offline: 'cannot' });
      return;
    }
    this.#registration = registration;
    await dropOldFiles();
    registration.addEventListener('activated', () => {
      // A window of the first visit is not under the service worker's control: this is all it hears.
      if (this.state.update === 'taking') this.#reload();
      else this.set({ offline: 'yes' });
    });
    registration.addEventListener('waiting', () => this.set({ offline: 'yes', update: 'waiting' }));
    registration.addEventListener('controlling', ({ isUpdate }) => {
      if (this.state.update === 'taking') this.#reload();
      else if (isUpdate) this.set({ update: 'taken-elsewhere' });
    });
    try {
      const registered = await registration.register();
      if (registered?.active) this.set({ offline: 'yes' });
      setInterval(() => void this.#look(), HOUR_MS);
    } catch {
      // A certificate that the browser was only told to overlook, or a setting, forbids it.
      this.set({ offline: 'cannot' });
    }
  }

  /** Takes the version that waits, or that another window has taken; the page reloads. */
  async take(): Promise<void> {
    if (this.state.update === 'taken-elsewhere') {
      this.#reload();
      return;
    }
    this.set({ update: 'taking' });
    // No room to put them aside: the other windows are told to reload all the same.
    await keepOldFiles().catch(() => undefined);
    this.#registration?.messageSkipWaiting();
  }

  async #look(): Promise<void> {
    try {
      await this.#registration?.update();
    } catch {
      // No network: the next look will do.
    }
  }
}

async function serviceWorker(): Promise<Registration | undefined> {
  // The development server has no service worker, a page not served securely may have none.
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return undefined;
  const { Workbox } = await import('workbox-window');
  return new Workbox('/sw.js');
}
