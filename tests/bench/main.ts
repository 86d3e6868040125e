/** `npm run bench`: speeds as ratios, in one run on one machine. Nothing here passes or fails. */
import { benchBlendMap } from './blend-map.ts';
import { benchDeltaE } from './delta-e.ts';
import { benchLiveFrames } from './live-frame.ts';
import { benchNudge } from './nudge.ts';

benchDeltaE();
benchNudge();
benchBlendMap();
await benchLiveFrames();
