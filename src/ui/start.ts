/** Puts the services together. */
import { listCameras, onCamerasChanged, openCamera } from '../camera/camera.ts';
import { openDemo } from '../camera/demo.ts';
import { frameSource } from '../camera/frames.ts';
import { photoFromFile } from '../camera/photo.ts';
import { BenchClient } from '../link/bench-client.ts';
import { PaintClient } from '../link/paint-client.ts';
import { BenchSession } from './state/bench-session.ts';
import type { BenchState } from './state/bench-state.ts';
import { Drafts } from './state/drafts.ts';
import { HandOver } from './state/hand-over.ts';
import { JobBook } from './state/job-book.ts';
import { Mapping } from './state/mapping.ts';
import { PhotoRoll } from './state/photo-roll.ts';
import { Safekeeping } from './state/safekeeping.ts';
import type { Services } from './state/services.ts';
import type { Store } from './state/store.ts';
import { Spraying } from './state/spraying.ts';
import { StoreRecords } from './state/store-records.ts';
import type { Tools } from './state/tools.ts';
import { Version } from './state/version.ts';

export async function startServices(store: Store<BenchState>): Promise<Services> {
  // The database comes after the frame of the page: it is the larger part of the code.
  const { openBrowserStore } = await import('../store/browser.ts');
  const opened = await openBrowserStore();
  if (!opened.ok) throw new Error(opened.message);
  const safekeeping = new Safekeeping(opened.store);
  const { store: kept } = safekeeping;
  const records = new StoreRecords(kept, localStorage);
  const bench = new BenchClient();
  const paint = new PaintClient();
  const tools: Tools = {
    bench,
    paint,
    cameras: {
      listCameras,
      onCamerasChanged,
      openCamera,
      openDemo,
      frameSource,
      photoFromFile,
    },
    records,
  };
  const session = new BenchSession(store, tools);
  warmWhenReady(store, paint);
  return {
    store,
    session,
    records,
    drafts: new Drafts(),
    handOver: new HandOver(kept),
    book: new JobBook(kept),
    safekeeping,
    mapping: new Mapping(store, session, tools),
    roll: new PhotoRoll(session, store, tools.cameras),
    spraying: new Spraying(kept, records),
    version: new Version(),
    charts: bench,
  };
}

/** Once pictures are read, and not while their engine loads beside it. */
function warmWhenReady(store: Store<BenchState>, paint: PaintClient): void {
  const warm = () => {
    if (store.state.engine !== 'ready') return;
    store.removeEventListener('change', warm);
    void paint.warmUp();
  };
  store.addEventListener('change', warm);
}
