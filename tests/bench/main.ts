/**
 * `npm run bench`: speeds as ratios, in one run on one machine. Nothing here passes or fails.
 *   --minutes N   live frames over which memory is watched (3)
 *   --only NAME   delta-e, nudge, blend-map, live-frame or live-memory (all)
 */
import { parseArgs } from 'node:util';
import { benchBlendMap } from './blend-map.ts';
import { benchDeltaE } from './delta-e.ts';
import { benchLiveFrames } from './live-frame.ts';
import { benchLiveMemory } from './live-memory.ts';
import { benchNudge } from './nudge.ts';

const { values } = parseArgs({
  options: { minutes: { type: 'string', default: '3' }, only: { type: 'string' } },
});
const benches: Record<string, () => void | Promise<void>> = {
  'delta-e': benchDeltaE,
  nudge: benchNudge,
  'blend-map': benchBlendMap,
  'live-frame': benchLiveFrames,
  'live-memory': () => benchLiveMemory(Number(values.minutes)),
};
const wanted = Object.entries(benches).filter(
  ([name]) => values.only === undefined || name === values.only,
);
if (wanted.length === 0 || !(Number(values.minutes) > 0)) {
  console.error(`--only takes one of ${Object.keys(benches).join(', ')}; --minutes a number`);
  process.exit(2);
}
for (const [, bench] of wanted) await bench();
