/** What to do next with a blend map, in plain words. Pure. */
import type { BenchState } from './bench-state.ts';
import type { MapState } from './mapping.ts';

export function mapStep(
  map: MapState,
  { feed, live, engine }: Pick<BenchState, 'feed' | 'live' | 'engine'>,
): string {
  if (feed.status === 'failed') return 'There is no picture. Choose another on the bench.';
  if (feed.status === 'starting') return `Starting: ${feed.label}.`;
  if (map.busy === 'saving') return 'Saving. Hold still.';
  if (map.target === 'tile') return 'Drag the corners onto the tile.';
  if (map.target === 'glaze') return 'Tap the glaze that the sprayed area should look like.';
  if (!map.outline) return 'Draw round the sprayed area in the picture, or tap its middle.';
  if (typeof engine === 'object') return engine.failed;
  if (engine === 'loading') return 'One moment: the reading engine is loading.';
  if (!live) return 'Looking at the picture. Hold still.';
  if (map.bare) return 'The bare picture: press Bare again for the map.';
  if (live.moving) return 'Something moves. Let the piece and the camera rest.';
  if (map.stale || !live.map) return 'Mapping. Hold still.';
  if (!live.map.ok) return live.map.refused[0]?.remedy ?? '';
  if (map.saved) return 'The map is saved with its picture.';
  if (map.target === 'area') return 'Drag the corners to fit the sprayed area.';
  return 'Save the map, or look at the bare picture.';
}
