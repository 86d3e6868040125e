/**
 * The demo bench as a live feed: frames from the demo worker, drawn on a canvas whose captured
 * stream goes the very way of a camera's, so that everything after it is the same.
 */
import { DemoClient, type DemoScene, type PotLaid } from '../link/demo-client.ts';
import type { PotGrams } from '../paint/types.ts';
import type { Feed, FeedEnd, FeedFailure } from './feed.ts';

export interface DemoBench extends Feed {
  readonly kind: 'demo';
  /** Where things lie in the picture: the regions a person would point at. */
  readonly scene: DemoScene;
  /**
   * The dab from now on is a touch of this mix, grams by pigment id. Refused, with the reason, when
   * it holds what the demo bench has no paint for: the dab then stays as it was.
   */
  setPot(pot: PotGrams): Promise<PotLaid>;
  /** This mix lies sprayed over the fill from now on, in place of the dab; refused as by `setPot`. */
  spray(pot: PotGrams): Promise<PotLaid>;
  /** A coat of this mix lies on the tile from now on, and no dab on the piece; refused likewise. */
  layOnTile(pot: PotGrams): Promise<PotLaid>;
}

const FRAMES_PER_SECOND = 30;

/** @param pot what the dab is of; a pot that the demo bench has no paints for leaves its own there */
export async function openDemo(
  pot: PotGrams,
  client = new DemoClient(),
): Promise<DemoBench | FeedFailure> {
  try {
    const scene = await client.scene();
    await client.setPot(pot);
    return feedOf(client, scene);
  } catch (error) {
    client.dispose();
    return {
      ok: false,
      reason: 'demo',
      message: `The demo bench does not start (${error instanceof Error ? error.message : String(error)}).`,
      remedy: 'Reload the page. You can go on with a camera or a photograph.',
    };
  }
}

function feedOf(client: DemoClient, scene: DemoScene): DemoBench {
  const canvas = document.createElement('canvas');
  canvas.width = scene.width;
  canvas.height = scene.height;
  const context = canvas.getContext('2d', { alpha: false })!;
  const stream = canvas.captureStream(FRAMES_PER_SECOND);
  let settle: (end: FeedEnd) => void = () => undefined;
  const ended = new Promise<FeedEnd>((resolve) => (settle = resolve));
  let stopped = false;
  let drawn = 0;

  const stop = (end: FeedEnd) => {
    if (stopped) return;
    stopped = true;
    for (const track of stream.getTracks()) track.stop();
    client.dispose();
    settle(end);
  };
  const play = async () => {
    const begin = performance.now();
    while (!stopped) {
      const due = performance.now() + 1000 / FRAMES_PER_SECOND;
      const bitmap = await client.frame(performance.now() - begin);
      context.drawImage(bitmap, 0, 0);
      drawn += 1;
      bitmap.close();
      await new Promise((resolve) => setTimeout(resolve, Math.max(0, due - performance.now())));
    }
  };
  /** What was laid is in the picture once another frame has come, however slow the machine. */
  const laid = async (laying: Promise<PotLaid>): Promise<PotLaid> => {
    const answer = await laying;
    const wanted = drawn + 2;
    while (!stopped && drawn < wanted) await new Promise((resolve) => setTimeout(resolve, 20));
    return answer;
  };
  play().catch(() => stop('lost'));
  return {
    ok: true,
    kind: 'demo',
    label: 'Demo bench',
    stream,
    width: scene.width,
    height: scene.height,
    scene,
    ended,
    setPot: (pot) => laid(client.setPot(pot)),
    spray: (pot) => laid(client.spray(pot)),
    layOnTile: (pot) => laid(client.layOnTile(pot)),
    stop: () => stop('stopped'),
  };
}
