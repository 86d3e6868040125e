/** What the session works with: workers, cameras, records. */
import type { listCameras, onCamerasChanged, openCamera } from '../../camera/camera.ts';
import type { openDemo } from '../../camera/demo.ts';
import type { frameSource } from '../../camera/frames.ts';
import type { photoFromFile } from '../../camera/photo.ts';
import type { BenchClient } from '../../link/bench-client.ts';
import type { PaintClient } from '../../link/paint-client.ts';
import type { BenchRecords } from './bench-records.ts';

export interface Cameras {
  readonly openCamera: typeof openCamera;
  readonly listCameras: typeof listCameras;
  readonly onCamerasChanged: typeof onCamerasChanged;
  readonly openDemo: typeof openDemo;
  readonly frameSource: typeof frameSource;
  readonly photoFromFile: typeof photoFromFile;
}

export interface Tools {
  readonly bench: Pick<
    BenchClient,
    | 'start'
    | 'readPicture'
    | 'mapPicture'
    | 'findTile'
    | 'follow'
    | 'point'
    | 'watchArea'
    | 'capture'
    | 'captureMap'
    | 'stop'
  >;
  readonly paint: Pick<PaintClient, 'nudge' | 'firstMix' | 'characterisations' | 'pulls'>;
  readonly cameras: Cameras;
  readonly records: BenchRecords;
}
