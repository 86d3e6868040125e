/** The demo worker: the bench as a camera would see it, frame by frame. */
import { expose, transfer } from 'comlink';
import { DemoBench } from '../calibration-samples/render/demo.ts';
import type { LabD65 } from '../src/colour/spaces.ts';
import type { DemoWorkerApi, PotLaid } from './demo-api.ts';

let laidOut: DemoBench | undefined;
const bench = (): DemoBench => (laidOut ??= new DemoBench());

/** What the bench has no paint for is an answer, any other error a fault. */
function laid(lay: () => void): Promise<PotLaid> {
  try {
    lay();
    return Promise.resolve({ ok: true });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return Promise.resolve({ ok: false, message: error.message });
  }
}

const api = {
  scene() {
    const { width, height, regions, tileLab } = bench();
    // The renderer knows none of our types; what it calls the tile's colour is CIELAB D65.
    return Promise.resolve({ width, height, ...regions, tileLab: tileLab as unknown as LabD65 });
  },

  setPot(pot) {
    return laid(() => bench().setPot(pot));
  },

  spray(pot) {
    return laid(() => bench().spray(pot));
  },

  layOnTile(pot) {
    return laid(() => bench().layOnTile(pot));
  },

  async frame(timeMs) {
    const { width, height, rgba } = bench().frame(timeMs);
    const bitmap = await createImageBitmap(new ImageData(rgba, width, height));
    return transfer(bitmap, [bitmap]);
  },
} satisfies DemoWorkerApi;

expose(api);
