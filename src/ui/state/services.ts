/** What the screens reach beyond themselves, handed down by context. Elements never see them. */
import { createContext } from '@lit/context';
import type { openCamera, listCameras, onCamerasChanged } from '../../camera/camera.ts';
import type { openDemo } from '../../camera/demo.ts';
import type { frameSource } from '../../camera/frames.ts';
import type { photoFromFile } from '../../camera/photo.ts';
import type { BenchClient } from '../../link/bench-client.ts';
import type { PaintClient } from '../../link/paint-client.ts';
import type { BenchSession } from './bench-session.ts';
import type { BenchRecords } from './bench-records.ts';
import type { BenchState } from './bench-state.ts';
import type { Store } from './store.ts';

export interface Cameras {
  readonly openCamera: typeof openCamera;
  readonly listCameras: typeof listCameras;
  readonly onCamerasChanged: typeof onCamerasChanged;
  readonly openDemo: typeof openDemo;
  readonly frameSource: typeof frameSource;
  readonly photoFromFile: typeof photoFromFile;
}

/** What the session works with. */
export interface Tools {
  readonly bench: Pick<
    BenchClient,
    'start' | 'readPicture' | 'findTile' | 'follow' | 'point' | 'capture' | 'stop'
  >;
  readonly paint: Pick<PaintClient, 'nudge' | 'firstMix'>;
  readonly cameras: Cameras;
  readonly records: BenchRecords;
}

export interface Services {
  readonly store: Store<BenchState>;
  readonly session: BenchSession;
  readonly records: BenchRecords;
}

export const servicesContext = createContext<Services>(Symbol('services'));
